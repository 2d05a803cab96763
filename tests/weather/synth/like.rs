//! Years like those of a record.

use super::*;

fn notes(record: &Record) -> String {
    record.source.notes.join("\n")
}

/// The number that stands behind some words in the notes.
fn told(record: &Record, before: &str) -> f64 {
    let notes = notes(record);
    let (_, rest) = notes.split_once(before).unwrap_or_else(|| panic!("no {before:?} in {notes}"));
    let number: String = rest.trim_start().chars().take_while(|c| c.is_ascii_digit() || *c == '.').collect();
    number.trim_end_matches('.').parse().unwrap()
}

/// Radiation of each day, kWh/m², with its month from 0.
fn daily(record: &Record) -> Vec<(usize, f64)> {
    let months = record.calendar.days().iter().map(|day| usize::from(day.month) - 1);
    months.zip(record.ghi_w_per_m2.chunks(24).map(|day| day.iter().sum::<f64>() / 1000.0)).collect()
}

/// Radiation of a month's days, in order of size.
fn sorted(record: &Record, month: usize) -> Vec<f64> {
    let mut days: Vec<f64> = daily(record).iter().filter(|(m, _)| *m == month).map(|(_, kwh)| *kwh).collect();
    days.sort_by(f64::total_cmp);
    days
}

#[test]
fn the_same_record_and_seed_give_the_same_bytes_with_any_number_of_threads() {
    let record = generator(demo(), Method::Free, 3).record(6, TWO).unwrap();
    let like = Generator::like(&record, 9).unwrap();
    let one = like.record(5, NonZeroUsize::MIN).unwrap();
    assert_eq!(one, like.record(5, NonZeroUsize::new(3).unwrap()).unwrap());
    assert_eq!(like.year(4).unwrap().ghi_w_per_m2, one.ghi_w_per_m2[4 * 8760..]);
    assert_ne!(
        Generator::like(&record, 10).unwrap().year(4).unwrap().ghi_w_per_m2,
        one.ghi_w_per_m2[4 * 8760..]
    );
}

/// Dull, middle and bright days of January, April and July come as often as in the record, and the mean is kept.
#[test]
fn days_have_the_records_own_distribution() {
    let record = generator(demo(), Method::Free, 3).record(20, TWO).unwrap();
    let made = Generator::like(&record, 1).unwrap().record(100, TWO).unwrap();
    for month in [0, 3, 6] {
        let (own, made) = (sorted(&record, month), sorted(&made, month));
        let mean = |days: &[f64]| days.iter().sum::<f64>() / days.len() as f64;
        assert!((mean(&made) / mean(&own) - 1.0).abs() < 0.02, "{month}: {} {}", mean(&made), mean(&own));
        for share in [0.05, 0.25, 0.5, 0.75, 0.95] {
            let at = |days: &[f64]| days[(share * days.len() as f64) as usize];
            // A month of 100 years has 3100 days that hang together: a rank is good to some 1.5 % of all.
            let near = |rank: f64| own[((rank * own.len() as f64) as usize).min(own.len() - 1)];
            assert!(
                (near(share - 0.03)..=near(share + 0.03)).contains(&at(&made)),
                "{month}, {share}: {}",
                at(&made)
            );
        }
    }
}

/// A short record borrows memory and month effect; made years fitted again give both back. The standard error of the month
/// effect of 200 years is some 0.003, of the correlation 0.004; ranks and rounding take a little.
#[test]
fn the_fit_finds_what_the_years_were_made_with() {
    let year = generator(demo(), Method::Free, 3).record(1, TWO).unwrap();
    let made = Generator::like(&year, 4).unwrap().record(200, TWO).unwrap();
    assert!(
        notes(&made).contains("borrowed spread, since 1 year of record says nothing"),
        "{}",
        notes(&made)
    );
    assert_eq!((told(&made, "lag-one correlation"), told(&made, "a month effect of")), (0.30, 0.020));
    let again = Generator::like(&made, 4).unwrap().year(0).unwrap();
    assert!(notes(&again).contains("fitted to 200 years"), "{}", notes(&again));
    assert!((told(&again, "lag-one correlation") - 0.30).abs() <= 0.02, "{}", notes(&again));
    assert!((told(&again, "a month effect of") - 0.020).abs() < 0.010, "{}", notes(&again));
    // Years without a month effect are told from those.
    let free = generator(demo(), Method::Free, 8).record(200, TWO).unwrap();
    let fitted = Generator::like(&free, 4).unwrap().year(0).unwrap();
    assert!(told(&fitted, "a month effect of") < 0.006, "{}", notes(&fitted));
}

