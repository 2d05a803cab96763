//! Schemes side by side.

use dryspell::results::{HEADLINES, answer};
use dryspell::units::System;
use schemars::JsonSchema;
use serde::Serialize;
use serde_json::{Map, Value};

use super::About;
use crate::compare::{Side, differing};
use crate::error::Error;
use crate::results::object;

/// What `dryspell compare --json` writes: what schemes come to, and in what they differ.
#[derive(Debug, Serialize, JsonSchema)]
pub struct CompareAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// The schemes in the order typed.
    schemes: Vec<SideTold>,
    /// Every key whose value is not the same in all schemes.
    differences: Vec<Difference>,
    /// Whether all ran on the same weather.
    same_weather: bool,
}

/// One scheme.
#[derive(Debug, Serialize, JsonSchema)]
struct SideTold {
    /// The scheme, and what its run rests on.
    scheme: About,
    /// The answer in words.
    answer: String,
    /// SHA-256 of each file of its weather.
    weather_sha256: Vec<String>,
    /// Its headlines, as in `run --json`.
    #[schemars(schema_with = "super::headlines_schema")]
    headlines: Map<String, Value>,
}

/// A key that differs.
#[derive(Debug, Serialize, JsonSchema)]
struct Difference {
    /// The key.
    key: String,
    /// Its value in each scheme in SI, as it stands in a scheme; null where a scheme does not have it.
    values: Vec<Option<String>>,
}

/// The answer of schemes, and of each what its run rests on.
///
/// # Errors
/// Headlines that cannot be put together.
pub fn compare_answer(sides: &[Side<'_>], about: Vec<About>) -> Result<CompareAnswer, Error> {
    let told = sides.iter().zip(about).map(|(side, scheme)| {
        Ok(SideTold {
            scheme,
            answer: answer(&side.run, System::Si),
            weather_sha256: side.weather_sha256.clone(),
            headlines: object(HEADLINES, &side.run, 0)?,
        })
    });
    let differences = differing(sides, System::Si).into_iter();
    Ok(CompareAnswer {
        schema: "dryspell-compare-1",
        schemes: told.collect::<Result<_, Error>>()?,
        differences: differences.map(|(key, values)| Difference { key, values }).collect(),
        same_weather: sides.windows(2).all(|pair| pair[0].weather_sha256 == pair[1].weather_sha256),
    })
}
