//! `dryspell verify`: what a document says, worked again from what is attached to it.

use std::fmt::Write as _;
use std::path::{Path, PathBuf};

use dryspell::results::SCHEMA;
use dryspell::scheme::{Scheme, WeatherOrigin};
use dryspell::simulate::simulate;
use dryspell_report::attached::{
    Compared, Entry, Package, RESULTS, SCHEME, compare, is_pdf, results_without_folders, version,
};
use dryspell_report::{Input, Inputs, Report, Role, wrap_to};
use serde_json::Value;

use super::tried::{Asking, tried};
use crate::args::VerifyArgs;
use crate::files;
use crate::job::what_ifs;
use crate::kinds::FileNeed;
use crate::source::{self, in_file};
use crate::{Failure, Verdict};

/// Most figures that differ which are told one by one.
const MOST_TOLD: usize = 40;

/// Takes the document apart, runs its scheme and compares; prints what came of it.
pub(crate) fn verify(args: &VerifyArgs) -> Result<Verdict, Failure> {
    let name = files::name_of(&args.document);
    let package = package(&args.document, &name)?;
    if package.version != version() || package.schema != SCHEMA {
        return Err(Failure(vec![format!(
            "{name}: made by dryspell {} ({}); this is {} ({SCHEMA}), whose figures may differ; verify it with dryspell {0}",
            package.version,
            package.schema,
            version()
        )]));
    }
    let changed: Vec<&(Entry, String)> =
        package.hashes.iter().filter(|(entry, own)| entry.sha256 != *own).collect();
    let mut out = format!("{name}: made by dryspell {}\n", package.version);
    for (entry, own) in &changed {
        let _ = writeln!(
            out,
            "  {}: file changed: SHA-256 {own}, but {} when the document was written",
            entry.file, entry.sha256
        );
    }
    // Another scheme, or other tables, would be another run.
    if changed.iter().any(|(entry, _)| entry.file != RESULTS) {
        out += "DIFFERENT: what is attached is not what the document was made from; ask for the file as it was written\n";
        files::print(&out)?;
        return Ok(Verdict::No);
    }
    let weather = package
        .weather
        .iter()
        .map(|entry| weather(entry, args, &name))
        .collect::<Result<Vec<PathBuf>, Failure>>()?;
    let now = again(&package, &name, &weather)?;
    for (entry, path) in package.weather.iter().zip(&weather) {
        let _ = writeln!(out, "  {}: same, SHA-256 {} ({})", entry.file, entry.sha256, path.display());
    }
    let found = compare(&package.results, &now);
    let answer = now.get("answer").and_then(Value::as_str).unwrap_or_default();
    let shown = package.shows(answer);
    let same = found.different.is_empty() && changed.is_empty() && shown != Some(false);
    out += &told(&package, &found);
    out += match shown {
        Some(true) => {
            "The first page shows the answer of the new run; what else stands on the pages is not read:\n"
        }
        Some(false) => "DIFFERENT: the first page does not show the answer of the new run:\n",
        None => "The pages cannot be read: hold this answer of the new run against the first one:\n",
    };
    wrap_to(&mut out, "  ", "  ", answer);
    files::print(&out)?;
    Ok(if same { Verdict::Answered } else { Verdict::No })
}

/// What is attached to a document.
fn package(path: &Path, name: &str) -> Result<Package, Failure> {
    let bytes = files::read_bytes(path, FileNeed::Document)?;
    let of = if is_pdf(&bytes) { of_pdf(&bytes) } else { of_html(&bytes) };
    of.map_err(|line| Failure(vec![format!("{name}: {line}")]))
}

#[cfg(feature = "pdf")]
fn of_pdf(bytes: &[u8]) -> Result<Package, String> {
    Package::of_pdf(bytes).map_err(|error| error.to_string())
}

#[cfg(not(feature = "pdf"))]
fn of_pdf(_: &[u8]) -> Result<Package, String> {
    Err("this program was built without PDF; a build with --features pdf; build it so, or take the HTML file"
        .to_owned())
}

fn of_html(bytes: &[u8]) -> Result<Package, String> {
    Package::of_html(&String::from_utf8_lossy(bytes)).map_err(|error| error.to_string())
}

