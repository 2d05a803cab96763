//! Light inside the hour: nodes against scipy, parts against parts worked out by themselves, words against the table of measured minutes.

use crate::support::data;
use crate::tmy3;
use dryspell::array::Columns;
use dryspell::calendar::{Calendar, HOURS_PER_DAY};
use dryspell::pump::{self, DutyPoint, Start};
use dryspell::record::{PartLight, Record};
use dryspell::resample::{Archive, Resampler, Settings as Blocks};
use dryspell::scheme::Scheme;
use dryspell::simulate::simulate;
use dryspell::sun::inside_hour::{Inside, InsideHour, NODES, factors, nodes};
use dryspell::sun::position::{Ephemeris, Site, julian_date, sun_position};
use dryspell::{sun, supply, worked};
use std::collections::BTreeMap;

fn rows(name: &str) -> Vec<Vec<String>> {
    let text = std::fs::read_to_string(data("reference").join(name)).unwrap();
    let mut reader = csv::Reader::from_reader(text.as_bytes());
    reader.records().map(|row| row.unwrap().iter().map(str::to_owned).collect()).collect()
}

/// Reference: `data/reference/inside_hour_nodes.py`, scipy's incomplete beta function and quadrature.
#[test]
fn nodes_are_those_of_scipy() {
    let rows = rows("inside_hour_nodes.csv");
    assert!(rows.len() >= 45, "{}", rows.len());
    for row in &rows {
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        for (i, found) in nodes(number(0), number(1)).into_iter().enumerate() {
            assert!((found - number(2 + i)).abs() < 2e-5, "{row:?}: node {i} is {found}");
        }
    }
}

#[test]
fn factors_have_a_mean_of_one_to_the_bit_and_rise() {
    for k in 0..80 {
        for sigma in 0..40 {
            let factors = factors(0.02 * f64::from(k), 0.02 * f64::from(sigma));
            assert_eq!(factors.iter().sum::<f64>(), 5.0, "{k} {sigma}: {factors:?}");
            assert!(factors.windows(2).all(|pair| pair[0] <= pair[1]), "{k} {sigma}: {factors:?}");
            assert!(factors[0] >= 0.0, "{k} {sigma}: {factors:?}");
        }
    }
}

/// A pump on a duty table, whose hours stand alone.
fn pump() -> supply::Settings {
    let point = |head_m: f64, power_w: f64, flow_m3_per_h: f64| DutyPoint { head_m, power_w, flow_m3_per_h };
    let table = vec![
        point(10.0, 120.0, 0.3),
        point(10.0, 300.0, 1.2),
        point(10.0, 500.0, 1.6),
        point(60.0, 200.0, 0.2),
        point(60.0, 400.0, 0.9),
        point(60.0, 600.0, 1.2),
    ];
    let mut settings =
        supply::Settings { pump: pump::Settings::duty(table, Start::Zero), ..Default::default() };
    settings.well.static_level_m = [25.0; 12];
    settings
}

#[test]
fn an_hour_is_the_mean_of_its_parts_each_worked_out_alone() {
    let calendar = Calendar::year(2001);
    let power = |h: usize, part: usize| -> f64 {
        if (8..17).contains(&(h % 24)) { 37.0 * ((h * 7 + part * 5) % 17) as f64 } else { 0.0 }
    };
    let column = |part: usize| -> Vec<f64> { (0..8760).map(|h| power(h, part)).collect() };
    let parts: Vec<Columns> =
        (0..4).map(|part| Columns { array_w: column(part), ..Columns::default() }).collect();
    let mean_w: Vec<f64> = (0..8760).map(|h| (0..4).map(|part| power(h, part)).sum::<f64>() / 4.0).collect();
    let source = supply::Source { parts: &parts, ..supply::Source::from(&mean_w) };
    let found = supply::supply(&pump(), source, &calendar).unwrap();
    let alone: Vec<Vec<f64>> =
        (0..4).map(|part| supply::supply(&pump(), &column(part), &calendar).unwrap().available_m3).collect();
    let by_mean = supply::supply(&pump(), &mean_w, &calendar).unwrap().available_m3;
    let mut apart = 0;
    for h in 0..8760 {
        let expected = alone.iter().map(|part| part[h]).sum::<f64>() / 4.0;
        assert!(
            (found.available_m3[h] - expected).abs() < 1e-12,
            "{h}: {} and {expected}",
            found.available_m3[h]
        );
        apart += usize::from((by_mean[h] - expected).abs() > 0.01);
    }
    // The mean's water is another: the test sees a difference.
    assert!(apart > 1000, "{apart}");
    found.ledger.close().unwrap();
    // On paper, the parts of one hour sum to it.
    let system = supply::System::new(&pump()).unwrap();
    let of_hour = system.parts_of(source, &calendar, 12).unwrap();
    assert_eq!(of_hour.len(), 4);
    let sum: f64 = of_hour.iter().map(|part| part.available_m3).sum();
    assert!((sum - found.available_m3[12]).abs() < 1e-12);
    assert!(system.parts_of(source, &calendar, 2).unwrap().is_empty(), "nights have no parts");
}

