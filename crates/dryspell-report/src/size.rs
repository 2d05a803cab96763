//! What sizes meet the targets.

use std::fmt::Write;

use dryspell::plan::Plan;
use dryspell::record::YearKind;
use dryspell::reliability::interval::Interval;
use dryspell::resample::Settings;
use dryspell::scheme::keys::{self, Kind};
use dryspell::simulate::Run;
use dryspell::sizing::{Chance, Target, smallest};
use dryspell::sweep::Axis;
use dryspell::units::{Quantity, System, counted, show};

use super::layout::{line, table, wrap};
use super::odds::{coverage_words, percent};

/// What one size came to.
#[derive(Debug, Clone)]
pub struct SizeResult {
    met: bool,
    /// Whether the targets other than the chance of a dry year are met.
    others_met: bool,
    days: f64,
    served: Option<f64>,
    autonomy: Option<f64>,
    /// Days short by something that no tank mends, and whether supply is below draw.
    on_the_way_m3: f64,
    runs_down: bool,
    capacity_m3: f64,
    modules: u32,
    /// Its plan; `None` where it cannot run.
    pub plan: Option<Plan>,
    /// Dry years among made years, where the target rests on them.
    chance: Option<Chance>,
    /// What the record allows the chance of a dry year to be, where it was asked.
    pub interval: Option<Interval>,
    /// Whole tank years of the record with a day of shortfall, and all of them.
    own_years: (usize, usize),
    /// Why it could not run.
    fault: Option<String>,
}

impl SizeResult {
    /// Keeps of a run what the page needs.
    #[must_use]
    pub fn of(run: Result<Run, String>, targets: &[Target]) -> Self {
        match run {
            Err(fault) => Self {
                met: false,
                others_met: false,
                days: f64::NAN,
                served: None,
                autonomy: None,
                on_the_way_m3: 0.0,
                runs_down: false,
                capacity_m3: 0.0,
                modules: 0,
                plan: None,
                chance: None,
                interval: None,
                own_years: (0, 0),
                fault: Some(fault),
            },
            Ok(run) => Self {
                met: targets.iter().all(|t| t.met(&run)),
                days: f64::from(run.outcome.counts.shortfall_days) / run.calendar.years(),
                served: run.volume_served_percent(),
                autonomy: run.full_tank.worst,
                on_the_way_m3: run.short_m3() - run.outcome.ledgers.short_m3,
                runs_down: run.storage.missing_m3 > 0.0,
                capacity_m3: run.plan.tank.capacity_m3,
                modules: run.plan.array.arrays.iter().map(|a| a.series * a.parallel).sum(),
                chance: None,
                interval: None,
                own_years: {
                    let whole = || run.outcome.years.iter().filter(|(year, _)| year.whole);
                    (whole().filter(|(_, counts)| counts.shortfall_days > 0).count(), whole().count())
                },
                others_met: targets.iter().filter(|t| !matches!(t, Target::DryYears(_))).all(|t| t.met(&run)),
                plan: Some(run.found.plan),
                fault: None,
            },
        }
    }

    /// Judges the chance of a dry year by made years in place of the record's own.
    pub fn rest_on(&mut self, chance: Chance, targets: &[Target]) {
        let share = chance.share();
        self.met = self.others_met
            && targets
                .iter()
                .filter(|t| matches!(t, Target::DryYears(_)))
                .all(|t| share.is_some_and(|share| t.met_by(share)));
        self.chance = Some(chance);
    }

    /// It cannot run on made years.
    pub fn refuse(&mut self, fault: String) {
        (self.met, self.plan, self.fault) = (false, None, Some(fault));
    }
}

/// What the page is made from.
#[derive(Debug)]
pub struct Page<'a> {
    /// Scheme file as typed.
    pub file: &'a str,
    /// The scheme as it is.
    pub base: &'a Run,
    /// What a size must meet.
    pub targets: &'a [Target],
    /// The array's axis, then the tank's.
    pub axes: &'a [Axis],
    /// By array, then by tank.
    pub grid: &'a [Vec<SizeResult>],
    /// The scheme's own array with every tank.
    pub own_tanks: &'a [SizeResult],
    /// The scheme's own tank with every array.
    pub own_arrays: &'a [SizeResult],
    /// Cost of a cubic metre of tank, in any money.
    pub cost_per_m3: Option<f64>,
    /// Cost of a module, in the same money.
    pub cost_per_module: Option<f64>,
    /// Units of the page.
    pub system: System,
    /// What the chance of a dry year rests on; `None` where it is not asked or rests on the record's own years.
    pub made: Option<ChanceBasis>,
}

