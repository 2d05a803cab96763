//! Made years on real records: closure, months, and what is carried.

use crate::support::data;
use crate::tmy3;
use dryspell::record::Record;
use dryspell::resample::{Archive, Resampler, Settings};
use dryspell::sun;
use std::num::NonZeroUsize;

const TWO: NonZeroUsize = NonZeroUsize::new(2).unwrap();

/// Root mean square of global less diffuse less beam on the level, over hours with the sun up, W/m².
fn closure(record: &Record) -> f64 {
    let sky = sun::sky(&sun::Settings::default(), record).unwrap();
    let (mut sum, mut n) = (0.0, 0.0);
    for h in 0..record.hours() {
        if sky.lit_fraction[h] > 0.0 {
            let level = sky.dni_w_per_m2[h] * sky.direction[h][2].max(0.0);
            let miss = sky.ghi_w_per_m2[h] - sky.dhi_w_per_m2[h] - level;
            sum += miss * miss;
            n += 1.0;
        }
    }
    (sum / f64::max(n, 1.0)).sqrt()
}

/// Monthly means of a column.
fn months(record: &Record, column: &[f64]) -> [f64; 12] {
    let (mut sums, mut n) = ([0.0; 12], [0.0; 12]);
    for (h, value) in column.iter().enumerate() {
        let month = usize::from(record.calendar.day_of(h).month) - 1;
        sums[month] += value;
        n[month] += 1.0;
    }
    std::array::from_fn(|m| sums[m] / n[m])
}

#[test]
fn made_years_close_and_keep_the_months_of_a_real_record() {
    for file in ["723170TYA.CSV", "703165TY.csv"] {
        let record = tmy3::read(&data("weather").join(file));
        let archive = Archive::of(&record).unwrap();
        let began = std::time::Instant::now();
        let resampler = Resampler::of_all(&archive, Settings::default(), 20_240_501).unwrap();
        let made = resampler.record(400, TWO).unwrap();
        println!("{file}: {:?} for 400 years", began.elapsed());
        made.check().unwrap();
        let (before, after) = (closure(&record), closure(&made));
        println!("{file}: closure {before:.3} W/m2 in the record, {after:.6} made");
        assert!(after <= before + 2.0);
        let light = (months(&record, &record.ghi_w_per_m2), months(&made, &made.ghi_w_per_m2));
        let air = (months(&record, &record.air_degc), months(&made, &made.air_degc));
        let diffuse = (
            months(&record, record.dhi_w_per_m2.as_ref().unwrap()),
            months(&made, made.dhi_w_per_m2.as_ref().unwrap()),
        );
        let beam = (
            months(&record, record.dni_w_per_m2.as_ref().unwrap()),
            months(&made, made.dni_w_per_m2.as_ref().unwrap()),
        );
        for m in 0..12 {
            println!(
                "month {:2}: global {:6.1} made {:+.2} %, diffuse {:+.2} %, beam {:+.2} %, air {:5.1} made {:+.3} K",
                m + 1,
                light.0[m],
                100.0 * (light.1[m] / light.0[m] - 1.0),
                100.0 * (diffuse.1[m] / diffuse.0[m] - 1.0),
                100.0 * (beam.1[m] / beam.0[m] - 1.0),
                air.0[m],
                air.1[m] - air.0[m]
            );
        }
        for m in 0..12 {
            assert!((light.1[m] / light.0[m] - 1.0).abs() <= 0.01, "{file}: light of month {}", m + 1);
            assert!((air.1[m] - air.0[m]).abs() <= 0.2, "{file}: air of month {}", m + 1);
        }
    }
}
