use super::classes::DayAir;
use super::*;
use crate::calendar::{Day, MonthDay};
use crate::fault::FaultKind;
use proptest::prelude::*;

fn group(name: &str, count: f64, need: Need, present: Vec<DateSpan>) -> Group {
    Group { present, ..Group::new(name, count, need, pattern::preset("two visits").unwrap()) }
}

fn cow(mass_kg: f64, milk_kg: f64) -> Need {
    Need::Class { class: &classes::beef_cow::CLASS, animal: Animal::in_milk(mass_kg, milk_kg) }
}

fn span(from: (u8, u8), to: (u8, u8)) -> DateSpan {
    DateSpan { from: MonthDay { month: from.0, day: from.1 }, to: MonthDay { month: to.0, day: to.1 } }
}

#[test]
fn heads_are_counted_over_the_year_end() {
    // 15 November to 10 March: 16 + 31 + 31 + 28 + 10 days.
    let winter = group("ewes", 30.0, Need::ByMonth([0.004; 12]), vec![span((11, 15), (3, 10))]);
    let calendar = Calendar::year(2023);
    let columns = draw(&Settings::of(vec![winter.clone()]), &calendar, &[0.0; 8760]).unwrap();
    assert!((columns.head_days[0].1 - 30.0 * 116.0).abs() < 1e-9);
    assert_eq!(columns.stock_day.iter().filter(|d| **d).count(), 116);
    assert!(columns.stock_day[0] && columns.stock_day[68] && !columns.stock_day[69]);
    assert!(!columns.stock_day[317] && columns.stock_day[318] && columns.stock_day[364]);
    let leap = draw(&Settings::of(vec![winter]), &Calendar::year(2024), &[0.0; 8784]).unwrap();
    assert!((leap.head_days[0].1 - 30.0 * 117.0).abs() < 1e-9);
}

#[test]
fn two_spans_that_overlap_count_a_head_once() {
    let spans = vec![span((5, 1), (5, 20)), span((5, 11), (5, 31))];
    let cows = group("cows", 2.0, Need::ByMonth([0.05; 12]), spans);
    let columns = draw(&Settings::of(vec![cows]), &Calendar::year(2023), &[0.0; 8760]).unwrap();
    assert!((columns.head_days[0].1 - 62.0).abs() < 1e-9);
}

/// A herd on the hill over the year end, then at home with fewer heads, then gone.
#[test]
fn a_herd_moves_and_changes_its_count() {
    let mut cows = group("cows", 40.0, Need::ByMonth([0.05; 12]), vec![]);
    cows.places = vec![("hill".into(), span((11, 1), (3, 15))), ("home".into(), span((3, 16), (5, 5)))];
    cows.counts = vec![(span((3, 1), (3, 31)), 25.0)];
    let calendar = Calendar::year(2023);
    let columns = draw(&Settings::of(vec![cows.clone()]), &calendar, &[0.0; 8760]).unwrap();
    // Hill: 30 + 31 + 31 + 28 days of 40, 15 of 25. Home: 16 days of 25, 30 + 5 of 40.
    let (hill, home) = (120.0 * 40.0 + 15.0 * 25.0, 16.0 * 25.0 + 35.0 * 40.0);
    assert!((columns.head_days[0].1 - (hill + home)).abs() < 1e-9);
    let names: Vec<&str> = columns.places.iter().map(|p| p.name.as_str()).collect();
    assert_eq!(names, ["hill", "home"]);
    for (place, heads) in columns.places.iter().zip([hill, home]) {
        assert!((place.demand_m3.iter().sum::<f64>() - 0.05 * heads).abs() < 1e-9, "{}", place.name);
    }
    let stays = &columns.stays[0].place_of_day;
    // 15 and 16 March are days 73 and 74; 5 May is day 124; 1 November is day 304.
    assert_eq!([stays[73], stays[74], stays[124], stays[125]], [Some(0), Some(1), Some(1), None]);
    assert_eq!([stays[303], stays[304], stays[364]], [None, Some(0), Some(0)]);
    let one = hour(&Settings::of(vec![cows]), &calendar, &[0.0; 8760], 73 * 24 + 17).unwrap();
    assert_eq!((one.groups[0].place.as_deref(), one.groups[0].heads), (Some("hill"), 25.0));
}

