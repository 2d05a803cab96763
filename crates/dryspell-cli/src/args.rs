//! What can be typed. Nothing is done here.

mod print;

use std::path::PathBuf;

use clap::{ArgGroup, Args as ClapArgs, Parser, Subcommand, ValueEnum};
use dryspell::odds::Making;
use dryspell::units::System;

pub(crate) use print::{PrintArgs, Printed};

/// Does the herd go without water in the weather given? Simulates an off-grid stock-water scheme hour by hour.
#[derive(Debug, Parser)]
#[command(name = "dryspell", version, max_term_width = 100)]
pub(crate) struct Args {
    #[command(subcommand)]
    pub(crate) command: Command,
}

#[derive(Debug, Subcommand)]
pub(crate) enum Command {
    /// Write a starter scheme with comments, to fill in
    New(NewArgs),
    /// Run a scheme on its weather; print days of shortfall, autonomy and the evidence
    Run(RunArgs),
    /// Work one hour step by step: every number from the sun's position to the tank level, with its equation
    Hour(HourArgs),
    /// Flow against irradiance: a table to check on site with an irradiance meter, a bucket and a watch
    Curve(CurveArgs),
    /// What animals drink: the classes with formula, range and source
    Herd(HerdArgs),
    /// Frost: freezing index, frost depth against cover, exposed pipes, ice
    Frost(FrostArgs),
    /// How often the scheme goes short, how certain that is, and the effect of one change at a time
    Odds(OddsArgs),
    /// The days ahead of a built scheme: from today's level through every year of the record, and when to order water
    Ahead(AheadArgs),
    /// Document for a grant application: a few pages of HTML or PDF that a reviewer can check
    Summary(SummaryArgs),
    /// Work a document of `dryspell summary` again from what is attached to it; exit 0 same, 1 different, 2 cannot be told
    Verify(VerifyArgs),
    /// Compare schemes: headlines side by side, and the differences between the schemes
    Compare(CompareArgs),
    /// Many schemes, a row each: what each comes to, its goal, its margins, what it leaves out and what looks odd
    Review(ReviewArgs),
    /// Choose pump, panels and coupling: every pump of a folder with every size of array by every coupling, in order
    Choose(ChooseArgs),
    /// Find the smallest tank and array that meet a target, trying every step
    Size(SizeArgs),
    /// Run every combination of the given values, in parallel, into one table
    Sweep(SweepArgs),
    /// Join the parts of a sweep run on several machines
    Gather(GatherArgs),
    /// Read weather files; report what they hold, how they were read and what is missing
    Weather(WeatherArgs),
    /// Generate synthetic years from twelve monthly means, or like those of a record
    Synth(SynthArgs),
    /// What every column and figure means, with its unit: all of them, or those whose name or meaning has the words given
    Columns(ColumnsArgs),
    /// Print what shells, editors and other programs make use of: completions, manual pages, JSON Schemas
    Print(PrintArgs),
}

#[derive(Debug, ClapArgs)]
pub(crate) struct NewArgs {
    /// File to write; an existing file is not overwritten. `-` is standard output
    #[arg(value_name = "FILE", default_value = "scheme.toml")]
    pub(crate) file: PathBuf,
    /// Ask for the values at the keyboard, one by one, and write the starter with them; `?` tells more, Enter takes the default
    #[arg(long, conflicts_with = "units")]
    pub(crate) ask: bool,
    /// Units in which the starter is written
    #[arg(long, value_name = "si|us", default_value = "si")]
    pub(crate) units: UnitSystem,
}