/// The file of weather with the right contents: given, beside the document, or in the current folder.
fn weather(entry: &Entry, args: &VerifyArgs, document: &str) -> Result<PathBuf, Failure> {
    let folder = args.document.parent().unwrap_or(Path::new(""));
    let mut places: Vec<PathBuf> = args.weather.iter().flat_map(|path| source::weather_files(path)).collect();
    for name in entry.in_scheme.iter().chain([&entry.file]) {
        for place in [folder.join(name), PathBuf::from(name)] {
            if !places.contains(&place) {
                places.push(place);
            }
        }
    }
    let mut other = None;
    for path in &places {
        if args.weather.contains(path) || path.is_file() {
            let input = source::input(Role::Weather, path, Path::new(""))?;
            if input.sha256 == entry.sha256 {
                return Ok(path.clone());
            }
            other.get_or_insert((path, input.sha256));
        }
    }
    let wanted = format!("{} with SHA-256 {}", entry.file, entry.sha256);
    Err(Failure(vec![match other {
        Some((path, sha256)) => format!(
            "{}: file changed: SHA-256 {sha256}; {document} was made from {wanted}; ask for that file and name it with --weather FILE",
            path.display()
        ),
        None => format!(
            "{document}: its weather is not attached, and {} is neither beside it nor in this folder; {wanted} is needed; name it with \
             --weather FILE",
            entry.file
        ),
    }]))
}

/// The results of a new run of what is attached.
fn again(package: &Package, name: &str, weather: &[PathBuf]) -> Result<Value, Failure> {
    let shown = format!("{name}, {SCHEME}");
    let table = |table: &str| {
        package
            .tables
            .get(table)
            .cloned()
            .ok_or_else(|| "this table is not attached to the document".to_owned())
    };
    let mut scheme =
        Scheme::from_toml_with(&package.scheme, &table).map_err(|faults| in_file(&shown, faults))?;
    let mut what_ifs = what_ifs(&scheme, (&shown, &package.scheme), &table)?;
    let origin = scheme.weather.origin.clone();
    let asked = what_ifs.iter_mut().map(|(_, asked)| asked).filter(|asked| asked.weather.origin == origin);
    for scheme in asked.chain([&mut scheme]) {
        read_from(&mut scheme.weather.origin, weather);
    }
    let source = source::of_scheme(&scheme, &shown, Path::new(""))?;
    let run = simulate(&scheme.plan(), &source.record)
        .map_err(|faults| in_file(&shown, faults.into_iter().map(|fault| scheme.locate(fault)).collect()))?;
    let own = std::iter::once(Input::of(Role::Scheme, SCHEME, package.scheme.as_bytes()));
    let tables =
        package.tables.iter().map(|(name, text)| Input::of(Role::Table, name.clone(), text.as_bytes()));
    // Weather by its names in the document: values are told from files of these names.
    let read = source.inputs.iter().zip(&package.weather).map(|(input, entry)| Input {
        name: entry.in_scheme.clone().unwrap_or_else(|| entry.file.clone()),
        ..input.clone()
    });
    let inputs = Inputs::new(own.chain(tables).chain(read).chain(Input::seed(&scheme)));
    let asking = Asking { scheme: &scheme, what_ifs: &what_ifs, file: &shown, folder: Path::new("") };
    let tried = tried(asking, &run, &source, package.system)?;
    let report = Report {
        system: package.system,
        tried: &tried,
        ..Report::new(&run, &source.record, &scheme, (SCHEME, &package.scheme), &inputs)
    };
    Ok(results_without_folders(&report)?)
}

/// Weather from the files that were found in the place of those named.
fn read_from(origin: &mut WeatherOrigin, weather: &[PathBuf]) {
    let paths: Vec<String> = weather.iter().map(|path| path.display().to_string()).collect();
    match (origin, paths.first()) {
        (WeatherOrigin::Files(files), _) => *files = paths,
        (WeatherOrigin::Climate { file, .. }, Some(path)) => file.clone_from(path),
        (WeatherOrigin::Climate { .. }, None) => {}
    }
}

/// What the comparison came to, in lines.
fn told(package: &Package, found: &Compared) -> String {
    let value = |value: &Option<Value>| value.as_ref().map_or_else(|| "nothing".to_owned(), shortened);
    let mut out = String::new();
    for difference in found.different.iter().take(MOST_TOLD) {
        let (document, run) = (value(&difference.document), value(&difference.run));
        let name: String = difference.name.chars().filter(|letter| !letter.is_control()).collect();
        let _ = writeln!(out, "  {name}: {document} in the document, {run} in a new run");
    }
    if found.different.len() > MOST_TOLD {
        let _ = writeln!(out, "  and {} more", found.different.len() - MOST_TOLD);
    }
    if found.different.is_empty() {
        let _ = writeln!(out, "SAME: all {} figures of {RESULTS} are those of a new run", found.figures);
    } else {
        let _ = writeln!(
            out,
            "DIFFERENT: {} of {} figures of {RESULTS} are not those of a new run",
            found.different.len(),
            found.figures
        );
    }
    let attached: Vec<&str> = package.hashes.iter().map(|(entry, _)| entry.file.as_str()).collect();
    let _ = writeln!(out, "Attached: {}.", attached.join(", "));
    out
}

/// A figure as it stands in the file, on one line, no longer than one can read.
fn shortened(value: &Value) -> String {
    const MOST: usize = 80;
    let text = value.to_string();
    if text.chars().count() <= MOST { text } else { text.chars().take(MOST).chain("…".chars()).collect() }
}
