//! Weather files in, [`dryspell::record::Record`]s out.
pub mod synth;
