//! What can be typed. Nothing is done here.

use std::path::PathBuf;

use clap::{Args as ClapArgs, Parser, Subcommand, ValueEnum};
use dryspell::units::System;

/// Does the herd go without water in the weather given? Simulates an off-grid stock-water scheme hour by hour.
#[derive(Debug, Parser)]
#[command(version, max_term_width = 100)]
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
    /// Work one hour on paper: every number between the sun's place and the tank's level, with its equation
    Hour(HourArgs),
    /// Flow against sun for this scheme: what to check on site with an irradiance meter, a bucket and a watch
    Curve(CurveArgs),
    /// What animals need: the classes with their formula, range and source
    Herd(HerdArgs),
    /// What the frost reaches: freezing index, depth against cover, exposed pipes, ice
    Frost(FrostArgs),
    /// How often the scheme goes short, how sure that is, and what one thing changed does
    Odds(OddsArgs),
    /// The document that goes with an application: a few pages as HTML or PDF that a reviewer can check
    Summary(SummaryArgs),
    /// The headlines of several schemes side by side, and what differs between the schemes
    Compare(CompareArgs),
    /// The smallest tank and array that meet a target, searched over every step
    Size(SizeArgs),
    /// Run every combination of values given, in parallel, into one table
    Sweep(SweepArgs),
    /// Join the parts of a sweep that was spread over machines
    Gather(GatherArgs),
    /// Read weather files and report what they hold, how they were read and what they lack
    Weather(WeatherArgs),
    /// Make synthetic years from twelve monthly means
    Synth(SynthArgs),
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

#[derive(Debug, ClapArgs)]
pub(crate) struct HourArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// Start of the hour in local standard time: "12-21 12:00", "2003-12-21 12:00", or the hour's number in the hourly file
    #[arg(value_name = "WHEN")]
    pub(crate) when: String,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CurveArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// Month whose water level counts, 1 to 12 or a name; without it the month with the deepest water
    #[arg(long, value_name = "MONTH")]
    pub(crate) month: Option<String>,
    /// Units of the page; default is what the scheme says
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct OddsArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) made: MadeArgs,
}

/// How years are made from a record.
#[derive(Debug, Clone, PartialEq, ClapArgs)]
#[command(next_help_heading = "Years made from the record")]
pub(crate) struct MadeArgs {
    /// Years made from the record's days; 0 makes none
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = Self::default().made_years)]
    pub(crate) made_years: usize,
    /// Drawings of the record's years for the interval; 200 or more, or 0 for none
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = Self::default().drawings)]
    pub(crate) drawings: usize,
    /// Mean length of the blocks of days
    #[arg(long, value_name = "DAYS", allow_negative_numbers = true, default_value_t = Self::default().block_days)]
    pub(crate) block_days: f64,
    /// How far from its date a block may come
    #[arg(long, value_name = "DAYS", allow_negative_numbers = true, default_value_t = Self::default().window_days)]
    pub(crate) window_days: u32,
    /// The same seed gives the same numbers, with any number of threads
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = Self::default().seed)]
    pub(crate) seed: u64,
}

impl Default for MadeArgs {
    fn default() -> Self {
        Self { made_years: 300, drawings: 200, block_days: 15.0, window_days: 15, seed: 1 }
    }
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SummaryArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// The document; its ending says which form it takes: .html or .pdf
    #[arg(short, long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: PathBuf,
    /// Units that come first; default is what the scheme says
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Paper of a PDF; default is Letter where US units come first, else A4
    #[arg(long, value_name = "a4|letter", help_heading = "Output")]
    pub(crate) paper: Option<PaperSize>,
    /// A font (TTF or OTF) for letters that are not Latin, Greek or Cyrillic; may be given several times
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) font: Vec<PathBuf>,
    /// Write the pictures as SVG files into this folder too; it is made where it is missing
    #[arg(long, value_name = "DIR", help_heading = "Output")]
    pub(crate) charts: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) made: MadeArgs,
}

