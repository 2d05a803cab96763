//! The shipped jobs (`data/demo/jobs`): each is answered without a fault, and what is said to hold the water back is what a
//! calculation by hand says. The hand has the light on the panels hour by hour and the numbers of the scheme, nothing else.

use std::ops::Range;

use serde_json::Value;

use crate::document::words;
use crate::program::run_in;
use crate::support::root;

/// The dates with snow that most of the jobs have.
const SNOW: [Range<&str>; 2] = ["12-18".."12-20", "01-23".."01-26"];

/// Water weighs this, N/m³ (9.80665 m/s², 1000 kg/m³).
const WEIGHT_N_PER_M3: f64 = 9806.65;

/// A job's answer and the hours in which it was decided.
struct Job {
    name: &'static str,
    out: String,
    json: Value,
    /// The hours from full to deepest.
    hours: Vec<Hour>,
    /// Days with snow on the panels: the first, and the day after the last.
    snow: Vec<Range<String>>,
}

/// What the hand knows of an hour.
#[derive(Clone)]
struct Hour {
    /// As `12-18`.
    date: String,
    /// Whether the sun is up.
    sun_up: bool,
    /// Light on the plane of the panels, snow on them or not, W/m².
    light: f64,
}

/// A job, and the dates on which the scheme has snow on its panels.
fn job(name: &'static str, snow: &[Range<&str>]) -> Job {
    let folder = tempfile::tempdir().unwrap();
    let (hours, json) = (folder.path().join("hours.csv"), folder.path().join("run.json"));
    let scheme = format!("data/demo/jobs/{name}.toml");
    let (hours_arg, json_arg) = (hours.to_str().unwrap(), json.to_str().unwrap());
    let answer = run_in(&root(), &["run", &scheme, "--hourly", hours_arg, "--json", json_arg]);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{name}: {}", answer.out);
    let json: Value = serde_json::from_str(&std::fs::read_to_string(json).unwrap()).unwrap();
    let mut reader = csv::Reader::from_path(hours).unwrap();
    let columns = reader.headers().unwrap().clone();
    let at = |name: &str| columns.iter().position(|column| column == name).unwrap();
    let (start, ghi, plane) = (at("start"), at("ghi_w_per_m2"), at("plane_w_per_m2"));
    let rows: Vec<Hour> = reader
        .records()
        .map(|row| {
            let row = row.unwrap();
            let light = |column: usize| row[column].parse::<f64>().unwrap();
            Hour { date: row[start][5..10].to_owned(), sun_up: light(ghi) > 0.0, light: light(plane) }
        })
        .collect();
    let why = &json["why"];
    let number = |key: &str| usize::try_from(why[key].as_u64().unwrap()).unwrap();
    // The tank's year may go over the end of the record.
    let hours =
        (0..number("hours")).map(|hour| rows[(number("first_hour") + hour) % rows.len()].clone()).collect();
    let snow = snow.iter().map(|days| days.start.to_owned()..days.end.to_owned()).collect();
    Job { name, out: answer.out, json, hours, snow }
}

impl Job {
    fn why(&self, key: &str) -> f64 {
        self.json["why"][key].as_f64().unwrap()
    }

    /// What held the water back most: its name, m³ and hours.
    fn first_limit(&self) -> (&str, f64, f64) {
        let first = &self.json["why"]["held_back"][0];
        (first["by"].as_str().unwrap(), first["m3"].as_f64().unwrap(), first["hours"].as_f64().unwrap())
    }

    /// The same on the screen, as the first row of the table.
    fn first_limit_on_screen(&self) -> &str {
        let (_, table) = self.out.split_once("held back by").unwrap();
        table.lines().nth(1).unwrap().trim()
    }

    fn covered(&self, hour: &Hour) -> bool {
        self.snow.iter().any(|days| {
            if days.start < days.end {
                days.contains(&hour.date)
            } else {
                hour.date >= days.start || hour.date < days.end
            }
        })
    }

