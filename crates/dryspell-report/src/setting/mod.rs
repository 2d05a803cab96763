//! The document's model set: as HTML, as PDF, and the sheets of SVG that pictures are drawn on.
//!
//! Nothing here knows of water: of the rest of the crate it sees the model alone.

#[cfg(feature = "charts")]
pub(crate) mod axes;
#[cfg(feature = "charts")]
mod backend;
pub(crate) mod html;
#[cfg(feature = "charts")]
pub(crate) mod ink;
#[cfg(feature = "charts")]
pub(crate) mod paper;
#[cfg(feature = "pdf")]
pub(crate) mod pdf;
#[cfg(test)]
pub(crate) mod sample;
mod ties;
#[cfg(feature = "charts")]
pub(crate) mod words;
