//! The answer, how sure it is, and where nothing meets the targets, what stands in the way.

use dryspell::record::YearKind;
use dryspell::sizing::{Chance, Target, smallest};
use dryspell::units::{Quantity, counted, show};

use super::matter::{ChanceBasis, Page};
use super::result::SizeResult;
use super::words::smaller_exist;
use crate::odds::percent;

pub(super) fn answer(p: &Page<'_>, own_tank: Option<usize>, own_array: Option<usize>, any: bool) -> String {
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
