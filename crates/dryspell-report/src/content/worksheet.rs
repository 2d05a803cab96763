//! A conventional worksheet beside the run.

use dryspell::curve::{CELL_DEGC, PLANE_W_PER_M2};
use dryspell::pipe::PRESSURE_SHARE;
use dryspell::pressure::{Lowest, PipePressure, Verdict};
use dryspell::reliability::periods::MonthFigures;
use dryspell::results::{ARRAYS, Check, Holds, Measure, checks};
use dryspell::supply::Limit;
use dryspell::units::{Quantity, column_number, column_unit, retold};
use dryspell::worksheet::{FULL_SUN, RULE_DAYS};

use super::{Matter, heading};
use crate::figures::{detail, number, velocity};
use crate::layout::MONTHS;
use crate::model::{Align, Block, Table, Text};

/// Draws that differ by no more are the same: the tank's ledger counts in small steps.
const TIE: f64 = 1e-5;

pub(super) fn worksheet(m: &Matter<'_>) -> Vec<Block> {
    let mut rows = vec![daily_water(m), daily_draw(m), storage(m), well(m)];
    rows.extend(array_power(m));
    vec![
        heading("Worksheet check"),
        checked(m),
        Block::Table(Table {
            title: "The usual hand figures and those of the run".to_owned(),
            columns: [
                ("what", Align::Left),
                ("by hand", Align::Left),
                ("in the run", Align::Left),
                ("why they differ", Align::Left),
            ]
            .map(|(name, align)| (name.to_owned(), align))
            .to_vec(),
            rows: rows.into_iter().map(|row| row.map(Text::from).to_vec()).collect(),
            note: "A dip in the ground below the wellhead adds its depth to the static head there. Peak sun hours are \
             the month's mean sun on the panels' plane in kWh/m² a day (common practice, no source). Three days of \
             storage: NRCS South Dakota, Design Technical Note SD2006-1 (2010), for sun and wind. 72 % of the pressure \
             class: NRCS Conservation Practice Standard 430 (from memory)."
                .to_owned(),
        }),
    ]
}

/// What the parts must bear, and whether they do.
fn checked(m: &Matter<'_>) -> Block {
    let shown = |value: f64, unit: Measure| match unit {
        Measure::Metres => m.one(value, Quantity::Length),
        Measure::MetresPerSecond => velocity(value, m.system),
        Measure::Volts => format!("{value:.1} V"),
        Measure::CubicMetres => {
            format!(
                "{} {}",
                column_number(value, Quantity::Volume, m.system),
                column_unit(Quantity::Volume, m.system)
            )
        }
    };
    // A value and its unit stand in one line.
    let shown = |value: f64, unit: Measure| shown(value, unit).replace(' ', "\u{a0}");
    let row = |check: &Check| {
        let bound = if check.at_least { "at\u{a0}least" } else { "at\u{a0}most" };
        let limit = check
            .limit
            .map_or_else(|| "-".to_owned(), |limit| format!("{bound}\u{a0}{}", shown(limit, check.unit)));
        let pipe = m.worksheet.pipes.iter().find(|pipe| check.what == Check::of_pressure_in(&pipe.key));
        let how = pipe.map_or_else(|| retold(&check.how, m.system), |pipe| pressure(m, pipe));
        let verdict = match check.holds {
            Holds::NotStated => Text::from(check.holds.text()),
            _ => Text::strong(check.holds.text()),
        };
        vec![
            check.what.as_str().into(),
            shown(check.found, check.unit).into(),
            limit.into(),
            verdict,
            how.into(),
        ]
    };
    Block::Table(Table {
        title: "What the parts must bear".to_owned(),
        columns: [
            ("what", Align::Left),
            ("found", Align::Left),
            ("limit", Align::Left),
            ("verdict", Align::Left),
            ("how", Align::Left),
        ]
        .map(|(name, align)| (name.to_owned(), align))
        .to_vec(),
        rows: checks(m.run, m.heads, &m.worksheet.pipes).iter().map(row).collect(),
        note: "A pass is one of the figures of this run and no approval: local codes and the makers' limits decide.".to_owned(),
    })
}

/// The row of each array: its modules' power by the datasheet, and the most that the run saw.
fn array_power(m: &Matter<'_>) -> Vec<[String; 4]> {
    let run = m.run;
    let arrays = &run.plan.array.arrays;
    let rated: Vec<Option<f64>> = (0..arrays.len()).map(|at| number(ARRAYS, "rated_w", run, at)).collect();
    let most_w = detail(run, "array_most_w");
    arrays
        .iter()
        .enumerate()
        .filter_map(|(at, array)| {
            let (rated_w, module_w) = (rated[at]?, number(ARRAYS, "module_w", run, at)?);
            // The run knows the power of all arrays at the coupling, not of each.
            let (seen, why) = if at == 0 {
                (
                    format!("at most {most_w:.0} W at the pump's cable in the record"),
                    "the datasheet's power holds in its standard conditions, the run's at the cable's end",
                )
            } else {
                ("with the others above".to_owned(), "")
            };
            Some([
                format!("power of array {}", array.name),
                format!(
                    "{} in series × {} in parallel × {module_w:.0} W = {rated_w:.0} W",
                    array.series, array.parallel
                ),
                seen,
                why.to_owned(),
            ])
        })
        .collect()
}

