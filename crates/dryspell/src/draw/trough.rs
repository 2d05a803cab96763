//! Whether trough, refill and pipe suit the herd, by the published rules, each named.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `n` | heads that use the trough | – | ≥ 0 |
//! | `D` | need of the peak day | m³ | ≥ 0 |
//! | `P` | need of the peak hour | m³ | ≥ 0 |
//! | `V` | volume of the trough | m³ | ≥ 0 |
//! | `q` | flow into the trough while they drink | m³/h | ≥ 0 |
//!
//! # Equation
//!
//! | rule | trough at least | refill at least |
//! |---|---|---|
//! | peak hour (closed form) | `V + q·1 h ≥ P` | |
//! | herd comes together (ANR-12) | `0.25 D` | `V_needed / 1 h` |
//! | animals come singly (ANR-12) | | `D / 4 h` |
//! | refilled within 1 h (USDA) | 2 US gal a head | |
//! | refilled within 4 h (USDA) | `0.25 D` | |
//! | slower, or sheep (USDA) | `D` | |
//! | solar or other unreliable source (USDA) | `2 D` | |
//! | source below the peak (PFRA) | `max(2 D, 6 h · peak flow)` | |
//! | pipeline (Nebraska) | | `1.1 D / 24 h`, better 12, 6 or 4 h |
//!
//! Space at the trough: 2 ft (0.6 m) of edge for each animal that drinks at once, 5 to 10 % of a herd, 2 to 4 % of animals
//! that come singly.
//!
//! # Validity
//!
//! Rules of practice, made for cattle; they do not agree with each other and none is binding. "Volume" of the USDA's and
//! PFRA's rules is all storage at or above the trough. The peak hour's rule is arithmetic: within the hour the herd can
//! drink what stands in the trough and what flows in.
//!
//! # Example
//!
//! ```
//! use dryspell::draw::trough::{Rule, pfra_storage_m3};
//! // 40 head that drink 2 m³ a day together: a quarter of it, 0.5 m³, in the trough.
//! assert_eq!(Rule::HerdTogether.trough_m3(40.0, 2.0), Some(0.5));
//! // 36 000 L a day, 175 L/min (10.5 m³/h) at the peak: the larger of 72 and 63 m³.
//! assert_eq!(pfra_storage_m3(36.0, 10.5), 72.0);
//! ```
//!
//! # References
//!
//! - Ohio State University Extension, ANR-12, citing Gerrish and Davis (1995).
//! - USDA, Livestock Watering Data Sheet.
//! - PFRA (Canada), storage for low-yield sources.
//! - Nebraska practice, in an engineering article of Progressive Cattle (Ag Proud).

use super::classes::L_PER_GAL;

/// A published rule.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Rule {
    /// What stands in the trough and flows in within the peak hour meets the peak hour.
    PeakHour,
    /// Animals come as a herd (more than about 300 m from the trough).
    HerdTogether,
    /// Animals come singly (less than about 200 m).
    Singly,
    /// The trough is refilled within an hour.
    RefillOneHour,
    /// The trough is refilled within four hours.
    RefillFourHours,
    /// The trough is refilled more slowly, or sheep drink from it.
    RefillSlow,
    /// The source is solar or otherwise unreliable.
    SolarSource,
    /// The source meets the day but not the peak.
    LowYield,
    /// The pipe carries the peak day in 12 hours, with a tenth for evaporation and waste.
    Pipeline,
}

impl Rule {
    /// All rules, in the order of their advice.
    pub const ALL: [Self; 9] = [
        Self::PeakHour,
        Self::HerdTogether,
        Self::Singly,
        Self::RefillOneHour,
        Self::RefillFourHours,
        Self::RefillSlow,
        Self::SolarSource,
        Self::LowYield,
        Self::Pipeline,
    ];

