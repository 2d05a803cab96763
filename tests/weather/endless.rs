//! Garbage: refused early, in bounded memory, never with a panic.

use crate::help::{bytes, text};
use crate::support::root;
use dryspell_weather::{ErrorKind, Options, PlaceOptions, Stamps, read_bytes, read_from};
use proptest::prelude::*;
use std::io::Read;

/// A head, then a pattern without end; fails the test when more than `most` bytes are asked for.
struct Endless {
    head: Vec<u8>,
    pattern: Vec<u8>,
    given: usize,
    most: usize,
}

impl Read for Endless {
    fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
        assert!(self.given <= self.most, "{} bytes were read", self.given);
        for (n, byte) in buffer.iter_mut().enumerate() {
            let at = self.given + n;
            *byte = match self.head.get(at) {
                Some(byte) => *byte,
                None => self.pattern[(at - self.head.len()) % self.pattern.len()],
            };
        }
        self.given += buffer.len();
        Ok(buffer.len())
    }
}

/// Reads a gigabyte of garbage, and says how it was refused; more than 4 MB are never read.
fn refused(head: &str, pattern: &[u8]) -> ErrorKind {
    let endless =
        Endless { head: head.as_bytes().to_vec(), pattern: pattern.to_vec(), given: 0, most: 4_000_000 };
    read_from("garbage", endless.take(1_000_000_000), &Options::default()).unwrap_err().kind().clone()
}

/// The first lines of a real file.
fn head(name: &str, lines: usize) -> String {
    text(name).lines().take(lines).fold(String::new(), |t, l| t + l + "\n")
}

fn heads() -> Vec<String> {
    vec![
        head("723170TYA.CSV", 30),
        head("test_psm4_polar_tmy_2023.csv", 3).replace(",GHI\n", ",GHI,Temperature\n"),
        head("test_psm4_tmy-2023.csv", 30),
        head("tmy_45.000_8.000_2005_2023.csv", 30),
        head("tmy_45.000_8.000_2005_2023_january.epw", 30),
        "# stamps: start\ntime,ghi_w_per_m2,air_degc\n2020-01-01T00:00,0,1\n".into(),
    ]
}

#[test]
fn a_gigabyte_of_garbage_is_refused_early() {
    for pattern in [&b"x"[..], b"1,2,3\n", b"\n", b" \n", b"\"", b",", b"\xFF\xFE\n", b"# a: b\n", b"#\n"] {
        let kind = refused("", pattern);
        let early = matches!(
            kind,
            ErrorKind::NotRecognised { .. }
                | ErrorKind::Empty
                | ErrorKind::Utf16
                | ErrorKind::LineTooLong { .. }
                | ErrorKind::HeaderTooLong { .. }
        );
        assert!(early, "{:?}: {kind:?}", String::from_utf8_lossy(pattern));
    }
    assert!(matches!(refused("", &[0]), ErrorKind::NotText { .. }));
}

#[test]
fn garbage_without_line_ends_is_refused_early() {
    for head in heads() {
        for pattern in [&b"x"[..], b"1,", b"\n", b"\"1\n", b"\0"] {
            let kind = refused(&head, pattern);
            let refused = matches!(
                kind,
                ErrorKind::LineTooLong { .. }
                    | ErrorKind::HeaderTooLong { .. }
                    | ErrorKind::BadTime { .. }
                    | ErrorKind::RowCutShort { .. }
                    | ErrorKind::NotText { .. }
                    | ErrorKind::WrongHourCount { .. }
                    | ErrorKind::NotSaid { .. }
            );
            assert!(refused, "{}: {kind:?}", head.lines().next().unwrap());
        }
    }
    // A quote that is never closed, and a line that never ends, behind good rows.
    for (start, pattern) in [("\"", &b"1\n"[..]), ("", b"1,")] {
        let kind = refused(&(head("723170TYA.CSV", 30) + start), pattern);
        assert!(matches!(kind, ErrorKind::LineTooLong { .. }), "{kind:?}");
    }
}

#[test]
fn a_good_head_does_not_help_garbage_rows() {
    for head in heads() {
        for pattern in [&b"x,y,z\n"[..], b"a b c d\n", b"9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9,9\n"]
        {
            refused(&head, pattern);
        }
    }
}

