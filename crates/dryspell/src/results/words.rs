//! What a run comes to in words: the answer, the warnings, the simplifications, the cautions.
//!
//! Every number in a sentence is read from the run. No sentence promises anything about years that were not run.

use super::alerts::list::{Alerts, Severity};
use crate::record::YearKind;
use crate::simulate::{AnswersBy, Run, StartEnds};
use crate::sun::inside_hour::Inside;
use crate::units::{Quantity, System, counted, percent_number, show};
use crate::{coupling, inflow, pump};

/// The answer in a sentence, with its number and its limit.
///
/// # Example
/// ```
/// # use dryspell::{calendar::{Calendar, Day}, plan::Plan, record::Record, simulate::simulate, tank};
/// # let calendar = Calendar::starting(Day { year: 2023, month: 3, day: 1 }, 10);
/// # let (available, demand) = (vec![0.02; 240], vec![0.05; 240]);
/// # let plan = Plan::of_columns(available, demand, tank::Settings::open("main", 4.0));
/// # let record = Record::without_weather(calendar);
/// use dryspell::{results::answer, units::System};
/// let words = answer(&simulate(&plan, &record)?, System::Si);
/// assert!(words.contains("The herd goes short on 5 of the 10 days with stock"), "{words}");
/// # Ok::<(), dryspell::fault::Faults>(())
/// ```
#[must_use]
pub fn answer(run: &Run, system: System) -> String {
    let counts = &run.outcome.counts;
    let record = match (run.kind, run.calendar.is_one_year()) {
        _ if run.calendar.days().len() < 365 => {
            format!("this part of a year ({} days)", run.calendar.days().len())
        }
        (YearKind::Typical, _) => "this typical year".to_owned(),
        (YearKind::Calendar, true) => "this one calendar year".to_owned(),
        (YearKind::Synthetic, true) => "this one invented (synthetic) year".to_owned(),
        (YearKind::Projected, true) => "this one projected year of a climate scenario".to_owned(),
        (YearKind::Projected, false) => {
            format!("these {} projected years of a climate scenario", whole(run.calendar.years()))
        }
        (YearKind::Calendar, false) => format!("these {} calendar years", whole(run.calendar.years())),
        (YearKind::Synthetic, false) => {
            format!("these {} invented (synthetic) years", whole(run.calendar.years()))
        }
    };
    if counts.stock_days == 0 {
        return format!("No stock draws water on any day of {record}: there is nothing to report.");
    }
    let served = run.volume_served_percent().unwrap_or(100.0);
    let verdict = if counts.shortfall_days == 0 {
        let lowest = run.days.iter().map(|d| d.lowest_m3).fold(f64::INFINITY, f64::min);
        let tank = if run.short_m3() > 0.0 {
            format!(
                "{} was short in all, within the tolerance of {:.1} % of a day's draw",
                show(run.short_m3(), Quantity::Volume, system),
                100.0 * run.plan.tank.tolerance
            )
        } else if counts.dry_hours > 0 {
            format!(
                "the tank was empty for {}, and the herd drank later the same day",
                counted(counts.dry_hours, "hour")
            )
        } else {
            if run.tanks.is_empty() {
                format!("the tank's lowest level was {}", show(lowest, Quantity::Volume, system))
            } else {
                format!(
                    "the tanks together held no less than {} at any time",
                    show(lowest, Quantity::Volume, system)
                )
            }
        };
        format!(
            "The herd had water on {} in {record}; {tank}.",
            match counts.stock_days {
                1 => "the one day with stock".to_owned(),
                days => format!("all {days} days with stock"),
            }
        )
    } else {
        format!(
            "The herd goes short on {} of the {} with stock in {record}: {}, the longest {}; {} % of the demand is \
             served, and the worst day is {} % short.",
            counts.shortfall_days,
            counted(counts.stock_days, "day"),
            counted(counts.spells, "spell"),
            counted(counts.longest_spell_days, "day"),
            percent_number(served, 1),
            percent_number(100.0 * counts.worst_day_short, 0)
        )
    };
    let limit = match (run.kind, run.calendar.is_one_year()) {
        (YearKind::Typical, _) => " Typical year: no return period (typical years leave extremes out).",
        (_, true) => " One year: no return period.",
        (YearKind::Synthetic, false) => " Synthetic years: they prove nothing about real years.",
        (YearKind::Projected, false) => {
            " The years come from a climate model: a scenario, not measurements; no return period."
        }
        (YearKind::Calendar, false) => "",
    };
    let range = run.start_ends.map_or_else(String::new, |ends| start_range(run, ends));
    let runs_down = if run.storage.missing_m3 > 0.0 {
        format!(
            "This scheme runs down: supply falls {} a year short of demand. ",
            show(run.storage.missing_m3 / run.calendar.years(), Quantity::Volume, system)
        )
    } else {
        String::new()
    };
    format!("{runs_down}{verdict}{range}{limit}")
}

