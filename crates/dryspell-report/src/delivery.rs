//! From the tank to the animals: hydrants, troughs, booster, battery.

use dryspell::results::{HYDRANTS, rule_text, troughs};
use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit, counted, show};

use super::figures::number;
use super::layout::{Lines, MONTHS, line, table, wrap};

/// The section of the report; nothing where all stock drinks at the tank.
pub(crate) fn delivery(run: &Run, system: System) -> String {
    let Some(found) = &run.delivery else { return String::new() };
    let mut out = String::from("FROM THE TANK TO THE ANIMALS\n");
    let v = |m3: f64| column_number(m3, Quantity::Volume, system);
    let q = |flow: f64| column_number(flow, Quantity::Flow, system);
    let (volume, flow) = (column_unit(Quantity::Volume, system), column_unit(Quantity::Flow, system));
    let mut rows = vec![
        ["hydrant", "flow alone", "all open", "demand", "frozen", "pump small", "battery", "short days"]
            .map(str::to_owned)
            .to_vec(),
        ["", flow, flow, volume, volume, volume, volume, ""].map(str::to_owned).to_vec(),
    ];
    for (row, hydrant) in found.hydrants.iter().enumerate() {
        let figure = |name: &str| number(HYDRANTS, name, run, row).unwrap_or(0.0);
        rows.push(vec![
            hydrant.name.clone(),
            q(figure("flow_alone_m3_per_h")),
            q(figure("flow_all_open_m3_per_h")),
            v(figure("demand_m3")),
            v(figure("short_by_cause_m3.frozen")),
            v(figure("short_by_cause_m3.pump_too_small")),
            v(figure("short_by_cause_m3.battery_empty")),
            format!("{:.0}", figure("short_days")),
        ]);
    }
    let marched = run.herds.is_some();
    if marched {
        rows[0].insert(7, "tank".to_owned());
        rows[1].insert(7, volume.to_owned());
        for (row, cells) in rows.iter_mut().skip(2).enumerate() {
            let m3 = number(HYDRANTS, "short_by_cause_m3.tank_empty", run, row);
            cells.insert(7, v(m3.unwrap_or(0.0)));
        }
    }
    table(&mut out, &rows);
    let text = format!(
        "Short by cause: each cause carries what would not have been short without it, in the order frozen; pump, pipe \
         and trough; battery{} Flows are those while the valve is open.",
        if marched { "; tank." } else { ". An empty tank comes last and is in the ledgers." }
    );
    wrap(&mut out, "  ", &text);
    for (label, text) in lines(run, system) {
        line(&mut out, label, &text);
    }
    if let Some(without) = run.shortfall_days_without_frost {
        line(&mut out, "frost", &format!("without frost {} of shortfall", counted(without, "day")));
    }
    out
}

/// Battery, booster and troughs, as far as there are any.
pub(crate) fn lines(run: &Run, system: System) -> Lines {
    let mut out = Lines::new();
    let Some(found) = &run.delivery else { return out };
    if run.booster().is_some() {
        let battery = found.battery_days.map_or_else(
            || "not needed".to_owned(),
            |b| {
                let day = run.calendar.days()[b.worst_from_day];
                format!(
                    "a full battery carries the booster {:.1} days without sun from the worst day ({} {}), {:.1} from \
                     the median day",
                    b.worst_days,
                    day.day,
                    MONTHS[usize::from(day.month) - 1],
                    b.median_days
                )
            },
        );
        out.push(("battery", battery));
        let cut = found.cut_out.iter().filter(|c| **c).count();
        let booster = format!(
            "at most {:.0} starts a day{}; stopped by the low-voltage cut-out in {}",
            found.most_starts_per_day,
            found.shortest_run_h.map_or_else(String::new, |h| format!(", shortest run {:.1} min", 60.0 * h)),
            counted(cut, "hour")
        );
        out.push(("booster", booster));
    }
    for trough in troughs(run) {
        let mut met: Vec<&str> = trough.advice.iter().filter(|a| a.met).map(|a| a.rule.name()).collect();
        // Some rules ask for a trough and for a flow: met are those of which nothing is missing.
        met.dedup();
        met.retain(|name| trough.advice.iter().all(|a| a.met || a.rule.name() != *name));
        let not: Vec<String> =
            trough.advice.iter().filter(|a| !a.met).map(|a| rule_text(a, system)).collect();
        let day = run.calendar.days()[trough.day];
        let mut text = format!(
            "{}: {:.0} head, {} on {} {}, the peak day; ",
            trough.hydrant,
            trough.watering.heads,
            show(trough.watering.day_m3, Quantity::Volume, system),
            day.day,
            MONTHS[usize::from(day.month) - 1]
        );
        if !met.is_empty() {
            text.push_str(&format!("rules met: {}", met.join(", ")));
        }
        if !not.is_empty() {
            text.push_str(&format!(
                "{}not met: {}",
                if met.is_empty() { "rules " } else { "; " },
                not.join("; ")
            ));
        }
        out.push(("trough", text));
    }
    out
}
