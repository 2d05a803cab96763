//! Everything that a result rests on, in one list: for hashes, for the guard of files that are read, for the headers of
//! unfinished sweeps and for JSON.

use std::path::Path;

use dryspell::plan::Plan;
use dryspell::results::SCHEMA;
use dryspell::scheme::{Scheme, WeatherEntry, WeatherOrigin};
use dryspell_weather::FileRead;
use serde::{Deserialize, Serialize};
use serde_json::json;
use sha2::{Digest, Sha256};

use crate::error::Error;

/// What an input is for.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
#[serde(rename_all = "lowercase")]
pub enum Role {
    /// Version of the program.
    Program,
    /// Version of the lists of results.
    Schema,
    /// The scheme.
    Scheme,
    /// A weather file.
    Weather,
    /// A climate of which years are made.
    Climate,
    /// A maker's table in a file of its own.
    Table,
    /// Where made years start from.
    Seed,
    /// An axis of a sweep.
    Cases,
}

/// One input: a file as it was read, or a value that was given.
#[derive(Debug, Clone, PartialEq, Eq, PartialOrd, Ord, Serialize, Deserialize)]
pub struct Input {
    /// What it is for.
    pub role: Role,
    /// Path as written, from the scheme's own folder where the scheme names it; of a value the value.
    pub name: String,
    /// Bytes that were read.
    pub bytes: u64,
    /// SHA-256 of these bytes.
    pub sha256: String,
}

impl Input {
    /// Bytes with their name.
    #[must_use]
    pub fn of(role: Role, name: impl Into<String>, bytes: &[u8]) -> Self {
        Self { role, name: name.into(), bytes: bytes.len() as u64, sha256: hash(bytes) }
    }

    /// A value that is its own name.
    fn value(role: Role, value: &str) -> Self {
        Self::of(role, value, value.as_bytes())
    }

    /// The files that were read for a scheme's weather; `folder` is the scheme's.
    #[must_use]
    pub fn of_weather(scheme: &Scheme, files: Vec<FileRead>, folder: &Path) -> Vec<Self> {
        let role = match &scheme.weather.origin {
            WeatherOrigin::Files(_) => Role::Weather,
            WeatherOrigin::Climate { .. } => Role::Climate,
        };
        let input = |FileRead { name, bytes, sha256 }| Self {
            role,
            name: as_written(Path::new(&name), folder),
            bytes,
            sha256,
        };
        files.into_iter().map(input).collect()
    }

    /// The seed of made years, where a scheme has them.
    #[must_use]
    pub fn seed(scheme: &Scheme) -> Option<Self> {
        match &scheme.weather.origin {
            WeatherOrigin::Files(_) => None,
            WeatherOrigin::Climate { seed, years, .. } => {
                Some(Self::value(Role::Seed, &format!("{seed}, {years} years")))
            }
        }
    }
}

/// All inputs, in the order in which they were read.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Inputs(Vec<Input>);

impl Inputs {
    /// Files and values, and the program that took them.
    #[must_use]
    pub fn new(of_scheme: impl IntoIterator<Item = Input>) -> Self {
        let mut all: Vec<Input> = of_scheme.into_iter().collect();
        all.push(Input::value(Role::Program, concat!("dryspell ", env!("CARGO_PKG_VERSION"))));
        all.push(Input::value(Role::Schema, SCHEMA));
        Self(all)
    }

    /// The same and one more.
    #[must_use]
    pub fn with(mut self, input: Input) -> Self {
        self.0.push(input);
        self
    }

    /// Those of a role, in order.
    pub(crate) fn of(&self, role: Role) -> impl Iterator<Item = &Input> {
        self.0.iter().filter(move |input| input.role == role)
    }

    /// SHA-256 of the scheme.
    pub(crate) fn scheme_sha256(&self) -> &str {
        self.of(Role::Scheme).next().map_or("", |input| input.sha256.as_str())
    }

    /// SHA-256 of each file of weather, or of the climate.
    pub(crate) fn weather_sha256(&self) -> Vec<&str> {
        self.of(Role::Weather).chain(self.of(Role::Climate)).map(|input| input.sha256.as_str()).collect()
    }

    /// The list in an order that does not depend on how it came about.
    #[must_use]
    pub fn sorted(&self) -> Vec<Input> {
        let mut sorted = self.0.clone();
        sorted.sort();
        sorted.dedup();
        sorted
    }