/// Values of the scheme set anew for this once.
#[derive(Debug, Clone, Default, ClapArgs)]
pub(crate) struct SetArgs {
    /// A value of the scheme for this once: "tank.main.capacity = 12 m3", or a number times a factor:
    /// "herd.*.count * 1.25". May be repeated
    #[arg(long, value_name = "KEY = VALUE", help_heading = "Scheme")]
    pub(crate) set: Vec<String>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct RunArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Stay, and answer anew whenever the scheme, one of its tables or its weather is saved; Ctrl-C ends
    #[arg(long, conflicts_with = "fail_if_short")]
    pub(crate) watch: bool,
    /// Print the whole report: scheme, head, months, figures, ledgers, assumptions, cautions
    #[arg(long, help_heading = "Output")]
    pub(crate) full: bool,
    /// Do not try what would mend a scheme that goes short
    #[arg(long, help_heading = "Output")]
    pub(crate) no_mends: bool,
    /// Units of the report; default: as in the scheme. Tables of hours and days are SI unless `us` is typed here; JSON is SI
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write every hour as CSV, or as Parquet by the name's ending; `-` is standard output (CSV), without the report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) hourly: Option<PathBuf>,
    /// Write every day as CSV, or as Parquet by the name's ending; `-` is standard output (CSV), without the report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) daily: Option<PathBuf>,
    /// Write the headlines, months and years as JSON; `-` is standard output, without the report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
    /// Exit with code 1 if the scheme's `[goal]` is not met; without a goal, if there is any day of shortfall
    #[arg(long, help_heading = "Verdict")]
    pub(crate) fail_if_short: bool,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct HourArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Start of the hour in local standard time: "12-21 12:00", "2003-12-21 12:00", or the hour's number in the hourly file
    #[arg(value_name = "WHEN")]
    pub(crate) when: String,
    /// Units shown behind each step; default: as in the scheme. The equations are in SI
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct CurveArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Month whose static level is used, 1 to 12 or a name; default: the month with the deepest
    #[arg(long, value_name = "MONTH")]
    pub(crate) month: Option<String>,
    /// Units of the page; default: as in the scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema curve`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct OddsArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    #[command(flatten)]
    pub(crate) made: MadeArgs,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema odds`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

/// How years are made from a record.
#[derive(Debug, Clone, PartialEq, ClapArgs)]
#[command(next_help_heading = "Years made from the record")]
pub(crate) struct MadeArgs {
    /// Number of years to make from the record's days; 0 for none
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = Self::default().made_years)]
    pub(crate) made_years: usize,
    /// Drawings of the record's years for the interval; 200 or more, or 0 for none
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = Self::default().drawings)]
    pub(crate) drawings: usize,
    /// Mean length of the blocks of days [default: by the memory of the record's light, at least twice what a full tank lasts,
    /// and at least 15]
    #[arg(long, value_name = "DAYS", allow_negative_numbers = true)]
    pub(crate) block_days: Option<f64>,
    /// Largest shift of a block from its date
    #[arg(long, value_name = "DAYS", allow_negative_numbers = true, default_value_t = Self::default().window_days)]
    pub(crate) window_days: u32,
    /// The same seed gives the same numbers, with any number of threads
    #[arg(long, value_name = "N", allow_negative_numbers = true, default_value_t = Self::default().seed)]
    pub(crate) seed: u64,
}

impl Default for MadeArgs {
    fn default() -> Self {
        let Making { made_years, drawings, block_days, window_days, seed } = Making::default();
        Self { made_years, drawings, block_days, window_days, seed }
    }
}

impl MadeArgs {
    /// The same for the library.
    pub(crate) const fn making(&self) -> Making {
        let Self { made_years, drawings, block_days, window_days, seed } = *self;
        Making { made_years, drawings, block_days, window_days, seed }
    }
}

#[derive(Debug, ClapArgs)]
pub(crate) struct AheadArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Today's date, month and day: 12-14. The level holds before its first hour
    #[arg(long, value_name = "DATE")]
    pub(crate) on: String,
    /// Usable water in the tank then: "6.2 m3", or as a share of full: "45 %". Of several tanks one each: "hill = 4 m3"
    #[arg(long, value_name = "LEVEL", required = true, allow_hyphen_values = true)]
    pub(crate) level: Vec<String>,
    /// Days ahead, today among them: 1 to 180
    #[arg(long, value_name = "N", default_value_t = 30, allow_negative_numbers = true)]
    pub(crate) days: usize,
    /// A table (CSV) of the sun of the first days by a forecast, which is taken as certain: date,ghi_kwh_per_m2
    #[arg(long, value_name = "FILE")]
    pub(crate) forecast: Option<PathBuf>,
    /// Days that snow lies on all panels from today, set beside the scheme's own snow [default: 7 where the days ahead are cold]
    #[arg(long, value_name = "N", allow_negative_numbers = true)]
    pub(crate) snow_days: Option<usize>,
    /// Days from the order of a haul to the water in the tank
    #[arg(long, value_name = "N", default_value_t = 3, allow_negative_numbers = true, help_heading = "Haul")]
    pub(crate) notice_days: usize,
    /// What one load brings, such as "8 m3"
    #[arg(long, value_name = "VOLUME", help_heading = "Haul")]
    pub(crate) load: Option<String>,
    /// A chart (SVG) of the level over all years
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) plot: Option<PathBuf>,
    /// Units of the page; default: as in the scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema ahead`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SummaryArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Stay, and answer anew whenever the scheme, one of its tables or its weather is saved; Ctrl-C ends
    #[arg(long)]
    pub(crate) watch: bool,
    /// The document; its extension sets the format: .html or .pdf
    #[arg(short, long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: PathBuf,
    /// Units shown first; default: as in the scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Paper size of a PDF; default: Letter if US units come first, otherwise A4
    #[arg(long, value_name = "a4|letter", help_heading = "Output")]
    pub(crate) paper: Option<PaperSize>,
    /// A font (TTF or OTF) for letters other than Latin, Greek and Cyrillic; may be repeated
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) font: Vec<PathBuf>,
    /// Also write the charts as SVG files into this folder, which is created if missing
    #[arg(long, value_name = "DIR", help_heading = "Output")]
    pub(crate) charts: Option<PathBuf>,
    #[command(flatten)]
    pub(crate) made: MadeArgs,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct VerifyArgs {
    /// The document that `dryspell summary` wrote, as PDF or HTML
    #[arg(value_name = "DOCUMENT")]
    pub(crate) document: PathBuf,
    /// The weather file that it names, or a folder with it; default: the one of its name beside it or in the current folder.
    /// It is known by its SHA-256. May be repeated
    #[arg(long, value_name = "FILE")]
    pub(crate) weather: Vec<PathBuf>,
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
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Units of the table; default: as in the first scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write all headlines as CSV, SI, a column for each scheme; `-` is standard output, without the report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) csv: Option<PathBuf>,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema compare`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct ReviewArgs {
    /// The scheme files (TOML); one that cannot be run is a row with its faults
    #[arg(value_name = "SCHEME", required = true)]
    pub(crate) schemes: Vec<PathBuf>,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// The same as a page to print or pass on; its extension sets the format: .html or .pdf
    #[arg(short, long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: Option<PathBuf>,
    /// Units of the table; default: as in the first scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema review`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct ChooseArgs {
    /// The scheme file (TOML); its pump and coupling give way to those that are tried
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Folder with a file for each pump: NAME.toml with a table `[pump]` as in a scheme, and `price` before it; or NAME.csv with its table of
    /// head, power and flow, or of head, voltage, flow and current
    #[arg(long, value_name = "FOLDER")]
    pub(crate) pumps: PathBuf,
    /// Array sizes to try, such as "array.shed.series = 1 to 6 by 1"; default: 1 to 6 strings in parallel
    #[arg(long, value_name = "KEY = VALUES")]
    pub(crate) array: Option<String>,
    /// Coupling to try: "maximum power tracking", "linear current booster", direct, or a word of one. May be repeated; default: all
    #[arg(long, value_name = "KIND")]
    pub(crate) coupling: Vec<String>,
    /// Units of the page; default: as in the scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write every choice that ran as CSV to this file, or "-" for standard output
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) csv: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SizeArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Target to meet: days=0, served=99.5, autonomy=4, lowest-level="2 m3", dry-hours-in-a-row=0 or dry-years=5. May be
    /// repeated: all must hold. Default: the scheme's `[goal]`
    #[arg(long, value_name = "TARGET")]
    pub(crate) target: Vec<String>,
    /// Capacities to try, such as "4 to 40 by 1 m3"; default: 48 sizes, up to twice the storage needed.
    /// Of several tanks another than the one that the pump fills is named first: "hill = 4 to 10 by 1 m3"
    #[arg(long, value_name = "VALUES")]
    pub(crate) tank: Option<String>,
    /// Array sizes to try, such as "array.shed.series = 1 to 6 by 1"; default: 1 to 6 strings in parallel
    #[arg(long, value_name = "KEY = VALUES")]
    pub(crate) array: Option<String>,
    /// Cost of a cubic metre of tank, in any money
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true, help_heading = "Cost")]
    pub(crate) cost_per_m3: Option<f64>,
    /// Cost of a module, in the same money
    #[arg(long, value_name = "MONEY", allow_negative_numbers = true, help_heading = "Cost")]
    pub(crate) cost_per_module: Option<f64>,
    /// Units of the page; default: as in the scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// For the target dry-years
    #[command(flatten)]
    pub(crate) made: MadeArgs,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema size`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
#[command(group = ArgGroup::new("values").required(true).multiple(true).args(["vary", "cases", "draw"]))]
pub(crate) struct SweepArgs {
    /// The scheme file (TOML)
    #[arg(value_name = "SCHEME")]
    pub(crate) scheme: PathBuf,
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// A key of the scheme and its values: "tank.main.capacity = 2 to 10 by 0.5 m3", "herd.cows.count = 40, 60, 80",
    /// "weather.file = a.csv, b.csv", or "weather.file = sites/*.epw", or "weather.file = @sites.txt" with a file on each line.
    /// Keys with `;` between go together, value by value. May be repeated: every combination is run
    #[arg(long, value_name = "KEY = VALUES")]
    pub(crate) vary: Vec<String>,
    /// A table of cases (CSV or Parquet): a column for each key, a row for each case. A cell stands as in a scheme, with its unit, or is a
    /// number under KEY_UNIT, such as tank.main.capacity_m3; an empty one leaves the scheme's value
    #[arg(long, value_name = "FILE")]
    pub(crate) cases: Option<PathBuf>,
    /// A key and the law its values are drawn from: "array.shed.soiling ~ uniform(1 %, 6 %)", "well.static_level ~ normal(18, 2 m)",
    /// triangular(LEAST, LIKELIEST, GREATEST), any(VALUE, VALUE). May be repeated: keys that are drawn go together
    #[arg(long, value_name = "KEY ~ LAW", requires = "draws")]
    pub(crate) draw: Vec<String>,
    /// How many values each --draw has
    #[arg(long, value_name = "N", requires = "draw")]
    pub(crate) draws: Option<usize>,
    /// Seed of --draw: the same seed draws the same values
    #[arg(long, value_name = "N", default_value_t = 1)]
    pub(crate) seed: u64,
    /// The table: FILE.csv or FILE.parquet. While it grows, finished pieces of up to 100 cases are kept in FILE.partial: the same command
    /// resumes after a stop
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: PathBuf,
    /// A chart (SVG) of the days of shortfall over the first two --vary
    #[arg(long, value_name = "FILE", help_heading = "Output", conflicts_with = "part")]
    pub(crate) plot: Option<PathBuf>,
    /// Also write every hour of each case, as Parquet files in a folder beside the table: FILE.hours; with a column `case`
    #[cfg(feature = "parquet")]
    #[arg(long, help_heading = "Tables of each case")]
    pub(crate) hours: bool,
    /// Also write every day of each case, into FILE.days
    #[cfg(feature = "parquet")]
    #[arg(long, help_heading = "Tables of each case")]
    pub(crate) days: bool,
    /// Also write the months of each case, into FILE.months
    #[cfg(feature = "parquet")]
    #[arg(long, help_heading = "Tables of each case")]
    pub(crate) months: bool,
    /// Also write the tank years of each case, into FILE.years
    #[cfg(feature = "parquet")]
    #[arg(long, help_heading = "Tables of each case")]
    pub(crate) years: bool,
    /// Let these tables become larger than 10 GB
    #[cfg(feature = "parquet")]
    #[arg(long, help_heading = "Tables of each case")]
    pub(crate) over_10_gb: bool,
    /// Run only part K of N equal parts, into FILE.part-K-of-N, for `dryspell gather`
    #[arg(long, value_name = "K/N", help_heading = "Output")]
    pub(crate) part: Option<String>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct GatherArgs {
    /// The files of all parts
    #[arg(value_name = "PART", required = true)]
    pub(crate) parts: Vec<PathBuf>,
    /// The table: FILE.csv or FILE.parquet; `-` is standard output (CSV)
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) out: PathBuf,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct HerdArgs {
    /// One class, such as "beef cow"; default: list all
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
    #[command(flatten)]
    pub(crate) set: SetArgs,
    /// Units of the report; default: as in the scheme
    #[arg(long, value_name = "si|us", help_heading = "Output")]
    pub(crate) units: Option<UnitSystem>,
    /// Write the answer as JSON; `-` is standard output, without the page. Its schema: `dryspell print schema frost`
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct WeatherArgs {
    /// Weather files of one place (several calendar years make one record), or one folder of them
    #[arg(value_name = "FILE", required = true)]
    pub(crate) files: Vec<PathBuf>,
    /// Point of its interval that a row's time marks, if the file does not say or is wrong
    #[arg(long, value_name = "start|middle|end", help_heading = "Reading")]
    pub(crate) stamps: Option<StampsWord>,
    /// Kind of years in the file, if its dates are misleading
    #[arg(long, value_name = "typical|calendar|synthetic|projected", help_heading = "Reading")]
    pub(crate) years: Option<YearsWord>,
    /// Shift times that disagree with the sun to the best fit, instead of refusing them
    #[arg(long, help_heading = "Reading")]
    pub(crate) accept_shift: bool,
    /// Fill gaps of more than three hours from the same hours of neighbouring days, instead of refusing them
    #[arg(long, help_heading = "Reading")]
    pub(crate) fill_long_gaps: bool,
    /// Accept whole days that do not make a whole year
    #[arg(long, help_heading = "Reading")]
    pub(crate) part_of_year: bool,
    /// Latitude in degrees, north positive, if the file has none; text with a unit is also read
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
    /// Write the record in the plain format; `-` is standard output, without the report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) to: Option<PathBuf>,
    /// Write the report as JSON; `-` is standard output, without the report
    #[arg(long, value_name = "FILE", help_heading = "Output")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, Clone, Copy, ValueEnum)]
pub(crate) enum YearsWord {
    /// Months of different years: no return period
    Typical,
    /// Actual years
    Calendar,
    /// Generated, not measured
    Synthetic,
    /// Scenario of a climate model, not measured: no return period
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
pub(crate) struct ColumnsArgs {
    /// Words that a column's name or meaning must have, or the name of a table such as hours or headlines; default: every table
    #[arg(value_name = "WORD")]
    pub(crate) words: Vec<String>,
    /// Write them as JSON, with the kind of each column; `-` is standard output, without the page
    #[arg(long, value_name = "FILE")]
    pub(crate) json: Option<PathBuf>,
}

#[derive(Debug, ClapArgs)]
pub(crate) struct SynthArgs {
    /// The climate: twelve monthly means in TOML (see data/demo/climate.toml)
    #[arg(value_name = "CLIMATE", required_unless_present = "like")]
    pub(crate) climate: Option<PathBuf>,
    /// Years like those of this weather file: its own days, with months that differ as its months did. May be repeated for a
    /// record in several files
    #[arg(long, value_name = "FILE", conflicts_with_all = ["climate", "method"])]
    pub(crate) like: Vec<PathBuf>,
    /// Random seed: the same seed gives the same bytes on any machine
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