/// A hill that keeps the sun off until ten keeps it off in made years, and light without a beam stays without one.
#[test]
fn hills_and_the_kind_of_light_stay() {
    let mut record = generator(demo(), Method::Free, 3).record(5, TWO).unwrap();
    for (hour, ghi) in record.ghi_w_per_m2.iter_mut().enumerate() {
        if hour % 24 < 10 {
            *ghi = 0.0;
        }
    }
    record.dhi_w_per_m2 = Some(record.ghi_w_per_m2.clone());
    record.dni_w_per_m2 = Some(vec![0.0; record.hours()]);
    let made = Generator::like(&record, 1).unwrap().record(3, TWO).unwrap();
    for (hour, ghi) in made.ghi_w_per_m2.iter().enumerate() {
        assert!(hour % 24 >= 10 || *ghi == 0.0, "hour {hour}: {ghi}");
    }
    assert!(made.ghi_w_per_m2.iter().sum::<f64>() > 1e6);
    assert!(made.dni_w_per_m2.unwrap().iter().all(|dni| *dni < 0.5));
}

#[test]
fn less_than_a_year_is_refused() {
    let year = generator(demo(), Method::Free, 3).year(0).unwrap();
    let days = year.calendar.days()[..200].to_vec();
    let short = Record {
        ghi_w_per_m2: year.ghi_w_per_m2[..4800].to_vec(),
        air_degc: year.air_degc[..4800].to_vec(),
        place: year.place.clone(),
        ..Record::without_weather(dryspell::calendar::Calendar::new(days, 0))
    };
    let told = Generator::like(&short, 1).unwrap_err().to_string();
    assert!(
        told.contains("200 days") && told.contains("365 days") && told.contains("twelve monthly means"),
        "{told}"
    );
}

/// Correlation of each day's middle temperature with its light, both against their calendar month, in some months (from 0).
fn warmth_with_light(record: &Record, months: &[usize]) -> f64 {
    let light = daily(record);
    let middle = |day: &[f64]| {
        let (low, high) = day.iter().fold((f64::MAX, f64::MIN), |(low, high), t| (low.min(*t), high.max(*t)));
        0.5 * (low + high)
    };
    let warmth: Vec<f64> = record.air_degc.chunks(24).map(middle).collect();
    let (mut both, mut squares) = (0.0, (0.0, 0.0));
    for month in months {
        let days: Vec<(f64, f64)> = light
            .iter()
            .zip(&warmth)
            .filter(|((m, _), _)| m == month)
            .map(|((_, kwh), t)| (*kwh, *t))
            .collect();
        let n = days.len() as f64;
        let mean = days.iter().fold((0.0, 0.0), |sum, day| (sum.0 + day.0 / n, sum.1 + day.1 / n));
        let sd = days.iter().fold((0.0, 0.0), |sum, day| {
            (sum.0 + (day.0 - mean.0).powi(2) / n, sum.1 + (day.1 - mean.1).powi(2) / n)
        });
        for day in &days {
            let (x, y) = ((day.0 - mean.0) / sd.0.sqrt(), (day.1 - mean.1) / sd.1.sqrt());
            both += x * y;
            squares.0 += x * x;
            squares.1 += y * y;
        }
    }
    both / (squares.0 * squares.1).sqrt()
}

/// A record whose clear winter days are the warm ones, against the common law: years like it have that, too. The record is made by turning the
/// warmth of its days about the month's mean in the dark half of the year.
#[test]
fn warmth_goes_with_clearness_as_in_the_record() {
    let mut record = generator(demo(), Method::Free, 3).record(12, TWO).unwrap();
    let dark = [9, 10, 11, 0, 1, 2];
    let common = warmth_with_light(&record, &[11, 0]);
    assert!(common < -0.2, "{common}");
    let months: Vec<usize> = daily(&record).iter().map(|(month, _)| *month).collect();
    let means: Vec<f64> = (0..12)
        .map(|m| {
            let days = record.air_degc.chunks(24).zip(&months).filter(|(_, month)| **month == m);
            let hours: Vec<f64> = days.flat_map(|(day, _)| day.to_vec()).collect();
            hours.iter().sum::<f64>() / hours.len() as f64
        })
        .collect();
    for (day, month) in record.air_degc.chunks_mut(24).zip(&months).filter(|(_, month)| dark.contains(month))
    {
        let middle = day.iter().sum::<f64>() / 24.0;
        day.iter_mut().for_each(|t| *t += 2.0 * (means[*month] - middle));
    }
    let made = Generator::like(&record, 5).unwrap().record(60, TWO).unwrap();
    for months in [vec![11, 0], vec![5, 6]] {
        let (own, made) = (warmth_with_light(&record, &months), warmth_with_light(&made, &months));
        // Two months of 12 years: 720 days that hang together, standard error some 0.05.
        assert!((own - made).abs() < 0.12, "{months:?}: record {own:.2}, made {made:.2}");
        assert!(own > 0.2, "{own}");
    }
    let told = notes(&made);
    assert!(told.contains("where days are shortest") && told.contains("fitted"), "{told}");
}