/// What the other assumptions about a pump's start come to, where they differ by more than a day. They are a range only
/// where the scheme leaves the start open; a start that is given is a third assumption and may lie outside the two.
fn start_range(run: &Run, ends: StartEnds) -> String {
    if run.plan.supply.pump.is_scaled_by_voltage() {
        return format!(
            " Below the one voltage of the pump's table, with flow in proportion to voltage: {} of shortfall; with what the head takes \
             of the flow the same at every voltage: {}.",
            counted(ends.best_line_days, "day"),
            counted(ends.zero_days, "day")
        );
    }
    let (low, high) = (ends.zero_days.min(ends.best_line_days), ends.zero_days.max(ends.best_line_days));
    if high - low <= 1 {
        return String::new();
    }
    let (start, drive, table) = match &run.plan.supply.pump {
        pump::Settings::Volts(table) => (table.start, "voltage", "voltage"),
        pump::Settings::Duty(table) => (table.start, "power", "duty"),
        pump::Settings::Displacement(_) | pump::Settings::Centrifugal(_) | pump::Settings::Own(_) => {
            return String::new();
        }
    };
    match start {
        pump::Start::From(_) => format!(
            " This assumes the start {drive} given. Without it: {} with no flow below the lowest {drive} in the pump's \
             {table} table, {} with linear interpolation from there to the least {drive} that lifts water.",
            counted(ends.zero_days, "day"),
            counted(ends.best_line_days, "day")
        ),
        pump::Start::Zero
        | pump::Start::BestEfficiency
        | pump::Start::Proportional
        | pump::Start::SameLoss => format!(
            " Between {low} and {high} days, depending on how the pump behaves below the lowest {drive} in its {table} \
             table."
        ),
    }
}

/// What is said where a month is cold and nothing tells when snow lies on the panels.
fn no_snow(run: &Run) -> String {
    let start = "snow not modelled: a month averages below 2 degC, and the scheme gives no dates with snow on the panels ([snow])";
    match run.snow_ends {
        None => format!("{start}; the lines with panels covered show what snow could do"),
        Some([least, most]) => format!(
            "{start}. By the weather file's rain and frost it would be {least} to {most} days of shortfall in place of {} (from_rain \
             under [snow]); the lines with panels covered show what more could do",
            run.outcome.counts.shortfall_days
        ),
    }
}