#[test]
fn rows_without_end() {
    // Minutes of one day over and over: well-formed rows, refused after the most that are read.
    let mut day = String::new();
    for minute in 0..1440 {
        day += &format!("2020-01-01T{:02}:{:02},0,1\n", minute / 60, minute % 60);
    }
    let head = "# stamps: start\n# latitude: 0\n# longitude: 0\n# elevation: 0\n# utc offset: 0\n\
                time,ghi_w_per_m2,air_degc\n";
    let endless = Endless {
        head: head.as_bytes().to_vec(),
        pattern: day.into_bytes(),
        given: 0,
        most: 22 * dryspell::record::MOST_YEARS * 8784 + 1_000_000,
    };
    let error = read_from("site.csv", endless, &Options::default()).unwrap_err();
    assert_eq!(
        error.to_string(),
        "site.csv: line 8775223: more than 8775216 rows; at most 8775216 rows are accepted; use longer steps, or one \
         file a year"
    );
}

#[test]
fn a_reader_that_fails() {
    struct Fails(Vec<u8>);
    impl Read for Fails {
        fn read(&mut self, buffer: &mut [u8]) -> std::io::Result<usize> {
            if self.0.is_empty() {
                return Err(std::io::ErrorKind::ConnectionReset.into());
            }
            let n = buffer.len().min(self.0.len());
            buffer[..n].copy_from_slice(&self.0[..n]);
            self.0.drain(..n);
            Ok(n)
        }
    }
    for bytes in [Vec::new(), bytes("723170TYA.CSV")[..200_000].to_vec()] {
        let error = read_from("site.csv", Fails(bytes), &Options::default()).unwrap_err();
        assert!(
            error.to_string().ends_with(
                "reading stopped (connection reset); the whole file is needed; copy or download the file again"
            ),
            "{error}"
        );
    }
}

/// Options of every kind.
fn any_options() -> impl Strategy<Value = Options> {
    let place = (
        proptest::option::of(-100.0..100.0_f64),
        proptest::option::of(-200.0..200.0_f64),
        proptest::option::of(-20.0..20.0_f64),
    );
    let stamps =
        proptest::option::of(proptest::sample::select(vec![Stamps::Start, Stamps::Middle, Stamps::End]));
    (place, stamps, any::<[bool; 3]>()).prop_map(|((latitude, longitude, offset), stamps, flags)| Options {
        place: PlaceOptions {
            name: None,
            latitude_deg: latitude,
            longitude_deg: longitude,
            elevation_m: Some(0.0),
            utc_offset_h: offset,
        },
        kind: None,
        stamps,
        accept_shift: flags[0],
        fill_long_gaps: flags[1],
        part_of_year: flags[2],
    })
}

/// Small files to begin from: the broken ones, most of which read far.
fn seeds() -> Vec<Vec<u8>> {
    let mut paths: Vec<_> =
        std::fs::read_dir(root().join("tests/weather/bad")).unwrap().map(|e| e.unwrap().path()).collect();
    paths.retain(|p| p.metadata().unwrap().len() < 12_000);
    paths.sort();
    paths.iter().map(|p| std::fs::read(p).unwrap()).collect()
}

/// Whatever comes out is sound.
fn sound(bytes: &[u8], options: &Options) {
    match read_bytes("any", bytes, options) {
        Ok(weather) => weather.record.check().unwrap(),
        Err(error) => {
            let text = error.to_string();
            assert!(
                !text.contains(['\n', '\r']) && text.starts_with("any: ") && text.len() < 1000,
                "{text:?}"
            );
            assert!(!matches!(error.kind(), ErrorKind::Record { .. }), "{text}");
        }
    }
}

proptest! {
    #![proptest_config(ProptestConfig { cases: 400, ..ProptestConfig::default() })]

    #[test]
    fn any_bytes_give_a_record_or_a_clean_error(
        bytes in proptest::collection::vec(any::<u8>(), 0..3000), options in any_options(),
    ) {
        sound(&bytes, &options);
    }

    #[test]
    fn any_text_below_a_good_head_gives_a_record_or_a_clean_error(
        head in proptest::sample::select(heads()), text in "[0-9,.:/ \n\"TZx-]{0,600}", options in any_options(),
    ) {
        sound((head + &text).as_bytes(), &options);
    }

    #[test]
    fn a_good_file_with_anything_done_to_it_gives_a_record_or_a_clean_error(
        seed in proptest::sample::select(seeds()),
        changes in proptest::collection::vec((any::<prop::sample::Index>(), 0..5_u8, any::<u8>(), 0..80_usize), 0..12),
        options in any_options(),
    ) {
        let mut bytes = seed;
        for (at, what, byte, length) in changes {
            if bytes.is_empty() { break; }
            let at = at.index(bytes.len());
            let end = (at + length).min(bytes.len());
            match what {
                0 => bytes[at] = byte,
                1 => { bytes.drain(at..end); }
                2 => { let copy = bytes[at..end].to_vec(); bytes.splice(at..at, copy); }
                3 => bytes[at] = b"0123456789,-.\n\r\""[usize::from(byte) % 16],
                _ => bytes.truncate(at),
            }
        }
        sound(&bytes, &options);
    }
}
