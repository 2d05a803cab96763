//! `dryspell size`: the smallest tank and the smallest array that meet a target.

use std::convert::Infallible;
use std::ops::Range;

use dryspell::edition::Edition;
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::reliability::goal::{Asked, FEWEST_YEARS, Verdict as GoalVerdict};
use dryspell::resample::years::whole_years;
use dryspell::simulate::{AnswersBy, Memo, Run, at_tank, by_march};
use dryspell::sizing::{Group, Target, usual_sizes};
use dryspell::sweep::{Axis, CaseResult, Sweep, TankFound};
use dryspell::tank;
use dryspell::units::{self, Quantity, System, counted};
use rayon::prelude::*;

use crate::args::SizeArgs;
use crate::commands::chances::Maker;
use crate::commands::odds;
use crate::files::Answer;
use crate::job::Job;
use crate::source::in_file;
use crate::{Failure, Verdict};
use dryspell_report::answers::{self, About, size_answer};
use dryspell_report::size::{ChanceBasis, Page, SizeResult, page, round_unit_m3, smallest_of};

/// Runs every size of tank with every array and prints what meets the targets.
pub(crate) fn size(args: &SizeArgs) -> Result<Verdict, Failure> {
    odds::check(&args.made)?;
    check_costs(args)?;
    let job = Job::open(&args.scheme, &args.set.set)?;
    let plan = job.scheme.plan();
    let targets = targets(args, &plan)?;
    let tank = sized(args, &plan)?.0;
    let asked = Answer::open(&mut job.outputs(), args.json.as_deref())?;
    let source = job.weather()?;
    let inputs = job.inputs(&source);
    let record = Edition::new(source.record);
    let dry_years = targets.iter().any(|t| matches!(t, Target::DryYears(_)));
    if dry_years {
        check_years(&record)?;
    }
    // The scheme as it is, whose sun, herd and frost are those of every size.
    let mut memo = Memo::default();
    let base = memo
        .upstream(&plan, &record)
        .and_then(|upstream| at_tank(&upstream, &plan))
        .map_err(|faults| job.located(faults))?;
    let system = args.units.map_or(job.scheme.units, Into::into);
    let axes = axes(args, &base, system)?;
    let beside = |name: &str| job.tables.text(name);
    let sweep =
        Sweep::new(&job.text, &beside, axes).map_err(|faults| in_file(&job.file, faults))?.for_sizes();
    check_axes(&sweep, &plan, tank)?;
    check_goal(&targets, &base)?;
    let mut sizes = Sizes::of(&job, &sweep, &targets, &tank.name, (&record, &memo))?;
    let maker = if dry_years && args.made.made_years > 0 {
        let maker = Maker::new(&record, &args.made, base.full_tank.worst, base.outcome.tank_year_month)?;
        sizes.rest_on_made_years(&maker, &targets)?;
        Some(maker)
    } else {
        None
    };
    let matter = Page {
        file: &job.file,
        base: &base,
        targets: &targets,
        axes: sweep.axes(),
        grid: &sizes.grid,
        own_tanks: &sizes.own_tanks,
        own_arrays: &sizes.own_arrays,
        cost_per_m3: args.cost_per_m3,
        cost_per_module: args.cost_per_module,
        system,
        made: maker.as_ref().map(|m| ChanceBasis {
            made_years: args.made.made_years,
            record_years: m.record_years(),
            drawings: m.drawings,
            settings: m.settings,
            seed: args.made.seed,
        }),
    };
    let made = page(&matter);
    asked.give(
        || {
            let about = About::of(&job.scheme, &job.file, &inputs)?;
            answers::text(&size_answer(&matter, about))
        },
        || made.text,
    )?;
    Ok(if made.met { Verdict::Answered } else { Verdict::No })
}

fn check_costs(args: &SizeArgs) -> Result<(), Failure> {
    for (flag, cost) in [("--cost-per-m3", args.cost_per_m3), ("--cost-per-module", args.cost_per_module)] {
        if let Some(cost) = cost.filter(|cost| !(cost.is_finite() && *cost >= 0.0)) {
            return Err(Failure(vec![format!(
                "{flag} {cost}: not a cost; a number of 0 or more; write it in any one currency, such as {flag} 350"
            )]));
        }
    }
    Ok(())
}

