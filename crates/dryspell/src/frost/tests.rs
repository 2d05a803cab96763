//! Columns and report together.

use super::*;
use crate::calendar::{Calendar, DateSpan, MonthDay};
use crate::record::{Place, Record, YearKind};

/// A made year: mean 9 °C, 14 K of season, 5 K of day.
fn record(kind: YearKind, shift: f64) -> Record {
    let calendar = Calendar::year(2023);
    let n = calendar.hours();
    let wave = |x: f64| libm::cos(std::f64::consts::TAU * x);
    let air_degc = (0..n)
        .map(|h| {
            let h = f64::from(u32::try_from(h).unwrap());
            9.0 + shift - 14.0 * wave((h / 24.0 - 15.0) / 365.0) + 5.0 * wave((h - 15.0) / 24.0)
        })
        .collect();
    Record {
        place: Place {
            name: "made".into(),
            latitude_deg: 45.0,
            longitude_deg: 0.0,
            elevation_m: 0.0,
            utc_offset_h: 0.0,
        },
        kind,
        ghi_w_per_m2: vec![0.0; n],
        air_degc,
        ..Record::without_weather(calendar)
    }
}

fn settings(parts: Vec<(&str, Kind)>) -> Settings {
    Settings {
        soil: Soil::named("loam").unwrap(),
        surface: 0.7,
        design_index_degc_days: None,
        design_days: None,
        parts: parts
            .into_iter()
            .map(|(name, kind)| Part { name: name.into(), kind, stops: Vec::new(), fed_by: None })
            .collect(),
    }
}

const PIPE: BarePipe = BarePipe {
    bore_m: 0.026,
    outside_m: 0.032,
    insulation_m: 0.0,
    insulation_w_per_m_k: 0.04,
    film_w_per_m2_k: Some(25.0),
};

fn parts() -> Vec<(&'static str, Kind)> {
    let winter = DateSpan { from: MonthDay { month: 11, day: 15 }, to: MonthDay { month: 3, day: 31 } };
    let exposed = |drain| Kind::Exposed { pipe: PIPE, drain };
    vec![
        ("main", Kind::Buried { cover_m: 1.5 }),
        ("branch", Kind::Buried { cover_m: 0.1 }),
        ("riser", exposed(Drain::Stands)),
        ("drop", exposed(Drain::Itself { hours: 0.2 })),
        ("slow", exposed(Drain::Itself { hours: 0.6 })),
        ("garden", exposed(Drain::ByHand(vec![winter]))),
        (
            "trough",
            Kind::Open(OpenWater { area_m2: 3.0, depth_m: 0.5, film_w_per_m2_k: 15.0, inflow_degc: 10.0 }),
        ),
    ]
}

fn frozen<'a>(columns: &'a Columns, name: &str) -> &'a [bool] {
    &columns.frozen.iter().find(|c| c.0 == name).unwrap().1
}

