//! All cases of a sweep.

use std::borrow::Cow;
use std::ops::Range;
use std::sync::{Arc, OnceLock};

use super::axis::equally_long;
use super::edit::{only, without};
use super::{Axis, with_values};
use crate::edition::{Edition, EditionRef};
use crate::fault::{Fault, FaultKind, Faults};
use crate::plan::Plan;
use crate::record::Record;
use crate::scheme::Scheme;
use crate::simulate::{Memo, Run, TankResult, Upstream, at_tank, at_tanks};
use crate::tank;

/// Most cases of one sweep.
pub const MOST_CASES: u64 = 1_000_000_000;

/// Most sizes of a tank of which what was read is kept.
const MOST_READ: u64 = 4096;

/// Gives the text of a file that a scheme names.
type Files<'a> = &'a (dyn Fn(&str) -> Result<String, String> + Sync);

/// A scheme and the axes along which it is varied.
///
/// A tank's float levels keep their share of the capacity when the capacity is varied and they are not: a larger tank
/// with its float left where it was would be no larger.
#[derive(Clone)]
pub struct Sweep<'a> {
    text: Cow<'a, str>,
    /// Its tank and rules alone.
    tank_text: String,
    files: Files<'a>,
    base: Scheme,
    /// All keys, in the order of their dimensions.
    axes: Vec<Axis>,
    /// Those that change what lies before the tank come first; within both kinds as they were given.
    dimensions: Vec<Dimension>,
    /// Combinations of the tank's own dimensions, which come last.
    tanks: u64,
    cases: u64,
    /// Whether all is left out that no size is judged by: the backup, and the questions that a whole run answers.
    for_sizes: bool,
    /// The tank whose sizes are varied side by side.
    varied_tank: String,
    /// That tank as it was read for each of its combinations; empty where they are too many, or where other axes reach it.
    read_tanks: Vec<OnceLock<Result<tank::Settings, Faults>>>,
}

/// Keys whose values go together: a row of the cases' table, or a single key.
#[derive(Debug, Clone)]
struct Dimension {
    /// Where its keys stand among all.
    axes: Range<usize>,
    /// How many values each has.
    length: u64,
}

impl std::fmt::Debug for Sweep<'_> {
    fn fmt(&self, f: &mut std::fmt::Formatter<'_>) -> std::fmt::Result {
        f.debug_struct("Sweep").field("axes", &self.axes).field("cases", &self.cases).finish_non_exhaustive()
    }
}

impl<'a> Sweep<'a> {
    /// Makes a sweep ready: reads the scheme, and the first and the last value of each axis.
    ///
    /// # Example
    /// ```
    /// use dryspell::scheme::STARTER;
    /// use dryspell::sweep::{Axis, Sweep};
    /// let axes = vec![Axis::parse("tank.main.capacity = 2 to 10 by 2 m3")?, Axis::parse("herd.cows.count = 40, 60")?];
    /// let sweep = Sweep::new(STARTER, &|_| Err("no files here".to_owned()), axes)?;
    /// assert_eq!(sweep.cases(), 10);
    /// # Ok::<(), dryspell::fault::Faults>(())
    /// ```
    ///
    /// # Errors
    /// All faults of the scheme and of these values (of keys that go together where both rows have some), too many cases, one key in
    /// two axes. A case that only cannot run (a
    /// pump that does not reach so high, a float above the rim) is no fault here, but when that case is run.
    pub fn new(text: &'a str, files: Files<'a>, axes: Vec<Axis>) -> Result<Self, Faults> {
        Self::of(text, files, axes.into_iter().map(|axis| vec![axis]).collect())
    }

