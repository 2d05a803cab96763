//! Values of a key drawn from a law.

use super::axis::{key_of, literal};
use super::literals::Literals;
use super::{Axis, CaseTable};
use crate::fault::{Fault, FaultKind, Faults, quoted};
use crate::keys::KeyDoc;
use crate::random::{Purpose, Stream};
use crate::uncertain::{Law, Scale};
use crate::units::System;

/// The axes of all that may be asked of a sweep, in the order of the cases: those of a table, those drawn (`draws` values of each law, by
/// a seed), then each text of values. Axes of a list go together.
///
/// # Errors
/// All that cannot be read.
pub fn axes_together(
    table: Option<CaseTable>,
    laws: &[String],
    (draws, seed): (usize, u64),
    vary: &[String],
) -> Result<Vec<Vec<Axis>>, Faults> {
    let of_table = table.map(CaseTable::axes);
    let drawn = (!laws.is_empty())
        .then(|| laws.iter().map(|text| Drawn::parse(text).and_then(|law| law.axis(draws, seed))));
    let mut faults = Vec::new();
    let mut all: Vec<Vec<Axis>> = Vec::new();
    let mut add = |found: Result<Vec<Axis>, Fault>| match found {
        Ok(axes) => all.push(axes),
        Err(fault) => faults.push(fault),
    };
    of_table.into_iter().for_each(&mut add);
    let (drawn, wrong): (Vec<_>, Vec<_>) = drawn.into_iter().flatten().partition(Result::is_ok);
    wrong.into_iter().for_each(|fault| add(fault.map(|axis| vec![axis])));
    if !drawn.is_empty() {
        add(drawn.into_iter().collect());
    }
    vary.iter().map(|text| Axis::parse_together(text)).for_each(&mut add);
    if faults.is_empty() { Ok(all) } else { Err(faults.into()) }
}

/// Most values that are drawn of one key.
const MOST_DRAWS: usize = 10_000_000;

/// A key and what its values are drawn from.
#[derive(Debug, Clone, PartialEq)]
pub struct Drawn {
    key: String,
    doc: &'static KeyDoc,
    from: From,
}

#[derive(Debug, Clone, PartialEq)]
enum From {
    Law(Law),
    /// One of these, as they are written, equally likely.
    Any(Vec<String>),
}

impl Drawn {
    /// Reads `KEY ~ uniform(A, B)`, `KEY ~ normal(MEAN, DEVIATION)`, `KEY ~ triangular(LEAST, MOST LIKELY, GREATEST)` or
    /// `KEY ~ any(VALUE, VALUE, ...)`, each value with its unit as in a scheme. A normal distribution is cut at the key's own range.
    ///
    /// # Example
    /// ```
    /// use dryspell::sweep::Drawn;
    /// let axis = Drawn::parse("herd.cows.count ~ any(40, 60)")?.axis(3, 7)?;
    /// assert!(axis.literals.iter().all(|count| count == "40" || count == "60"));
    /// # Ok::<(), dryspell::fault::Fault>(())
    /// ```
    ///
    /// # Errors
    /// A text of another form, a key that no scheme has or that holds no number, ends that are not in order.
    pub fn parse(text: &str) -> Result<Self, Fault> {
        let fault = |found: String, accepted: &str, way_out: &str| {
            Fault::at_key("--draw", FaultKind::WrongType, found, accepted, way_out)
        };
        let form = "KEY ~ uniform(A, B), normal(MEAN, DEVIATION), triangular(LEAST, LIKELIEST, GREATEST) or any(VALUE, ...)";
        let example = "write it like \"array.shed.soiling ~ uniform(1 %, 6 %)\"";
        let parts = text.split_once('~').and_then(|(key, law)| {
            let (name, inner) = law.trim().strip_suffix(')')?.split_once('(')?;
            Some((key.trim(), name.trim(), inner))
        });
        let Some((key, name, inner)) = parts else { return Err(fault(quoted(text), form, example)) };
        let doc = key_of("--draw", key)?;
        let values = super::axis::list(inner);
        if values.iter().any(String::is_empty) {
            return Err(fault(format!("{} has an empty value", quoted(text)), form, "give each value"));
        }
        let from =
            if name == "any" { From::Any(values) } else { From::Law(law(key, doc, name, &values, text)?) };
        Ok(Self { key: key.to_owned(), doc, from })
    }

