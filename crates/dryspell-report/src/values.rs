//! Every value that a run rests on: what the scheme gives with its line, what is read from files, what is fitted, taken by
//! default or assumed, each with its source.

use dryspell::array::ArraySettings;
use dryspell::array::fit::fit;
use dryspell::results::{Field, Figure};
use dryspell::scheme::keys::{ABOUT_VALUES, KeyDoc, Presence, of_path};
use dryspell::scheme::{Scheme, written};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, show};

use crate::inputs::{Inputs, Role};

/// How a value came about.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum How {
    /// It stands in the scheme.
    Given,
    /// It stands in another file.
    File,
    /// It was fitted to values that are given.
    Fitted,
    /// The scheme leaves it out, and it has its default.
    Default,
    /// The scheme leaves it out, and there is no such thing, or it is taken not to matter.
    Assumed,
}

impl How {
    /// The word for it.
    #[must_use]
    pub const fn word(self) -> &'static str {
        match self {
            Self::Given => "given",
            Self::File => "file",
            Self::Fitted => "fitted",
            Self::Default => "default",
            Self::Assumed => "assumed",
        }
    }
}

/// One value.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct InputValue {
    /// Dotted key of the scheme; of a fitted value the table that it belongs to and its name.
    pub key: String,
    /// The value in words, with its unit.
    pub value: String,
    /// How it came about.
    pub how: How,
    /// Line of the scheme on which it stands.
    pub line: Option<usize>,
    /// File in which it stands.
    pub file: Option<String>,
    /// Where it comes from: as the scheme says it under `[sources]`, or the source of the default.
    pub source: Option<String>,
}

impl InputValue {
    /// The table of the scheme that it belongs to; empty for what stands above the first.
    #[must_use]
    pub fn table(&self) -> &str {
        self.key.rsplit_once('.').map_or("", |(table, _)| table)
    }

    /// Its name, as one reads it.
    #[must_use]
    pub fn name(&self) -> String {
        self.key.rsplit('.').next().unwrap_or(&self.key).replace('_', " ")
    }
}

fn text(text: Option<&str>) -> Figure {
    text.map_or(Figure::Null, |text| Figure::Text(text.to_owned()))
}

/// The values of a run: a row each, those that are given in the order of the scheme.
pub const VALUES: &[Field<[InputValue]>] = &[
    Field {
        name: "key",
        unit: "",
        meaning: "dotted key of the scheme",
        get: |all, i| text(Some(&all[i].key)),
    },
    Field {
        name: "name",
        unit: "",
        meaning: "the same without its table, as one reads it",
        get: |all, i| Figure::Text(all[i].name()),
    },
    Field {
        name: "value",
        unit: "",
        meaning: "the value with its unit, as it is written in the scheme",
        get: |all, i| text(Some(&all[i].value)),
    },
    Field {
        name: "how",
        unit: "",
        meaning: "`given` in the scheme, from a `file`, `fitted` to what is given, by `default`, or `assumed`",
        get: |all, i| text(Some(all[i].how.word())),
    },
    Field {
        name: "line",
        unit: "",
        meaning: "line of the scheme on which it stands; null where it stands elsewhere",
        get: |all, i| all[i].line.map_or(Figure::Null, |line| Figure::Count(line as u64)),
    },
    Field {
        name: "file",
        unit: "",
        meaning: "file in which it stands; null for the scheme itself",
        get: |all, i| text(all[i].file.as_deref()),
    },
    Field {
        name: "source",
        unit: "",
        meaning: "where it comes from: as `[sources]` of the scheme says, or the source of the default; null where it is not said",
        get: |all, i| text(all[i].source.as_deref()),
    },
];

/// Every value that a run rests on. `words` is the text of the scheme.
#[must_use]
pub fn values(run: &Run, scheme: &Scheme, words: &str, inputs: &Inputs, system: System) -> Vec<InputValue> {
    let mut all = given(scheme, words, inputs);
    let fitted = fitted(run, &all, system);
    all.extend(place(run, scheme, inputs, system));
    all.extend(fitted);
    all.extend(left_out(scheme));
    all
}

/// What the scheme's text says.
fn given(scheme: &Scheme, words: &str, inputs: &Inputs) -> Vec<InputValue> {
    let names_a_file = |value: &str| {
        let role = |role| inputs.of(role).any(|input| input.name == value);
        role(Role::Table) || role(Role::Weather) || role(Role::Climate)
    };
    let mut all = Vec::new();
    for table in written(words) {
        if table.table.split('.').next().is_some_and(|first| ABOUT_VALUES.contains(&first)) {
            continue;
        }
        for (name, value) in table.values {
            let key = if table.table.is_empty() { name } else { format!("{}.{name}", table.table) };
            let file = Some(value.clone()).filter(|value| names_a_file(value));
            all.push(InputValue {
                how: if file.is_some() { How::File } else { How::Given },
                line: scheme.place_of(&key).and_then(|place| place.line),
                source: scheme.sources.of(&key).map(str::to_owned),
                key,
                value,
                file,
            });
        }
    }
    all
}

