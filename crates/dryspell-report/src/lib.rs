//! What a run says, as text, tables, pictures and the document that goes with an application.

mod chart;
#[cfg(feature = "charts")]
mod charts;
pub mod compare;
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
mod model;
pub mod odds;
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
pub use model::{Chart, Paper};
pub use odds::MadeYears;
pub use page::pictures;
pub use report::{DocumentSettings, Report};