/// The made years that the chance of a dry year rests on.
#[derive(Debug)]
pub struct ChanceBasis {
    /// Years made.
    pub made_years: usize,
    /// Whole years of the record that they were made from.
    pub record_years: usize,
    /// Drawings of the record's years; 0 where they would say nothing.
    pub drawings: usize,
    /// How they were made.
    pub settings: Settings,
    /// Where they started from.
    pub seed: u64,
}

/// The page, and whether any size met the targets.
#[derive(Debug)]
pub struct SizePage {
    /// The page.
    pub text: String,
    /// Whether any size met the targets.
    pub met: bool,
}

/// Puts the page together.
pub fn page(p: &Page<'_>) -> SizePage {
    let mut out = String::new();
    let met: Vec<Option<usize>> = p.grid.iter().map(|row| smallest_of(row)).collect();
    let own_tank = smallest_of(p.own_tanks);
    let own_array = smallest_of(p.own_arrays);
    let any = met.iter().any(Option::is_some) || own_tank.is_some() || own_array.is_some();
    wrap(&mut out, "", &answer(p, own_tank, own_array, any));
    let _ = writeln!(out, "\nSIZES  {}", p.file);
    let targets: Vec<String> = p.targets.iter().map(|t| words(*t)).collect();
    line(&mut out, "target", &targets.join("; "));
    line(&mut out, "tanks", &tried(&p.axes[1]));
    line(&mut out, "arrays", &tried(&p.axes[0]));
    line(
        &mut out,
        "rule",
        "every size is run; the one reported is the smallest for which it and all larger sizes tried meet the target. \
         Float levels stay in proportion to capacity",
    );
    if let Some(m) = &p.made {
        rests(&mut out, p, m);
    }
    sizes(&mut out, "TANKS with the scheme's own array", &p.axes[1], p.own_tanks, own_tank);
    sizes(&mut out, "ARRAYS with the scheme's own tank", &p.axes[0], p.own_arrays, own_array);
    frontier(&mut out, p, &met);
    let _ = writeln!(out);
    wrap(
        &mut out,
        "",
        "A simulation on this record is not a guarantee: a tank that only just suffices in it has no margin for a worse \
         year, unforeseen snow or a pump repaired late. Weight, footing and local codes decide on a tank.",
    );
    SizePage { text: out, met: any }
}

/// The smallest size of a row from which all larger ones meet the targets.
#[must_use]
pub fn smallest_of(row: &[SizeResult]) -> Option<usize> {
    smallest(&row.iter().map(|f| f.met).collect::<Vec<_>>())
}

fn tried(axis: &Axis) -> String {
    let n = axis.literals.len();
    format!("{} of {}: {} to {}", n, axis.key, axis.shown(0), axis.shown(n - 1))
}

/// What the chance of a dry year rests on.
fn rests(out: &mut String, p: &Page<'_>, m: &ChanceBasis) {
    line(
        out,
        "chance",
        &format!(
            "of a dry year: share of {} with a day of shortfall, from {} of the record, the same for every size; blocks \
             of days, {} on average, from within {} days of the date, radiation adjusted to the sun of the new date; \
             seed {}. The record's own whole tank years are beside it",
            counted(m.made_years, "made tank year"),
            counted(m.record_years, "year"),
            m.settings.mean_block_days,
            m.settings.window_days,
            m.seed
        ),
    );
    line(
        out,
        "+-",
        "two standard errors, from the number of years made (< and >: where none or all are dry, 3 divided by their \
         number); more made years add nothing to the record",
    );
    if m.drawings == 0 {
        let why = if p.base.kind == YearKind::Calendar {
            "not requested (--drawings 0)"
        } else {
            "cannot be known from this record"
        };
        line(out, "interval", why);
    } else {
        line(
            out,
            "interval",
            &format!("from redrawing the record, 95 %: {}", coverage_words(m.record_years, m.drawings)),
        );
    }
}