/// The place, as far as the weather file says it and not the scheme.
fn place(run: &Run, scheme: &Scheme, inputs: &Inputs, system: System) -> Vec<InputValue> {
    let (entry, place) = (&scheme.weather, &run.place);
    let file =
        inputs.of(Role::Weather).chain(inputs.of(Role::Climate)).next().map(|input| input.name.clone());
    let angle = |degrees: f64| format!("{degrees}°");
    [
        ("latitude", entry.latitude_deg.is_none(), angle(place.latitude_deg)),
        ("longitude", entry.longitude_deg.is_none(), angle(place.longitude_deg)),
        ("elevation", entry.elevation_m.is_none(), show(place.elevation_m, Quantity::Length, system)),
        ("utc_offset", entry.utc_offset_h.is_none(), format!("{:+} h", place.utc_offset_h)),
    ]
    .into_iter()
    .filter(|(_, of_file, _)| *of_file)
    .map(|(name, _, value)| {
        let key = format!("weather.{name}");
        let source = scheme.sources.of(&key).map(str::to_owned);
        InputValue { key, value, how: How::File, line: None, file: file.clone(), source }
    })
    .collect()
}

/// What is fitted to a module's datasheet and to the steps of a pumping test.
fn fitted(run: &Run, given: &[InputValue], system: System) -> Vec<InputValue> {
    let plan = &run.plan;
    let mut all = Vec::new();
    let value = |key: String, value: String, to: &str| InputValue {
        key,
        value,
        how: How::Fitted,
        line: None,
        file: None,
        source: Some(to.to_owned()),
    };
    let mut module = |at: String, array: &ArraySettings| {
        // Stated, or the typical one of a plate.
        let Some(sheet) = array.module.sheet() else { return };
        let Some(found) = fit(&sheet).map(|found| found.module) else { return };
        let text = format!(
            "photocurrent {}, saturation current {:.3e} A, series resistance {}, shunt resistance {}, ideality n·Ns·k·T/q {}",
            show(found.photocurrent_a, Quantity::Current, system),
            found.saturation_current_a,
            show(found.series_resistance_ohm, Quantity::Resistance, system),
            show(found.shunt_resistance_ohm, Quantity::Resistance, system),
            show(found.modified_ideality_v, Quantity::Voltage, system),
        );
        all.push(value(format!("{at}.module.five_parameters"), text, "the module's datasheet values"));
    };
    for array in &plan.array.arrays {
        module(format!("array.{}", array.name), array);
    }
    for lift in &plan.lifts {
        for array in &lift.array.arrays {
            module(format!("lift.{}.array.{}", lift.name, array.name), array);
        }
    }
    if let Some(booster) = plan.delivery.as_ref().and_then(|delivery| delivery.booster.as_ref()) {
        for array in &booster.panel.arrays {
            module("booster.panel".to_owned(), array);
        }
    }
    let wells = std::iter::once(("well".to_owned(), &plan.supply.well));
    let wells =
        wells.chain(plan.lifts.iter().map(|lift| (format!("lift.{}.well", lift.name), &lift.supply.well)));
    for (at, well) in wells {
        let steps = format!("{at}.step_test");
        let stands = given.iter().any(|value| value.key == steps);
        if let Some(capacity) = well.specific_capacity_m3_per_h_m.filter(|_| stands) {
            let text = format!(
                "1/B {}, C {}",
                show(capacity, Quantity::SpecificCapacity, system),
                show(well.well_loss_h2_per_m5, Quantity::WellLoss, system)
            );
            all.push(value(format!("{at}.drawdown"), text, "the steps of the pumping test"));
        }
    }
    all
}

/// What the scheme leaves out.
fn left_out(scheme: &Scheme) -> Vec<InputValue> {
    let nothing = |doc: &KeyDoc| matches!(doc.presence, Presence::Without { .. });
    scheme
        .defaults_used
        .iter()
        .map(|default| InputValue {
            how: if of_path(&default.key).is_some_and(nothing) || default.why.starts_with("assumed") {
                How::Assumed
            } else {
                How::Default
            },
            key: default.key.clone(),
            value: default.value.clone(),
            line: None,
            file: None,
            source: Some(default.why.clone()),
        })
        .collect()
}