/// The tank that is sized, and what is said of its sizes: `--tank "4 to 10 by 1 m3"` is the tank that the pump fills,
/// `--tank "hill = 4 to 10 by 1 m3"` another.
fn sized<'a>(args: &'a SizeArgs, plan: &'a Plan) -> Result<(&'a tank::Settings, Option<&'a str>), Failure> {
    let Some(text) = args.tank.as_deref() else { return Ok((&plan.tank, None)) };
    let Some((name, values)) = text.split_once('=') else { return Ok((&plan.tank, Some(text))) };
    match plan.tanks().find(|tank| tank.name == name.trim()) {
        Some(tank) => Ok((tank, Some(values))),
        None => {
            let names: Vec<&str> = plan.tanks().map(|tank| tank.name.as_str()).collect();
            Err(Failure(vec![format!(
                "--tank: no tank \"{}\"; one of {}; name a tank of the scheme before the sign =",
                name.trim(),
                names.join(", ")
            )]))
        }
    }
}

fn tank_key(tank: &tank::Settings) -> String {
    format!("tank.{}.capacity", tank.name)
}

/// The key by which the scheme's first array becomes larger.
fn array_key(plan: &Plan) -> String {
    plan.array.arrays.first().map_or_else(String::new, |a| format!("array.{}.parallel", a.name))
}

/// The targets: those given, or the scheme's goal.
fn targets(args: &SizeArgs, plan: &Plan) -> Result<Vec<Target>, Failure> {
    let mut targets = Vec::new();
    let mut lines = Vec::new();
    for text in &args.target {
        match target(text) {
            Ok(t) => targets.push(t),
            Err(failure) => lines.extend(failure.0),
        }
    }
    if args.target.is_empty() {
        match plan.goal {
            Some(_) => targets.push(Target::Goal),
            None => lines.push(
                "--target: nothing says what a size must meet; a target such as days=0, or a table [goal] in the scheme; \
                 give one of them"
                    .to_owned(),
            ),
        }
    }
    if lines.is_empty() { Ok(targets) } else { Err(Failure(lines)) }
}

/// The axes of arrays and of tanks: those given, or the usual ones, the tanks those among which the document finds its own.
fn axes(args: &SizeArgs, base: &Run, system: System) -> Result<Vec<Axis>, Failure> {
    let (tank, values) = sized(args, &base.plan)?;
    let tank_values = values.map_or_else(
        || {
            let sizes = usual_sizes(base, tank, round_unit_m3(system));
            // The unit in which the step is a round number.
            let unit = if system == System::Us { "gal" } else { "m3" };
            let [first, last] = [sizes[0], sizes[sizes.len() - 1]].map(|m3| {
                let value = m3 / round_unit_m3(system);
                (value * 1e6).round() / 1e6
            });
            format!("{first} to {last} by {first} {unit}")
        },
        str::to_owned,
    );
    let tanks = axis("--tank", &format!("{} = {tank_values}", tank_key(tank)));
    let mut axes = Vec::new();
    let mut lines = Vec::new();
    for found in [array_axis(args.array.as_deref(), &base.plan), tanks] {
        match found {
            Ok(axis) => axes.push(axis),
            Err(failure) => lines.extend(failure.0),
        }
    }
    if lines.is_empty() { Ok(axes) } else { Err(Failure(lines)) }
}

/// The sizes of array that are tried: those given, or one to six strings of the first.
pub(super) fn array_axis(given: Option<&str>, plan: &Plan) -> Result<Axis, Failure> {
    let usual = || format!("{} = 1 to 6 by 1", array_key(plan));
    axis("--array", &given.map_or_else(usual, str::to_owned))
}