fn words(target: Target) -> String {
    match target {
        Target::Days(d) => format!("at most {d} days of shortfall in a mean year"),
        Target::Served(p) => format!("at least {p} % of the water served"),
        Target::Autonomy(d) => format!("a full tank lasts at least {d} days"),
        Target::DryYears(s) => format!("at most {} % of the tank years with a day of shortfall", 100.0 * s),
    }
}

fn answer(p: &Page<'_>, own_tank: Option<usize>, own_array: Option<usize>, any: bool) -> String {
    // The other targets are asked of the record itself.
    let alone = p.targets.iter().all(|t| matches!(t, Target::DryYears(_)));
    let made = p.made.as_ref().map(|m| {
        let (made, own) = (counted(m.made_years, "year"), counted(m.record_years, "year"));
        if alone {
            format!("{made} made from this record of {own}")
        } else {
            format!("this record of {own}, and by the dry years of {made} made from it")
        }
    });
    let kind = made.as_deref().unwrap_or(if p.base.calendar.is_one_year() {
        "this one year"
    } else {
        "this record"
    });
    if !any {
        return format!("No size tried meets the target in {kind}. {}", limits(p));
    }
    let tank = own_tank.map_or_else(
        || "with the scheme's own array no tank tried meets it".to_owned(),
        |i| {
            let tried = if i == 0 { " tried" } else { "" };
            format!("with the scheme's own array the smallest tank{tried} is {}", p.axes[1].shown(i))
        },
    );
    let array = own_array.map_or_else(
        || "with its own tank no array tried does".to_owned(),
        |i| {
            let tried = if i == 0 && smaller_exist(&p.axes[0]) { " tried" } else { "" };
            format!(
                "with its own tank the smallest array{tried} has {} = {}",
                p.axes[0].key,
                p.axes[0].shown(i)
            )
        },
    );
    let mut text = format!("In {kind}, {tank}; {array}.");
    if let Some(m) = &p.made {
        text.push(' ');
        text += &how_sure(p, m, own_tank);
    }
    if own_tank == Some(0) {
        text += &format!(
            " Tanks below {} were not tried and may also do: start lower with --tank.",
            p.axes[1].shown(0)
        );
    }
    if own_array == Some(0) && smaller_exist(&p.axes[0]) {
        text += &format!(
            " Arrays below {} = {} were not tried and may also do: start lower with --array.",
            p.axes[0].key,
            p.axes[0].shown(0)
        );
    }
    text
}

/// What the record allows one to say of the tank that was found.
fn how_sure(p: &Page<'_>, made: &ChanceBasis, own_tank: Option<usize>) -> String {
    let most =
        p.targets.iter().filter_map(|t| if let Target::DryYears(most) = t { Some(*most) } else { None });
    let most = most.fold(1.0, f64::min);
    if made.drawings == 0 {
        let what = if p.base.kind == YearKind::Calendar {
            "can be estimated with --drawings"
        } else {
            "cannot be known from this record"
        };
        return format!("How far that holds for other years {what}.");
    }
    let Some((at, found)) = own_tank.and_then(|i| Some((i, p.own_tanks[i].interval?))) else {
        return String::new();
    };
    let text = format!(
        "For a tank of {} the record allows any chance of a dry year from {} to {}",
        p.axes[1].shown(at),
        percent(found.low),
        percent(found.high)
    );
    if found.high <= most {
        return format!("{text}: the target holds throughout.");
    }
    let safe: Vec<bool> =
        p.own_tanks.iter().map(|f| f.met && f.interval.is_some_and(|i| i.high <= most)).collect();
    smallest(&safe).map_or_else(
        || format!("{text}; the target holds throughout with no tank tried."),
        |i| format!("{text}; the target holds throughout from {} on.", p.axes[1].shown(i)),
    )
}

/// Whether there is anything smaller than the first value of an axis: a count ends at 1.
fn smaller_exist(axis: &Axis) -> bool {
    let count = keys::of_path(&axis.key).is_some_and(|key| key.kind == Kind::Count);
    !(count && axis.shown(0) == "1")
}

