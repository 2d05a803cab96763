use super::*;
use crate::calendar::Calendar;
use crate::record::{Place, YearKind};
use proptest::prelude::*;

const GARDEN: Garden = Garden {
    name: String::new(),
    area_m2: 100.0,
    growth: Growth::Season { dates: Vec::new(), kc: 1.0 },
    efficiency: 0.8,
    hours: [false; 24],
    soil_holds_mm: 20.0,
    method: Method::Daily,
    tank: None,
};

/// So many days of July with a day's swing of sun and temperature.
fn record(days: usize, rain_mm: Option<Vec<f64>>) -> Record {
    let calendar = Calendar::new(Calendar::year(2023).days()[181..181 + days].to_vec(), 0);
    let hours = calendar.hours();
    let each = |f: &dyn Fn(usize) -> f64| (0..hours).map(|h| f(h % 24)).collect::<Vec<f64>>();
    Record {
        place: Place {
            name: "Invented".into(),
            latitude_deg: 45.0,
            longitude_deg: -105.0,
            elevation_m: 1000.0,
            utc_offset_h: -7.0,
        },
        kind: YearKind::Typical,
        ghi_w_per_m2: each(&|h| if (6..18).contains(&h) { 500.0 } else { 0.0 }),
        air_degc: each(&|h| if (9..18).contains(&h) { 26.0 } else { 14.0 }),
        wind_m_per_s: Some(vec![3.0; hours]),
        precipitation_mm: rain_mm,
        relative_humidity: Some(each(&|h| if (9..18).contains(&h) { 0.35 } else { 0.75 })),
        ..Record::without_weather(calendar)
    }
}

fn hours(on: &[usize]) -> [bool; 24] {
    std::array::from_fn(|h| on.contains(&h))
}

fn beds() -> Garden {
    Garden { name: "beds".into(), hours: hours(&[5, 6]), ..GARDEN }
}

#[test]
fn only_its_own_hours_are_watered() {
    let columns = garden(&[beds()], &record(3, None)).unwrap();
    let day = &columns.gardens[0];
    assert!(day.reference_mm.iter().all(|mm| (4.0..9.0).contains(mm)), "{:?}", day.reference_mm);
    for (h, demand) in columns.demand_m3.iter().enumerate() {
        let expected =
            if [5, 6].contains(&(h % 24)) { day.reference_mm[h / 24] * 0.1 / 0.8 / 2.0 } else { 0.0 };
        assert!((demand - expected).abs() < 1e-12, "{h}");
    }
    assert_eq!(columns.assumptions, ["gardens: the record has no credible rain, so none falls on them"]);
}

/// 30 mm on the first day: what that day takes is used, the soil keeps 20 mm, the rest runs off.
#[test]
fn rain_comes_first_and_the_soil_keeps_some() {
    let mut rain = vec![0.0; 24 * 7];
    rain[3] = 30.0;
    let columns = garden(&[beds()], &record(7, Some(rain))).unwrap();
    let days = &columns.gardens[0];
    let first = days.crop_mm[0];
    assert!((days.rain_used_mm[0] - first).abs() < 1e-12 && days.demand_m3[0] <= 0.0);
    assert!(30.0 - first > 20.0);
    let used: f64 = days.rain_used_mm.iter().sum();
    assert!((used - first - 20.0).abs() < 1e-9, "{used}");
    let crop: f64 = days.crop_mm.iter().sum();
    let demand: f64 = columns.demand_m3.iter().sum();
    assert!((demand - (crop - used) * 0.1 / 0.8).abs() < 1e-9);
    assert!(columns.assumptions.is_empty());
}

#[test]
fn without_humidity_or_wind_it_is_hargreaves_and_says_so() {
    let full = record(2, None);
    let thin = Record { relative_humidity: None, ..full.clone() };
    let columns = garden(&[beds()], &thin).unwrap();
    assert_eq!(columns.gardens[0].method, Method::Hargreaves);
    assert!(columns.assumptions[0].contains("garden beds: the record lacks humidity or wind"));
    assert_eq!(columns.gardens[0].reference_mm, reference_mm(Method::Hargreaves, &full));
    let calm = Record { wind_m_per_s: None, ..full };
    assert_eq!(garden(&[beds()], &calm).unwrap().gardens[0].method, Method::Hargreaves);
}

#[test]
fn hourly_and_daily_forms_agree_about_a_summer_day() {
    let r = record(3, None);
    let (daily, hourly) = (reference_mm(Method::Daily, &r)[1], reference_mm(Method::Hourly, &r)[1]);
    assert!((hourly / daily - 1.0).abs() < 0.15, "{daily} {hourly}");
}

#[test]
fn stages_run_over_the_year_end_and_leave_the_rest_dry() {
    let growth = Growth::Stages {
        planted: MonthDay { month: 12, day: 20 },
        days: [10.0, 10.0, 10.0, 10.0],
        kc: [0.5, 1.0, 0.8],
    };
    let on = |month, day| growth.coefficient(Day { year: 2023, month, day });
    assert!((on(12, 20) - 0.5).abs() < 1e-12 && (on(12, 29) - 0.5).abs() < 1e-12);
    // 4 January is 15 days on: half-way through development.
    assert!((on(1, 4) - 0.75).abs() < 1e-12);
    assert!((on(1, 10) - 1.0).abs() < 1e-12 && (on(1, 24) - 0.9).abs() < 1e-12);
    assert!(on(1, 29) <= 0.0 && on(12, 19) <= 0.0 && on(7, 1) <= 0.0);
}

#[test]
fn faults_come_all_at_once() {
    let bad = Garden {
        area_m2: -1.0,
        efficiency: 0.0,
        hours: [false; 24],
        soil_holds_mm: f64::NAN,
        growth: Growth::Season { dates: vec![], kc: 3.0 },
        ..beds()
    };
    let said: Vec<String> =
        garden(&[bad], &record(1, None)).unwrap_err().iter().map(ToString::to_string).collect();
    assert_eq!(said.len(), 5, "{said:#?}");
    assert_eq!(said[0], "garden.beds.area: -1 m2; an area must be 0 or more; give the watered area");
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(48))]
    #[test]
    fn a_garden_gets_nothing_outside_its_hours_and_rain_never_asks_for_more(
        on in proptest::collection::btree_set(0..24usize, 1..6), rain in proptest::collection::vec(0.0..4.0f64, 72),
        more in proptest::collection::vec(0.0..2.0f64, 72), kc in 0.0..1.5f64, holds in 0.0..40.0f64,
    ) {
        let on: Vec<usize> = on.into_iter().collect();
        let it = Garden {
            hours: hours(&on),
            growth: Growth::Season { dates: vec![], kc },
            soil_holds_mm: holds,
            ..beds()
        };
        let dry = garden(std::slice::from_ref(&it), &record(3, Some(rain.clone()))).unwrap();
        for (h, demand) in dry.demand_m3.iter().enumerate() {            prop_assert!(*demand >= 0.0 && (on.contains(&(h % 24)) || *demand <= 0.0));        }
        let sum: f64 = dry.demand_m3.iter().sum();
        let days: f64 = dry.gardens[0].demand_m3.iter().sum();
        prop_assert!((sum - days).abs() < 1e-9);
        let wetter = rain.iter().zip(&more).map(|(a, b)| a + b).collect();
        let wet = garden(&[it], &record(3, Some(wetter))).unwrap();
        prop_assert!(wet.demand_m3.iter().sum::<f64>() <= sum + 1e-12);
    }
}
