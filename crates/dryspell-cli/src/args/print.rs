//! What can be typed after `dryspell print`.

use clap::{Args as ClapArgs, Subcommand};
use clap_complete::Shell;

#[derive(Debug, ClapArgs)]
pub(crate) struct PrintArgs {
    #[command(subcommand)]
    pub(crate) what: Printed,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Printed {
    /// Completions of commands, options and their words for a shell
    Completions {
        /// The shell
        shell: Shell,
    },
    /// The manual page, in roff
    Man {
        /// The page of one command; default: that of the whole program
        #[arg(value_name = "COMMAND")]
        command: Option<String>,
    },
    /// JSON Schema (draft 2020-12) of a scheme file: an editor completes keys by it and marks what is wrong. Or of what a command
    /// writes with --json
    Schema {
        /// The command: run, odds, size, compare, frost or curve; default: the scheme file
        #[arg(value_name = "COMMAND")]
        command: Option<String>,
    },
}