    /// Its name.
    #[must_use]
    pub const fn name(self) -> &'static str {
        match self {
            Self::PeakHour => "peak hour",
            Self::HerdTogether => "herd drinks together",
            Self::Singly => "animals drink singly",
            Self::RefillOneHour => "refilled within 1 h",
            Self::RefillFourHours => "refilled within 4 h",
            Self::RefillSlow => "refilled in more than 4 h, or sheep",
            Self::SolarSource => "solar or unreliable source",
            Self::LowYield => "source below the peak flow",
            Self::Pipeline => "pipeline",
        }
    }

    /// Where it is published.
    #[must_use]
    pub const fn source(self) -> &'static str {
        match self {
            Self::PeakHour => "arithmetic on the herd's own pattern",
            Self::HerdTogether | Self::Singly => {
                "Ohio State University Extension ANR-12, citing Gerrish and Davis 1995"
            }
            Self::RefillOneHour | Self::RefillFourHours | Self::RefillSlow | Self::SolarSource => {
                "USDA Livestock Watering Data Sheet"
            }
            Self::LowYield => "PFRA (Canada), storage sheet",
            Self::Pipeline => "Nebraska practice (Progressive Cattle)",
        }
    }

    /// Volume that the rule asks of the trough, m³, where it asks one of heads and day alone.
    #[must_use]
    pub fn trough_m3(self, heads: f64, day_m3: f64) -> Option<f64> {
        match self {
            Self::HerdTogether | Self::RefillFourHours => Some(0.25 * day_m3),
            Self::RefillOneHour => Some(2.0 * L_PER_GAL / 1000.0 * heads),
            Self::RefillSlow => Some(day_m3),
            Self::SolarSource => Some(2.0 * day_m3),
            Self::PeakHour | Self::Singly | Self::LowYield | Self::Pipeline => None,
        }
    }

    /// Flow that the rule asks of the refill, m³/h, where it asks one of the day alone.
    #[must_use]
    pub fn refill_m3_per_h(self, day_m3: f64) -> Option<f64> {
        match self {
            Self::HerdTogether => Some(0.25 * day_m3),
            Self::Singly => Some(day_m3 / 4.0),
            Self::Pipeline => Some(pipeline_m3_per_h(day_m3, 12.0)),
            _ => None,
        }
    }
}

/// Flow of a pipe that carries the day with a tenth more in so many hours, m³/h.
#[must_use]
pub fn pipeline_m3_per_h(day_m3: f64, hours: f64) -> f64 {
    1.1 * day_m3 / hours
}

/// Storage for a source that meets the day but not the peak, m³.
#[must_use]
pub fn pfra_storage_m3(day_m3: f64, peak_m3_per_h: f64) -> f64 {
    (2.0 * day_m3).max(6.0 * peak_m3_per_h)
}

/// How the animals come to water.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Arrival {
    /// As a herd.
    Together,
    /// One by one.
    Singly,
}

impl Arrival {
    /// How they come from a distance that they walk to the trough, m; `None` between the published distances.
    #[must_use]
    pub fn from_distance_m(distance_m: f64) -> Option<Self> {
        if distance_m < 180.0 {
            Some(Self::Singly)
        } else if distance_m > 300.0 {
            Some(Self::Together)
        } else {
            None
        }
    }
}

/// A trough and those who drink from it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Watering {
    /// Heads.
    pub heads: f64,
    /// Need of the peak day, m³.
    pub day_m3: f64,
    /// Need of the peak hour of that day, m³.
    pub peak_hour_m3: f64,
    /// Volume of the trough, m³.
    pub trough_m3: f64,
    /// Flow into it while they drink, m³/h.
    pub refill_m3_per_h: f64,
    /// All storage at or above the trough, with it, m³.
    pub storage_m3: f64,
    /// How they come.
    pub coming: Arrival,
    /// Whether the trough hangs on the sun or another unreliable source without a tank between.
    pub unreliable: bool,
    /// Whether they are sheep.
    pub sheep: bool,
}

/// What a rule says of a trough.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Advice {
    /// The rule.
    pub rule: Rule,
    /// What is compared.
    pub what: &'static str,
    /// Its unit.
    pub unit: &'static str,
    /// What the rule asks.
    pub needed: f64,
    /// What there is.
    pub found: f64,
    /// Whether it is enough.
    pub met: bool,
}