/// A year with the hour's light in each of its six parts.
fn ten_minutes() -> Record {
    let record = tmy3::read(&data("weather/723170TYA.CSV"));
    let part = PartLight {
        ghi_w_per_m2: record.ghi_w_per_m2.clone(),
        dni_w_per_m2: record.dni_w_per_m2.clone(),
        dhi_w_per_m2: record.dhi_w_per_m2.clone(),
    };
    Record { parts: vec![part; 6], ..record }
}

#[test]
fn each_part_of_an_hour_has_its_own_sun() {
    let record = ten_minutes();
    let sky = sun::sky(&sun::Settings::default(), &record).unwrap();
    let Inside::Steps(parts) = &sky.inside else { panic!("no steps") };
    assert_eq!(parts.len(), 6);
    let site = Site::new(&record.place);
    let mut ephemeris = Ephemeris::default();
    for h in 0..record.hours() {
        let lit = parts.iter().map(|part| part.lit_fraction[h]).sum::<f64>() / 6.0;
        assert!((lit - sky.lit_fraction[h]).abs() < 2e-4, "{h}: {lit} and {}", sky.lit_fraction[h]);
        if h % 37 != 0 || !parts.iter().all(|part| part.lit_fraction[h] >= 1.0) {
            continue;
        }
        let date = record.calendar.day_of(h).date().unwrap();
        for (k, part) in parts.iter().enumerate() {
            let minute = f64::from(record.calendar.start_minute_of_day(h)) + 10.0 * k as f64 + 5.0
                - 60.0 * record.place.utc_offset_h;
            let there = sun_position(&mut ephemeris, &site, julian_date(date, minute)).unwrap();
            assert!((there.zenith_deg - part.zenith_deg[h]).abs() < 2e-3, "{h} {k}");
        }
    }
}

/// The plan of the demo with how its light moves inside the hour.
fn demo(inside: &str) -> dryspell::plan::Plan {
    let text = std::fs::read_to_string(data("demo/scheme.toml")).unwrap();
    let text = text.replacen("[site]\n", &format!("[site]\ninside_hour = \"{inside}\"\n"), 1);
    Scheme::from_toml(&text).unwrap().plan()
}

#[test]
fn the_distribution_keeps_the_light_of_the_hour_and_a_record_of_hours_has_no_steps() {
    let record = tmy3::read(&data("weather/703165TY.csv"));
    let mean = simulate(&demo("hourly mean"), &record).unwrap();
    let measured = simulate(&demo("as measured"), &record).unwrap();
    let spread = simulate(&demo("distribution"), &record).unwrap();
    assert_eq!(mean.supply.available_m3, measured.supply.available_m3);
    assert_eq!(spread.array.parts.len(), NODES);
    for h in 0..record.hours() {
        let (a, b) = (mean.array.plane_w_per_m2[h], spread.array.plane_w_per_m2[h]);
        assert!((a - b).abs() <= 1e-9 * (1.0 + a), "{h}: {a} and {b}");
    }
    // Bright minutes of dull hours start the pump where the mean does not.
    let running =
        |run: &dryspell::simulate::Run| run.supply.available_m3.iter().filter(|m3| **m3 > 0.0).count();
    assert!(running(&spread) > running(&mean) + 50, "{} and {}", running(&spread), running(&mean));
    // On paper: five parts, and their sum.
    let h = (8016..8760)
        .find(|h| {
            let part_w = |part: usize| spread.array.parts[part].array_w[*h];
            spread.supply.available_m3[*h] > 0.1 && (part_w(0) - part_w(4)).abs() > 1.0
        })
        .unwrap();
    let sections = worked::hour(&spread, &record, h).unwrap();
    let inside = sections.iter().find(|s| s.title.starts_with("THE LIGHT INSIDE THE HOUR")).unwrap();
    let value = |symbol: &str| inside.steps.iter().find(|s| s.symbol == symbol).unwrap().value;
    assert!((value("V") - spread.supply.available_m3[h]).abs() < 1e-9);
    let sum: f64 = (1..=5).map(|n| value(&format!("P{n}"))).sum();
    assert!((sum / 5.0 - spread.array.array_w[h]).abs() < 1e-9);
}