/// What the run itself gives to say; see [`super::alerts()`].
pub(super) fn warnings(list: &mut Alerts, run: &Run, system: System) {
    let counts = &run.outcome.counts;
    if counts.longest_dry_hours > 24 {
        let what = if run.delivery.is_some() {
            "there is no water, at some hydrant or in the tank,"
        } else {
            "the tank is empty"
        };
        list.add(Severity::Danger, format!(
            "WELFARE ALARM: {what} at the end of {} hours in a row; what little arrives is drunk at once. Stock must \
             have water within 24 hours: plan haulage or a backup before you build",
            counts.longest_dry_hours
        ));
    }
    if run.snow_not_modelled {
        list.add(Severity::EveryFigure, no_snow(run));
    }
    for text in &run.source.alerts {
        list.add(Severity::EveryFigure, format!("weather: {text}"));
    }
    if !run.outcome.settled {
        list.add(
            Severity::EveryFigure,
            format!(
                "not settled: the year did not repeat within {} passes; the driest pass is shown",
                run.outcome.passes.unwrap_or(0)
            ),
        );
    }
    let available = run.outcome.ledgers.available_m3;
    let below = run.supply.m3_below_lowest_power;
    if below > 0.0 && run.plan.supply.pump.is_scaled_by_voltage() {
        list.add(Severity::Advice, format!(
            "{:.1} % of the water available ({}) comes in hours below the voltage of the pump's table, where its flow is \
             scaled from that voltage: ask the maker for the table at a second, lower voltage",
            100.0 * below / available,
            show(below, Quantity::Volume, system)
        ));
    } else if below > 0.0 {
        list.add(Severity::Advice, format!(
            "{:.1} % of the water available ({}) comes in hours when power is below the duty table's lowest for that \
             head, where the table says nothing: ask the maker for a row at lower power",
            100.0 * below / available,
            show(below, Quantity::Volume, system)
        ));
    }
    let end_hours = run.limit_hours.table_end;
    if end_hours > 0 {
        list.add(Severity::Advice, format!(
            "in {} the head reached the highest in the duty table; the flow is held at what the pipe carries at that \
             head",
            counted(end_hours, "hour")
        ));
    }
    let stops = run.well.as_ref().map_or(0, |well| well.ledger.cut_out_stops);
    if stops > 0 {
        list.add(Severity::Advice, format!(
            "the water in the well fell to the cut-out {}: the pump draws more than the well yields; a smaller pump or \
             a deeper setting may lift more",
            counted(stops, "time")
        ));
    }
    for advice in &run.advice {
        list.add(
            Severity::Advice,
            format!("{}: {}; rule: {} ({})", advice.key, advice.found, advice.rule, advice.source),
        );
    }
    let forage: Vec<&str> =
        run.plan.draw.groups.iter().filter(|g| g.forage.is_some()).map(|g| g.name.as_str()).collect();
    if !forage.is_empty() {
        list.add(Severity::Note, format!(
            "water in green forage is deducted from the need of {}: a bonus that drought takes away; run once without \
             forage_moisture before you rely on it",
            forage.join(", ")
        ));
    }
    list.add_all(Severity::Advice, delivery(run, system));
    list.add_all(Severity::Note, run.garden.assumptions.iter().cloned());
    list.add_all(Severity::Note, run.losses.assumptions.iter().cloned());
    list.add_all(Severity::Note, run.inflows.iter().flat_map(|inflow| inflow.assumptions.iter().cloned()));
    list.add_all(Severity::Input, curtailed(run));
    super::alerts::modules::add(list, run);
    let left_out = run.full_tank.left_out;
    if left_out > 0 {
        list.add(
            Severity::Note,
            format!(
                "autonomy leaves out {} near the end of the record: the water left then outlasts the record",
                counted(left_out, "hour")
            ),
        );
    }
}

/// Panels that look away from the noon sun: more often a compass read the wrong way round than a wish.
fn curtailed(run: &Run) -> Vec<String> {
    // Between the tropics the noon sun stands on either side.
    const TROPIC_DEG: f64 = 23.45;
    // So flat a panel hardly looks anywhere.
    const FLAT_DEG: f64 = 10.0;
    let latitude = run.place.latitude_deg;
    if latitude.abs() <= TROPIC_DEG {
        return Vec::new();
    }
    let (noon_deg, noon) = if latitude > 0.0 { (180.0_f64, "south") } else { (0.0, "north") };
    run.plan
        .array
        .arrays
        .iter()
        .filter(|a| a.tilt_deg > FLAT_DEG && libm::cos((a.azimuth_deg - noon_deg).to_radians()) < -1e-9)
        .map(|a| {
            format!(
                "array.{}: the panels face away from the noon sun, which is in the {noon} here ({:.0} deg from north); \
                 found azimuth {:.0} deg",
                a.name, noon_deg, a.azimuth_deg
            )
        })
        .collect()
}