    /// The same with keys that go together: each list of axes is gone through row by row, and the lists are combined.
    ///
    /// # Example
    /// Two tilts, each with its own azimuth, and two herds: four cases.
    /// ```
    /// use dryspell::scheme::STARTER;
    /// use dryspell::sweep::{Axis, Sweep};
    /// let panels = Axis::parse_together("array.main.tilt = 50, 60 deg; array.main.azimuth = 170, 180")?;
    /// let herds = Axis::parse_together("herd.cows.count = 40, 60")?;
    /// let sweep = Sweep::of(STARTER, &|_| Err("no files here".to_owned()), vec![panels, herds])?;
    /// assert_eq!(sweep.cases(), 4);
    /// assert_eq!(sweep.values(2), ["60 deg", "180", "40"]);
    /// # Ok::<(), dryspell::fault::Faults>(())
    /// ```
    ///
    /// # Errors
    /// As [`Self::new`], and keys that go together with unequal numbers of values.
    pub fn of(text: &'a str, files: Files<'a>, together: Vec<Vec<Axis>>) -> Result<Self, Faults> {
        let base = Scheme::from_toml_with(text, files)?;
        for axes in &together {
            equally_long("--vary", axes).map_err(Faults::from)?;
        }
        let cases = count(&together)?;
        let mut faults = Vec::new();
        let all: Vec<&Axis> = together.iter().flatten().collect();
        for (i, axis) in all.iter().enumerate() {
            if all[..i].iter().any(|a| a.key == axis.key) {
                faults.push(Fault::at_key(
                    "--vary",
                    FaultKind::Contradiction,
                    format!("{} is varied twice", axis.key),
                    "each key in one axis",
                    "put its values into one list",
                ));
            }
        }
        if !faults.is_empty() {
            return Err(faults.into());
        }
        let tank_text = only(text, &["units", "tank", "rules"]).map_err(Faults::from)?;
        let mut sweep = Self {
            text: text.into(),
            tank_text,
            files,
            base,
            axes: Vec::new(),
            dimensions: Vec::new(),
            tanks: 1,
            cases,
            for_sizes: false,
            varied_tank: String::new(),
            read_tanks: Vec::new(),
        };
        let first = all.iter().find_map(|axis| tank_of_key(&axis.key));
        sweep.varied_tank = first.unwrap_or(&sweep.base.as_plan().tank.name).to_owned();
        for axes in together.iter().filter(|axes| !axes.is_empty()) {
            // Its first and its last values, all others at their first.
            let mut at_ends = Vec::new();
            for row in [0, axes[0].literals.len() - 1] {
                let set: Vec<(&Axis, usize)> = together
                    .iter()
                    .flat_map(|other| {
                        other.iter().map(move |a| (a, if std::ptr::eq(other, axes) { row } else { 0 }))
                    })
                    .collect();
                let found = sweep.scheme_with(&set);
                let found = found.as_ref().err().into_iter().flatten().filter(|f| !of_the_case(f));
                at_ends.push(found.cloned().map(|f| in_case(f, &set)).collect::<Vec<_>>());
            }
            // A row of a table is a case by itself; a table whose first and last rows are wrong is wrong as a whole.
            if axes.len() == 1 || at_ends.iter().all(|found| !found.is_empty()) {
                faults.extend(at_ends.into_iter().flatten());
            }
        }
        if !faults.is_empty() {
            faults.dedup();
            return Err(faults.into());
        }
        // Told by the key alone: a first size that is too small for its float or its garden's reserve is a fault of that case.
        let (of_tank, before): (Vec<_>, Vec<_>) = together
            .into_iter()
            .filter(|axes| !axes.is_empty())
            .partition(|axes| axes.iter().all(|axis| is_of_the_tank_alone(&axis.key, &sweep.varied_tank)));
        // With no axis before them that reaches the tank its sizes alone say what is read.
        let alone = !before.iter().flatten().any(|axis| sweep.reaches(axis, &sweep.varied_tank));
        sweep.tanks = product(&of_tank);
        if alone && (2..=MOST_READ).contains(&sweep.tanks) {
            sweep.read_tanks = (0..sweep.tanks).map(|_| OnceLock::new()).collect();
        }
        for axes in before.into_iter().chain(of_tank) {
            let from = sweep.axes.len();
            let length = axes[0].literals.len() as u64;
            sweep.axes.extend(axes);
            sweep.dimensions.push(Dimension { axes: from..sweep.axes.len(), length });
        }
        Ok(sweep)
    }

    /// The same cases with all left out that no size is judged by: the backup of the scheme, and the questions that a whole run
    /// answers (frost, covered panels, start power), each of which may cost a march.
    #[must_use]
    pub fn for_sizes(self) -> Self {
        // A text that was read once is one that can be edited.
        let text = without(&self.text, "backup").map_or_else(|_| self.text.clone(), Cow::Owned);
        Self { for_sizes: true, text, ..self }
    }

    /// All before the tank.
    fn before_the_tank(
        &self,
        plan: &Plan,
        memo: &mut Memo,
        record: &Edition<Record>,
    ) -> Result<Arc<Upstream>, Faults> {
        if self.for_sizes { memo.driven(plan, record) } else { memo.upstream(plan, record) }
    }

