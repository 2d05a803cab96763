//! The document that goes with an application: [`model`] says what, [`charts`] draws, `html` and `pdf` give it a form.

#![allow(dead_code, reason = "no command makes the document yet")]

#[cfg(feature = "charts")]
pub(crate) mod charts;
pub(crate) mod model;