/// An axis; what is wrong with its text is wrong with the option that it was typed behind.
fn axis(option: &str, text: &str) -> Result<Axis, Failure> {
    Axis::parse(text).map_err(|mut fault| {
        if fault.location.key.as_deref().is_some_and(|key| key.starts_with("--")) {
            fault.location.key = Some(option.to_owned());
        }
        Failure(vec![fault.to_string()])
    })
}

/// Refuses an array's axis that is none, and sizes out of order.
fn check_axes(sweep: &Sweep<'_>, plan: &Plan, tank: &tank::Settings) -> Result<(), Failure> {
    let tank_sizes = sweep.axes().last().map_or(0, |a| a.literals.len() as u64);
    if sweep.axes().first().is_none_or(|a| a.key == tank_key(tank)) || sweep.tanks() != tank_sizes {
        return Err(Failure(vec![format!(
            "--array: its values change neither the panels nor the supply to the tank; a key such as {}; name one",
            array_key(plan)
        )]));
    }
    for (axis, flag) in sweep.axes().iter().zip(["--array", "--tank"]) {
        rising(axis, flag)?;
    }
    Ok(())
}

/// Refuses a record from which the chance of a dry year cannot be known.
fn check_years(record: &Record) -> Result<(), Failure> {
    if record.calendar.is_one_year() || whole_years(&record.calendar).len() < 2 {
        return Err(Failure(vec![
            "--target dry-years: the chance of a dry year cannot be known from this record, which has one whole year or \
             none; a record of several years; give it under [weather], or take another target"
                .to_owned(),
        ]));
    }
    Ok(())
}

/// Refuses a goal that no size can meet on this record: dry years in ten without ten measured years.
fn check_goal(targets: &[Target], base: &Run) -> Result<(), Failure> {
    let judged = base.goal().filter(|_| targets.contains(&Target::Goal));
    let untold = judged
        .iter()
        .flat_map(|judged| &judged.rows)
        .find(|row| row.asked == Asked::DryYearsInTen && row.verdict == GoalVerdict::CannotTell);
    match untold {
        None => Ok(()),
        Some(row) => Err(Failure(vec![format!(
            "goal.dry_years_in_ten: {}; {FEWEST_YEARS} whole measured tank years or more; give a longer record under \
             [weather], take dry_years_in_ten out of the goal, or give a --target in its place",
            row.years.map_or_else(
                || "nobody measured the years of this record".to_owned(),
                |years| format!("this record has {}", counted(years.of(), "whole measured tank year"))
            )
        )])),
    }
}

/// What every size came to.
struct Sizes {
    /// By array, then by tank.
    grid: Vec<Vec<SizeResult>>,
    /// The scheme's own array with every tank.
    own_tanks: Vec<SizeResult>,
    /// The scheme's own tank with every array.
    own_arrays: Vec<SizeResult>,
}

/// Most tanks that a thread takes at a time: two blocks of lanes.
const MOST_OF_A_PIECE: u64 = 128;