    /// Hours by day in which the panels are free and have less light than this.
    fn hours_below(&self, w_per_m2: f64) -> f64 {
        count(
            self.hours
                .iter()
                .filter(|hour| hour.sun_up && hour.light < w_per_m2 && !self.covered(hour))
                .count(),
        )
    }

    /// Hours by day with snow on the panels.
    fn hours_covered(&self) -> f64 {
        count(self.hours.iter().filter(|hour| hour.sun_up && self.covered(hour)).count())
    }

    /// Within a share of what the hand finds: for what it leaves out (oblique light, cable, friction in the pipes, the heat of
    /// the cells beyond the one that it takes).
    fn near(&self, what: &str, found: f64, by_hand: f64, within: f64) {
        let apart = (found / by_hand - 1.0).abs();
        assert!(apart <= within, "{}, {what}: {found}, by hand {by_hand}", self.name);
    }
}

fn count(hours: usize) -> f64 {
    f64::from(u32::try_from(hours).unwrap())
}

#[test]
fn a_brushed_pump_wired_straight_waits_for_its_starting_current() {
    let job = job("straight", &SNOW);
    // Torque to start: breakaway, and the water at 18 m on 6.5 mL a turn; over the torque constant the current, over the
    // module's 5.1 A the light. 3 % dirt; cells at −1 °C give 26 K × 0.05 % less current.
    let torque_n_m = 0.2 + 6.5e-6 / std::f64::consts::TAU * WEIGHT_N_PER_M3 * 18.0;
    let start = 1000.0 * torque_n_m / 0.115 / 5.1 / 0.97 / (1.0 - 26.0 * 0.0005);
    job.near("start", job.why("starts_at_w_per_m2"), start, 0.03);
    let (by, _, hours) = job.first_limit();
    assert_eq!(by, "sun below start");
    job.near("hours below start", hours, job.hours_below(start), 0.02);
    assert!(job.hours_below(start) > 10.0 * job.hours_covered(), "by hand snow is the lesser");
    // What the hand concludes: a booster mends it.
    assert!(
        job.out.contains("coupling: linear current booster instead of direct           0"),
        "{}",
        job.out
    );
}

#[test]
fn of_eighty_pairs_on_a_weak_well_the_well_gives_the_least() {
    let job = job("eighty_pairs", &SNOW);
    // 14 m down to the pump, of which 2 m stay above it, at half a litre a minute for each metre of drawdown.
    let well = (52.0 - 2.0 - 38.0) * 0.5;
    // The pump alone: the table, whose greatest flow is 25 L/min at its end of 80 m, is not reached at this head; each litre
    // a minute draws the water down 2 m, so flow stops growing where 38 m, 4 m of rise, the drawdown and a metre of friction
    // make 80 m.
    let pump = (80.0 - 38.0 - 4.0 - 1.0) * 0.5;
    let (by, m3, hours) = job.first_limit();
    assert_eq!(by, "well");
    assert_eq!(hours, job.why("lit_hours"), "a strong pump is held back in every hour of light");
    job.near("held back by the well", m3, (pump - well) * 0.06 * hours, 0.05);
    assert!(
        m3 > 2.0 * (job.why("at_full_input_m3") - job.why("pumped_m3")),
        "by hand: more than all the sun could add"
    );
}

#[test]
fn a_pump_by_its_flyer_wants_more_light_than_winter_has() {
    let job = job("flyer", &SNOW);
    // At the head of 66 ft the flyer's current, by line between its two rows, at 24 V; the controller passes 95 %. Two
    // modules of 100 W, 3 % dirt, 2 % mismatch; cells at −7 °C give 32 K × 0.45 % more
    // (common practice, no source).
    let watts = 24.0 * (4.0 + (66.0 - 30.0) / 200.0 * 5.0) / 0.95;
    let full = 1000.0 * watts / (200.0 * 0.97 * 0.98 * (1.0 + 32.0 * 0.0045));
    job.near("full flow", job.why("full_from_w_per_m2"), full, 0.03);
    let (by, _, hours) = job.first_limit();
    assert_eq!(by, "sun below full flow");
    job.near("hours below full flow", hours, job.hours_below(full), 0.05);
    assert!(job.hours_below(full) > 2.0 * job.hours_covered(), "by hand snow is the lesser");
    // The range that the one voltage leaves open is told.
    assert!(
        words(&job.out).contains("with what the head takes of the flow the same at every voltage: 8 days"),
        "{}",
        job.out
    );
}

