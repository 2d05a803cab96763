//! The table against the definition, hour after hour.

use super::*;
use crate::calendar::Calendar;
use proptest::prelude::*;

/// The definition, hour after hour.
fn by_walking(flows: &Flows, wraps: bool, start: usize, level_m3: f64) -> Days {
    let n = flows.hours();
    let hour = |t: usize| if wraps { t % n } else { t };
    let draws = |t: usize| (wraps || t < n) && flows.requested_m3[hour(t)] > 0.0;
    if !(start..start + HOURS_PER_DAY).any(draws) {
        return Days::NoDraw;
    }
    let mut left_m3 = level_m3;
    for t in start.. {
        if !wraps && t >= n {
            break;
        }
        let h = hour(t);
        if flows.requested_m3[h] > left_m3 {
            let hours = f64::from(u32::try_from(t - start).unwrap());
            return Days::Lasts((hours + left_m3 / flows.requested_m3[h]) / 24.0);
        }
        left_m3 = (left_m3 - flows.requested_m3[h] - flows.evaporation_m3[h] - flows.leak_m3[h]).max(0.0);
    }
    Days::OutlastsRecord
}

fn any_flows(days: usize) -> impl Strategy<Value = Flows> {
    let hours = days * HOURS_PER_DAY;
    let volumes = move |most: f64| prop::collection::vec(prop_oneof![Just(0.0), 0.0..most], hours);
    let stock = prop::collection::vec(prop_oneof![2 => Just(1.0), 1 => Just(0.0)], days);
    (volumes(0.5), stock, volumes(0.05), 0.0..0.01_f64, any::<bool>()).prop_map(
        move |(demand, stock, air, leak, losses)| {
            let demand: Vec<f64> =
                demand.iter().enumerate().map(|(h, w)| w * stock[h / HOURS_PER_DAY]).collect();
            let on = f64::from(u8::from(losses));
            let air: Vec<f64> = air.iter().map(|e| e * on).collect();
            Flows::new(&vec![0.0; hours], &demand, &air, &vec![leak * on; hours])
        },
    )
}

fn same(a: Days, b: Days) -> bool {
    match (a, b) {
        (Days::Lasts(a), Days::Lasts(b)) => (a - b).abs() < 1e-9,
        _ => a == b,
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 300, ..ProptestConfig::default() })]

    #[test]
    fn a_look_in_the_table_equals_walking(flows in any_flows(21), wraps: bool, level in 0.0..90.0_f64) {
        let autonomy = Autonomy::new(&flows, wraps);
        let level = crate::grid::volume_m3(level);
        for start in 0..flows.hours() {
            let (found, walked) = (autonomy.from(start, level), by_walking(&flows, wraps, start, level));
            prop_assert!(same(found, walked), "hour {start}: {found:?}, walking {walked:?}");
        }
    }

    #[test]
    fn the_worst_starts_and_the_percentiles_are_those_of_all_hours(
        flows in any_flows(59), wraps: bool, full in 0.0..90.0_f64,
        levels in prop::collection::vec(-1.0..30.0_f64, 59 * 24),
    ) {
        let autonomy = Autonomy::new(&flows, wraps);
        let full = crate::grid::volume_m3(full);
        let calendar = Calendar::new(Calendar::year(2001).days()[..59].to_vec(), 0);
        let found = FullTank::of(&autonomy, full, calendar.days());
        let (mut by_month, mut left_out) = ([None::<f64>; 12], 0);
        for h in 0..flows.hours() {
            match autonomy.from(h, full) {
                Days::Lasts(days) => {
                    let month = &mut by_month[usize::from(calendar.day_of(h).month) - 1];
                    *month = Some(month.map_or(days, |m| m.min(days)));
                }
                Days::OutlastsRecord => left_out += 1,
                Days::NoDraw => {}
            }
        }
        prop_assert_eq!(found.by_month, by_month);
        prop_assert_eq!(found.left_out, left_out);

        let levels: Vec<f64> = levels.iter().map(|l| crate::grid::volume_m3(*l)).collect();
        let mut days: Vec<f64> = (0..flows.hours())
            .filter_map(|h| match autonomy.from(h, levels[h].max(0.0)) {
                Days::Lasts(days) => Some(days),
                _ => None,
            })
            .collect();
        days.sort_by(f64::total_cmp);
        let sorted = days.first().map(|min| InService {
            min: *min,
            p05: percentile(&days, 0.05).unwrap(),
            median: percentile(&days, 0.5).unwrap(),
        });
        let found = InService::of(&autonomy, levels.into_iter());
        prop_assert_eq!(found.is_some(), sorted.is_some());
        if let (Some(a), Some(b)) = (found, sorted) {
            for (a, b) in [(a.min, b.min), (a.p05, b.p05), (a.median, b.median)] {
                prop_assert!((a - b).abs() < 1e-9, "{a}, sorted {b}");
            }
        }
    }
}