impl Sizes {
    /// Runs them all: the tanks behind each array side by side, and beside them the scheme's own.
    fn of(
        job: &Job,
        sweep: &Sweep<'_>,
        targets: &[Target],
        tank: &str,
        (record, memo): (&Edition<Record>, &Memo),
    ) -> Result<Self, Failure> {
        let beside = |name: &str| job.tables.text(name);
        let along = |axis: usize| {
            let axis = sweep.axes()[axis].clone();
            let sweep = Sweep::new(&job.text, &beside, vec![axis]);
            sweep.map(Sweep::for_sizes).map_err(|faults| in_file(&job.file, faults))
        };
        let (by_array, by_tank) = (along(0)?, along(1)?);
        let keep =
            |found: TankFound| SizeResult::of(found.map_err(|faults| one_line(&faults)), targets, tank);
        let tanks = sweep.tanks();
        let rows = sweep.cases() / tanks;
        let pieces: Vec<(u64, Range<u64>)> = (0..rows)
            .flat_map(|row| pieces_of(row * tanks..(row + 1) * tanks).map(move |cases| (row, cases)))
            .collect();
        let found: Vec<(u64, Vec<SizeResult>, Option<SizeResult>)> = pieces
            .into_par_iter()
            .map_init(
                || memo.clone(),
                |memo, (row, cases)| {
                    let first = cases.start == row * tanks;
                    let own = if first { by_array.tank_named(row, tank).ok() } else { None };
                    let (found, with_own) = side_by_side(sweep, cases, own.as_slice(), memo, record);
                    // Where it cannot be had beside the others, its own run says why.
                    let own = first.then(|| {
                        let beside = with_own.and_then(Result::ok);
                        beside.map_or_else(|| by_array.run(row, memo, record).map(|run| run.found), Ok)
                    });
                    (row, found.into_iter().map(keep).collect(), own.map(keep))
                },
            )
            .collect();
        let mut grid: Vec<Vec<SizeResult>> = (0..rows).map(|_| Vec::new()).collect();
        let mut own_arrays = Vec::new();
        for (row, found, own) in found {
            grid[usize::try_from(row).unwrap_or(usize::MAX)].extend(found);
            own_arrays.extend(own);
        }
        let plan = Plan { backup: None, ..job.scheme.plan() };
        // The scheme's own array is mostly among those tried.
        let same = |row: &&Vec<SizeResult>| {
            let plans: Option<Vec<&Plan>> = row.iter().map(|size| size.plan.as_ref()).collect();
            plans.is_some_and(|plans| {
                Group::gather(plans.first().copied().into_iter().chain([&plan])).0.len() == 1
            })
        };
        let own_tanks = match grid.iter().find(same) {
            Some(row) => row.clone(),
            None => pieces_of(0..by_tank.cases())
                .collect::<Vec<_>>()
                .into_par_iter()
                .map_init(|| memo.clone(), |memo, cases| side_by_side(&by_tank, cases, &[], memo, record).0)
                .flatten()
                .map(keep)
                .collect(),
        };
        let mut sizes = Self { grid, own_tanks, own_arrays };
        sizes.march_all_or_none(targets, tank, (record, memo));
        Ok(sizes)
    }

    /// Where the march answers for one size of the search it answers for all, so that two sizes differ by their size alone.
    fn march_all_or_none(
        &mut self,
        targets: &[Target],
        tank: &str,
        (record, memo): (&Edition<Record>, &Memo),
    ) {
        let all = || self.grid.iter().flatten().chain(&self.own_tanks).chain(&self.own_arrays);
        if all().all(|size| size.answers_by == AnswersBy::Columns) {
            return;
        }
        let all = self.grid.iter_mut().flatten().chain(&mut self.own_tanks).chain(&mut self.own_arrays);
        let columns: Vec<&mut SizeResult> =
            all.filter(|size| size.answers_by == AnswersBy::Columns && size.plan.is_some()).collect();
        columns.into_par_iter().for_each_init(
            || memo.clone(),
            |memo, size| {
                let Some(plan) = size.plan.clone() else { return };
                let found = memo.driven(&plan, record).and_then(|upstream| by_march(&upstream, &plan));
                *size = SizeResult::of(
                    found.map(|run| run.found).map_err(|faults| one_line(&faults)),
                    targets,
                    tank,
                );
            },
        );
    }

    /// Lets the chance of a dry year rest on made years, and asks the record how sure it is where an answer stands: for every
    /// tank with the scheme's own array, and for the smallest array with its own tank.
    fn rest_on_made_years(&mut self, maker: &Maker<'_>, targets: &[Target]) -> Result<(), Failure> {
        let mut all: Vec<&mut SizeResult> = self
            .grid
            .iter_mut()
            .flatten()
            .chain(self.own_tanks.iter_mut())
            .chain(self.own_arrays.iter_mut())
            .filter(|f| f.plan.is_some())
            .collect();
        let chances = maker.chances(&all.iter().filter_map(|f| f.plan.as_ref()).collect::<Vec<_>>())?;
        for (found, chance) in all.iter_mut().zip(chances) {
            match chance {
                Ok(chance) => found.rest_on(chance, targets),
                Err(faults) => found.refuse(one_line(&faults)),
            }
        }
        let answer = smallest_of(&self.own_arrays);
        let mut asked: Vec<&mut SizeResult> = self
            .own_tanks
            .iter_mut()
            .chain(self.own_arrays.iter_mut().enumerate().filter(|(i, _)| Some(*i) == answer).map(|(_, f)| f))
            .filter(|f| f.plan.is_some())
            .collect();
        let plans: Vec<_> = asked.iter().filter_map(|f| f.plan.as_ref()).collect();
        if let Some(intervals) = maker.intervals(&plans)? {
            for (found, interval) in asked.iter_mut().zip(intervals) {
                found.interval = Some(interval);
            }
        }
        Ok(())
    }
}