#[test]
fn dates_that_contradict_each_other_are_all_said() {
    let mut cows = group("cows", 40.0, Need::ByMonth([0.05; 12]), vec![span((5, 1), (5, 2))]);
    cows.places = vec![("hill".into(), span((11, 1), (3, 15))), ("home".into(), span((3, 15), (5, 5)))];
    cows.counts = vec![(span((3, 1), (3, 31)), 25.0), (span((12, 1), (3, 1)), 20.0)];
    let faults = draw(&Settings::of(vec![cows]), &Calendar::year(2023), &[0.0; 8760]).unwrap_err();
    let said: Vec<String> = faults.iter().map(ToString::to_string).collect();
    assert_eq!(
        said,
        [
            "herd.cows.at[2]: 03-15 is in both \"11-01 to 03-15\" and \"03-15 to 05-05\"; a group has one place on a \
             date; let one span end on the day before the other begins",
            "herd.cows.counts[2]: 03-01 is in both \"03-01 to 03-31\" and \"12-01 to 03-01\"; a group has one count on \
             a date; let one span end on the day before the other begins",
            "herd.cows.present: present given as well as places; either present, or places with their dates; keep one \
             of them: a group with places is present on the dates of its places",
        ]
    );
}

#[test]
fn temperature_is_the_mean_of_the_local_day() {
    let mut air = vec![10.0; 48];
    air[24..36].fill(0.0);
    air[36..].fill(30.0);
    let days = vec![Day { year: 2001, month: 7, day: 1 }, Day { year: 1999, month: 7, day: 2 }];
    let settings = Settings::of(vec![group("cows", 3.0, cow(600.0, 5.0), vec![])]);
    let columns = draw(&settings, &Calendar::new(days, 0), &air).unwrap();
    assert!((columns.air_day_degc[0] - 10.0).abs() < 1e-12 && (columns.air_day_degc[1] - 15.0).abs() < 1e-12);
    let curve = classes::beef_cow::CLASS.curve(&Animal::in_milk(600.0, 5.0)).unwrap();
    let litres = curve.litres_per_day(DayAir::steady(15.0));
    assert!((columns.by_group_m3_per_day[0].1[1] - 3.0 * litres / 1000.0).abs() < 1e-12);
}

/// The dairy cow goes by the lowest hour of the day: 1.2 L for each degree.
#[test]
fn a_class_may_follow_the_lowest_hour() {
    let mut air = vec![15.0; 48];
    air[29] = 5.0;
    let need = Need::Class { class: &classes::dairy_cow::CLASS, animal: Animal::in_milk(600.0, 25.0) };
    let settings = Settings::of(vec![group("cows", 10.0, need, vec![])]);
    let calendar = Calendar::new(Calendar::year(2023).days()[..2].to_vec(), 0);
    let days = draw(&settings, &calendar, &air).unwrap().by_group_m3_per_day.remove(0).1;
    assert!((days[0] - days[1] - 10.0 * 1.2 * 10.0 / 1000.0).abs() < 1e-12);
}

#[test]
fn a_day_with_nobody_there_is_no_stock_day() {
    let columns = draw(&Settings::of(vec![]), &Calendar::year(2023), &[0.0; 8760]).unwrap();
    assert!(columns.demand_m3.iter().all(|w| *w <= 0.0) && columns.stock_day.iter().all(|d| !d));
}