/// The best that can be had, and what stands in the way.
fn limits(p: &Page<'_>) -> String {
    let all = p.grid.iter().flatten().chain(p.own_tanks).chain(p.own_arrays).filter(|f| f.fault.is_none());
    let share = |f: &SizeResult| f.chance.and_then(Chance::share);
    let Some(best) = all.min_by(|a, b| {
        let shares = share(a).unwrap_or(0.0).total_cmp(&share(b).unwrap_or(0.0));
        shares.then(a.days.total_cmp(&b.days))
    }) else {
        let why = p.grid.iter().flatten().find_map(|f| f.fault.clone()).unwrap_or_default();
        return format!("None could run: {why}");
    };
    let reason = if best.on_the_way_m3 > 0.0 {
        format!(
            " Even then the delivery shortage between tank and animals is {} (frost, booster, pipe or battery): no tank \
             and no array for the well pump cures that.",
            show(best.on_the_way_m3, Quantity::Volume, p.system)
        )
    } else if best.runs_down {
        " Even then annual supply is below the draw: the well, the pump or the array is the limit, not the tank.".to_owned()
    } else {
        " Larger sizes may do: widen the ranges.".to_owned()
    };
    let dry = share(best).map_or_else(String::new, |s| format!("{} of the made years dry and ", percent(s)));
    format!(
        "The best of them has {dry}{:.1} days of shortfall in a mean year{} ({} with {} modules).{reason}",
        best.days,
        if dry.is_empty() { "" } else { " of the record" },
        show(best.capacity_m3, Quantity::Volume, p.system),
        best.modules
    )
}

/// One line of sizes: all of them in a table, the answer marked.
fn sizes(out: &mut String, title: &str, axis: &Axis, found: &[SizeResult], answer: Option<usize>) {
    let _ = writeln!(out, "\n{title}");
    // Around the answer and at the ends: a long list hides what matters.
    let n = found.len();
    let middle = answer.unwrap_or(n - 1);
    let shown: Vec<usize> =
        (0..n).filter(|i| n <= 16 || i.abs_diff(middle) <= 3 || *i == 0 || *i == n - 1).collect();
    let owned = |cells: &[&str]| cells.iter().map(|c| (*c).to_owned()).collect::<Vec<String>>();
    let made = found.iter().any(|f| f.chance.is_some());
    let drawn = found.iter().any(|f| f.interval.is_some());
    let width = 5 + if made { 2 } else { 0 } + usize::from(drawn);
    let head = |usual: &[&str], of_made: [&str; 2], interval: &str, last: &str| {
        let mut cells = owned(usual);
        if made {
            cells.extend(owned(&of_made));
        }
        if drawn {
            cells.push(interval.to_owned());
        }
        cells.push(last.to_owned());
        cells
    };
    let mut rows = vec![
        head(&["", "days short", "served", "autonomy"], ["dry years", "of the"], "interval", ""),
        head(&["", "a year", "%", "days"], ["of those made", "record"], "95 %", ""),
    ];
    let mut before: Option<usize> = None;
    for i in shown {
        if before.is_some_and(|b| i > b + 1) {
            let mut gap = vec![String::new(); width];
            "...".clone_into(&mut gap[0]);
            rows.push(gap);
        }
        before = Some(i);
        let f = &found[i];
        let note = match (&f.fault, answer) {
            (Some(_), _) => "cannot run",
            (None, Some(a)) if a == i && i == 0 && smaller_exist(axis) => "<- smallest tried",
            (None, Some(a)) if a == i => "<- smallest",
            (None, _) if f.met => "meets it",
            _ => "",
        };
        let mut cells = vec![
            axis.shown(i).to_owned(),
            if f.fault.is_some() { String::new() } else { trimmed(f.days) },
            f.served.map_or_else(String::new, |s| format!("{s:.2}")),
            f.autonomy.map_or_else(String::new, |a| format!("{a:.1}")),
        ];
        if made {
            cells.push(f.chance.map_or_else(String::new, share_and_error));
            cells.push(
                f.chance.map_or_else(String::new, |_| format!("{} of {}", f.own_years.0, f.own_years.1)),
            );
        }
        if drawn {
            cells.push(
                f.interval.map_or_else(String::new, |i| format!("{} to {}", percent(i.low), percent(i.high))),
            );
        }
        cells.push(note.to_owned());
        rows.push(cells);
    }
    table(out, &rows);
    if let Some(fault) = found.iter().find_map(|f| f.fault.as_ref()) {
        wrap(out, "  cannot run: ", fault);
    }
}

