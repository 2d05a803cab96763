//! The report on weather files: what a designer would paste into an e-mail.

use std::fmt::Write;

use dryspell::units::{Quantity, System, column_number, column_unit, counted, show};
use dryspell_weather::report::{Month, Report, Station};
use dryspell_weather::{Fill, How};

use super::layout::{MONTHS, line, table, wrap_to};

/// Most fills that are listed one by one.
const FILLS_SHOWN: usize = 20;

/// A place in words.
pub(super) fn at(
    latitude_deg: f64,
    longitude_deg: f64,
    elevation_m: f64,
    digits: usize,
    system: System,
) -> String {
    let (ns, ew) = (if latitude_deg < 0.0 { "S" } else { "N" }, if longitude_deg < 0.0 { "W" } else { "E" });
    format!(
        "{:.digits$} {ns} {:.digits$} {ew}, {}",
        latitude_deg.abs(),
        longitude_deg.abs(),
        show(elevation_m, Quantity::Length, system)
    )
}

/// The file's own place in words, as seen from the stated one.
pub(super) fn station(own: &Station, digits: usize, system: System) -> String {
    format!(
        "{} in the file, {:.*} km away and {} {}",
        at(own.latitude_deg, own.longitude_deg, own.elevation_m, digits, system),
        usize::from(own.distance_km < 10.0),
        own.distance_km,
        show(own.higher_m.abs(), Quantity::Length, system),
        if own.higher_m < 0.0 { "lower" } else { "higher" }
    )
}

/// The whole report.
#[must_use]
pub fn report(r: &Report, system: System) -> String {
    let mut out = format!("WEATHER  {}\n", r.place);
    reading(&mut out, r, system);
    months(&mut out, r, system);
    dullest(&mut out, r);
    cold(&mut out, r, system);
    decisions(&mut out, r);
    out
}

/// Where the record is from, how long it is, and how its file was read.
fn reading(out: &mut String, r: &Report, system: System) {
    let stated = if r.station.is_some() { ", as stated" } else { "" };
    line(
        out,
        "place",
        &format!(
            "{}{stated}; clock is UTC{:+}, standard time all year",
            at(r.latitude_deg, r.longitude_deg, r.elevation_m, 3, system),
            r.utc_offset_h
        ),
    );
    if let Some(own) = &r.station {
        line(out, "station", &station(own, 3, system));
    }
    line(out, "source", &format!("{} from {}", r.format, r.files.join(", ")));
    let kind = match r.kind {
        "typical" => "typical year (extremes left out: no return period)",
        "synthetic" => "synthetic years (generated: they prove nothing about a site)",
        "projected" => "projected years (a climate model's scenario, not measured: no return period)",
        _ => "calendar years",
    };
    line(out, "years", &format!("{kind}; {}", years(r)));
    line(out, "hours", &format!("{}, {} to {}", r.hours, r.first, r.last));
    let reading = &r.reading;
    line(
        out,
        "stamps",
        &format!(
            "{} {} min apart, {}; rows are UTC{:+}",
            counted(reading.rows, "row"),
            reading.step_min,
            reading.stamps,
            reading.rows_clock_h
        ),
    );
    line(out, "closure", &closure(r));
    line(out, "lacks", &if r.lacks.is_empty() { "nothing".to_owned() } else { r.lacks.join(", ") });
    line(out, "gaps", &gaps(&reading.fills));
}

fn months(out: &mut String, r: &Report, system: System) {
    out.push_str("\nBY MONTH\n");
    let degree = column_unit(Quantity::Temperature, system);
    let mut rows = vec![
        ["", "global", "direct", "diffuse", "clearness", "air mean", "lowest", "highest"]
            .map(str::to_owned)
            .to_vec(),
        ["", "kWh/m2/day", "kWh/m2/day", "kWh/m2/day", "", degree, degree, degree]
            .map(str::to_owned)
            .to_vec(),
    ];
    for (name, month) in MONTHS.iter().zip(&r.months) {
        if let Some(month) = month {
            rows.push(row(name, month, system));
        }
    }
    rows.push(row("year", &r.year, system));
    table(out, &rows);
}

fn dullest(out: &mut String, r: &Report) {
    out.push_str("\nDULLEST DAYS IN A ROW  mean global radiation\n");
    for spell in &r.dullest {
        let _ = writeln!(
            out,
            "  {:>2} days  {:>5.2} kWh/m2/day  {} to {}",
            spell.days, spell.mean, spell.from, spell.to
        );
    }
}

