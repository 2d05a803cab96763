//! Weather files in, [`dryspell::record::Record`]s out.