/// What between tank and animals deserves a word.
fn delivery(run: &Run, system: System) -> Vec<String> {
    let mut list = Vec::new();
    let Some(columns) = &run.delivery else { return list };
    if !columns.settled {
        list.push(format!(
            "delivery not settled: troughs and battery did not return to where they began within {} passes of the year; \
             the driest pass is shown",
            crate::delivery::MOST_PASSES
        ));
    }
    let volumes = &columns.volumes;
    let volume = |m3: f64| show(m3, Quantity::Volume, system);
    if volumes.short_too_small_m3 > 0.0 {
        list.push(format!(
            "{} is short because the flow to a hydrant cannot keep up with the herd: a larger trough, pipe or booster \
             cures it; a larger tank or more panels do not",
            volume(volumes.short_too_small_m3)
        ));
    }
    if volumes.short_battery_m3 > 0.0 {
        list.push(format!(
            "{} is short because the booster's battery was empty: more panels or battery for the booster cure it",
            volume(volumes.short_battery_m3)
        ));
    }
    if volumes.short_frozen_m3 > 0.0 {
        list.push(format!(
            "{} is short because the line to a hydrant was frozen or shut: more cover, insulation or a drain for the parts that frost reaches",
            volume(volumes.short_frozen_m3)
        ));
    }
    if columns.spares_the_motor == Some(false)
        && let Some(run_h) = columns.shortest_run_h
    {
        list.push(format!(
            "booster.pressure_tank: the booster runs for only {:.0} s at a time; rule: at least a minute, to spare the \
             motor (common practice); a larger pressure tank gives longer runs",
            3600.0 * run_h
        ));
    }
    for trough in super::troughs(run) {
        let mut failed: Vec<&str> = trough.advice.iter().filter(|a| !a.met).map(|a| a.rule.name()).collect();
        failed.dedup();
        if !failed.is_empty() {
            list.push(format!(
                "hydrant.{}: published rules for troughs not met ({}); what each rule requires is listed with the \
                 troughs",
                trough.hydrant,
                failed.join("; ")
            ));
        }
    }
    list
}

/// What is made of the light inside the hour, and by how much that errs: figures of `data/reference/inside_hour.csv`, measured minutes of
/// March to June at three places of middle latitude.
fn inside_the_hour(run: &Run) -> &'static str {
    match (&run.sky.inside, &run.plan.supply.coupling) {
        (Inside::Steps(_), _) => {
            "the pump follows the light at the weather file's own step; air temperature, float and tank go by the hour"
        }
        (Inside::Spread(_), _) => {
            "light inside the hour by a distribution (Skartveit and Olseth 1992). Held against measured minutes of March to \
             June at three places, the water of a month was 2 % low to 1 % high for starts up to 40 % of full sun, and up to 11 % \
             low for a pump wired straight; single dull days err by a tenth and more. Winter was not measured"
        }
        (Inside::Mean, coupling::Settings::Tracking(_)) => {
            "hourly means hide broken cloud: the start power is compared with the hour's mean. Against measured minutes of \
             March to June at three places this took 0 to 8 % of a month's water for a start at 30 to 40 % of full sun, 5 to 13 % at \
             half, and up to all of the water of dull days (conservative); a pump at its limit in bright hours with \
             broken cloud errs the other way (not measured). See inside_hour under [site]"
        }
        (Inside::Mean, coupling::Settings::Booster(_)) => {
            "hourly means hide broken cloud: the motor must start on the hour's mean sun. Against measured minutes of March to \
             June at three places a current booster errs by little: 1 to 2 % too much water in a month, 2 % either way on dull \
             days. See inside_hour under [site]"
        }
        (Inside::Mean, coupling::Settings::Direct) => {
            "hourly means hide broken cloud: the motor must start on the hour's mean sun. Wired straight to the panels, this \
             took 13 to 31 % of a month's water against measured minutes of March to June at three places, and all of the water \
             of dull days (conservative). See inside_hour under [site]"
        }
    }
}

