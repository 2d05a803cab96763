//! `dryspell run`: a scheme on its weather.

use std::io::IsTerminal;
use std::path::{Path, PathBuf};

use dryspell::fault::Fault;
use dryspell::scheme::Scheme;
use dryspell::simulate::{Run, simulate};
use dryspell_weather as weather;
use sha2::{Digest, Sha256};

use crate::args::RunArgs;
use crate::files::{self, Target};
use crate::present::terminal::{Assumption, Context, report};
use crate::present::{csv, json};
use crate::{Failure, Verdict};

/// Runs the scheme, writes what was asked for, prints the report unless standard output is taken.
pub(crate) fn run(args: &RunArgs) -> Result<Verdict, Failure> {
    let asked = [&args.hourly, &args.daily, &args.json];
    if asked.iter().filter(|f| f.as_deref() == Some(Path::new("-"))).count() > 1 {
        return Err(Failure(vec![
            "more than one of --hourly, --daily and --json is `-`; standard output takes one of them; name a file for the \
             others"
                .to_owned(),
        ]));
    }
    let text = files::read_text(&args.scheme)?;
    let name = args.scheme.display().to_string();
    let scheme = Scheme::from_toml(&text).map_err(|faults| in_file(&name, faults))?;
    // Opened before the work, so that a path that cannot be written fails at once.
    let hourly = args.hourly.as_deref().map(Target::open).transpose()?;
    let daily = args.daily.as_deref().map(Target::open).transpose()?;
    let json_target = args.json.as_deref().map(Target::open).transpose()?;
    let quiet = [&hourly, &daily, &json_target].iter().any(|t| t.as_ref().is_some_and(Target::is_stdout));

    let folder = args.scheme.parent().unwrap_or(Path::new(""));
    let weather_path: PathBuf = folder.join(weather_file(&scheme, &name)?);
    let bytes = read_weather(&weather_path, &scheme, &name)?;
    let read =
        weather::read_bytes(&weather_path.display().to_string(), &bytes, &weather::Options::default())?;
    let found = simulate(&scheme.plan(), &read.record)
        .map_err(|faults| in_file(&name, faults.into_iter().map(|f| scheme.locate(f)).collect()))?;

    let context = Context {
        name: scheme.name.as_deref().unwrap_or("(no name)"),
        scheme_file: name,
        scheme_sha256: hash(text.as_bytes()),
        weather_sha256: vec![hash(&bytes)],
        system: args.units.map_or(scheme.units, Into::into),
        assumptions: assumptions(&scheme),
        blocks: std::io::stdout().is_terminal(),
    };
    if let Some(target) = hourly {
        target.write(&csv::hourly(&found)?)?;
    }
    if let Some(target) = daily {
        target.write(&csv::daily(&found)?)?;
    }
    if let Some(target) = json_target {
        target.write(&json::document(&found, &context)?)?;
    }
    if !quiet {
        files::print(&report(&found, &context))?;
    }
    Ok(verdict(&found, args.fail_if_short))
}

fn verdict(run: &Run, asked: bool) -> Verdict {
    if asked && run.outcome.counts.shortfall_days > 0 { Verdict::No } else { Verdict::Answered }
}

/// Faults with the file's name in front, a line each.
fn in_file(name: &str, faults: Vec<Fault>) -> Failure {
    let lines = faults
        .into_iter()
        .map(|mut fault| {
            fault.location.file.get_or_insert_with(|| name.to_owned());
            fault.to_string()
        })
        .collect();
    Failure(lines)
}

/// The one weather file of the scheme.
fn weather_file<'a>(scheme: &'a Scheme, scheme_file: &str) -> Result<&'a str, Failure> {
    match scheme.weather.files.as_slice() {
        [file] => Ok(file),
        files => {
            let fault = Fault::at_key(
                "weather.file",
                dryspell::fault::FaultKind::Weather,
                format!("{} files", files.len()),
                "one hourly weather file",
                "join the years into one file",
            );
            Err(in_file(scheme_file, vec![scheme.locate(fault)]))
        }
    }
}

/// Reads the weather file that the scheme names; a fault carries the place of that name.
fn read_weather(path: &Path, scheme: &Scheme, scheme_file: &str) -> Result<Vec<u8>, Failure> {
    std::fs::read(path).map_err(|e| {
        let found = match e.kind() {
            std::io::ErrorKind::NotFound => format!("{}: no such file", path.display()),
            _ => format!("{}: {e}", path.display()),
        };
        let fault = Fault::at_key(
            "weather.file",
            dryspell::fault::FaultKind::Weather,
            found,
            "an hourly weather file that can be read, named from the scheme's own folder",
            "check the name",
        );
        in_file(scheme_file, vec![scheme.locate(fault)])
    })
}

fn assumptions(scheme: &Scheme) -> Vec<Assumption> {
    scheme
        .defaults_used
        .iter()
        .map(|d| Assumption { what: d.key.clone(), value: d.value.clone(), source: d.why.to_string() })
        .collect()
}

fn hash(bytes: &[u8]) -> String {
    Sha256::digest(bytes).iter().map(|byte| format!("{byte:02x}")).collect()
}