/// The row of what the pump lifts in a day of the month hardest to serve.
fn daily_water(m: &Matter<'_>) -> [String; 4] {
    let w = m.worksheet;
    let month = MONTHS[usize::from(w.design_month) - 1];
    let a_day = |m3: f64| m.both(m3, Quantity::DailyVolume);
    [
        format!("daily water in {month}, the month hardest to serve"),
        format!(
            "{:.2} peak sun hours × {} in full sun ({:.0} W/m², cells {:.0} °C, static level {}) = {}",
            w.peak_sun_hours,
            m.one(w.full_sun_m3_per_h, Quantity::Flow),
            FULL_SUN.0,
            FULL_SUN.1,
            m.one(m.run.plan.supply.well.static_level_m[usize::from(w.design_month) - 1], Quantity::Length),
            a_day(w.by_hand_m3_per_day)
        ),
        format!(
            "{} available in a mean day; demand of the stock {} on a day with stock",
            a_day(w.available_m3_per_day),
            a_day(w.demand_m3_per_day)
        ),
        difference(w.by_hand_m3_per_day, w.available_m3_per_day, full_sun_limit(m)),
    ]
}

/// The row of what the stock draws in a day of its peak month.
fn daily_draw(m: &Matter<'_>) -> [String; 4] {
    let w = m.worksheet;
    let run = m.run;
    let peak = MONTHS[usize::from(w.peak_month) - 1];
    let a_day = |m3: f64| m.both(m3, Quantity::DailyVolume);
    let largest_m3 = detail(run, "largest_demand_m3_per_day");
    let a_stock_day = |month: &MonthFigures| month.daily(month.demand_m3, month.stock_days);
    let stocked = run.months.iter().filter(|month| month.stock_days > 0).count();
    let ties = run
        .months
        .iter()
        .filter(|month| month.stock_days > 0)
        .all(|month| a_stock_day(month) > w.peak_draw_m3_per_day * (1.0 - TIE));
    [
        if stocked == 1 {
            format!("daily draw in {peak}, the only month with stock")
        } else if ties {
            format!("daily draw, the same in every month with stock ({peak} used)")
        } else {
            format!("daily draw in {peak}, the peak month")
        },
        format!("{} in a mean day with stock", a_day(w.peak_draw_m3_per_day)),
        format!("each day's own draw, at most {}", a_day(largest_m3)),
        if largest_m3 > w.peak_draw_m3_per_day * (1.0 + TIE) {
            "a month's mean hides its largest day"
        } else {
            "they agree: no day draws more than the mean"
        }
        .to_owned(),
    ]
}

/// The row of the tank: the rule's days, and what the record needs.
fn storage(m: &Matter<'_>) -> [String; 4] {
    let w = m.worksheet;
    let run = m.run;
    [
        "storage".to_owned(),
        format!("{RULE_DAYS:.0} days of the peak month: {}", m.both(w.rule_storage_m3, Quantity::Volume)),
        format!(
            "usable up to the float stop {}, {}; needed by the sequent peak {}; {}",
            m.both(run.plan.all_tanks().full_m3(), Quantity::Volume),
            w.rule_sheet_storage_days.map_or_else(|| "-".to_owned(), |d| format!("{d:.1} days of that draw")),
            match (run.storage.storage_m3, run.tanks.is_empty()) {
                (Some(v), _) => m.one(v, Quantity::Volume),
                (None, true) => "more than any tank".to_owned(),
                (None, false) => "not told of several tanks".to_owned(),
            },
            w.enough_tank.map_or_else(
                || "each tank has its own size".to_owned(),
                |found| {
                    let goal = found.for_goal;
                    let none =
                        if goal { "no size tried meets the goal" } else { "no size tried serves every day" };
                    let serves = if goal { "meets the goal" } else { "serves every day of this record" };
                    found.capacity_m3.map_or_else(
                        || none.to_owned(),
                        |v| format!("{} {serves}", m.one(v, Quantity::Volume)),
                    )
                }
            )
        ),
        {
            // The strip on the first page judges by days, the same for one tank and for several.
            let met = w.rule_sheet_storage_days.map(|days| days >= RULE_DAYS);
            let margin = m.one(w.rule_margin_m3.abs(), Quantity::Volume);
            let verdict = match met {
                Some(true) => format!("MET, {margin} more than the rule asks: "),
                Some(false) => format!("NOT MET, {margin} less than the rule asks: "),
                None => String::new(),
            };
            format!("{verdict}the rule counts days, not weather, and takes no account of a dull fortnight")
        },
    ]
}