/// Cases in pieces for the threads.
fn pieces_of(cases: Range<u64>) -> impl Iterator<Item = Range<u64>> {
    let end = cases.end;
    let length = usize::try_from(MOST_OF_A_PIECE).unwrap_or(usize::MAX);
    cases.step_by(length).map(move |from| from..(from + MOST_OF_A_PIECE).min(end))
}

/// What tanks behind one array come to, and one more beside them.
fn side_by_side(
    sweep: &Sweep<'_>,
    cases: Range<u64>,
    beside: &[tank::Settings],
    memo: &mut Memo,
    record: &Edition<Record>,
) -> (Vec<TankFound>, Option<TankFound>) {
    let Ok((cases, beside)) =
        sweep.found_beside(cases, beside, memo, |_| Ok::<_, Infallible>(record.clone()));
    let flat = |found: CaseResult| found.and_then(|found| found);
    (cases.into_iter().map(flat).collect(), beside.into_iter().flatten().next())
}

/// Refuses numbers that do not rise: "the smallest from which all larger ones do" has no meaning among them.
fn rising(axis: &Axis, flag: &str) -> Result<(), Failure> {
    let number = |i: usize| {
        let text = axis.shown(i);
        text.parse::<f64>().or_else(|_| units::parse(text, Quantity::Volume)).ok()
    };
    for i in 1..axis.literals.len() {
        if let (Some(before), Some(after)) = (number(i - 1), number(i))
            && before >= after
        {
            return Err(Failure(vec![format!(
                "{flag}: {} comes before {}; sizes in rising order; put them in order, each once",
                axis.shown(i - 1),
                axis.shown(i)
            )]));
        }
    }
    Ok(())
}

fn one_line(faults: &[dryspell::fault::Fault]) -> String {
    faults.iter().map(ToString::to_string).collect::<Vec<_>>().join(" | ")
}

/// `days=0`, `served=99.5`, `autonomy=4`, `dry-years=5`, `lowest-level=2 m3`, `dry-hours-in-a-row=0`.
fn target(text: &str) -> Result<Target, Failure> {
    let read = text.split_once('=').and_then(|(what, value)| {
        if what.trim() == "lowest-level" {
            return units::parse(value.trim(), Quantity::Volume)
                .ok()
                .filter(|m3| *m3 >= 0.0)
                .map(Target::LowestLevel);
        }
        if what.trim() == "dry-hours-in-a-row" {
            return value.trim().parse().ok().filter(|hours| *hours <= 8784).map(Target::DryHoursInARow);
        }
        let number = value.trim().trim_end_matches('%').trim().parse::<f64>().ok()?;
        match what.trim() {
            "days" if (0.0..=366.0).contains(&number) => Some(Target::Days(number)),
            "served" if (0.0..=100.0).contains(&number) => Some(Target::Served(number)),
            "autonomy" if (0.0..=3660.0).contains(&number) => Some(Target::Autonomy(number)),
            "dry-years" if (0.0..=100.0).contains(&number) => Some(Target::DryYears(number / 100.0)),
            _ => None,
        }
    });
    read.ok_or_else(|| {
        Failure(vec![format!(
            "--target {text}: not a target; days=0 (of shortfall in a mean year, at most), served=99.5 (percent of the \
             water, at least), autonomy=4 (days of a full tank, at least), lowest-level=\"2 m3\" (at the end of every hour, at \
             least), dry-hours-in-a-row=0 (at most) or dry-years=5 (percent of years, at most); write one of these"
        )])
    })
}
