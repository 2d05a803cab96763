//! Writes synthetic years of a climate in the plain format.
//!
//! ```text
//! cargo run --release -p dryspell-weather --example synth -- data/demo/climate.toml 2 1 > years.csv
//! ```
//!
//! Arguments: the climate's TOML file, the number of years (1), the seed (1), the method (free).

use dryspell_weather::formats::plain;
use dryspell_weather::synth::{Climate, Generator, Method};
use std::error::Error;
use std::io::{BufWriter, Write, stdout};
use std::num::NonZeroUsize;

fn main() -> Result<(), Box<dyn Error>> {
    let mut args = std::env::args().skip(1);
    let file = args.next().ok_or("the climate's TOML file is needed")?;
    let count = args.next().map_or(Ok(1), |n| n.parse())?;
    let seed = args.next().map_or(Ok(1), |n| n.parse())?;
    let method = args.next().map_or(Some(Method::Free), |name| Method::from_name(&name));
    let method = method.ok_or("the methods are free, held and matrices")?;
    let climate = Climate::from_toml(&std::fs::read_to_string(&file)?, &file).map_err(lines)?;
    let generator = Generator::new(climate, method, seed).map_err(lines)?;
    let threads = std::thread::available_parallelism().unwrap_or(NonZeroUsize::MIN);
    let mut out = BufWriter::new(stdout().lock());
    plain::write(&generator.record(count, threads)?, &mut out)?;
    out.flush()?;
    Ok(())
}

/// Faults, one a line.
fn lines(faults: Vec<dryspell::fault::Fault>) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join("\n")
}