/// Ten cows of 15 L at the trough after forage water, a tenth spilled; deer take 5 % of the herd's need.
#[test]
fn forage_waste_and_wildlife_add_up() {
    let calendar = Calendar::new(Calendar::year(2023).days()[..1].to_vec(), 0);
    let mut cows = group("cows", 10.0, cow(600.0, 0.0), vec![]);
    let all_l = classes::beef_cow::CLASS
        .curve(&Animal::in_milk(600.0, 0.0))
        .unwrap()
        .litres_per_day(DayAir::steady(0.0));
    cows.waste = 0.1;
    let wildlife = Group { kind: GroupKind::Extra, ..group("deer", 1.0, Need::ShareOfHerd(0.05), vec![]) };
    let day = |cows: &Group| {
        let columns =
            draw(&Settings::of(vec![wildlife.clone(), cows.clone()]), &calendar, &[0.0; 24]).unwrap();
        (columns.by_group_m3_per_day[1].1[0], columns.by_group_m3_per_day[0].1[0])
    };
    let (herd, deer) = day(&cows);
    assert!((herd - 10.0 * 1.1 * all_l / 1000.0).abs() < 1e-12 && (deer - 0.05 * herd).abs() < 1e-12);
    // 5 kg of dry matter at 80 % moisture: 20 L.
    cows.forage = Some(Forage { moisture: [0.8; 12], dry_matter_kg: Some(5.0) });
    assert!((day(&cows).0 - 10.0 * 1.1 * (all_l - 20.0) / 1000.0).abs() < 1e-12);
    // More water in the forage than the cow needs leaves nothing to drink, not less.
    cows.forage = Some(Forage { moisture: [0.9; 12], dry_matter_kg: Some(12.0) });
    assert!(day(&cows).0 <= 0.0 && day(&cows).0 >= 0.0);
}

#[test]
fn faults_name_the_group_and_the_way_out() {
    let calendar = Calendar::year(2023);
    let good = group("cows", 3.0, Need::ByMonth([0.05; 12]), vec![]);
    let all = |g: Group| draw(&Settings::of(vec![g]), &calendar, &[0.0; 8760]).unwrap_err();
    let says = |g: Group, text: &str| {
        let faults: Vec<String> = all(g).iter().map(ToString::to_string).collect();
        assert_eq!(faults, [text]);
    };
    says(
        Group { count: -1.0, ..good.clone() },
        "herd.cows.count: -1 head; a count must be 0 or more; give the number of heads",
    );
    let mut need = [0.05; 12];
    need[4] = f64::NAN;
    says(
        Group { need: Need::ByMonth(need), ..good.clone() },
        "herd.cows.need: NaN m3 in month 5; a need must be 0 or more; give what one head drinks in a day",
    );
    says(
        Group { pattern: [0.05; 24], ..good.clone() },
        "herd.cows.pattern: shares that sum to 1.2000000000000004; 24 shares sum to 1; \
         divide each share by their sum, or give the name of a preset",
    );
    let mut shares = [0.0; 24];
    (shares[3], shares[4]) = (-0.5, 1.0);
    says(
        Group { pattern: shares, ..good.clone() },
        "herd.cows.pattern: -0.5 in hour 3; a share must be between 0 and 1; \
         give 24 shares of the day that sum to 1, or the name of a preset",
    );
    says(
        Group { need: cow(600.0, 14.0), ..good.clone() },
        "herd.cows.milk: 14 kg a day; the class beef cow is valid from 0 to 11.34 kg a day; give what one head drinks in a \
         day instead, or choose another class",
    );
    let forage = Some(Forage { moisture: [0.8; 12], dry_matter_kg: None });
    says(
        Group { forage: forage.clone(), ..good.clone() },
        "herd.cows.forage_moisture: forage water would be deducted from a figure of water drunk; only with a class \
         whose figure includes the water in the feed; remove it",
    );
    says(
        Group { forage, need: cow(600.0, 1.0), ..good.clone() },
        "herd.cows.dry_matter: this key is missing; needed with forage_moisture: the class does not say what the animal \
         eats; add dry_matter",
    );
    // All at once.
    let wrong =
        Group { count: f64::NAN, waste: -0.1, need: cow(300.0, 14.0), pattern: [0.0; 24], ..good.clone() };
    assert_eq!(all(wrong).len(), 5);
    let settings = Settings::of(vec![good]);
    assert_eq!(draw(&settings, &calendar, &[0.0; 8759]).unwrap_err()[0].kind, FaultKind::Weather);
    assert_eq!(hour(&settings, &calendar, &[0.0; 8760], 8760).unwrap_err()[0].kind, FaultKind::OutOfRange);
}

