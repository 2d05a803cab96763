//! Rows per second of reading a TMY3 and a PSM file, beside the csv crate's bare loop over the same bytes: what cutting
//! the file into fields costs alone. One element is one row. Reading does all that a user gets: numbers, clock, the test
//! of the stamps against the sun, limits, gaps, record and report.
#![allow(
    missing_docs,
    clippy::unwrap_used,
    reason = "a bench stops at the first surprise; criterion's macros make undocumented items"
)]

use criterion::{Criterion, Throughput, criterion_group, criterion_main};
use csv::ByteRecord;
use dryspell_weather::{Options, PlaceOptions, read_bytes};
use std::hint::black_box;
use std::path::PathBuf;

/// The bare loop: every record is cut into fields, nothing is looked at.
fn bare(bytes: &[u8]) -> usize {
    let mut reader = csv::ReaderBuilder::new().has_headers(false).flexible(true).from_reader(bytes);
    let mut record = ByteRecord::new();
    let mut fields = 0;
    while reader.read_byte_record(&mut record).unwrap() {
        fields += record.len();
    }
    fields
}

fn files(c: &mut Criterion) {
    let place = PlaceOptions {
        name: None,
        latitude_deg: Some(40.53),
        longitude_deg: Some(-108.54),
        elevation_m: Some(2168.0),
        utc_offset_h: Some(-7.0),
    };
    let psm = Options { place, ..Options::default() };
    for (name, file, options) in [
        ("tmy3", "723170TYA.CSV", Options::default()),
        ("psm", "test_psm4_tmy-2023.csv", psm.clone()),
        ("psm_few_columns", "test_psm3_tmy-2017.csv", psm),
    ] {
        let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../data/weather").join(file);
        let bytes = std::fs::read(path).unwrap();
        // Both sides see every row.
        let lines = bytes.split(|b| *b == b'\n').filter(|l| !l.is_empty()).count();
        let rows = read_bytes(file, &bytes, &options).unwrap().report.reading.rows;
        assert!(rows == 8760 && (lines == rows + 1 || lines == rows + 2), "{lines} lines, {rows} rows");
        assert!(bare(&bytes) > 8760 * 5);
        let mut group = c.benchmark_group(name);
        group.throughput(Throughput::Elements(8760));
        group.bench_function("bare_csv_loop", |b| b.iter(|| bare(black_box(&bytes))));
        group.bench_function("read", |b| b.iter(|| read_bytes(file, black_box(&bytes), &options).unwrap()));
        group.finish();
    }
}

criterion_group!(benches, files);
criterion_main!(benches);
