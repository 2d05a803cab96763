//! `dryspell weather`: what weather files hold.

use std::path::Path;

use dryspell::record::YearKind;
use dryspell::units::{Quantity, System, parse};
use dryspell_weather::formats::plain;
use dryspell_weather::{Options, PlaceOptions, Stamps};

use crate::args::{StampsWord, WeatherArgs, YearsWord};
use crate::files::{self, Format, Outputs, Target};
use crate::{Failure, Verdict, source};
use dryspell_report::weather::report;

/// Reads the files, writes what was asked for, prints the report unless standard output is taken.
pub(crate) fn weather(args: &WeatherArgs) -> Result<Verdict, Failure> {
    let dash = |file: &Option<std::path::PathBuf>| file.as_deref() == Some(Path::new("-"));
    if dash(&args.to) && dash(&args.json) {
        return Err(Failure(vec![
            "--to and --json are both `-`; standard output takes one of them; name a file for the other"
                .to_owned(),
        ]));
    }
    let options = Options {
        place: PlaceOptions {
            name: None,
            latitude_deg: value("--latitude", args.latitude.as_deref(), Quantity::Angle)?,
            longitude_deg: value("--longitude", args.longitude.as_deref(), Quantity::Angle)?,
            elevation_m: value("--elevation", args.elevation.as_deref(), Quantity::Length)?,
            utc_offset_h: value("--utc-offset", args.utc_offset.as_deref(), Quantity::Duration)?,
        },
        kind: args.years.map(|word| match word {
            YearsWord::Typical => YearKind::Typical,
            YearsWord::Calendar => YearKind::Calendar,
            YearsWord::Synthetic => YearKind::Synthetic,
            YearsWord::Projected => YearKind::Projected,
        }),
        stamps: args.stamps.map(|word| match word {
            StampsWord::Start => Stamps::Start,
            StampsWord::Middle => Stamps::Middle,
            StampsWord::End => Stamps::End,
        }),
        accept_shift: args.accept_shift,
        fill_long_gaps: args.fill_long_gaps,
        part_of_year: args.part_of_year,
    };
    let mut outputs = Outputs::apart_from(&args.files);
    let to = args.to.as_deref().map(|f| outputs.open("--to", f, &[Format::Csv])).transpose()?;
    let json = args.json.as_deref().map(|f| outputs.open("--json", f, &[Format::Json])).transpose()?;
    let quiet = [&to, &json].iter().any(|t| t.as_ref().is_some_and(Target::is_stdout));
    let read = source::read(&args.files, &options)?;
    if let Some(target) = to {
        let mut bytes = Vec::new();
        plain::write(&read.record, &mut bytes)?;
        target.write(&String::from_utf8(bytes)?)?;
    }
    if let Some(target) = json {
        let mut text = serde_json::to_string_pretty(&read.report)?;
        text.push('\n');
        target.write(&text)?;
    }
    if !quiet {
        files::print(&report(&read.report, args.units.map_or(System::Si, Into::into)))?;
    }
    Ok(Verdict::Answered)
}

/// A value of an option: a bare number in degrees or hours, or text with its unit.
fn value(option: &str, text: Option<&str>, quantity: Quantity) -> Result<Option<f64>, Failure> {
    let Some(text) = text else { return Ok(None) };
    if quantity != Quantity::Length
        && let Ok(number) = text.trim().parse::<f64>()
    {
        return Ok(Some(number));
    }
    parse(text, quantity)
        .map(Some)
        .map_err(|e| Failure(vec![format!("{option}: {}; {}; {}", e.found, e.accepted, e.way_out)]))
}