#[test]
fn of_a_climate_with_three_weeks_of_snow_the_snow_costs_most() {
    let job = job("monthly_means", &["12-20".."01-10"]);
    // The table's greatest flows, 28 L/min at 20 m and 17 L/min at 50 m, at 27 m, 3 m of drawdown and a metre of friction.
    let flow = 28.0 - 11.0 * (27.0 + 3.0 + 1.0 - 20.0) / 30.0;
    let (by, m3, hours) = job.first_limit();
    assert_eq!(by, "snow on the panels");
    job.near("hours covered", hours, job.hours_covered(), 0.001);
    job.near("water lost to snow", m3, flow * 0.06 * hours, 0.03);
    assert!(hours > 0.8 * job.why("lit_hours"), "by hand: most of the light fell on snow");
    assert!(job.out.contains("Synthetic years: they prove nothing about real years."));
}

#[test]
fn a_thin_pass_meets_its_goal_and_says_what_is_nearest_to_breaking_it() {
    let job = job("us_grant", &SNOW);
    // The least power in the maker's table, between its two heads at 85 ft; two modules of 302 W, 2 % dirt, 2 % mismatch,
    // 96 % through the controller, cells at −7 °C 32 K × 0.4 % more (the power's coefficient of
    // such modules: common practice, no source).
    let watts = 45.0 + (85.0 - 66.0) / (115.0 - 66.0) * 25.0;
    let start = 1000.0 * watts / (2.0 * 9.05 * 33.4 * 0.98 * 0.98 * 0.96 * (1.0 + 32.0 * 0.004));
    job.near("start", job.why("starts_at_w_per_m2"), start, 0.06);
    let (by, _, hours) = job.first_limit();
    assert_eq!(by, "sun below start");
    job.near("hours below start", hours, job.hours_below(start), 0.06);
    assert_eq!(job.json["goal_met"], true);
    let screen = words(&job.out);
    assert!(
        screen.contains("GOAL MET") && screen.contains("lowest level at least 200 gal 422 gal +222 gal MET"),
        "{screen}"
    );
    let folder = tempfile::tempdir().unwrap();
    let page = folder.path().join("page.html");
    let asked = ["summary", "data/demo/jobs/us_grant.toml", "--out", page.to_str().unwrap()];
    let answer = run_in(&root(), &asked);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
    let text = crate::document::plain(&std::fs::read_to_string(page).unwrap());
    assert!(text.contains("driller's log (invented)") && text.contains("A. Applicant (invented)"));
}

/// Of the six pumps: `choose.rs` holds every figure against a run by hand. Here, whom a hand would leave out.
#[test]
fn of_six_pumps_the_one_for_shallow_wells_is_left_out() {
    let pumps = "data/demo/jobs/six_pumps";
    let asked =
        ["choose", "data/demo/scheme.toml", "--pumps", pumps, "--array", "array.shed.series = 1 to 4 by 1"];
    let answer = run_in(&root(), &asked);
    assert_eq!((answer.code, answer.err.as_str()), (0, ""), "{}", answer.out);
    let page = words(&answer.out);
    // Well at 23 m and inlet at 6 m; its table ends at 18 m.
    assert!(page.contains("with Low: pump.duty: static head 29.00 m in September"), "{page}");
    assert!(page.starts_with(
        "Tarn by maximum power tracking with array.shed.series = 2 (2 modules) leaves no day short"
    ));
}

/// What the screen says first is what the JSON has first, for every job.
#[test]
fn screen_and_json_name_the_same_limit() {
    for name in ["straight", "eighty_pairs", "flyer", "monthly_means", "us_grant"] {
        let job = job(name, &[]);
        assert!(
            job.first_limit_on_screen().starts_with(job.first_limit().0),
            "{name}: {}",
            job.first_limit_on_screen()
        );
    }
}