/// The lowest hour, the coldest days, the frost and its index by winter.
fn cold(out: &mut String, r: &Report, system: System) {
    out.push_str("\nCOLD\n");
    let degree = column_unit(Quantity::Temperature, system);
    let t = |degc: f64| format!("{} {degree}", column_number(degc, Quantity::Temperature, system));
    line(out, "lowest", &format!("{} at {}", t(r.cold.lowest_degc), r.cold.lowest_at));
    if let Some(spell) = &r.cold.coldest_spell {
        line(
            out,
            "coldest",
            &format!(
                "{} with a mean of {}, {} to {}",
                counted(spell.days, "day"),
                t(spell.mean),
                spell.from,
                spell.to
            ),
        );
    }
    match &r.cold.longest_frost {
        Some(spell) => line(
            out,
            "frost",
            &format!(
                "{} in a row with a daily mean below freezing, {} to {}",
                counted(spell.days, "day"),
                spell.from,
                spell.to
            ),
        ),
        None => line(out, "frost", "no day with a mean below freezing"),
    }
    for winter in &r.cold.freezing_index {
        line(
            out,
            "freezing",
            &if r.year_of_month.is_some() {
                format!(
                    "index {}, July to June of the year",
                    freezing(winter.freezing_index_degc_days, system)
                )
            } else {
                format!(
                    "index {}, {} to {}",
                    freezing(winter.freezing_index_degc_days, system),
                    winter.from,
                    winter.to
                )
            },
        );
    }
    if r.kind != "calendar" || r.cold.freezing_index.len() < 10 {
        line(out, "", "a design value for frost depth needs the coldest of 10 to 30 winters, not these");
    }
}

fn decisions(out: &mut String, r: &Report) {
    if !r.notes.is_empty() {
        out.push_str("\nDECISIONS ON READING\n");
        for note in &r.notes {
            wrap_to(out, "  - ", "    ", note);
        }
    }
}

fn years(r: &Report) -> String {
    match (&r.year_of_month, r.years.as_slice()) {
        (Some(of_month), _) => {
            let list: Vec<String> = MONTHS.iter().zip(of_month).map(|(m, y)| format!("{m} {y}")).collect();
            list.join(", ")
        }
        (None, [one]) => one.to_string(),
        (None, [first, .., last]) => format!("{first} to {last}, {} in all", r.years.len()),
        (None, []) => "none".to_owned(),
    }
}

fn closure(r: &Report) -> String {
    let c = &r.reading.closure;
    match (&c.not_testable, c.best_shift_min, c.residual_as_read_w_per_m2) {
        (Some(why), _, _) => format!("not testable: {why}"),
        (None, Some(shift), Some(residual)) => format!(
            "global = diffuse + beam x cos(zenith) holds within {residual:.1} W/m2 as read, over {}; best fit at \
             {shift:+.0} min",
            counted(c.rows, "hour")
        ),
        _ => "not tested".to_owned(),
    }
}

fn gaps(fills: &[Fill]) -> String {
    if fills.is_empty() {
        return "none".to_owned();
    }
    let hours: usize = fills.iter().map(|f| f.hours).sum();
    let mut list: Vec<String> = fills
        .iter()
        .take(FILLS_SHOWN)
        .map(|f| {
            let how = match f.how {
                How::Bridged => "bridged",
                How::NeighbouringDays => "from neighbouring days",
            };
            format!("{} {} h of {} {how}", f.from, f.hours, f.columns.join(" and "))
        })
        .collect();
    if fills.len() > FILLS_SHOWN {
        list.push(format!("and {} more (all are in the JSON)", fills.len() - FILLS_SHOWN));
    }
    format!("{} filled, {hours} h in all: {}", fills.len(), list.join("; "))
}

fn row(name: &str, m: &Month, system: System) -> Vec<String> {
    let sun = |x: Option<f64>| x.map_or_else(|| "-".to_owned(), |x| format!("{x:.2}"));
    let t = |degc: f64| column_number(degc, Quantity::Temperature, system);
    vec![
        name.to_owned(),
        sun(Some(m.ghi_kwh_per_m2_day)),
        sun(m.dni_kwh_per_m2_day),
        sun(m.dhi_kwh_per_m2_day),
        m.clearness.map_or_else(|| "-".to_owned(), |x| format!("{x:.3}")),
        t(m.air_degc),
        t(m.lowest_degc),
        t(m.highest_degc),
    ]
}

fn freezing(degc_days: f64, system: System) -> String {
    match system {
        System::Si => format!("{degc_days:.0} °C days"),
        System::Us => format!("{:.0} °F days", degc_days * 1.8),
    }
}
