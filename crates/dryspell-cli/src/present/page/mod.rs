//! The document that goes with an application: [`model`] says what, [`charts`] draws, `html` and `pdf` give it a form.

#[cfg(feature = "charts")]
pub(crate) mod charts;
pub(crate) mod content;
pub(crate) mod html;
pub(crate) mod model;
#[cfg(feature = "pdf")]
pub(crate) mod pdf;
#[cfg(test)]
pub(crate) mod sample;
mod units;