    /// The plan of a scheme, as the sweep runs it.
    fn plan_of(&self, scheme: &Scheme) -> Plan {
        let mut plan = scheme.plan();
        if self.for_sizes {
            plan.backup = None;
        }
        plan
    }

    /// Number of cases.
    #[must_use]
    pub const fn cases(&self) -> u64 {
        self.cases
    }

    /// Combinations of the tank's own sizes: so many cases that follow each other share all that lies before the tank.
    #[must_use]
    pub const fn tanks(&self) -> u64 {
        self.tanks
    }

    /// The case behind the last of those that follow `case` and share with it all that lies before the tank, at most `most` further
    /// on: of a table of cases, rows that differ in the tank's size alone.
    #[must_use]
    pub fn end_of_group(&self, case: u64, most: u64) -> u64 {
        let end = (case / self.tanks + 1).saturating_mul(self.tanks);
        let last = case.saturating_add(most.max(1)).min(self.cases);
        let mixed = self
            .dimensions
            .last()
            .is_some_and(|d| self.axes[d.axes.clone()].iter().any(|axis| self.is_of_the_tank(axis)));
        if self.tanks > 1 || !mixed {
            return end.min(last);
        }
        let others = |case: u64| {
            let picks = self.picks(case);
            self.axes
                .iter()
                .zip(picks)
                .filter(|(axis, _)| !self.is_of_the_tank(axis))
                .map(|(axis, row)| axis.literals.get(row))
                .collect::<Vec<_>>()
        };
        let own = others(case);
        (case + 1..last).find(|next| others(*next) != own).unwrap_or(last)
    }

    /// Whether an axis changes what is read of the tank of a name.
    fn reaches(&self, axis: &Axis, name: &str) -> bool {
        let of_tank = axis.key.strip_prefix("tank.").and_then(|rest| rest.strip_prefix(name));
        of_tank.is_some_and(|rest| rest.starts_with('.')) || axis.key.starts_with("rules.")
    }

    fn is_of_the_tank(&self, axis: &Axis) -> bool {
        is_of_the_tank_alone(&axis.key, &self.varied_tank)
    }

    /// Name of the tank whose sizes are varied side by side.
    #[must_use]
    pub fn varied_tank(&self) -> &str {
        &self.varied_tank
    }

    /// All keys that are varied, in the order of their dimensions: the last runs fastest.
    #[must_use]
    pub fn axes(&self) -> &[Axis] {
        &self.axes
    }

    /// The row of each dimension in a case; the last runs fastest.
    fn rows(&self, case: u64) -> Vec<usize> {
        let mut rest = case;
        let mut rows: Vec<usize> = self
            .dimensions
            .iter()
            .rev()
            .map(|dimension| {
                let row = usize::try_from(rest % dimension.length).unwrap_or(0);
                rest /= dimension.length;
                row
            })
            .collect();
        rows.reverse();
        rows
    }

    /// The row of each axis in a case.
    #[must_use]
    pub fn picks(&self, case: u64) -> Vec<usize> {
        let rows = self.rows(case);
        self.dimensions.iter().zip(rows).flat_map(|(d, row)| d.axes.clone().map(move |_| row)).collect()
    }

    /// The scheme as it stands.
    #[must_use]
    pub const fn base(&self) -> &Scheme {
        &self.base
    }

    /// What each axis is set to in a case, as a table shows it.
    #[must_use]
    pub fn values(&self, case: u64) -> Vec<&str> {
        self.axes.iter().zip(self.picks(case)).map(|(axis, i)| axis.shown(i)).collect()
    }

    /// The scheme of a case.
    ///
    /// # Errors
    /// Faults of the scheme with its values.
    pub fn scheme(&self, case: u64) -> Result<Scheme, Faults> {
        let set: Vec<(&Axis, usize)> = self.axes.iter().zip(self.picks(case)).collect();
        self.scheme_with(&set).map_err(|faults| faults.into_iter().map(|f| in_case(f, &set)).collect())
    }

