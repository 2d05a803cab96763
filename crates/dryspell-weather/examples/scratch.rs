//! x
fn main() {
    let a: Vec<String> = std::env::args().skip(1).collect();
    let mut o = dryspell_weather::Options::default();
    if a[0] == "co" {
        o.place = dryspell_weather::PlaceOptions {
            name: None,
            latitude_deg: Some(40.53),
            longitude_deg: Some(-108.54),
            elevation_m: Some(2168.),
            utc_offset_h: Some(-7.),
        };
    }
    if a[0] == "it" {
        o.place = dryspell_weather::PlaceOptions {
            name: None,
            latitude_deg: Some(45.0),
            longitude_deg: Some(8.0),
            elevation_m: Some(250.),
            utc_offset_h: Some(1.),
        };
    }
    if a[0] == "part" {
        o.part_of_year = true;
    }
    for f in &a[1..] {
        match dryspell_weather::read_file(f, &o) {
            Ok(w) => println!(
                "{f}\n  {:?}\n {:?}\n  {:?} {} {} GHI {:.1}\n {:#?}",
                w.report.reading,
                w.record.source.notes,
                w.record.radiation_time,
                w.report.first,
                w.report.last,
                w.record.ghi_w_per_m2.iter().sum::<f64>() / 1000.,
                if a.len() > 2 {
                    None
                } else {
                    Some((w.report.dullest, w.report.cold, w.report.year, w.report.lacks, w.report.years))
                }
            ),
            Err(e) => println!("{e}"),
        }
    }
}