/// The share of made years, with two standard errors. Where none or all are dry these would be 0: there the bound is 3/n, the
/// rule of three.
fn share_and_error(chance: Chance) -> String {
    let Some(share) = chance.share() else { return String::new() };
    let bound = 3.0 / f64::from(chance.years);
    if chance.dry == 0 {
        return format!("0 % (< {})", percent(bound));
    }
    if chance.dry == chance.years {
        return format!("100 % (> {})", percent((1.0 - bound).max(0.0)));
    }
    let error = chance.standard_error().map_or_else(|| "-".to_owned(), |e| percent(2.0 * e));
    format!("{} +- {error}", percent(share))
}

fn trimmed(days: f64) -> String {
    if days.fract().abs() < 1e-9 { format!("{days:.0}") } else { format!("{days:.2}") }
}

/// The smallest tank of each array, with what it costs.
fn frontier(out: &mut String, p: &Page<'_>, met: &[Option<usize>]) {
    out.push_str("\nFRONTIER  the smallest tank of each array\n");
    let priced = p.cost_per_m3.is_some() || p.cost_per_module.is_some();
    let short = if p.made.is_some() { "dry years" } else { "days short" };
    let mut head = vec!["array", "modules", "smallest tank", short, "one step less"];
    if priced {
        head.push("cost");
    }
    let mut rows: Vec<Vec<String>> = vec![head.iter().map(|h| (*h).to_owned()).collect()];
    let mut cheapest: Option<(f64, usize)> = None;
    for (a, (row, smallest)) in p.grid.iter().zip(met).enumerate() {
        let modules = row.iter().map(|f| f.modules).max().unwrap_or(0);
        let mut cells = vec![p.axes[0].shown(a).to_owned(), modules.to_string()];
        match smallest {
            None => cells.extend(["none of those tried".to_owned(), String::new(), String::new()]),
            Some(t) => {
                let less = t.checked_sub(1).map_or_else(
                    || "smallest tried".to_owned(),
                    |l| {
                        row[l].chance.and_then(Chance::share).map_or_else(
                            || {
                                format!(
                                    "{} {}",
                                    trimmed(row[l].days),
                                    if trimmed(row[l].days) == "1" { "day" } else { "days" }
                                )
                            },
                            |share| format!("{} dry", percent(share)),
                        )
                    },
                );
                let short =
                    row[*t].chance.and_then(Chance::share).map_or_else(|| trimmed(row[*t].days), percent);
                cells.extend([p.axes[1].shown(*t).to_owned(), short, less]);
            }
        }
        if priced {
            let cost = smallest.map(|t| {
                p.cost_per_m3.unwrap_or(0.0) * row[t].capacity_m3
                    + p.cost_per_module.unwrap_or(0.0) * f64::from(row[t].modules)
            });
            cells.push(cost.map_or_else(String::new, |c| format!("{c:.0}")));
            if let Some(cost) = cost
                && cheapest.is_none_or(|(c, _)| cost < c)
            {
                cheapest = Some((cost, a));
            }
        }
        rows.push(cells);
    }
    table(out, &rows);
    if met.contains(&Some(0)) {
        wrap(
            out,
            "  ",
            &format!(
                "smallest tried: tanks below {} were not tried; start lower with --tank to see how they do",
                p.axes[1].shown(0)
            ),
        );
    }
    if let Some((cost, a)) = cheapest
        && let Some(t) = met[a]
    {
        wrap(
            out,
            "  ",
            &format!(
                "Cheapest: {} = {} with {} of tank, {cost:.0} in your money ({} per m3, {} per module).",
                p.axes[0].key,
                p.axes[0].shown(a),
                p.axes[1].shown(t),
                p.cost_per_m3.unwrap_or(0.0),
                p.cost_per_module.unwrap_or(0.0)
            ),
        );
    }
}
