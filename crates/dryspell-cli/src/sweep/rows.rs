//! The rows of a sweep.

use dryspell::fault::Fault;
use dryspell::results::HEADLINES;
use dryspell::simulate::Run;

use crate::Failure;

/// What stands in every row of a group of cases.
#[derive(Debug, Clone)]
pub(crate) struct Constants {
    /// SHA-256 of the scheme file.
    pub(crate) scheme_sha256: String,
    /// SHA-256 of the weather, several files joined by `+`.
    pub(crate) weather_sha256: String,
    /// Seed of made years, where there are any.
    pub(crate) seed: Option<u32>,
}

/// The names of the columns.
pub(crate) fn columns(axes: &[&str]) -> Vec<String> {
    let mut names = vec!["case".to_owned()];
    names.extend(axes.iter().map(|a| (*a).to_owned()));
    names.extend(["scheme_sha256", "weather_sha256", "seed", "fault"].map(str::to_owned));
    names.extend(HEADLINES.iter().map(|f| f.name.to_owned()));
    names
}

/// One row: the case, what each axis is set to, where it comes from, and all headlines; or the fault that kept it from
/// running, and nothing else.
pub(crate) fn write(
    writer: &mut csv::Writer<Vec<u8>>,
    case: u64,
    values: &[&str],
    constants: &Constants,
    run: &Result<Run, Vec<Fault>>,
) -> Result<(), Failure> {
    let mut row = vec![case.to_string()];
    row.extend(values.iter().map(|v| (*v).to_owned()));
    row.push(constants.scheme_sha256.clone());
    row.push(constants.weather_sha256.clone());
    row.push(constants.seed.map_or_else(String::new, |s| s.to_string()));
    match run {
        Ok(run) => {
            row.push(String::new());
            row.extend(HEADLINES.iter().map(|field| (field.get)(run, 0).to_string()));
        }
        Err(faults) => {
            row.push(faults.iter().map(ToString::to_string).collect::<Vec<_>>().join(" | "));
            row.extend(HEADLINES.iter().map(|_| String::new()));
        }
    }
    writer.write_record(row)?;
    Ok(())
}
