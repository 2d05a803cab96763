//! What can keep an output from being made.

use dryspell::fault::Faults;

/// Why an output could not be made.
#[derive(Debug, thiserror::Error)]
pub enum Error {
    /// What the page works out beside the run cannot be: the faults, a line each.
    #[error(transparent)]
    Faults(#[from] Faults),
    /// A picture cannot be drawn.
    #[error("a picture cannot be drawn: {0}")]
    Picture(String),
    /// The document cannot be set: a letter that no font has, a font that is none, a row higher than a page.
    #[error("{0}")]
    Setting(String),
    /// A table cannot be written.
    #[error(transparent)]
    Csv(#[from] csv::Error),
    /// JSON cannot be written.
    #[error(transparent)]
    Json(#[from] serde_json::Error),
    /// The place that it goes to takes no more.
    #[error(transparent)]
    Io(#[from] std::io::Error),
}
