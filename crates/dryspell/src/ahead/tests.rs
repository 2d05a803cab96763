#![allow(clippy::unwrap_used, reason = "tests")]

use super::*;
use crate::edition::EditionRef;
use crate::plan::OwnColumns;
use crate::simulate::simulate;
use crate::tank;

const DAYS: usize = 3 * 365;

/// Three years from 1 January 2001 in which the days' water depends on `m3_per_day`; the herd wants 1 m³ a day.
fn plan(m3_per_day: impl Fn(usize) -> f64, full_m3: f64) -> (Plan, Record) {
    let hours = DAYS * 24;
    let available = (0..hours).map(|h| m3_per_day(h / 24) / 24.0).collect();
    let plan = Plan::of_columns(available, vec![1.0 / 24.0; hours], tank::Settings::open("main", full_m3));
    let calendar = Calendar::starting(Day { year: 2001, month: 1, day: 1 }, DAYS);
    (plan, Record::without_weather(calendar))
}

fn ahead(plan: &Plan, record: &Record, today: &Today) -> Result<Ahead, Faults> {
    DaysAhead::new(record, today.clone())?.through(plan)
}

fn today(level_m3: f64, days: usize) -> Today {
    Today {
        on: MonthDay { month: 12, day: 1 },
        levels_m3: vec![level_m3],
        days,
        forecast_kwh_per_m2: Vec::new(),
    }
}

#[test]
fn without_inflow_every_year_ends_as_the_division_says() {
    let (plan, record) = plan(|_| 0.0, 20.0);
    let found = ahead(&plan, &record, &today(6.5, 30)).unwrap();
    assert_eq!((found.years.len(), found.left_out), (3, 0));
    for year in &found.years {
        // 6.5 m³ serve six days and half of the seventh.
        assert_eq!(year.first_short(), Some(6));
        assert_eq!(year.short_days(), 24);
        // 23.5 m³ are missing, and the tank holds 20.
        let hauls: Vec<(usize, f64)> = year.hauls.iter().map(|haul| (haul.day, haul.m3)).collect();
        assert_eq!(hauls.len(), 2);
        assert!((year.haul_m3() - 23.5).abs() < 1e-3, "{hauls:?}");
    }
    assert_eq!(found.short_within(6), 0);
    assert_eq!(found.short_within(7), 3);
}

#[test]
fn a_start_whose_days_outlast_the_record_is_left_out_and_counted() {
    let (plan, record) = plan(|_| 0.0, 20.0);
    let found = ahead(&plan, &record, &today(6.5, 40)).unwrap();
    assert_eq!((found.years.len(), found.left_out), (2, 1));
    // The third 1 December lies 31 days before the record's end.
    assert_eq!(ahead(&plan, &record, &today(6.5, 31)).unwrap().left_out, 0);
}

#[test]
fn a_full_tank_goes_the_way_of_the_record_itself() {
    // Each year is full on 1 December; from there the levels must be the run's own.
    let (plan, record) = plan(|day| if day % 365 < 334 { 2.0 } else { 0.4 }, 10.0);
    let run = simulate(&plan, &record).unwrap();
    let found = ahead(&plan, &record, &today(10.0, 31)).unwrap();
    for (number, year) in found.years.iter().enumerate() {
        let start = number * 365 + 334;
        assert_eq!(year.days.len(), 31);
        for (at, day) in year.days.iter().enumerate() {
            assert_eq!(*day, run.days[start + at]);
        }
    }
}

#[test]
fn with_the_hauls_brought_no_day_is_short_and_a_twentieth_less_is_too_little() {
    // Water comes on some days only, so that the tank fills and empties again.
    let water = |day: usize| if day % 11 < 4 { 2.2 } else { 0.1 };
    let (plan, record) = plan(water, 5.0);
    let found = ahead(&plan, &record, &today(1.0, 31)).unwrap();
    let upstream = Memo::default().driven(&plan, EditionRef::new(&record)).unwrap();
    let with = |share: f64| {
        let mut puts = Vec::new();
        for (number, year) in found.years.iter().enumerate() {
            let start = number * 365 + 334;
            puts.push(Put { day: start, water: Water::Levels(vec![1.0]) });
            puts.extend(year.hauls.iter().map(|haul| Put {
                day: start + haul.day,
                water: Water::Brought { tank: 0, m3: share * haul.m3 },
            }));
        }
        let days = from_levels(&upstream, &plan, &puts).unwrap().days;
        (0..3).map(|number| days[number * 365 + 334..][..31].iter().filter(|d| d.shortfall).count()).sum()
    };
    let (enough, less): (usize, usize) = (with(1.0), with(0.95));
    let without: usize = found.years.iter().map(YearAhead::short_days).sum();
    assert!(without > 5, "{without}");
    // A step of the grid may be missing to rounding.
    assert_eq!(with(1.0001), enough);
    assert_eq!(enough, 0);
    assert!(less > 0, "{less}");
}