/// The row of the well: a day's yield, and the highest flow.
fn well(m: &Matter<'_>) -> [String; 4] {
    let w = m.worksheet;
    let a_day = |m3: f64| m.both(m3, Quantity::DailyVolume);
    [
        "the well".to_owned(),
        w.well_m3_per_day.map_or_else(
            || "yield not stated".to_owned(),
            |yields| {
                format!("yields {} in 24 h against {} of draw", a_day(yields), a_day(w.peak_draw_m3_per_day))
            },
        ),
        format!("highest flow {}", m.both(w.highest_flow_m3_per_h, Quantity::Flow)),
        "a daily total hides the hours: the pump runs only by day, and draws the well down as it runs"
            .to_owned(),
    ]
}

/// A pipe's pressure in words: standing, flowing and shut off, and the class.
fn pressure(m: &Matter<'_>, pipe: &PipePressure) -> String {
    let head = |metres| m.one(metres, Quantity::Length);
    let place = match pipe.lowest {
        Lowest::InWell => "in the well, net of the water outside",
        Lowest::Wellhead => "at the wellhead",
        Lowest::Tank => "at the tank",
        Lowest::OutletOrHydrant if pipe.lower_end_m > 0.0 => "at the lowest hydrant",
        Lowest::OutletOrHydrant => "at the tank's outlet",
    };
    let working = match (pipe.working_m, pipe.lowest) {
        (None, _) => "less while flowing".to_owned(),
        (Some(metres), Lowest::Tank) => format!("at most {} while flowing, at the wellhead", head(metres)),
        (Some(metres), _) => format!("at most {} while flowing", head(metres)),
    };
    let shut = pipe.shut_off_m.map_or_else(String::new, |metres| {
        format!(", {} with a valve shut, as far as the pump's data reach", head(metres))
    });
    let verdict = match (pipe.class_m, pipe.verdict()) {
        (None, _) | (_, Verdict::NotStated) => "obtain the class".to_owned(),
        (Some(class), Verdict::AboveClass) => format!("ABOVE THE CLASS, {}", head(class)),
        (Some(class), _) => format!(
            "the limit is {:.0} % of the class, {}, room for surge",
            100.0 * PRESSURE_SHARE,
            head(class)
        ),
    };
    format!(
        "head of water at its lowest point, {place}: {} standing, {working}{shut}; {verdict}",
        head(pipe.static_m)
    )
}

/// What holds the flow where full sun gives no more than four fifths of it do; `None` where the sun sets it.
fn full_sun_limit(m: &Matter<'_>) -> Option<Limit> {
    let point = |sun: f64| {
        let row = PLANE_W_PER_M2.iter().position(|w| *w >= sun)?;
        let column = CELL_DEGC.iter().position(|t| *t >= FULL_SUN.1)?;
        m.curve.points.get(row)?.get(column)
    };
    let (less, full) = (point(0.8 * FULL_SUN.0)?, point(FULL_SUN.0)?);
    (less.flow_m3_per_h > 0.99 * full.flow_m3_per_h).then_some(full.limit)
}

fn difference(by_hand: f64, run: f64, limit: Option<Limit>) -> String {
    /// Closer than this a worksheet is as good as its figures.
    const CLOSE_PERCENT: f64 = 3.0;
    if run <= 0.0 {
        return "the pump lifts nothing in that month".to_owned();
    }
    let percent = 100.0 * (by_hand / run - 1.0);
    let why = if percent.abs() < CLOSE_PERCENT {
        "they agree"
    } else if percent > 0.0 {
        "weak sun lifts less than its share: the pump needs power to start, and heat, dirt, cable and well take theirs"
    } else {
        "in weak sun the pump does better than in proportion to full sun"
    };
    let held = match limit {
        _ if percent > -CLOSE_PERCENT => "",
        Some(Limit::PumpLimit) => ", where it is at its limit",
        Some(Limit::Well) => ", where the well is at its limit",
        Some(Limit::TableEnd) => ", where the head is at the end of the table",
        _ => "",
    };
    format!("by hand {percent:+.0} %: {why}{held}")
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn what_holds_the_flow_in_full_sun_is_named_for_what_it_is() {
        let of = |limit| difference(90.0, 100.0, limit);
        assert!(of(Some(Limit::Well)).ends_with("full sun, where the well is at its limit"));
        assert!(of(Some(Limit::PumpLimit)).ends_with("full sun, where it is at its limit"));
        assert!(of(Some(Limit::TableEnd)).ends_with("full sun, where the head is at the end of the table"));
        assert!(
            of(Some(Limit::Sun)).ends_with("in proportion to full sun") && of(None) == of(Some(Limit::Sun))
        );
        assert!(!difference(110.0, 100.0, Some(Limit::Well)).contains("gives no more"));
    }
}
