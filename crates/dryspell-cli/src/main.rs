//! The dryspell program; all of it lies in the library of this crate.

use std::process::ExitCode;

fn main() -> ExitCode {
    dryspell_cli::main()
}
