//! Tables, wells and powers that are refused.

use super::*;

/// The only fault of a pump's settings.
fn fault(duty: Vec<DutyPoint>, start: Start) -> Fault {
    let faults = Duty::new(&table(duty, start)).unwrap_err();
    assert_eq!(faults.len(), 1, "{faults:?}");
    faults[0].clone()
}

#[test]
fn unusable_tables_are_refused_by_row() {
    let with = |row: usize, change: fn(&mut DutyPoint)| {
        let mut list = some_rows();
        change(&mut list[row - 1]);
        fault(list, Start::Zero)
    };
    let cases = [
        (with(3, |p| p.power_w = 0.0), FaultKind::OutOfRange, "row 3: power 0 W"),
        (with(3, |p| p.power_w = f64::NAN), FaultKind::OutOfRange, "row 3: power NaN W"),
        (with(3, |p| p.flow_m3_per_h = -1.0), FaultKind::OutOfRange, "row 3: flow -1 m³/h"),
        (with(3, |p| p.head_m = -1.0), FaultKind::OutOfRange, "row 3: head -1 m"),
        (with(3, |p| p.flow_m3_per_h = 250.0), FaultKind::OutOfRange, "row 3: 250 m³/h against 10 m takes"),
        (with(3, |p| p.power_w = 200.0), FaultKind::Contradiction, "row 3: 200 W follows 200 W (row 2)"),
        (with(3, |p| p.power_w = 150.0), FaultKind::Contradiction, "row 3: 150 W follows 200 W (row 2)"),
        (
            with(2, |p| p.flow_m3_per_h = 2.6),
            FaultKind::Contradiction,
            "row 3: flow falls to 2.5 m³/h at 400 W",
        ),
        (with(3, |p| p.head_m = 12.0), FaultKind::WrongLength, "row 3: the only power at 12 m"),
        (
            with(6, |p| p.flow_m3_per_h = 1.3),
            FaultKind::Contradiction,
            "row 6: 1.3 m³/h at 30 m and 450 W, but",
        ),
        (fault(vec![], Start::Zero), FaultKind::WrongLength, "no rows"),
        (
            fault(some_rows(), Start::From(100.5)),
            FaultKind::Contradiction,
            "row 1 of pump.duty has flow at 100 W",
        ),
        (fault(some_rows(), Start::From(-1.0)), FaultKind::OutOfRange, "start power -1 W"),
    ];
    for (fault, kind, found) in cases {
        assert_eq!(fault.kind, kind, "{fault}");
        assert!(fault.found.contains(found), "{fault}");
        assert!(!fault.to_string().contains('\n'));
    }
}

#[test]
fn all_faults_come_at_once() {
    let mut s = settings(rows(&[(10.0, 100.0, -1.0), (10.0, 0.0, 1.0)]), Start::Zero, f64::NAN, -1.0);
    s.well.yield_m3_per_h = Some(0.0);
    s.well.specific_capacity_m3_per_h_m = Some(-1.0);
    s.pipe.water_degc = 60.0;
    s.pipe.runs[0].bore_m = 0.0;
    let keys: Vec<_> = System::new(&s).unwrap_err().into_iter().filter_map(|f| f.location.key).collect();
    for key in [
        "pump.duty",
        "well.static_level",
        "well.specific_capacity",
        "well.yield",
        "pipe.main.length",
        "pipe.main.bore",
        "pipe.water_temperature",
    ] {
        assert!(keys.iter().any(|k| k == key), "{key} in {keys:?}");
    }
}

#[test]
fn a_static_head_above_the_table_is_refused_with_month_and_heads() {
    let mut s = settings(some_rows(), Start::Zero, 20.0, 60.0);
    s.well.static_level_m[6] = 49.0;
    s.well.static_level_m[7] = 60.0;
    let faults = System::new(&s).unwrap_err();
    assert_eq!(faults.len(), 1);
    assert_eq!(faults[0].kind, FaultKind::CannotRun);
    let text = faults[0].to_string();
    assert!(text.starts_with("pump.duty: static head 62.00 m in August and 1 other month "), "{text}");
    assert!(text.contains("at most 50 m, the highest head of the table"), "{text}");
    // A head that the table reaches without any flow.
    let mut s = settings(some_rows(), Start::Zero, 48.0, 60.0);
    let mut list = some_rows();
    list.iter_mut().filter(|p| p.head_m > 40.0).for_each(|p| p.flow_m3_per_h = 0.0);
    s.pump = pump_with(list, Start::Zero);
    assert_eq!(System::new(&s).unwrap_err()[0].kind, FaultKind::CannotRun);
}

#[test]
fn a_power_that_is_not_one_names_its_hour() {
    let s = settings(some_rows(), Start::Zero, 20.0, 60.0);
    let calendar = Calendar::year(2023);
    let mut array_w = vec![0.0; calendar.hours()];
    array_w[30] = f64::NAN;
    let text = supply(&s, &array_w, &calendar).unwrap_err()[0].to_string();
    assert!(text.contains("2023-01-02T06:00"), "{text}");
    assert!(supply(&s, &array_w[1..], &calendar).is_err());
}
