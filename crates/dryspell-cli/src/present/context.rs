//! What every report is made of beside the run itself.

use dryspell::units::System;

use crate::inputs::Inputs;

/// What the report needs beside the run itself.
#[derive(Debug)]
pub(crate) struct Context<'a> {
    /// Name of the scheme.
    pub(crate) name: &'a str,
    /// Scheme file as typed.
    pub(crate) scheme_file: String,
    /// All that the run rests on.
    pub(crate) inputs: Inputs,
    /// What was run, however it was written.
    pub(crate) case_hash: String,
    /// Units of the report.
    pub(crate) system: System,
    /// Everything that the scheme did not say and was taken all the same.
    pub(crate) assumptions: Vec<Assumption>,
    /// Whether standard output is a terminal that shows block characters.
    pub(crate) blocks: bool,
}

/// Something taken for granted.
#[derive(Debug)]
pub(crate) struct Assumption {
    /// What.
    pub(crate) what: String,
    /// Its value.
    pub(crate) value: String,
    /// Where that comes from.
    pub(crate) source: String,
}