/// What the rules that apply say of a trough.
///
/// Of USDA's three refill classes the one applies in which the trough's own refill falls; the pipeline rule always; the
/// low-yield rule where the refill is below the peak flow.
#[must_use]
pub fn advice(w: &Watering) -> Vec<Advice> {
    let mut out = Vec::new();
    let mut compare = |rule: Rule, what, unit, needed: f64, found: f64| {
        // A rounding of the inputs is no shortfall.
        let met = found >= needed * (1.0 - 1e-9);
        out.push(Advice { rule, what, unit, needed, found, met });
    };
    compare(
        Rule::PeakHour,
        "trough and inflow of an hour",
        "m3",
        w.peak_hour_m3,
        w.trough_m3 + w.refill_m3_per_h,
    );
    let coming = match w.coming {
        Arrival::Together => Rule::HerdTogether,
        Arrival::Singly => Rule::Singly,
    };
    let refill = if w.sheep {
        Rule::RefillSlow
    } else if w.refill_m3_per_h >= w.trough_m3 {
        Rule::RefillOneHour
    } else if 4.0 * w.refill_m3_per_h >= w.trough_m3 {
        Rule::RefillFourHours
    } else {
        Rule::RefillSlow
    };
    let mut rules = vec![coming, refill];
    if w.unreliable {
        rules.push(Rule::SolarSource);
    }
    rules.push(Rule::Pipeline);
    for rule in rules {
        if let Some(needed) = rule.trough_m3(w.heads, w.day_m3) {
            let stored = matches!(rule, Rule::SolarSource);
            let (what, found) = if stored { ("storage", w.storage_m3) } else { ("trough", w.trough_m3) };
            compare(rule, what, "m3", needed, found);
        }
        if let Some(needed) = rule.refill_m3_per_h(w.day_m3) {
            compare(rule, "refill", "m3/h", needed, w.refill_m3_per_h);
        }
    }
    if w.refill_m3_per_h < w.peak_hour_m3 {
        compare(Rule::LowYield, "storage", "m3", pfra_storage_m3(w.day_m3, w.peak_hour_m3), w.storage_m3);
    }
    out
}

#[cfg(test)]
mod tests {
    use super::*;

    const TROUGH: Watering = Watering {
        heads: 40.0,
        day_m3: 2.0,
        peak_hour_m3: 0.56,
        trough_m3: 0.6,
        refill_m3_per_h: 0.6,
        storage_m3: 6.0,
        coming: Arrival::Together,
        unreliable: false,
        sheep: false,
    };

    #[test]
    fn a_good_trough_meets_every_rule() {
        let all = advice(&TROUGH);
        assert!(all.iter().all(|a| a.met), "{all:?}");
        let rules: Vec<Rule> = all.iter().map(|a| a.rule).collect();
        assert_eq!(
            rules,
            [Rule::PeakHour, Rule::HerdTogether, Rule::HerdTogether, Rule::RefillOneHour, Rule::Pipeline]
        );
        assert!(Rule::ALL.iter().all(|r| !r.name().is_empty() && !r.source().is_empty()));
    }

    #[test]
    fn a_small_trough_on_a_thin_pipe_fails_by_name() {
        let small =
            Watering { trough_m3: 0.2, refill_m3_per_h: 0.1, unreliable: true, storage_m3: 3.0, ..TROUGH };
        let failed: Vec<(Rule, &str)> =
            advice(&small).into_iter().filter(|a| !a.met).map(|a| (a.rule, a.what)).collect();
        assert_eq!(
            failed,
            [
                (Rule::PeakHour, "trough and inflow of an hour"),
                (Rule::HerdTogether, "trough"),
                (Rule::HerdTogether, "refill"),
                (Rule::RefillFourHours, "trough"),
                (Rule::SolarSource, "storage"),
                (Rule::Pipeline, "refill"),
                (Rule::LowYield, "storage"),
            ]
        );
    }

    #[test]
    fn the_distance_follows_the_sheet() {
        assert_eq!(Arrival::from_distance_m(100.0), Some(Arrival::Singly));
        assert_eq!(Arrival::from_distance_m(250.0), None);
        assert_eq!(Arrival::from_distance_m(400.0), Some(Arrival::Together));
    }
}
