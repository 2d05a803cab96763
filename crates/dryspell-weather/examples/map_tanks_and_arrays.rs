//! For the researcher: every tank with every array, worked out in parallel, as CSV on standard output.
//!
//! From a clean clone:
//! `cargo run --release -p dryspell-weather --example map_tanks_and_arrays > map.csv`
#![allow(clippy::print_stdout, reason = "an example speaks to its reader")]

use std::error::Error;
use std::path::Path;

use dryspell::edition::Edition;
use dryspell::fault::Faults;
use dryspell::scheme::Scheme;
use dryspell::simulate::{Memo, Run};
use dryspell::sweep::{Axis, Sweep};
use rayon::prelude::*;

fn main() -> Result<(), Box<dyn Error>> {
    // The demo's scheme as text: a sweep changes values of that text, so that any key of a scheme can be an axis.
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let text = std::fs::read_to_string(folder.join("scheme.toml"))?;

    // The weather is read once, as the scheme says, and shared by all threads.
    let weather = dryspell_weather::open(&Scheme::from_toml(&text)?, &folder)?;
    let record = Edition::new(weather.record);

    // Two axes: panels in series, and tanks. A tank's float levels keep their share of its capacity.
    let axes = ["array.shed.series = 1 to 5 by 1", "tank.main.capacity = 6 to 24 by 2 m3"]
        .into_iter()
        .map(Axis::parse)
        .collect::<Result<Vec<_>, _>>()?;

    // The closure gives the text of files that the scheme names (tables of pumps); this one names none.
    let no_files = |name: &str| Err(format!("{name}: this example reads no further files"));
    let sweep = Sweep::new(&text, &no_files, axes)?;

    // Cases that share sun, panels, pump and herd follow each other: `tanks()` of them form a group, here one array.
    // Each thread takes a group and one memory with it, which works out all that lies before the tank only once.
    let groups = sweep.cases() / sweep.tanks();
    let rows: Vec<String> = (0..groups)
        .into_par_iter()
        .flat_map_iter(|group| {
            let mut memo = Memo::default();
            let cases = group * sweep.tanks()..(group + 1) * sweep.tanks();
            cases
                .map(|case| row(&sweep.values(case), sweep.run(case, &mut memo, &record)))
                .collect::<Vec<_>>()
        })
        .collect();

    // The rows are in the order of the cases, whatever the number of threads.
    println!(
        "modules_in_series,tank,shortfall_days,longest_spell_days,volume_served_percent,full_tank_days,fault"
    );
    for row in rows {
        println!("{row}");
    }
    Ok(())
}

/// One case as a row. A case that cannot run says why and leaves its numbers empty: unknown is not 0.
fn row(values: &[&str], run: Result<Run, Faults>) -> String {
    let values = values.join(",");
    match run {
        Ok(run) => {
            let counts = run.outcome.counts;
            let number = |value: Option<f64>| value.map_or_else(String::new, |v| format!("{v:.3}"));
            format!(
                "{values},{},{},{},{},",
                counts.shortfall_days,
                counts.longest_spell_days,
                number(run.volume_served_percent()),
                number(run.full_tank.worst)
            )
        }
        Err(faults) => format!("{values},,,,,\"{}\"", faults.to_string().replace('"', "'")),
    }
}