/// Paper of a PDF.
#[derive(Debug, Clone, Copy, PartialEq, Eq, ValueEnum)]
pub(crate) enum PaperSize {
    /// 210 by 297 mm.
    A4,
    /// 8 1/2 by 11 in.
    Letter,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CompareArgs {
    /// The scheme files (TOML), two or more
    #[arg(value_name = "SCHEME", required = true, num_args = 2..)]
    pub(crate) schemes: Vec<PathBuf>,
    /// Units of the table; default is what the first scheme says
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write all headlines as CSV, SI, a column for each scheme; `-` is standard output, then without report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) csv: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SizeArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// What it must come to: days=0, served=99.5, autonomy=4, dry-years=5. May be given several times: all must hold
    #[arg(long, value_name = "TARGET", required = true)]
    pub(crate) target: Vec<String>,
    /// Capacities to try, such as "4 to 40 by 1 m3"; default is a quarter to four times the scheme's own
    #[arg(long, value_name = "VALUES")]
    pub(crate) tank: Option<String>,
    /// What makes the array larger, such as "array.shed.series = 1 to 6 by 1"; default is strings in parallel, 1 to 6
    #[arg(long, value_name = "KEY = VALUES")]
    pub(crate) array: Option<String>,
    /// Cost of a cubic metre of tank, in any money
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true, help_heading = "Cost")]
    pub(crate) cost_per_m3: Option<f64>,
    /// Cost of a module, in the same money
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true, help_heading = "Cost")]
    pub(crate) cost_per_module: Option<f64>,
    /// Units of the page; default is what the scheme says
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// For the target dry-years
    #[command(flatten)]
    pub(crate) made: MadeArgs,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SweepArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// A key of the scheme and its values: "tank.main.capacity = 2 to 10 by 0.5 m3", "herd.cows.count = 40, 60, 80",
    /// "weather.file = a.csv, b.csv". May be given several times: every combination is run
    #[arg(long, value_name = "KEY = VALUES", required = true)]
    pub(crate) vary: Vec<String>,
    /// The table: FILE.csv or FILE.parquet. While it grows, finished pieces of up to 100 cases are kept in FILE.partial: the same command goes
    /// on after a stop
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: PathBuf,
    /// A picture (SVG) of the days of shortfall over the first two axes
    #[arg(long, value_name = "FILE", help_heading = "Output", conflicts_with = "part")]
    pub(crate) plot: Option<PathBuf>,
    /// Only the K-th of N equal parts, into FILE.part-K-of-N, for `dryspell gather`
    #[arg(long, value_name = "K/N", help_heading = "Output")]
    pub(crate) part: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct GatherArgs {
    /// The files of all parts
    #[arg(value_name = "PART", required = true)]
    pub(crate) parts: Vec<PathBuf>,
    /// The table (CSV); `-` is standard output
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: PathBuf,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct HerdArgs {
    /// One class, such as "beef cow"; without it the list of all
    #[arg(value_name = "CLASS")]
    pub(crate) class: Option<String>,
    /// Units of the page
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct FrostArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    /// Units of the report; default is what the scheme says
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct WeatherArgs {
    /// Weather files of one place (several calendar years make one record), or one folder of them
    #[arg(value_name = "FILE", required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// Which end of its hour a row's time names, where the file does not say or says it wrong
    #[arg(long, value_name = "start|middle|end", help_heading = "Reading")]
    pub(crate) stamps: Option<StampsWord>,
    /// What kind of years the file holds, where its dates tell it wrongly
    #[arg(long, value_name = "typical|calendar|synthetic|projected", help_heading = "Reading")]
    pub(crate) years: Option<YearsWord>,
    /// Shift a clock that does not fit the sun to the best fit, in place of refusing it
    #[arg(long, help_heading = "Reading")]
    pub(crate) accept_shift: bool,
    /// Fill gaps of more than three hours from the same hours of neighbouring days, in place of refusing them
    #[arg(long, help_heading = "Reading")]
    pub(crate) fill_long_gaps: bool,
    /// Accept whole days that do not make a whole year
    #[arg(long, help_heading = "Reading")]
    pub(crate) part_of_year: bool,
    /// Latitude in degrees, north positive, where the file has none; also read as text with a unit
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, help_heading = "Place")]
    pub(crate) latitude: Option<String>,
    /// Longitude in degrees, east positive
    #[arg(long, value_name = "DEG", allow_hyphen_values = true, help_heading = "Place")]
    pub(crate) longitude: Option<String>,
    /// Elevation, such as "1250 m" or "4100 ft"
    #[arg(long, value_name = "LENGTH", allow_hyphen_values = true, help_heading = "Place")]
    pub(crate) elevation: Option<String>,
    /// Local standard time minus UTC, such as "-7 h"
    #[arg(long, value_name = "HOURS", allow_hyphen_values = true, help_heading = "Place")]
    pub(crate) utc_offset: Option<String>,
    /// Units of the report
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write the record in the plain format; `-` is standard output, then without report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) to: Option<PathBuf>,
    /// Write the report as JSON; `-` is standard output, then without report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum YearsWord {
    /// Months of different years: no return period
    Typical,
    /// Years as they were
    Calendar,
    /// Made, not measured
    Synthetic,
    /// Of a climate model's scenario, not measured: no return period
    Projected,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum StampsWord {
    /// The hour's start
    Start,
    /// The hour's middle
    Middle,
    /// The hour's end
    End,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SynthArgs {
    /// The climate: twelve monthly means in TOML (see data/demo/climate.toml)
    #[arg(value_name = "CLIMATE")]
    pub(crate) climate: PathBuf,
    /// Where the years start from: the same seed gives the same bytes on any machine
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) seed: u64,
    /// How many years, 1 to 999
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) years: usize,
    /// free: months differ between years; held: each month within 1 % of its mean; matrices: the ten-matrix library, held
    #[arg(long, value_name = "METHOD", default_value = "free")]
    pub(crate) method: String,
    /// File to write in the plain format; `-` is standard output
    #[arg(long, value_name = "FILE", default_value = "-")]
    pub(crate) to: PathBuf,
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