    /// Runs one case; cases of one group should follow each other with one memory.
    ///
    /// # Errors
    /// As [`crate::simulate::simulate`].
    pub fn run<'r>(
        &self,
        case: u64,
        memo: &mut Memo,
        record: impl Into<EditionRef<'r, Record>>,
    ) -> Result<Run, Faults> {
        let plan = self.plan_of(&self.scheme(case)?);
        at_tank(&memo.upstream(&plan, record)?, &plan)
    }

    /// What cases of one group come to, in order; the same as [`Self::run`] finds. All that lies before the tank is worked
    /// out once, and the tanks go side by side. `record_of` gives the group's weather. A case whose scheme
    /// has faults is an outer error, one that cannot run an inner one.
    ///
    /// # Errors
    /// What `record_of` says.
    pub fn found<E>(
        &self,
        cases: Range<u64>,
        memo: &mut Memo,
        record_of: impl Fn(&Scheme) -> Result<Edition<Record>, E>,
    ) -> Result<Vec<CaseResult>, E> {
        self.found_beside(cases, &[], memo, record_of).map(|(found, _)| found)
    }

    /// As [`Self::found`], with other tanks beside those of the cases, at the end of the same flows: what each of them comes to.
    /// `None` where no case of the group can be read: then it is not known what the others would meet. They share the
    /// leak, open water, tolerance and rule of thirst of the cases.
    ///
    /// # Errors
    /// What `record_of` says.
    pub fn found_beside<E>(
        &self,
        cases: Range<u64>,
        beside: &[tank::Settings],
        memo: &mut Memo,
        record_of: impl Fn(&Scheme) -> Result<Edition<Record>, E>,
    ) -> Result<(Vec<CaseResult>, Option<Vec<TankFound>>), E> {
        let read: Vec<Option<tank::Settings>> = cases.clone().map(|case| self.tank(case).ok()).collect();
        let first =
            cases.clone().zip(&read).find(|(_, tank)| tank.is_some()).map(|(case, _)| self.scheme(case));
        let Some(Ok(scheme)) = first else {
            let alone: Result<_, E> = cases.map(|case| self.alone(case, memo, &record_of)).collect();
            return alone.map(|found| (found, None));
        };
        let record = record_of(&scheme)?;
        let plan = self.plan_of(&scheme);
        let tanks: Vec<tank::Settings> = read.iter().flatten().chain(beside).cloned().collect();
        let mut found = match self.before_the_tank(&plan, memo, &record) {
            Ok(upstream) => at_tanks(&upstream, &plan, &tanks),
            Err(faults) => tanks.iter().map(|_| Err(faults.clone())).collect(),
        }
        .into_iter();
        let mut one = |(case, tank): (u64, Option<tank::Settings>)| match tank.and_then(|_| found.next()) {
            Some(found) => Ok(Ok(found)),
            None => self.alone(case, memo, &record_of),
        };
        let of_cases = cases.zip(read).map(&mut one).collect::<Result<_, E>>()?;
        Ok((of_cases, Some(found.collect())))
    }

    /// A case by itself.
    fn alone<E>(
        &self,
        case: u64,
        memo: &mut Memo,
        record_of: &impl Fn(&Scheme) -> Result<Edition<Record>, E>,
    ) -> Result<CaseResult, E> {
        let scheme = match self.scheme(case) {
            Ok(scheme) => scheme,
            Err(faults) => return Ok(Err(faults)),
        };
        let record = record_of(&scheme)?;
        let plan = self.plan_of(&scheme);
        let run = self.before_the_tank(&plan, memo, &record).and_then(|upstream| at_tank(&upstream, &plan));
        Ok(Ok(run.map(|run| run.found)))
    }

    /// The tank whose sizes the sweep goes through, as a case has it, read by itself.
    ///
    /// # Errors
    /// Faults of the tank with its values.
    pub fn tank(&self, case: u64) -> Result<tank::Settings, Faults> {
        let read = || self.tank_named(case, &self.varied_tank);
        let size = usize::try_from(case % self.tanks).unwrap_or(usize::MAX);
        self.read_tanks.get(size).map_or_else(read, |kept| kept.get_or_init(read).clone())
    }

    /// The tank of a name as a case has it, read by itself.
    ///
    /// # Errors
    /// Faults of the tank with its values.
    pub fn tank_named(&self, case: u64, name: &str) -> Result<tank::Settings, Faults> {
        let set: Vec<(&Axis, usize)> =
            self.axes.iter().zip(self.picks(case)).filter(|(axis, _)| self.reaches(axis, name)).collect();
        let text = self.text_with(&self.tank_text, &set)?;
        Scheme::tank_alone(&text, name)
    }

    /// The scheme with some axes set.
    fn scheme_with(&self, set: &[(&Axis, usize)]) -> Result<Scheme, Faults> {
        let text = self.text_with(&self.text, set)?;
        Scheme::from_toml_with(&text, self.files).map_err(|faults| {
            // Lines are those of the changed text: they would mislead.
            faults
                .into_iter()
                .map(|mut f| {
                    (f.location.line, f.location.column) = (None, None);
                    f
                })
                .collect()
        })
    }

    /// A text with some axes set. A tank's float follows its capacity unless it is varied itself.
    fn text_with(&self, text: &str, set: &[(&Axis, usize)]) -> Result<String, Faults> {
        let set: Vec<(&Axis, usize)> =
            set.iter().copied().filter(|(axis, i)| !axis.literals.get(*i).is_empty()).collect();
        let mut values: Vec<(String, String)> =
            set.iter().map(|(axis, i)| (axis.key.clone(), axis.literals.get(*i).to_owned())).collect();
        for tank in self.base.as_plan().tanks() {
            let key = |name: &str| format!("tank.{}.{name}", tank.name);
            let Some((axis, i)) = set.iter().find(|(axis, _)| axis.key == key("capacity")) else { continue };
            let Ok(capacity) = crate::units::parse(axis.shown(*i), crate::units::Quantity::Volume) else {
                continue;
            };
            let resized = tank.resized(capacity);
            for (name, level) in
                [("float_stop", resized.float_stop_m3), ("float_start", resized.float_start_m3)]
            {
                let varied = set.iter().any(|(a, _)| a.key == key(name));
                if let Some(level) = level.filter(|_| !varied) {
                    values.push((key(name), format!("\"{level} m3\"")));
                }
            }
        }
        let pairs: Vec<(&str, &str)> = values.iter().map(|(k, v)| (k.as_str(), v.as_str())).collect();
        with_values(text, &pairs).map_err(Faults::from)
    }
}

