//! Figures of two runs held against each other.

use dryspell::results::{Figure, HEADLINES, MONTHS, YEARS};
use dryspell::simulate::{Run, TankResult};

/// A grid step of the ledger, m³.
pub const STEP_M3: f64 = 1.0 / 1_048_576.0;

/// What may differ, and by how much.
#[derive(Debug, Clone, Default)]
pub struct Allow {
    /// Beginnings of the names of figures that may be anything.
    pub skip: Vec<&'static str>,
    /// Volumes, m³.
    pub volume_m3: f64,
    /// Percent of demand.
    pub percent: f64,
    /// Everything else that is no whole number, as a share of itself.
    pub share: f64,
    /// Days of autonomy and the like.
    pub days: f64,
}

impl Allow {
    /// Everything equal to the last bit.
    pub fn nothing() -> Self {
        Self::default()
    }

    /// One grid step an hour: columns that differ in their last bits are rounded to the grid one step apart here and there, and
    /// a full or an empty tank keeps such differences.
    pub fn grid(run: &Run) -> Self {
        let volume_m3 = STEP_M3 * run.calendar.hours() as f64;
        let percent = 100.0 * volume_m3 / run.demand_sum_m3.max(volume_m3);
        Self { volume_m3, percent, share: 1e-9, days: 1e-2, ..Self::default() }
    }

    pub fn skipping(mut self, names: &[&'static str]) -> Self {
        self.skip.extend(names);
        self
    }
}

/// A figure with its name and unit.
type Named = (String, &'static str, Figure);

/// Headlines.
pub fn headlines(found: &TankResult) -> Vec<Named> {
    HEADLINES.iter().map(|f| (f.name.to_owned(), f.unit, (f.get)(found, 0))).collect()
}

/// Headlines, months and years.
pub fn figures(run: &Run) -> Vec<Named> {
    let mut all = headlines(run);
    for (fields, rows, what) in [(MONTHS, 12, "months"), (YEARS, run.outcome.years.len(), "years")] {
        for row in 0..rows {
            all.extend(
                fields.iter().map(|f| (format!("{what}[{row}].{}", f.name), f.unit, (f.get)(run, row))),
            );
        }
    }
    all
}

/// What differs beyond what is allowed; empty where nothing does.
pub fn differences(one: &[Named], other: &[Named], allow: &Allow) -> Vec<String> {
    if one.len() != other.len() {
        return vec![format!("{} figures against {}", one.len(), other.len())];
    }
    let differ = |((name, unit, a), (_, _, b)): (&Named, &Named)| {
        let skipped = allow.skip.iter().any(|s| name.starts_with(s));
        (!skipped && !near(a, b, unit, allow)).then(|| format!("{name}: {a} against {b}"))
    };
    one.iter().zip(other).filter_map(differ).collect()
}

fn near(a: &Figure, b: &Figure, unit: &str, allow: &Allow) -> bool {
    match (a, b) {
        (Figure::Number(a), Figure::Number(b)) => {
            let apart = (a - b).abs();
            let volume = if unit == "m3" { allow.volume_m3 } else { 0.0 };
            let days = if unit == "days" { allow.days * a.abs().max(0.1) } else { 0.0 };
            let percent = if unit == "%" { allow.percent } else { 0.0 };
            let most = volume.max(days).max(percent).max(allow.share * a.abs().max(b.abs()));
            a == b || (a.is_nan() && b.is_nan()) || apart <= most
        }
        (Figure::List(a), Figure::List(b)) => {
            a.len() == b.len() && a.iter().zip(b).all(|(a, b)| near(a, b, unit, allow))
        }
        _ => a == b,
    }
}

/// The first hour in which two columns lie further apart than allowed.
pub fn columns_differ(name: &str, one: &[f64], other: &[f64], apart: f64) -> Option<String> {
    if one.len() != other.len() {
        return Some(format!("{name}: {} hours against {}", one.len(), other.len()));
    }
    // A value that is no number differs from everything.
    let differ = |(a, b): (&f64, &f64)| (a - b).abs().partial_cmp(&apart).is_none_or(|order| order.is_gt());
    let at = one.iter().zip(other).position(differ)?;
    let number = one.iter().zip(other).filter(|(a, b)| differ((a, b))).count();
    Some(format!("{name} in hour {at}: {} against {} ({number} hours differ)", one[at], other[at]))
}
