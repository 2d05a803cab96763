//! The sizes of one axis, and the smallest tank of each array.

use std::fmt::Write;

use dryspell::sizing::{Chance, Target};
use dryspell::sweep::Axis;
use dryspell::units::{Quantity, System, column_number, column_unit};

use super::matter::Page;
use super::result::SizeResult;
use super::words::{share_and_error, smaller_exist};
use crate::layout::{table, trimmed, wrap};
use crate::odds::percent;

/// A column that stands there because it is asked about: its two heads and what a size has in it.
pub(super) struct Extra {
    heads: [String; 2],
    get: fn(&SizeResult, System) -> String,
    system: System,
}

/// The columns that the targets, or the goal, ask for.
pub(super) fn extra(p: &Page<'_>) -> Vec<Extra> {
    let goal = p.base.plan.goal.filter(|_| p.targets.contains(&Target::Goal)).unwrap_or_default();
    let asks = |asked: fn(&Target) -> bool| p.targets.iter().any(asked);
    let mut list = Vec::new();
    let mut add = |heads: [&str; 2], get| {
        list.push(Extra { heads: heads.map(str::to_owned), get, system: p.system });
    };
    if goal.lowest_level_m3.is_some() || asks(|t| matches!(t, Target::LowestLevel(_))) {
        let unit = column_unit(Quantity::Volume, p.system);
        add(["lowest", unit], |found, system| column_number(found.lowest_m3, Quantity::Volume, system));
    }
    if goal.dry_hours_in_a_row.is_some() || asks(|t| matches!(t, Target::DryHoursInARow(_))) {
        add(["dry hours", "in a row"], |found, _| found.longest_dry_hours.to_string());
    }
    list
}

/// One line of sizes: all of them in a table, the answer marked.
pub(super) fn sizes(
    out: &mut String,
    title: &str,
    axis: &Axis,
    found: &[SizeResult],
    (answer, asked): (Option<usize>, &[Extra]),
) {
    let _ = writeln!(out, "\n{title}");
    // Around the answer and at the ends: a long list hides what matters.
    let n = found.len();
    let middle = answer.unwrap_or(n - 1);
    let shown: Vec<usize> =
        (0..n).filter(|i| n <= 16 || i.abs_diff(middle) <= 3 || *i == 0 || *i == n - 1).collect();
    let owned = |cells: &[&str]| cells.iter().map(|c| (*c).to_owned()).collect::<Vec<String>>();
    let made = found.iter().any(|f| f.chance.is_some());
    let drawn = found.iter().any(|f| f.interval.is_some());
    let width = 5 + asked.len() + if made { 2 } else { 0 } + usize::from(drawn);
    let head = |line: usize, usual: &[&str], of_made: [&str; 2], interval: &str, last: &str| {
        let mut cells = owned(usual);
        cells.extend(asked.iter().map(|extra| extra.heads[line].clone()));
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
        head(0, &["", "days short", "served", "autonomy"], ["dry years", "of the"], "interval", ""),
        head(1, &["", "a year", "%", "days"], ["of those made", "record"], "95 %", ""),
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
            if f.fault.is_some() { String::new() } else { trimmed(f.days, 2) },
            f.served.map_or_else(String::new, |s| format!("{s:.2}")),
            f.autonomy.map_or_else(String::new, |a| format!("{a:.1}")),
        ];
        let of_asked = |extra: &Extra| {
            if f.fault.is_some() { String::new() } else { (extra.get)(f, extra.system) }
        };
        cells.extend(asked.iter().map(of_asked));
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

/// The smallest tank of each array, with what it costs.
pub(super) fn frontier(out: &mut String, p: &Page<'_>, met: &[Option<usize>]) {
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
                                    trimmed(row[l].days, 2),
                                    if trimmed(row[l].days, 2) == "1" { "day" } else { "days" }
                                )
                            },
                            |share| format!("{} dry", percent(share)),
                        )
                    },
                );
                let short =
                    row[*t].chance.and_then(Chance::share).map_or_else(|| trimmed(row[*t].days, 2), percent);
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
