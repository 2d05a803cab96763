//! What a run says, as text, tables, pictures and the document that goes with an application.

mod chart;
#[cfg(feature = "charts")]
mod charts;
pub mod compare;
#[cfg(feature = "setting")]
mod content;
pub mod curve;
mod delivery;
#[cfg(test)]
mod demo;
mod error;
mod exporter;
mod exporters;
mod figures;
pub mod frost;
pub mod herd;
mod inputs;
mod layout;
#[cfg(feature = "charts")]
pub mod map;
#[cfg(feature = "setting")]
mod model;
pub mod odds;
#[cfg(feature = "setting")]
mod page;
#[cfg(feature = "parquet")]
pub mod parquet;
mod pump;
mod report;
mod scheme_lines;
#[cfg(feature = "setting")]
mod setting;
pub mod size;
mod taken;
pub mod weather;
pub mod worked;

pub use error::Error;
pub use exporter::Exporter;
pub use exporters::{EXPORTERS, exporter};
pub use inputs::{Input, Inputs, Role, as_written, hash};
pub use layout::MONTHS;
#[cfg(feature = "setting")]
pub use model::{Chart, Paper};
pub use odds::MadeYears;
#[cfg(feature = "setting")]
pub use page::pictures;
#[cfg(feature = "setting")]
pub use report::DocumentSettings;
pub use report::Report;
