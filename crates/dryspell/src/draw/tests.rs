use super::*;
use crate::calendar::{Day, MonthDay};
use crate::fault::FaultKind;
use proptest::prelude::*;

fn group(name: &str, count: f64, need: Need, present: Vec<DateSpan>) -> Group {
    Group { name: name.into(), count, need, pattern: pattern::preset("two visits").unwrap(), present }
}

fn span(from: (u8, u8), to: (u8, u8)) -> DateSpan {
    DateSpan { from: MonthDay { month: from.0, day: from.1 }, to: MonthDay { month: to.0, day: to.1 } }
}

#[test]
fn heads_are_counted_over_the_year_end() {
    // 15 November to 10 March: 16 + 31 + 31 + 28 + 10 days.
    let winter = group("ewes", 30.0, Need::ByMonth([0.004; 12]), vec![span((11, 15), (3, 10))]);
    let calendar = Calendar::year(2023);
    let columns = draw(&Settings { groups: vec![winter.clone()] }, &calendar, &[0.0; 8760]).unwrap();
    assert!((columns.head_days[0].1 - 30.0 * 116.0).abs() < 1e-9);
    assert_eq!(columns.stock_day.iter().filter(|d| **d).count(), 116);
    assert!(columns.stock_day[0] && columns.stock_day[68] && !columns.stock_day[69]);
    assert!(!columns.stock_day[317] && columns.stock_day[318] && columns.stock_day[364]);
    let leap = draw(&Settings { groups: vec![winter] }, &Calendar::year(2024), &[0.0; 8784]).unwrap();
    assert!((leap.head_days[0].1 - 30.0 * 117.0).abs() < 1e-9);
}

#[test]
fn two_spans_that_overlap_count_a_head_once() {
    let spans = vec![span((5, 1), (5, 20)), span((5, 11), (5, 31))];
    let cows = group("cows", 2.0, Need::ByMonth([0.05; 12]), spans);
    let columns = draw(&Settings { groups: vec![cows] }, &Calendar::year(2023), &[0.0; 8760]).unwrap();
    assert!((columns.head_days[0].1 - 62.0).abs() < 1e-9);
}

#[test]
fn temperature_is_the_mean_of_the_local_day() {
    let mut air = vec![10.0; 48];
    air[24..36].fill(0.0);
    air[36..].fill(30.0);
    let days = vec![Day { year: 2001, month: 7, day: 1 }, Day { year: 1999, month: 7, day: 2 }];
    let cow = Need::BeefCow { mass_kg: 600.0, milk_kg: 5.0 };
    let settings = Settings { groups: vec![group("cows", 3.0, cow, vec![])] };
    let columns = draw(&settings, &Calendar::new(days, 0), &air).unwrap();
    assert!((columns.air_day_degc[0] - 10.0).abs() < 1e-12 && (columns.air_day_degc[1] - 15.0).abs() < 1e-12);
    let litres = beef_cow::BeefCow::new(600.0, 5.0).unwrap().litres_per_day(15.0);
    assert!((columns.by_group_m3_per_day[0].1[1] - 3.0 * litres / 1000.0).abs() < 1e-12);
}

#[test]
fn a_day_with_nobody_there_is_no_stock_day() {
    let columns = draw(&Settings { groups: vec![] }, &Calendar::year(2023), &[0.0; 8760]).unwrap();
    assert!(columns.wanted_m3.iter().all(|w| *w <= 0.0) && columns.stock_day.iter().all(|d| !d));
}

#[test]
fn faults_name_the_group_and_the_way_out() {
    let calendar = Calendar::year(2023);
    let good = group("cows", 3.0, Need::ByMonth([0.05; 12]), vec![]);
    let run = |g: Group| draw(&Settings { groups: vec![g] }, &calendar, &[0.0; 8760]).unwrap_err();
    let says = |fault: Fault, text: &str| assert_eq!(fault.to_string(), text);
    says(
        run(Group { count: -1.0, ..good.clone() }),
        "herd.cows.count: -1 head; a count is 0 or more; give the number of heads",
    );
    let mut need = [0.05; 12];
    need[4] = f64::NAN;
    says(
        run(Group { need: Need::ByMonth(need), ..good.clone() }),
        "herd.cows.need: NaN m3 in month 5; a need is 0 or more; give what one head drinks in a day",
    );
    says(
        run(Group { pattern: [0.05; 24], ..good.clone() }),
        "herd.cows.pattern: shares that sum to 1.2000000000000004; 24 shares sum to 1; \
         divide each share by their sum, or give the name of a preset",
    );
    let mut shares = [0.0; 24];
    (shares[3], shares[4]) = (-0.5, 1.0);
    says(
        run(Group { pattern: shares, ..good.clone() }),
        "herd.cows.pattern: -0.5 in hour 3; a share lies between 0 and 1; \
         give 24 shares of the day that sum to 1, or the name of a preset",
    );
    says(
        run(Group { need: Need::BeefCow { mass_kg: 600.0, milk_kg: 14.0 }, ..good.clone() }),
        "herd.cows.milk: 14 kg a day; the table of beef cows goes from 0.00 to 11.34 kg a day; \
         give litres a head and day instead",
    );
    let settings = Settings { groups: vec![good] };
    assert_eq!(draw(&settings, &calendar, &[0.0; 8759]).unwrap_err().kind, FaultKind::Weather);
    assert_eq!(hour(&settings, &calendar, &[0.0; 8760], 8760).unwrap_err().kind, FaultKind::OutOfRange);
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(32))]
    #[test]
    fn a_day_sums_to_count_times_need_and_an_hour_is_the_columns_own(
        count in 0.0..500.0f64, mass in 499.0..680.0f64, milk in 0.0..11.3f64, monthly in 0.0..0.2f64,
        air in proptest::collection::vec(-30.0..45.0f64, 72), h in 0..72usize, name in 0..4usize,
    ) {
        let calendar = Calendar::new(Calendar::year(2023).days()[57..60].to_vec(), 0);
        let shares = pattern::preset(pattern::PRESETS[name]).unwrap();
        let cows = Group { pattern: shares, ..group("cows", count, Need::BeefCow { mass_kg: mass, milk_kg: milk }, vec![]) };
        let mut need = [monthly; 12];
        need[2] = 2.0 * monthly;
        let extra = group("sheep", 7.0, Need::ByMonth(need), vec![]);
        let settings = Settings { groups: vec![cows, extra] };
        let columns = draw(&settings, &calendar, &air).unwrap();
        let cow = beef_cow::BeefCow::new(mass, milk).unwrap();
        for day in 0..3 {
            let hours = day * 24..(day + 1) * 24;
            let mean = air[hours.clone()].iter().sum::<f64>() / 24.0;
            let sheep = if day < 2 { monthly } else { 2.0 * monthly };
            let expected = count * cow.litres_per_day(mean) / 1000.0 + 7.0 * sheep;
            let sum: f64 = columns.wanted_m3[hours].iter().sum();
            prop_assert!((sum - expected).abs() <= 1e-12 * (1.0 + expected), "{sum} {expected}");
            let by_group: f64 = columns.by_group_m3_per_day.iter().map(|g| g.1[day]).sum();
            prop_assert!((sum - by_group).abs() <= 1e-12 * (1.0 + expected));
        }
        let one = hour(&settings, &calendar, &air, h).unwrap();
        prop_assert_eq!(one.wanted_m3.to_bits(), columns.wanted_m3[h].to_bits());
        prop_assert_eq!(one.groups.len(), 2);
    }
}