#[test]
fn columns_and_report_agree() {
    let record = record(YearKind::Typical, 0.0);
    let settings = settings(parts());
    let columns = columns(&settings, &record).unwrap();
    let inflow = vec![0.05; record.hours()];
    let report = report(&settings, &record, &[&inflow]).unwrap();
    assert_eq!(report.ground.basis.text(), "typical winter, not design");
    let part = |name: &str| report.parts.iter().find(|p| p.0 == name).unwrap().1.clone();
    let any = |name: &str| frozen(&columns, name).iter().any(|f| *f);
    let PartReport::Buried(main) = part("main") else { panic!() };
    let PartReport::Buried(branch) = part("branch") else { panic!() };
    assert_eq!((main.verdict, any("main")), (Verdict::Deeper, false));
    assert_eq!((branch.verdict, any("branch")), (Verdict::Shallower, true));
    let PartReport::Exposed(riser) = part("riser") else { panic!() };
    assert_eq!(riser.hours, frozen(&columns, "riser").iter().filter(|f| **f).count());
    assert_eq!(riser.hours, riser.events.iter().map(|e| e.hours).sum::<usize>());
    assert!(riser.events.len() > 20 && riser.events.iter().all(|e| e.lowest_degc < 0.0));
    let PartReport::Exposed(drop) = part("drop") else { panic!() };
    assert_eq!((drop.drains, drop.stands, any("drop")), (Some(Drains::InTime), false, false));
    assert_eq!(drop.hours, riser.hours, "what would freeze if it stood");
    assert_eq!(frozen(&columns, "slow"), frozen(&columns, "riser"));
    // Shut on 15 November, whatever the weather.
    let november = 24 * (365 - 31 - 16) + 12;
    assert_eq!(record.calendar.day_of(november).month_day(), MonthDay { month: 11, day: 15 });
    assert!(frozen(&columns, "garden")[november]);
    assert_eq!(report.drained, ["drop", "garden"]);
    assert_eq!(report.standing, ["riser", "slow"]);
    let PartReport::Open(trough) = part("trough") else { panic!() };
    assert!(trough.ice_hours < trough.ice_hours_without_inflow && trough.kept_open_hours > 0);
    assert!(trough.most_ice_m < trough.most_ice_without_inflow_m);
    assert_eq!(columns.any(&["drop", "riser"], record.hours()), frozen(&columns, "riser"));
}

#[test]
fn pass_and_fail_need_a_design_index() {
    let record = record(YearKind::Calendar, 0.0);
    let mut settings = settings(parts());
    let verdicts = |s: &Settings| -> Vec<Verdict> {
        let report = report(s, &record, &[]).unwrap();
        report
            .parts
            .iter()
            .filter_map(|p| if let PartReport::Buried(b) = &p.1 { Some(b.verdict) } else { None })
            .collect()
    };
    assert_eq!(verdicts(&settings), [Verdict::Deeper, Verdict::Shallower]);
    settings.design_index_degc_days = Some(800.0);
    assert_eq!(verdicts(&settings), [Verdict::Passes, Verdict::Fails]);
    let design = report(&settings, &record, &[]).unwrap();
    assert_eq!((design.ground.basis, design.ground.index_degc_days), (Basis::Design, Some(800.0)));
    // Where the ground is warm, a longer winter of the same index reaches less deep.
    settings.design_days = Some(200.0);
    let longer = report(&settings, &record, &[]).unwrap();
    assert!(longer.ground.depth.unwrap().depth_m < design.ground.depth.unwrap().depth_m);
    settings.design_index_degc_days = None;
    assert_eq!(report(&settings, &record, &[]).unwrap().ground.basis.text(), "one winter, not design");
}

#[test]
fn where_the_year_is_below_zero_no_cover_is_safe() {
    let record = record(YearKind::Typical, -10.0);
    let settings = settings(parts());
    let report = report(&settings, &record, &[]).unwrap();
    assert!(report.ground.frozen_all_year && report.ground.depth.is_none());
    let PartReport::Buried(main) = &report.parts[0].1 else { panic!() };
    assert_eq!(main.verdict, Verdict::Shallower);
    assert!(frozen(&columns(&settings, &record).unwrap(), "main").iter().all(|f| *f));
}

#[test]
fn every_wrong_value_is_told_at_once() {
    let mut settings = settings(parts());
    settings.surface = 0.0;
    settings.design_index_degc_days = Some(-1.0);
    settings.parts[0].kind = Kind::Buried { cover_m: 0.0 };
    settings.parts[3].kind =
        Kind::Exposed { pipe: BarePipe { bore_m: 0.05, ..PIPE }, drain: Drain::Itself { hours: f64::NAN } };
    let faults = check(&settings).unwrap_err();
    let keys: Vec<&str> = faults.iter().filter_map(|f| f.location.key.as_deref()).collect();
    assert_eq!(
        keys,
        [
            "frost.surface",
            "frost.design_index",
            "frost.main.cover",
            "frost.drop.bore",
            "frost.drop.drains_in"
        ]
    );
}
