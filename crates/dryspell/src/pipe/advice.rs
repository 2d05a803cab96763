//! What a pipe line's velocity deserves a word about.

use super::{Run, RunLaw};

/// Velocity in a pipe above which water hammer and friction deserve a look, m/s: 5 ft/s.
pub(crate) const VELOCITY_M_PER_S: f64 = 5.0 * 0.3048;
/// Share of a pipe's pressure class that the pressure should not pass, so that surges have room.
///
/// Source: NRCS Conservation Practice Standard 430, *Irrigation Pipeline* (from memory): working pressure at most 72 % of
/// the pressure rating.
pub const PRESSURE_SHARE: f64 = 0.72;

/// A word of advice: about what, what was found, the rule and where it comes from.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Advice {
    /// Key of the scheme that it is about, such as `pipe.drop.bore`.
    pub key: String,
    /// What was found.
    pub found: String,
    /// The rule.
    pub rule: String,
    /// Where the rule comes from.
    pub source: &'static str,
}

/// Advice on each run at the greatest flow. Pressure is judged in [`crate::pressure`].
///
/// # Units
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | V | mean velocity | m/s | ≥ 0 |
///
/// # Equation
/// `V ≤ 1.524 m/s` (5 ft/s).
///
/// # Validity
/// A rule of practice, not a limit of strength.
///
/// # Example
/// ```
/// use dryspell::pipe::{Run, RunLaw, advice};
/// let run = Run { name: "drop".into(), bore_m: 0.0204, ..Run::default() };
/// let law = RunLaw::new(&run, 1.1e-6);
/// // 2 m³/h in 20.4 mm: 1.7 m/s.
/// let keys: Vec<_> = advice(&[run], &[law], 2.0).into_iter().map(|a| a.key).collect();
/// assert_eq!(keys, ["pipe.drop.bore"]);
/// ```
///
/// # References
/// Velocity below 5 ft/s: the footnote of printed sizing tables of PVC class-160 pipe, seen in transcription.
#[must_use]
pub fn advice(runs: &[Run], laws: &[RunLaw], flow_m3_per_h: f64) -> Vec<Advice> {
    let mut list = Vec::new();
    for (run, law) in runs.iter().zip(laws) {
        let velocity = law.velocity_m_per_s(flow_m3_per_h);
        if velocity > VELOCITY_M_PER_S {
            list.push(Advice {
                key: format!("pipe.{}.bore", run.name),
                found: format!("{velocity:.2} m/s at the highest flow"),
                rule: format!("at most {VELOCITY_M_PER_S:.2} m/s (5 ft/s), for friction and water hammer"),
                source: "printed sizing tables of PVC class-160 pipe",
            });
        }
    }
    list
}