/// Spans of a year that do not meet: cuts in rising order, each span from one cut to the day before the next.
fn parts(cuts: &[usize]) -> Vec<DateSpan> {
    let days = Calendar::year(2023).days().to_vec();
    cuts.windows(2)
        .map(|w| DateSpan { from: days[w[0]].month_day(), to: days[(w[1] + 364) % 365].month_day() })
        .collect()
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
        let cows = Group { pattern: shares, ..group("cows", count, cow(mass, milk), vec![]) };
        let mut need = [monthly; 12];
        need[2] = 2.0 * monthly;
        let extra = group("sheep", 7.0, Need::ByMonth(need), vec![]);
        let settings = Settings::of(vec![cows, extra]);
        let columns = draw(&settings, &calendar, &air).unwrap();
        let curve = classes::beef_cow::CLASS.curve(&Animal::in_milk(mass, milk)).unwrap();
        for day in 0..3 {
            let hours = day * 24..(day + 1) * 24;
            let mean = air[hours.clone()].iter().sum::<f64>() / 24.0;
            let sheep = if day < 2 { monthly } else { 2.0 * monthly };
            let expected = count * curve.litres_per_day(DayAir::steady(mean)) / 1000.0 + 7.0 * sheep;
            let sum: f64 = columns.demand_m3[hours].iter().sum();
            prop_assert!((sum - expected).abs() <= 1e-12 * (1.0 + expected), "{sum} {expected}");
            let by_group: f64 = columns.by_group_m3_per_day.iter().map(|g| g.1[day]).sum();
            prop_assert!((sum - by_group).abs() <= 1e-12 * (1.0 + expected));
        }
        let one = hour(&settings, &calendar, &air, h).unwrap();
        prop_assert_eq!(one.demand_m3.to_bits(), columns.demand_m3[h].to_bits());
        prop_assert_eq!(one.groups.len(), 2);
    }

    /// The days at each place times the heads of that time are the head-days, and the places' water is all the water.
    #[test]
    fn calendar_days_sum_to_head_days(
        mut cuts in proptest::collection::btree_set(0..365usize, 3..9), counts in proptest::collection::vec(0..90u32, 9),
        all in 0..90u32, turn in 0..365usize,
    ) {
        // Cuts turned by any number of days let spans run over the year end.
        let mut turned: Vec<usize> = std::mem::take(&mut cuts).into_iter().map(|c| (c + turn) % 365).collect();
        let first = turned[0];
        turned.sort_by_key(|c| (c + 365 - first) % 365);
        let spans = parts(&turned);
        let mut cows = group("cows", f64::from(all), Need::ByMonth([0.05; 12]), vec![]);
        cows.places = spans.iter().enumerate().map(|(i, s)| (format!("p{}", i % 3), *s)).collect();
        cows.counts = spans.iter().zip(&counts).skip(1).map(|(s, n)| (*s, f64::from(*n))).collect();
        let columns = draw(&Settings::of(vec![cows]), &Calendar::year(2023), &[5.0; 8760]).unwrap();
        let mut head_days = 0.0;
        for (i, pair) in turned.windows(2).enumerate() {
            let length = (pair[1] + 365 - pair[0]) % 365;
            head_days += f64::from(if i == 0 { all } else { counts[i] }) * length as f64;
        }
        prop_assert!((columns.head_days[0].1 - head_days).abs() < 1e-6);
        let at_places: f64 = columns.places.iter().flat_map(|p| &p.demand_m3).sum();
        prop_assert!((at_places - 0.05 * head_days).abs() < 1e-6);
        prop_assert!((columns.demand_m3.iter().sum::<f64>() - at_places).abs() < 1e-6);
    }
}
