//! The days ahead from today's level.

use dryspell::ahead::{Ahead, YearAhead};
use dryspell::calendar::Day;
use dryspell::reliability::{haul::Haul, interval::Level};
use schemars::JsonSchema;
use serde::Serialize;

use super::{About, Ends};
use crate::ahead::{CAUTIONS, Order, Page, answer, within};

/// What `dryspell ahead --json` writes: from today's level through every year of the record.
#[derive(Debug, Serialize, JsonSchema)]
pub struct AheadAnswer {
    /// Name and version of this shape.
    schema: &'static str,
    /// The answer in words.
    answer: String,
    /// The scheme, and what the answer rests on.
    scheme: About,
    /// First day ahead, month and day.
    on: String,
    /// Days ahead, the first among them.
    days: usize,
    /// Usable water in each tank at the start, m3.
    levels: Vec<LevelTold>,
    /// Sun of the first days by a forecast, kWh/m2 each on the level; empty without.
    forecast_kwh_per_m2: Vec<f64>,
    /// Days from the order of a haul to the water in the tank.
    notice_days: usize,
    /// Kind of years: calendar, typical, synthetic or projected.
    years_kind: &'static str,
    /// Years of the record that end before the last day ahead, and are left out.
    years_left_out: usize,
    /// The cases: first as the scheme says, then with panels swept or under snow.
    cases: Vec<CaseTold>,
    /// What has to be said under every answer of days ahead.
    cautions: [&'static str; 4],
}

/// A tank and its level.
#[derive(Debug, Serialize, JsonSchema)]
struct LevelTold {
    /// The tank.
    tank: String,
    /// Usable water in it, m3.
    level_m3: f64,
    /// Usable water when full, m3.
    full_m3: f64,
}

/// One case.
#[derive(Debug, Serialize, JsonSchema)]
struct CaseTold {
    /// What it is.
    name: String,
    /// The pass that the counts come from: columns or march.
    answers_by: &'static str,
    /// How many years have a day of shortfall within so many days.
    within: Vec<WithinTold>,
    /// Lowest level of each day ahead over the years.
    fan: Vec<FanTold>,
    /// Each year.
    years: Vec<YearTold>,
}

/// Years short within some days.
#[derive(Debug, Serialize, JsonSchema)]
struct WithinTold {
    /// Days, the first among them.
    days: usize,
    /// Years with a day of shortfall within them.
    years_short: usize,
    /// Years in all.
    years: usize,
    /// 95 % interval for the chance, percent (Clopper and Pearson); null of fewer than ten years, or where they are no calendar years.
    chance_percent: Option<Ends>,
}

/// The lowest level of a day over the years, m3.
#[derive(Debug, Serialize, JsonSchema)]
struct FanTold {
    /// Month and day.
    date: String,
    /// In the driest year.
    least_m3: f64,
    /// One year in ten lies at or below; null of fewer than ten years.
    tenth_m3: Option<f64>,
    /// Half of the years lie at or below.
    middle_m3: f64,
    /// Nine years in ten lie at or below; null of fewer than ten years.
    ninth_m3: Option<f64>,
    /// In the wettest year.
    most_m3: f64,
}

/// One year.
#[derive(Debug, Serialize, JsonSchema)]
struct YearTold {
    /// Its first day.
    first_day: String,
    /// Its first day of shortfall; null without one.
    first_short: Option<String>,
    /// Its days of shortfall.
    short_days: usize,
    /// Lowest level, m3.
    lowest_m3: Option<f64>,
    /// Whether a day is short though the tank has water: no haul mends it.
    beyond_hauls: bool,
    /// Water to bring.
    hauls: Vec<HaulTold>,
}

/// Water to bring.
#[derive(Debug, Serialize, JsonSchema)]
struct HaulTold {
    /// The day before which it must be in the tank.
    before: String,
    /// The day by which it must be ordered: the first day ahead where it is too late by then.
    order_by: String,
    /// Days by which it comes too late if it is ordered on that day.
    days_late: usize,
    /// How much, m3.
    volume_m3: f64,
    /// Loads of the size given; null without one.
    loads: Option<u32>,
}

/// The answer.
#[must_use]
pub fn ahead_answer(p: &Page<'_>, about: About) -> AheadAnswer {
    let levels = p.plan.tanks().zip(&p.today.levels_m3).map(|(tank, level_m3)| LevelTold {
        tank: tank.name.clone(),
        level_m3: *level_m3,
        full_m3: tank.full_m3(),
    });
    AheadAnswer {
        schema: "dryspell-ahead-1",
        answer: answer(p),
        scheme: about,
        on: month_day(p, 0),
        days: p.today.days,
        levels: levels.collect(),
        forecast_kwh_per_m2: p.today.forecast_kwh_per_m2.clone(),
        notice_days: p.notice_days,
        years_kind: p.written.kind.word(),
        years_left_out: p.written.left_out,
        cases: p.cases().into_iter().map(|case| case_told(p, case.name, case.found)).collect(),
        cautions: CAUTIONS,
    }
}

fn case_told(p: &Page<'_>, name: String, found: &Ahead) -> CaseTold {
    let within = within(p.today.days).into_iter().map(|days| WithinTold {
        days,
        years_short: found.short_within(days),
        years: found.years.len(),
        chance_percent: found.chance(days, Level::default()).map(Ends::percent),
    });
    let fan = (0..p.today.days).filter_map(|at| {
        let fan = found.fan(at)?;
        Some(FanTold {
            date: month_day(p, at),
            least_m3: fan.least,
            tenth_m3: fan.tenth,
            middle_m3: fan.middle,
            ninth_m3: fan.ninth,
            most_m3: fan.most,
        })
    });
    CaseTold {
        name,
        answers_by: found.answers_by.word(),
        within: within.collect(),
        fan: fan.collect(),
        years: found.years.iter().map(|year| year_told(p, year)).collect(),
    }
}

fn year_told(p: &Page<'_>, year: &YearAhead) -> YearTold {
    let day = |at: usize| date(year.date(at));
    let haul_told = |haul: &Haul| {
        let (place, days_late) = match p.order(haul.day) {
            Order::By(place) => (place, 0),
            Order::Late(days) => (0, days),
        };
        HaulTold {
            before: day(haul.day),
            order_by: day(place),
            days_late,
            volume_m3: haul.m3,
            loads: p.loads(haul.m3),
        }
    };
    YearTold {
        first_day: date(year.first),
        first_short: year.first_short().map(day),
        short_days: year.short_days(),
        lowest_m3: year.lowest().map(|(_, m3)| m3),
        beyond_hauls: year.beyond_hauls(),
        hauls: year.hauls.iter().map(haul_told).collect(),
    }
}

fn date(day: Day) -> String {
    format!("{}-{:02}-{:02}", day.year, day.month, day.day)
}

fn month_day(p: &Page<'_>, at: usize) -> String {
    let date = p.today.on.later(at);
    format!("{:02}-{:02}", date.month, date.day)
}
