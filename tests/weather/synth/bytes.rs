//! The same bytes from the same seed, and through a file.

use super::*;

/// FNV-1a over the bits of all columns.
fn hash(record: &Record) -> u64 {
    let mut hash = 0xcbf2_9ce4_8422_2325_u64;
    let optional = [&record.dni_w_per_m2, &record.dhi_w_per_m2, &record.wind_m_per_s];
    for column in [&record.ghi_w_per_m2, &record.air_degc].into_iter().chain(optional.into_iter().flatten()) {
        for byte in column.iter().flat_map(|v| v.to_bits().to_le_bytes()) {
            hash = (hash ^ u64::from(byte)).wrapping_mul(0x0100_0000_01b3);
        }
    }
    hash
}

#[test]
fn the_same_seed_gives_the_same_bytes_with_any_number_of_threads() {
    for method in Method::ALL {
        let g = generator(demo(), method, 9);
        let one = g.record(7, NonZeroUsize::MIN).unwrap();
        for threads in [2, 3, 16] {
            let many = g.record(7, NonZeroUsize::new(threads).unwrap()).unwrap();
            assert_eq!(one, many, "{method:?} {threads}");
        }
        // A year by itself is that year of any run.
        let alone = g.year(5).unwrap();
        assert_eq!(alone.ghi_w_per_m2, one.ghi_w_per_m2[5 * 8760..6 * 8760]);
        assert_ne!(hash(&g.year(0).unwrap()), hash(&alone));
        assert_ne!(hash(&generator(demo(), method, 10).year(5).unwrap()), hash(&alone));
    }
}

/// Our own earlier output: guards against change, says nothing about truth.
#[test]
fn golden_hashes() {
    let got: Vec<u64> =
        Method::ALL.into_iter().map(|m| hash(&generator(demo(), m, 2026).year(3).unwrap())).collect();
    assert_eq!(got, [0x2475_5db4_ea13_6ba7, 0xcf1c_c2e7_8846_c3a3, 0x5cb4_f4c5_306e_ad77], "{got:#x?}");
}

#[test]
fn a_year_goes_through_the_plain_format_unchanged() {
    let record = generator(demo(), Method::Free, 11).record(2, TWO).unwrap();
    let mut text = Vec::new();
    plain::write(&record, &mut text).unwrap();
    let back = read_bytes("synthetic.csv", &text, &Options::default()).unwrap().record;
    assert_eq!(back.kind, YearKind::Synthetic);
    assert_eq!(back.place, record.place);
    assert_eq!(back.calendar, record.calendar);
    assert_eq!(back.ghi_w_per_m2, record.ghi_w_per_m2);
    assert_eq!(back.dni_w_per_m2, record.dni_w_per_m2);
    assert_eq!(back.dhi_w_per_m2, record.dhi_w_per_m2);
    assert_eq!(back.air_degc, record.air_degc);
    assert_eq!(back.wind_m_per_s, record.wind_m_per_s);
}
