//! The page of a scheme and its report as text, made without the program.
//!
//! From a clean clone: `cargo run --release -p dryspell-report --example page_of_a_scheme`
//! or with a scheme of your own behind `--`: `… --example page_of_a_scheme -- my/scheme.toml`
//! It writes `scheme.html` and `scheme.txt` in the folder in which it is run.
#![allow(clippy::print_stdout, reason = "an example speaks to its reader")]

use std::error::Error;
use std::fs::File;
use std::path::{Path, PathBuf};

use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell_report::{Input, Inputs, Report, Role, Tried, exporter};

fn main() -> Result<(), Box<dyn Error>> {
    // The scheme: the file named on the command line, or the demo that comes with the source.
    let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo/scheme.toml");
    let path = std::env::args().nth(1).map_or(demo, PathBuf::from);
    let (file, text) = (path.display().to_string(), std::fs::read_to_string(&path)?);
    let scheme = Scheme::from_toml(&text)?;

    // Its weather, and the run.
    let folder = path.parent().unwrap_or(Path::new(""));
    let weather = dryspell_weather::open(&scheme, folder)?;
    let run = simulate(&scheme.plan(), &weather.record)?;

    // All that the run rests on: the page names each file with its hash.
    let own = [Input::of(Role::Scheme, &file, text.as_bytes())];
    let inputs = Inputs::new(own.into_iter().chain(Input::of_weather(&scheme, weather.files, folder)));

    // Every output is made from one report; what mends and what breaks the scheme is tried beside the run.
    let tried = Tried::of(&run, &weather.record, scheme.units)?;
    let report =
        Report { tried: &tried, ..Report::new(&run, &weather.record, &scheme, (&file, &text), &inputs) };
    for (name, out) in [("html", "scheme.html"), ("terminal", "scheme.txt")] {
        exporter(name).ok_or("built without this output")?.write(&report, &mut File::create(out)?)?;
        println!("{out}");
    }
    Ok(())
}