/// What the calculation leaves aside, and on which side that errs. Printed with every result.
#[must_use]
pub fn simplifications(run: &Run) -> Vec<&'static str> {
    let cloud = inside_the_hour(run);
    let marched = run.answers_by == AnswersBy::March;
    let rain = run.plan.inflows.iter().any(|inflow| matches!(inflow.kind, inflow::Kind::OpenWater { .. }));
    let mut list = vec![
        if marched && run.well.is_some() {
            "pump and well are stepped with the float acting: while it stops the pump the well comes back, and each start \
             fills a drained pipe again"
        } else {
            "supply is calculated as if the float did not stop the pump: drawdown and starts are those of a pump free to \
             run at all times (conservative)"
        },
        if run.delivery.is_some() && marched {
            "troughs, battery, herds and tank are stepped together: a trough fills only with water that the tank has; \
             thirst carries over to midnight, then counts as short"
        } else if run.delivery.is_some() {
            "delivery to the hydrants is calculated as if the tank held water, and what it requests is drawn from the \
             tank in the same hour (conservative); thirst carries over to midnight, then counts as short"
        } else {
            "demand is drawn from the tank in the hour in which it arises; thirst carries over to midnight, then counts \
             as short"
        },
        cloud,
        if rain {
            "open water evaporates (Penman), but not on days with ice; rain on the tank's own water is counted, rain into \
             troughs is not (conservative)"
        } else if run.losses.open_m2 > 0.0 {
            "open water evaporates (Penman), but not on days with ice; rain into tank and troughs is not counted \
             (conservative)"
        } else {
            "rain into the tank and evaporation from it are zero (a closed tank)"
        },
    ];
    if run.plan.supply.pipe.inlet_height_m < 0.0 {
        list.push(
            "the tank is below the wellhead: the pump is charged with the lift to the wellhead and the friction of the \
             whole pipe; no credit is taken for siphon or fall beyond the wellhead (conservative)",
        );
    }
    if !run.garden.gardens.is_empty() {
        list.push(
            "gardens draw after the stock in each hour, and not while stock is short; autonomy and storage needed are \
             for the stock alone, with gardens shut off",
        );
    }
    list.push(if run.plan.frost.is_some() {
        "frost: a frozen part stops its flow until it thaws; heat from flowing water and sun on a pipe is not counted \
         (conservative)"
    } else {
        "frost in pipes, valves and troughs is not modelled in this run"
    });
    list
}

/// The cautions that every output carries.
pub const CAUTIONS: [&str; 8] = [
    "A simulation is neither a guarantee nor an approval. Local codes and licensed professionals decide on electrical \
     work, well work, pressure and structures.",
    "Check the animals every day, whatever the model says. Keep a backup plan for water.",
    "A full tank is heavy: 1000 L weighs a tonne, 1000 US gallons 8340 lb. Have footing, slope and edges checked by \
     someone competent.",
    "Tanks, vaults and well pits are confined spaces: do not enter without training, an air test and an attendant.",
    "Panels are live in daylight, and a DC arc keeps burning. Fit a disconnect and use a licensed electrician.",
    "Batteries hold acid and give off hydrogen: ventilate, and keep sparks away.",
    "Protect the well against backflow: an air gap above the trough rim, or a backflow preventer.",
    "Water from a stock scheme is not assured safe for people to drink.",
];

/// The cautions as a page has them, with the weight of water in the units of a system.
pub fn cautions(system: System) -> impl Iterator<Item = String> {
    let weight = match system {
        System::Si => "1000 L weighs a tonne",
        System::Us => "1000 gallons weigh 8340 lb",
    };
    CAUTIONS
        .into_iter()
        .map(move |text| text.replace("1000 L weighs a tonne, 1000 US gallons 8340 lb", weight))
}

fn whole(years: f64) -> String {
    if (years - years.round()).abs() < 1e-9 { format!("{years:.0}") } else { format!("{years:.1}") }
}
