//! The dryspell program.

fn main() {}