#[test]
fn made_years_have_the_parts_of_their_days() {
    let mut record = ten_minutes();
    let scale = [0.4, 1.6, 0.7, 1.3, 0.9, 1.1];
    for (part, factor) in record.parts.iter_mut().zip(scale) {
        part.ghi_w_per_m2.iter_mut().for_each(|w| *w *= factor);
    }
    let archive = Archive::of(&record).unwrap();
    let made = Resampler::of_all(&archive, Blocks::default(), 3).unwrap().year(0).unwrap();
    assert_eq!(made.parts.len(), 6);
    let mut lit = 0;
    for h in (0..made.hours()).filter(|h| made.ghi_w_per_m2[*h] > 50.0) {
        lit += 1;
        for (part, factor) in made.parts.iter().zip(scale) {
            let share = part.ghi_w_per_m2[h] / made.ghi_w_per_m2[h];
            assert!((share - factor).abs() < 1e-9 || (share - 1.0).abs() < 1e-9, "{h}: {share}");
        }
    }
    assert!(lit > 3000, "{lit}");
    made.check().unwrap();
    let brighter = record.with_light(1.5);
    assert!((brighter.parts[0].ghi_w_per_m2[12] - 1.5 * record.parts[0].ghi_w_per_m2[12]).abs() < 1e-9);
    let joined = Record::join(&[record.clone(), record.clone()]).unwrap();
    assert_eq!(joined.parts[3].ghi_w_per_m2.len(), 2 * 365 * HOURS_PER_DAY);
    joined.check_lengths().unwrap();
    assert!(InsideHour::default().is_usual());
}

/// The figures in the words of the report and of the guide are those of the committed table.
#[test]
fn what_is_told_of_the_error_is_what_was_measured() {
    let mut all: BTreeMap<(String, String), Vec<f64>> = BTreeMap::new();
    let mut dull: BTreeMap<(String, String), Vec<f64>> = BTreeMap::new();
    for row in rows("inside_hour.csv") {
        let key = (row[1].clone(), row[2].clone());
        all.entry(key.clone()).or_default().push(row[3].parse().unwrap());
        dull.entry(key).or_default().push(row[4].parse().unwrap());
    }
    let range = |loads: &[&str], by: &str, of: &BTreeMap<(String, String), Vec<f64>>| {
        let values: Vec<f64> =
            loads.iter().flat_map(|load| &of[&((*load).to_owned(), by.to_owned())]).copied().collect();
        assert_eq!(values.len(), 3 * loads.len(), "three places");
        let ends = (
            values.iter().copied().fold(f64::MAX, f64::min),
            values.iter().copied().fold(f64::MIN, f64::max),
        );
        (ends.0.round() + 0.0, ends.1.round() + 0.0)
    };
    let (low, mid) = ("tracker, start 300 W/m2", "tracker, start 400 W/m2");
    assert_eq!(range(&[low, mid], "hourly means", &all), (-8.0, 0.0));
    assert_eq!(range(&["tracker, start 500 W/m2"], "hourly means", &all), (-13.0, -5.0));
    assert_eq!(range(&[low, mid], "hourly means", &dull).0, -100.0);
    assert_eq!(range(&["booster"], "hourly means", &all), (1.0, 2.0));
    assert_eq!(range(&["booster"], "hourly means", &dull), (0.0, 2.0));
    assert_eq!(range(&["direct"], "hourly means", &all), (-31.0, -13.0));
    assert_eq!(range(&["direct"], "hourly means", &dull), (-100.0, -100.0));
    assert_eq!(range(&[low, mid], "distribution", &all), (-2.0, 1.0));
    assert_eq!(range(&["direct"], "distribution", &all), (-11.0, -3.0));
    // Better than means in the water of all days, for every load and place that did not tune it.
    for ((load, by), values) in &all {
        if by == "distribution" {
            for (ours, mean) in values.iter().zip(&all[&(load.clone(), "hourly means".to_owned())]) {
                assert!(ours.abs() <= mean.abs(), "{load}: {ours} and {mean}");
            }
        }
    }
    let guide = std::fs::read_to_string(data("../crates/dryspell-cli/docs/weather.md")).unwrap();
    let cell = |row: &[String]| {
        let signed = |text: String| {
            let bare = text.trim_start_matches('-').to_owned();
            if bare.parse::<f64>().unwrap() == 0.0 {
                bare
            } else if text.starts_with('-') {
                format!("−{bare}")
            } else {
                format!("+{bare}")
            }
        };
        let number = |i: usize| row[i].parse::<f64>().unwrap();
        format!("{} ({})", signed(format!("{:.1}", number(3))), signed(format!("{:.0}", number(4))))
    };
    for rows in rows("inside_hour.csv").chunks(5) {
        let cells: Vec<String> = rows.iter().map(|row| cell(row)).collect();
        let line =
            format!("| {} | {} | {} |", rows[0][0], rows[0][1].replace("W/m2", "W/m²"), cells.join(" | "));
        assert!(guide.contains(&line), "the guide lacks {line}");
    }
    let record = tmy3::read(&data("weather/703165TY.csv"));
    for (inside, told) in [
        (
            "hourly mean",
            "this took 0 to 8 % of a month's water for a start at 30 to 40 % of full sun, 5 to 13 % at half",
        ),
        ("distribution", "the water of a month was 2 % low to 1 % high for starts up to 40 % of full sun"),
    ] {
        let run = simulate(&demo(inside), &record).unwrap();
        let list = dryspell::results::simplifications(&run).join("\n");
        assert!(list.contains(told), "{list}");
    }
}
