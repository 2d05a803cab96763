//! The shipped schemes, opened for tests.

use std::path::Path;

use dryspell::record::Record;
use dryspell::scheme::Scheme;

use crate::inputs::{Input, Inputs, Role};

/// A shipped scheme with its weather.
pub(crate) struct Demo {
    pub(crate) file: String,
    pub(crate) text: String,
    pub(crate) scheme: Scheme,
    pub(crate) record: Record,
    pub(crate) inputs: Inputs,
}

/// Names of the shipped schemes.
pub(crate) const DEMOS: [&str; 6] = ["scheme", "roomy", "rounds", "brushed", "five_herds", "three_tanks"];

/// Opens one.
pub(crate) fn demo(name: &str) -> Demo {
    let folder = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
    let file = format!("{name}.toml");
    let text = std::fs::read_to_string(folder.join(&file)).unwrap();
    let beside = |name: &str| std::fs::read_to_string(folder.join(name)).map_err(|e| e.to_string());
    let scheme = Scheme::from_toml_with(&text, &beside).unwrap();
    let weather = dryspell_weather::open(&scheme, &folder).unwrap();
    let own = Input::of(Role::Scheme, file.clone(), text.as_bytes());
    let read = Input::of_weather(&scheme, weather.files, &folder);
    let inputs = Inputs::new(std::iter::once(own).chain(read).chain(Input::seed(&scheme)));
    Demo { file, text, scheme, record: weather.record, inputs }
}
