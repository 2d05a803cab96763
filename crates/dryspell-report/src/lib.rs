//! What a run says, as text, tables, pictures and the document that goes with an application.
//!
//! A [`Report`] holds a run with all that its outputs tell; an [`Exporter`] writes one of them; [`EXPORTERS`] lists them:
//! the text of the terminal, hours and days as CSV, JSON, and the document as HTML and PDF. What is not of a single run has
//! a function in a module of its own: [`weather`], [`ahead`], [`review`], [`size`], [`odds`], [`compare`], [`curve`], [`frost`], [`herd`],
//! [`worked`], and of sweeps `map` and `parquet`.
//!
//! ```
//! use std::path::Path;
//!
//! use dryspell::{scheme::Scheme, simulate::simulate};
//! use dryspell_report::{Input, Inputs, Report, Role, exporter};
//!
//! let folder = Path::new(concat!(env!("CARGO_MANIFEST_DIR"), "/../../data/demo"));
//! let text = std::fs::read_to_string(folder.join("scheme.toml"))?;
//! let scheme = Scheme::from_toml(&text)?;
//! let weather = dryspell_weather::open(&scheme, folder)?;
//! let run = simulate(&scheme.plan(), &weather.record)?;
//!
//! let own = [Input::of(Role::Scheme, "scheme.toml", text.as_bytes())];
//! let inputs = Inputs::new(own.into_iter().chain(Input::of_weather(&scheme, weather.files, folder)));
//! let report = Report::new(&run, &weather.record, &scheme, ("scheme.toml", &text), &inputs);
//! let mut page = Vec::new();
//! exporter("terminal").ok_or("no such output")?.write(&report, &mut page)?;
//! assert!(String::from_utf8(page)?.starts_with("The herd goes short on "));
//! # Ok::<(), Box<dyn std::error::Error>>(())
//! ```
//!
//! `exporter("html")` writes the page; `examples/page_of_a_scheme.rs` is the whole way from a scheme file to it.
//!
//! Features: `setting` (the document as HTML), `charts` (its pictures and those of sweeps), `pdf`, `parquet`; all are on by
//! default.

pub mod ahead;
pub mod answers;
#[cfg(feature = "setting")]
pub mod attached;
mod bearing;
pub mod changes;
mod chart;
#[cfg(feature = "charts")]
mod charts;
pub mod choose;
pub mod columns;
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
mod goal;
pub mod herd;
mod inputs;
mod layout;
#[cfg(feature = "charts")]
pub mod map;
pub mod mends;
#[cfg(feature = "setting")]
mod model;
pub mod odds;
#[cfg(feature = "setting")]
mod page;
#[cfg(feature = "parquet")]
pub mod parquet;
mod pump;
mod report;
mod results;
pub mod review;
#[cfg(feature = "setting")]
mod review_page;
mod scheme_lines;
#[cfg(feature = "setting")]
mod setting;
pub mod size;
mod taken;
mod told;
mod tried;
pub mod unknowns;
mod values;
pub mod weather;
pub mod worked;

#[cfg(feature = "charts")]
pub use charts::days_ahead;
pub use dryspell::odds::MadeYears;
pub use error::Error;
pub use exporter::Exporter;
pub use exporters::{EXPORTERS, exporter};
pub use inputs::{CaseHash, Input, Inputs, Role, as_written, hash};
pub use layout::{MONTHS, wrap_to};
#[cfg(feature = "setting")]
pub use model::{Chart, Paper};
#[cfg(feature = "setting")]
pub use page::pictures;
#[cfg(feature = "setting")]
pub use report::DocumentSettings;
pub use report::{Report, Screen};
#[cfg(feature = "setting")]
pub use review_page::review_html;
#[cfg(feature = "pdf")]
pub use review_page::review_pdf;
pub use tried::Tried;
pub use values::{How, InputValue, VALUES, values};
