//! A value that a scheme calls uncertain.

use super::{Law, Scale};
use crate::keys::{KeyDoc, Kind, Range};
use crate::random::{Purpose, Stream};
use crate::units::{Quantity, System, show};

/// How far a value is drawn from the one that is written, in standard deviations.
pub const FURTHEST: f64 = 3.0;

/// A value, or several that go together, that a scheme calls uncertain: a normal distribution round what is written, cut at three
/// standard deviations and at the range of its key.
#[derive(Debug, Clone, PartialEq)]
pub struct Unknown {
    /// The key as it stands under `[uncertain]`; `*` for every name.
    pub name: String,
    parts: Vec<Part>,
}

/// One key of the scheme.
#[derive(Debug, Clone, PartialEq)]
pub(crate) struct Part {
    /// Its dotted path.
    pub(crate) key: String,
    /// What its numbers are in.
    pub(crate) scale: Scale,
    /// The values of its key that are valid.
    pub(crate) range: Range,
    /// What is written, in the base unit: one value, or one for each month.
    pub(crate) values: Vec<f64>,
    /// Whether it is written as a list.
    pub(crate) list: bool,
    /// One standard deviation of each value.
    pub(crate) deviations: Vec<f64>,
}

impl Part {
    /// What the numbers of a key are in, where it may be uncertain: a number, or one for each month. A direction may not: it has no zero.
    pub(crate) const fn scale(doc: &KeyDoc) -> Option<Scale> {
        match doc.kind {
            Kind::Direction => None,
            _ => Scale::of(doc),
        }
    }
}

impl Unknown {
    /// One of these parts, which have a deviation above zero among them.
    pub(crate) const fn new(name: String, parts: Vec<Part>) -> Self {
        Self { name, parts }
    }

    /// The law of its standard deviations from what is written: cut where any of its values would leave its range.
    #[must_use]
    pub fn law(&self) -> Law {
        let (mut low, mut high) = (-FURTHEST, FURTHEST);
        for part in &self.parts {
            let (least, greatest) = part.range.ends();
            for (value, deviation) in part.values.iter().zip(&part.deviations).filter(|(_, d)| **d > 0.0) {
                low = low.max((least - value) / deviation);
                high = high.min((greatest - value) / deviation);
            }
        }
        Law::Normal { mean: 0.0, deviation: 1.0, low, high }
    }

    /// Pairs of draws, in standard deviations from what is written. Each depends on seed, name and its place only.
    pub(crate) fn draw_pairs(&self, pairs: usize, seed: u64) -> Vec<[f64; 2]> {
        let mut stream = Stream::named(seed, Purpose::Unknowns, &self.name);
        let law = self.law();
        let mut one = || law.quantile(stream.uniform());
        (0..pairs).map(|_| [one(), one()]).collect()
    }

    /// The keys with their values so many standard deviations from what is written, as they would stand in the scheme.
    pub(crate) fn literals(&self, z: f64) -> Vec<(String, String)> {
        let literals = |part: &Part| {
            let (least, greatest) = part.range.ends();
            let values = part.values.iter().zip(&part.deviations);
            let each = values
                .map(|(value, deviation)| part.scale.literal((value + z * deviation).clamp(least, greatest)));
            let each: Vec<String> = each.collect();
            (part.key.clone(), if part.list { format!("[{}]", each.join(", ")) } else { each.concat() })
        };
        self.parts.iter().map(literals).collect()
    }

    /// What is written, and one standard deviation, in the units of a system; of several values the least and the greatest.
    #[must_use]
    pub fn told(&self, system: System) -> [String; 2] {
        let values = self.parts.iter().flat_map(|p| p.values.iter().map(|v| (*v, p.scale)));
        let deviations = self.parts.iter().flat_map(|p| p.deviations.iter().map(|v| (*v, apart(p.scale))));
        [ends_told(values.collect(), system), ends_told(deviations.collect(), system)]
    }
}

/// What differences of such values are in.
const fn apart(scale: Scale) -> Scale {
    match scale {
        Scale::Of(Quantity::Temperature) => Scale::Of(Quantity::TemperatureDifference),
        _ => scale,
    }
}

fn ends_told(mut values: Vec<(f64, Scale)>, system: System) -> String {
    let one = |(value, scale): (f64, Scale)| match scale {
        Scale::Of(q) => show(value, q, system),
        Scale::Plain { .. } => format!("{}", (value * 1e4).round() / 1e4),
    };
    values.sort_by(|a, b| a.0.total_cmp(&b.0));
    match (values.first(), values.last()) {
        (Some(least), Some(greatest)) if least.0 < greatest.0 => {
            format!("{} to {}", one(*least), one(*greatest))
        }
        (Some(least), _) => one(*least),
        _ => String::new(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn part(values: &[f64], deviations: &[f64], range: Range) -> Part {
        Part {
            key: "well.static_level".into(),
            scale: Scale::Of(Quantity::Length),
            range,
            values: values.to_vec(),
            list: values.len() > 1,
            deviations: deviations.to_vec(),
        }
    }

    #[test]
    fn draws_are_normal_within_three_deviations_and_the_range() {
        let wide = part(&[20.0], &[2.0], Range::Between(0.0, 300.0));
        let unknown = Unknown::new("a".into(), vec![wide]);
        let drawn: Vec<f64> = unknown.draw_pairs(20_000, 5).into_flattened();
        let n = 40_000.0_f64;
        let mean = drawn.iter().sum::<f64>() / n;
        let square = drawn.iter().map(|z| z * z).sum::<f64>() / n;
        // A normal law cut at 3: variance 1 - 2·3·φ(3)/(2Φ(3) - 1) = 0.97334 (closed form).
        assert!(mean.abs() < 3.0 / n.sqrt(), "{mean}");
        assert!((square - 0.973_34).abs() < 3.0 * (2.0 / n).sqrt(), "{square}");
        assert!(drawn.iter().all(|z| z.abs() <= 3.0));
        // One member of a list that meets its end holds all of them.
        let near = part(&[20.0, 1.0], &[2.0, 1.0], Range::Above(0.0, 300.0));
        let unknown = Unknown::new("a".into(), vec![near]);
        let Law::Normal { low, high, .. } = unknown.law() else { panic!("not normal") };
        assert!(low > -1.0 - 1e-9 && low <= -1.0 + 1e-9 && (high - 3.0).abs() < 1e-12, "{low} {high}");
        for z in [low, 0.0, 3.0] {
            let [(_, text)] = &unknown.literals(z)[..] else { panic!("one key") };
            let first = text.trim_start_matches('[').split(',').next().unwrap().trim_matches('"');
            assert!(crate::units::parse(first, Quantity::Length).unwrap() > 0.0, "{text}");
        }
        assert_eq!(unknown.literals(0.0)[0].1, "[\"20 m\", \"1 m\"]");
        assert_eq!(unknown.told(System::Si), ["1 m to 20 m", "1 m to 2 m"]);
    }

    #[test]
    fn a_draw_depends_on_seed_name_and_place_alone() {
        let of = |name: &str, pairs, seed| {
            let part = part(&[20.0], &[2.0], Range::Any);
            Unknown::new(name.into(), vec![part]).draw_pairs(pairs, seed)
        };
        assert_eq!(of("a", 3, 1)[..], of("a", 9, 1)[..3]);
        assert_ne!(of("a", 3, 1), of("b", 3, 1));
        assert_ne!(of("a", 3, 1), of("a", 3, 2));
    }
}
