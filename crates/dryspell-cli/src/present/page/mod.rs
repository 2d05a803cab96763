//! The document that goes with an application: [`model`] says what, [`charts`] draws, `html` and `pdf` give it a form.

pub(crate) mod charts;
pub(crate) mod model;
