//! What can be typed. Nothing is done here.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use dryspell::units::System;

/// Does the herd go without water in the weather given? Simulates an off-grid stock-water scheme hour by hour.
#[derive(Debug, Parser)]
#[command(version, about, max_term_width = 100)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a commented starter scheme to fill in
    New(NewArgs),
    /// Run a scheme on its weather and print days of shortfall, autonomy and the evidence
    Run(RunArgs),
}

#[derive(Debug, ClapArgs)]
pub(crate) struct NewArgs {
    /// File to write; an existing file is left alone. `-` writes to standard output
    #[arg(value_name = "FILE", default_value = "scheme.toml")]
    pub(crate) file: PathBuf,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct RunArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// Units of the report; default is what the scheme says. Files are always SI
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write every hour as CSV; `-` is standard output, then without report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) hourly: Option<PathBuf>,
    /// Write every day as CSV; `-` is standard output, then without report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) daily: Option<PathBuf>,
    /// Write the headlines, months and years as JSON; `-` is standard output, then without report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
    /// Exit with code 1 if there is any day of shortfall
    #[arg(long, help_heading = "Verdict")]
    pub(crate) fail_if_short: bool,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum UnitSystem {
    /// Metres, litres, degrees Celsius
    Si,
    /// Feet, US gallons, degrees Fahrenheit
    Us,
}

impl From<UnitSystem> for System {
    fn from(system: UnitSystem) -> Self {
        match system {
            UnitSystem::Si => Self::Si,
            UnitSystem::Us => Self::Us,
        }
    }
}