    /// SHA-256 of the sorted list: the identity of files and text.
    pub(crate) fn hash(&self) -> Result<String, Error> {
        Self::hash_of(&self.sorted())
    }

    /// SHA-256 of a list that is sorted already ([`Self::sorted`]).
    ///
    /// # Errors
    /// A list that cannot be written as JSON.
    pub fn hash_of(sorted: &[Input]) -> Result<String, Error> {
        Ok(hash(&serde_json::to_vec(sorted)?))
    }

    /// SHA-256 of what a case is, however it was written: contents of its weather and how they are to be read, seeds, the
    /// plan with the rows of every table, the schema's version; no path, no text of the scheme, no version of the program.
    pub(crate) fn case_hash(&self, scheme: &Scheme) -> Result<String, Error> {
        CaseHash::new(&self.weather_sha256(), scheme)?.of(&scheme.plan())
    }
}

/// Hashes of cases that share weather, place and years: equal for equal cases, however they are written. Of many tanks that share all else, what stands
/// before the tank is hashed once.
#[derive(Debug, Clone)]
pub struct CaseHash {
    /// Of a plan whose tank is a mark: the hash up to the mark, and what stands behind it.
    before: Sha256,
    after: Vec<u8>,
    /// All but the plan.
    case: serde_json::Value,
    /// The plan's other parts.
    others: Plan,
}

/// Stands in the place of the tank.
const MARK: &str = "\u{1}tank\u{1}";

impl CaseHash {
    /// Of the cases of a scheme that differ in their tank; `weather_sha256` of its files in the order in which they are read.
    ///
    /// # Errors
    /// A plan that cannot be written as JSON.
    pub fn new(weather_sha256: &[&str], scheme: &Scheme) -> Result<Self, Error> {
        let WeatherEntry {
            origin,
            latitude_deg,
            longitude_deg,
            elevation_m,
            utc_offset_h,
            stamps,
            years,
            part_of_year,
            accept_shift,
            fill_long_gaps,
        } = &scheme.weather;
        let made = match origin {
            WeatherOrigin::Files(_) => None,
            WeatherOrigin::Climate { file: _, seed, years } => Some(json!({"seed": seed, "years": years})),
        };
        let mut case = json!({
            "schema": SCHEMA,
            "weather": weather_sha256,
            "made": made,
            "place": [latitude_deg, longitude_deg, elevation_m, utc_offset_h],
            "stamps": stamps.map(|s| format!("{s:?}")),
            "years": years.map(|y| format!("{y:?}")),
            "reading": [part_of_year, accept_shift, fill_long_gaps],
        });
        let others = scheme.plan();
        case["plan"] = serde_json::to_value(&others)?;
        case["plan"]["tank"] = MARK.into();
        let text = serde_json::to_string(&case)?;
        let (before, after) = text.split_once(&serde_json::to_string(MARK)?).unwrap_or((&text, ""));
        Ok(Self {
            before: Sha256::new_with_prefix(before.as_bytes()),
            after: after.as_bytes().to_vec(),
            others,
            case,
        })
    }

    /// Of the case with a plan.
    ///
    /// # Errors
    /// A plan that cannot be written as JSON.
    pub fn of(&self, plan: &Plan) -> Result<String, Error> {
        if plan.differs_in_the_tank_alone(&self.others) {
            let mut digest = self.before.clone();
            digest.update(serde_json::to_vec(&serde_json::to_value(&plan.tank)?)?);
            digest.update(&self.after);
            return Ok(digits(&digest.finalize()));
        }
        let mut case = self.case.clone();
        case["plan"] = serde_json::to_value(plan)?;
        Ok(hash(&serde_json::to_vec(&case)?))
    }
}

/// SHA-256 as hexadecimal digits.
#[must_use]
pub fn hash(bytes: &[u8]) -> String {
    digits(&Sha256::digest(bytes))
}

fn digits(digest: &[u8]) -> String {
    use std::fmt::Write;
    digest.iter().fold(String::with_capacity(64), |mut text, byte| {
        let _ = write!(text, "{byte:02x}");
        text
    })
}

/// A file's name as a scheme in this folder writes it.
#[must_use]
pub fn as_written(path: &Path, folder: &Path) -> String {
    path.strip_prefix(folder).unwrap_or(path).display().to_string()
}