    /// The key.
    #[must_use]
    pub fn key(&self) -> &str {
        &self.key
    }

    /// So many values. Each depends on seed, key and its place only: other keys and more draws leave it as it is.
    ///
    /// # Errors
    /// None, or more than ten million.
    pub fn axis(&self, draws: usize, seed: u64) -> Result<Axis, Fault> {
        if !(1..=MOST_DRAWS).contains(&draws) {
            return Err(Fault::at_key(
                "--draws",
                FaultKind::OutOfRange,
                format!("{draws} draws"),
                format!("1 to {MOST_DRAWS}"),
                "take fewer; --part spreads them over machines",
            ));
        }
        let mut stream = Stream::named(seed, Purpose::Values, &self.key);
        let scale = Scale::of(self.doc).unwrap_or(Scale::Plain { whole: false });
        let mut drawn = || match &self.from {
            From::Any(values) => literal(self.doc, &values[stream.below(values.len())]),
            From::Law(law) => scale.literal(law.quantile(stream.uniform())),
        };
        let literals: Literals = (0..draws).map(|_| drawn()).collect();
        Ok(Axis { key: self.key.clone(), literals })
    }
}

fn law(key: &str, doc: &KeyDoc, name: &str, values: &[String], text: &str) -> Result<Law, Fault> {
    let fault = |found: String, accepted: &str, way_out: &str| {
        Fault::at_key("--draw", FaultKind::WrongType, format!("{key}: {found}"), accepted, way_out)
    };
    let Some(scale) = Scale::of(doc) else {
        return Err(fault(
            "holds no single number".into(),
            "a key with one number, or any(VALUE, ...) for other values",
            "list the values: any(VALUE, VALUE)",
        ));
    };
    let count = match name {
        "uniform" | "normal" => 2,
        "triangular" => 3,
        _ => {
            return Err(fault(
                format!("the law {}", quoted(name)),
                "uniform, normal, triangular or any",
                "take one of them",
            ));
        }
    };
    if values.len() != count {
        return Err(fault(
            format!("{} values in {}", values.len(), quoted(text)),
            if count == 2 { "two values" } else { "three values" },
            "separate them with commas",
        ));
    }
    let read: Option<Vec<f64>> = values
        .iter()
        .enumerate()
        .map(|(i, text)| if name == "normal" && i == 1 { scale.spread(text) } else { scale.value(text) })
        .collect();
    let Some(read) = read else {
        return Err(fault(
            format!("values {}", values.join(", ")),
            &doc.kind.words(),
            "write each as it stands in a scheme, with its unit",
        ));
    };
    let (least, most) = doc.range.ends();
    let law = match (name, &read[..]) {
        ("uniform", [low, high]) => Law::Uniform { low: *low, high: *high },
        ("normal", [mean, deviation]) => {
            Law::Normal { mean: *mean, deviation: *deviation, low: least, high: most }
        }
        (_, [low, mode, high]) => Law::Triangular { low: *low, mode: *mode, high: *high },
        _ => return Err(fault(quoted(text), "two or three values", "separate them with commas")),
    };
    let sound = match law {
        Law::Uniform { low, high } => low < high && doc.range.holds(low) && doc.range.holds(high),
        Law::Normal { mean, deviation, .. } => deviation > 0.0 && doc.range.holds(mean),
        Law::Triangular { low, mode, high } => {
            low < high && (low..=high).contains(&mode) && doc.range.holds(low) && doc.range.holds(high)
        }
    };
    if sound {
        return Ok(law);
    }
    Err(Fault::at_key(
        "--draw",
        FaultKind::OutOfRange,
        format!("{key}: {name}({})", values.join(", ")),
        format!(
            "values in rising order and in the range of the key{}; of a normal distribution a deviation above 0",
            match doc.range.text(doc.kind, System::Si) {
                range if range.is_empty() => range,
                range => format!(" ({range})"),
            }
        ),
        "swap or correct them; a share is written with %",
    ))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::units::{self, Quantity};

    fn drawn(text: &str, draws: usize) -> Axis {
        Drawn::parse(text).unwrap_or_else(|f| panic!("{f}")).axis(draws, 7).unwrap()
    }

    #[test]
    fn values_are_those_of_the_law_and_a_scheme_reads_them() {
        let axis = drawn("array.shed.soiling ~ uniform(1 %, 6 %)", 4000);
        let values: Vec<f64> = axis
            .literals
            .iter()
            .map(|l| units::parse(l.trim_matches('"'), Quantity::Fraction).unwrap())
            .collect();
        assert!(values.iter().all(|v| (0.01..0.06).contains(v)));
        let mean = values.iter().sum::<f64>() / 4000.0;
        // Three standard errors of a uniform mean: 0.05/√12/√4000.
        assert!((mean - 0.035).abs() < 3.0 * 0.05 / 12.0_f64.sqrt() / 4000.0_f64.sqrt(), "{mean}");
        let axis = drawn("well.static_level ~ normal(18, 2 m)", 3);
        for literal in axis.literals.iter() {
            let text = literal.trim_matches('"');
            assert!((units::parse(text, Quantity::Length).unwrap() - 18.0).abs() < 9.0, "{literal}");
        }
        assert!(
            drawn("array.shed.parallel ~ triangular(1, 2, 6)", 50)
                .literals
                .iter()
                .all(|l| l.parse::<u32>().is_ok())
        );
        let files = drawn("weather.file ~ any(a.csv, b.csv)", 50);
        assert!(files.literals.iter().all(|l| l == "\"a.csv\"" || l == "\"b.csv\""));
    }

    #[test]
    fn a_value_depends_on_seed_key_and_place_alone() {
        let few = drawn("herd.cows.count ~ uniform(30, 60)", 3);
        let many = drawn("herd.cows.count ~ uniform(30, 60)", 9);
        assert!(few.literals.iter().eq(many.literals.iter().take(3)));
        let other = drawn("herd.ewes.count ~ uniform(30, 60)", 9);
        assert_ne!(many.literals, other.literals);
    }

    #[test]
    fn what_is_no_law_is_refused_with_the_way_out() {
        for (text, part) in [
            ("array.shed.soiling = 1 %", "KEY ~ uniform(A, B)"),
            ("array.shed.soling ~ uniform(1 %, 6 %)", "did you mean array.shed.soiling?"),
            ("array.shed.soiling ~ uniform(6 %, 1 %)", "rising order"),
            ("array.shed.soiling ~ flat(1 %, 6 %)", "uniform, normal, triangular or any"),
            ("array.shed.soiling ~ uniform(1, 6)", "in the range of the key"),
            ("herd.*.count ~ uniform(40, 60)", "name each key"),
            ("array.shed.soiling ~ uniform(1 %)", "two values"),
            ("array.shed.soiling ~ uniform(1 m, 2 m)", "with its unit"),
            ("array.shed.soiling ~ normal(5 %, 0 %)", "above 0"),
            ("weather.file ~ uniform(1, 2)", "any(VALUE, ...)"),
        ] {
            let found = Drawn::parse(text).unwrap_err().to_string();
            assert!(found.contains(part), "{text}: {found}");
        }
        let drawn = Drawn::parse("herd.cows.count ~ uniform(30, 60)").unwrap();
        assert!(drawn.axis(0, 1).unwrap_err().to_string().contains("0 draws"));
    }
}
