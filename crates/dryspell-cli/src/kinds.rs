//! What kind of file this is, told by its content: the wrong one gets one line that says so and what to type instead.

use dryspell::scheme::keys::SECTIONS;
use dryspell_weather::format_of;

/// A file of the user's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Kind {
    /// A scheme.
    Scheme,
    /// Twelve monthly means.
    Climate,
    /// Weather, in the format of this name.
    Weather(&'static str),
}

/// The key that every climate has and no scheme.
const CLIMATE_KEY: &str = "global_kwh_per_m2_day";

impl Kind {
    /// Tells it; `None` where the content carries no mark.
    pub(crate) fn of(bytes: &[u8]) -> Option<Self> {
        if let Some(format) = format_of(bytes) {
            return Some(Self::Weather(format));
        }
        let text = String::from_utf8_lossy(bytes);
        let lines = || text.lines().map(str::trim);
        let table = |line: &str| {
            let path = line.strip_prefix('[')?.split(']').next()?;
            let first = path.split('.').next()?.trim().to_owned();
            SECTIONS.iter().any(|s| s.path.split('.').next() == Some(first.as_str())).then_some(())
        };
        if lines().any(|line| table(line).is_some()) {
            Some(Self::Scheme)
        } else if lines()
            .any(|line| line.strip_prefix(CLIMATE_KEY).is_some_and(|l| l.trim_start().starts_with('=')))
        {
            Some(Self::Climate)
        } else {
            None
        }
    }
}

/// What a command needs.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum FileNeed {
    /// A scheme.
    Scheme,
    /// Twelve monthly means.
    Climate,
    /// Hourly weather.
    Weather,
    /// A file that a scheme names beside the weather.
    Beside,
    /// A forecast of daily sun.
    Forecast,
    /// A document of `dryspell summary`.
    Document,
}

impl FileNeed {
    /// What it is, with its article.
    pub(crate) const fn what(self) -> &'static str {
        match self {
            Self::Scheme => "a scheme file",
            Self::Climate => "a climate file (twelve monthly means in TOML)",
            Self::Weather => "an hourly weather file",
            Self::Beside => "a file named in the scheme",
            Self::Forecast => "a forecast of daily sun (CSV)",
            Self::Document => "a document of `dryspell summary` (PDF or HTML)",
        }
    }

    /// Where one comes from.
    pub(crate) const fn way_out(self) -> &'static str {
        match self {
            Self::Scheme => "check the name, or write a starter with `dryspell new`",
            Self::Climate => "check the name, or begin with a copy of data/demo/climate.toml",
            Self::Weather | Self::Beside => "check the name",
            Self::Forecast => "check the name; it has a header date,ghi_kwh_per_m2",
            Self::Document => "check the name, or write one with `dryspell summary SCHEME -o FILE`",
        }
    }

    /// Most bytes that are read of one. A file beside a scheme is a maker's table; the weather crate keeps to its own
    /// bound.
    pub(crate) const fn most_bytes(self) -> u64 {
        match self {
            Self::Scheme | Self::Climate => 4 << 20,
            Self::Beside | Self::Forecast => 64 << 20,
            Self::Document => 256 << 20,
            Self::Weather => 1 << 30,
        }
    }

    /// The line that says that a file is of another kind; `None` where it is not known to be.
    pub(crate) fn refusal(self, name: &str, bytes: &[u8]) -> Option<String> {
        let kind = Kind::of(bytes)?;
        let (found, instead) = match (self, kind) {
            (Self::Beside | Self::Forecast, _)
            | (Self::Scheme, Kind::Scheme)
            | (Self::Climate, Kind::Climate)
            | (Self::Weather, Kind::Weather(_)) => return None,
            (_, Kind::Scheme) => ("a scheme".to_owned(), format!("run it with `dryspell run {name}`")),
            (_, Kind::Climate) => (
                "a climate".to_owned(),
                format!(
                    "make years of it with `dryspell synth {name} --to FILE`, or name it as climate under [weather] of a scheme"
                ),
            ),
            (_, Kind::Weather(format)) => (
                format!("a weather file ({format})"),
                format!(
                    "look at it with `dryspell weather {name}`, or name it as file under [weather] of a scheme"
                ),
            ),
        };
        Some(format!("{name}: this is {found}; {} is needed here; {instead}", self.what()))
    }
}