#[test]
fn a_year_that_repeats_is_one_start_and_goes_on_behind_its_end() {
    let (plan, record) = plan(|_| 0.0, 50.0);
    let one = crate::resample::years::sub_record(&record, &[0]).unwrap();
    let of_year = |column: &Edition<Vec<f64>>| Edition::new(column[..8760].to_vec());
    let columns = OwnColumns {
        available_m3: plan.columns.available_m3.as_ref().map(of_year),
        demand_m3: plan.columns.demand_m3.as_ref().map(of_year),
    };
    let found = ahead(&Plan { columns, ..plan }, &one, &today(40.5, 60)).unwrap();
    assert_eq!((found.years.len(), found.left_out), (1, 0));
    assert_eq!(found.years[0].first_short(), Some(40));
    assert_eq!(found.years[0].first, Day { year: 2001, month: 12, day: 1 });
}

#[test]
fn the_fan_is_levels_that_some_year_had() {
    let year = |level: f64| YearAhead {
        first: Day { year: 2001, month: 12, day: 1 },
        days: vec![DayFigures { lowest_m3: level, ..DayFigures::default() }],
        hauls: Vec::new(),
    };
    let of = |levels: &[f64]| Ahead {
        years: levels.iter().map(|level| year(*level)).collect(),
        left_out: 0,
        kind: YearKind::Calendar,
        answers_by: AnswersBy::Columns,
    };
    let ten = of(&[3.0, 1.0, 2.0, 4.0, 5.0, 9.0, 8.0, 7.0, 6.0, 10.0]).fan(0).unwrap();
    assert_eq!(
        (ten.least, ten.tenth, ten.middle, ten.ninth, ten.most),
        (1.0, Some(1.0), 5.0, Some(9.0), 10.0)
    );
    let three = of(&[3.0, 1.0, 2.0]).fan(0).unwrap();
    assert_eq!(
        (three.least, three.tenth, three.middle, three.ninth, three.most),
        (1.0, None, 2.0, None, 3.0)
    );
}

#[test]
fn chances_are_told_of_ten_calendar_years_or_more() {
    let year = YearAhead {
        first: Day { year: 2001, month: 12, day: 1 },
        days: vec![DayFigures { shortfall: true, stock: true, ..DayFigures::default() }],
        hauls: Vec::new(),
    };
    let of = |years: usize, kind: YearKind| Ahead {
        years: vec![year.clone(); years],
        left_out: 0,
        kind,
        answers_by: AnswersBy::Columns,
    };
    assert_eq!(of(9, YearKind::Calendar).chance(5, Level::default()), None);
    assert_eq!(of(30, YearKind::Synthetic).chance(5, Level::default()), None);
    // Ten of ten: the lower end is 0.025 to the power of a tenth (Clopper and Pearson 1934).
    let found = of(10, YearKind::Calendar).chance(5, Level::default()).unwrap();
    assert!((found.low - libm::pow(0.025, 0.1)).abs() < 1e-9 && found.high >= 1.0);
}

#[test]
fn nobody_sweeps_while_the_snow_lies_and_all_else_is_swept_as_the_scheme_says() {
    let date = |month, day| MonthDay { month, day };
    let span = |from, to| DateSpan { from, to };
    let (mut plan, _) = plan(|_| 0.0, 20.0);
    plan.array.snow.swept = vec![span(date(11, 20), date(3, 10)), span(date(5, 1), date(5, 1))];
    let snow = under_snow(&plan, date(12, 28), 7).array.snow;
    assert_eq!(snow.covered, [span(date(12, 28), date(1, 3))]);
    assert_eq!(
        snow.swept,
        [span(date(1, 4), date(3, 10)), span(date(5, 1), date(5, 1)), span(date(11, 20), date(12, 27)),]
    );
}

#[test]
fn what_cannot_be_is_refused() {
    let (plan, record) = plan(|_| 0.0, 20.0);
    let refused = |today: &Today| ahead(&plan, &record, today).unwrap_err().to_string();
    assert!(refused(&today(20.5, 30)).contains("0 to 20 m3"));
    assert!(refused(&today(f64::NAN, 30)).contains("0 to 20 m3"));
    assert!(refused(&today(5.0, 0)).contains("1 to 180"));
    let leap = Today { on: MonthDay { month: 2, day: 29 }, ..today(5.0, 30) };
    assert!(refused(&leap).contains("29 February: 28 February"));
    let sun = Today { forecast_kwh_per_m2: vec![14.0], ..today(5.0, 30) };
    assert!(refused(&sun).contains("0 to 13 kWh/m2"));
}