/// What a case came to: an outer error where its scheme has faults, an inner one where it cannot run.
pub type CaseResult = Result<TankFound, Faults>;

/// What a tank came to, or why it cannot run.
pub type TankFound = Result<TankResult, Faults>;

/// Whether a key sets the tank's size, float, reserve or year, which nothing before the tank rests on. Leak, open water,
/// tolerance and the rule of thirst reach what lies before it. Told by the key: the ends of an axis may be equal where the
/// values between them are not.
fn is_of_the_tank_alone(key: &str, tank: &str) -> bool {
    tank_of_key(key) == Some(tank) || key == "rules.tank_year_starts"
}

/// The tank of which a key sets the size, float or reserve.
fn tank_of_key(key: &str) -> Option<&str> {
    match key.split('.').collect::<Vec<_>>()[..] {
        ["tank", tank, "capacity" | "float_stop" | "float_start" | "garden_reserve"] => Some(tank),
        _ => None,
    }
}

/// Whether a fault is one of values that do not go together, which other cases do not share.
fn of_the_case(fault: &Fault) -> bool {
    matches!(fault.kind, FaultKind::CannotRun | FaultKind::Contradiction)
}

/// Combinations of axes of which each list goes together.
fn product(together: &[Vec<Axis>]) -> u64 {
    together.iter().filter_map(|axes| axes.first()).map(|axis| axis.literals.len() as u64).product()
}

/// The number of cases, refused where it is more than can be worked out.
fn count(together: &[Vec<Axis>]) -> Result<u64, Faults> {
    #[expect(clippy::cast_precision_loss, reason = "only told to the user")]
    let all: f64 =
        together.iter().filter_map(|axes| axes.first()).map(|axis| axis.literals.len() as f64).product();
    #[expect(clippy::cast_precision_loss, reason = "a power of ten below 2^53")]
    if all > MOST_CASES as f64 {
        return Err(Faults::from(Fault::at_key(
            "--vary",
            FaultKind::OutOfRange,
            format!("{all:.3e} cases"),
            format!("at most {MOST_CASES} cases in one sweep"),
            "take larger steps or fewer axes; --part splits a sweep over machines but does not make it smaller",
        )));
    }
    Ok(product(together))
}

/// The fault with the case in which it shows.
fn in_case(mut fault: Fault, set: &[(&Axis, usize)]) -> Fault {
    let values: Vec<String> = set
        .iter()
        .filter(|(axis, i)| !axis.literals.get(*i).is_empty())
        .map(|(axis, i)| format!("{} = {}", axis.key, axis.shown(*i)))
        .collect();
    fault.found = format!("{} (with {})", fault.found, values.join(", "));
    fault
}
