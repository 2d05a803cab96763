use super::*;
use dryspell_report::{Input, Role};

fn header(cases: u64, part: (u64, u64)) -> Header {
    let inputs = vec![
        Input::of(Role::Program, "dryspell 0", b"dryspell 0"),
        Input::of(Role::Scheme, "", b"a scheme"),
        Input::of(Role::Table, "pump.csv", b"a pump"),
        Input::of(Role::Cases, "k", b"1"),
    ];
    Header { inputs, cases, piece: 100, columns: "c\n".into(), contents: "c".into(), part }
}

#[test]
fn parts_hold_every_case_once() {
    for (cases, n) in [(1, 1), (1000, 3), (7, 8), (250_001, 16)] {
        let mut next = 0;
        for k in 1..=n {
            let h = header(cases, (k, n));
            for piece in 0..h.pieces() {
                let (from, to) = h.piece(piece);
                assert_eq!(from, next);
                assert!(to > from || to == from && from == cases);
                next = to;
            }
            assert_eq!(next, h.range().1);
        }
        assert_eq!(next, cases);
    }
}

fn missing(kept: &PieceFile) -> Vec<u64> {
    kept.missing().collect()
}

#[test]
fn a_torn_tail_is_dropped_at_every_byte_and_the_rest_is_kept() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let header = header(300, (1, 1));
    let mut kept = PieceFile::open(&path, &header).unwrap();
    kept.add(2, 0, b"third").unwrap();
    let whole = std::fs::metadata(&path).unwrap().len();
    kept.add(0, 3, b"first piece").unwrap();
    drop(kept);
    let bytes = std::fs::read(&path).unwrap();
    for cut in usize::try_from(whole).unwrap()..bytes.len() {
        std::fs::write(&path, &bytes[..cut]).unwrap();
        let mut kept = PieceFile::open(&path, &header).unwrap();
        assert_eq!(missing(&kept), [0, 1], "cut at {cut}");
        assert_eq!(kept.rows(2).unwrap(), b"third");
        kept.add(0, 3, b"first piece").unwrap();
        drop(kept);
        assert_eq!(std::fs::read(&path).unwrap(), bytes);
    }
    // A header cut short holds nothing.
    for cut in 0..header.line().unwrap().len() {
        std::fs::write(&path, &bytes[..cut]).unwrap();
        assert_eq!(missing(&PieceFile::open(&path, &header).unwrap()), [0, 1, 2]);
    }
}

#[test]
fn a_byte_damaged_anywhere_is_seen_and_nothing_sound_is_lost() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let header = header(300, (1, 1));
    let mut kept = PieceFile::open(&path, &header).unwrap();
    for (piece, rows) in [(1, "second"), (0, "first"), (2, "third")] {
        kept.add(piece, 1, rows.as_bytes()).unwrap();
    }
    drop(kept);
    let bytes = std::fs::read(&path).unwrap();
    let first_line = header.line().unwrap().len();
    for at in 0..bytes.len() {
        for flip in [0x01, 0x20, 0x80, 0xFF] {
            let mut damaged = bytes.clone();
            damaged[at] ^= flip;
            std::fs::write(&path, &damaged).unwrap();
            let loaded = PieceFile::load(&path);
            if at < first_line {
                assert!(loaded.unwrap_err().0[0].contains("damaged"), "{at}");
                assert!(PieceFile::open(&path, &header).is_err(), "{at}");
                assert_eq!(std::fs::read(&path).unwrap(), damaged, "a file that is refused is left alone");
                continue;
            }
            let mut kept = loaded.unwrap();
            // A length that is wrong hides what stands behind it; anything else costs the one piece.
            let starts = [0, HEAD + 6, 2 * HEAD + 11].map(|s| first_line + s);
            let of_length = starts.iter().any(|s| (s + 8..s + 16).contains(&at));
            assert!(if of_length { kept.missing_pieces() >= 1 } else { kept.missing_pieces() == 1 }, "{at}");
            for (number, rows) in [(1, "second"), (0, "first"), (2, "third")] {
                assert!(kept.rows(number).map_or(true, |found| found == rows.as_bytes()), "{at}");
            }
            // Worked out again, the file is whole.
            drop(kept);
            let mut kept = PieceFile::open(&path, &header).unwrap();
            for number in missing(&kept) {
                kept.add(number, 1, [&b"first"[..], b"second", b"third"][usize::try_from(number).unwrap()])
                    .unwrap();
            }
            drop(kept);
            let mut kept = PieceFile::load(&path).unwrap();
            assert_eq!((kept.missing_pieces(), kept.faults()), (0, 3), "{at}");
            assert_eq!(kept.rows(1).unwrap(), b"second");
        }
    }
}

#[test]
fn rows_that_change_between_opening_and_reading_are_refused() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let mut kept = PieceFile::open(&path, &header(300, (1, 1))).unwrap();
    kept.add(0, 0, b"first").unwrap();
    let mut bytes = std::fs::read(&path).unwrap();
    *bytes.last_mut().unwrap() ^= 1;
    std::fs::write(&path, bytes).unwrap();
    assert!(kept.rows(0).unwrap_err().0[0].contains("is not what was written"));
}

#[test]
fn a_header_with_impossible_numbers_is_refused_whatever_its_checksum() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let sound = header(300, (1, 1));
    for broken in [
        Header { part: (1, 0), ..sound.clone() },
        Header { part: (0, 1), ..sound.clone() },
        Header { part: (4, 3), ..sound.clone() },
        Header { part: (1, u64::MAX), ..sound.clone() },
        Header { cases: 0, ..sound.clone() },
        Header { cases: u64::MAX, ..sound.clone() },
        Header { piece: 0, ..sound.clone() },
        Header { piece: u64::MAX, ..sound.clone() },
    ] {
        std::fs::write(&path, broken.line().unwrap()).unwrap();
        assert!(PieceFile::load(&path).unwrap_err().0[0].contains("damaged"), "{broken:?}");
    }
}

#[test]
fn what_is_not_of_this_sweep_is_refused_and_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let mine = header(300, (1, 1));
    drop(PieceFile::open(&path, &mine).unwrap());
    let before = std::fs::read(&path).unwrap();
    let refused = |other: &Header, part: &str| {
        let line = PieceFile::open(&path, other).unwrap_err().0[0].clone();
        assert!(line.contains(part), "{line}");
        assert_eq!(std::fs::read(&path).unwrap(), before);
    };
    let with = |at: usize, bytes: &[u8]| {
        let mut other = mine.clone();
        other.inputs[at] = Input::of(other.inputs[at].role, other.inputs[at].name.clone(), bytes);
        other
    };
    refused(&with(1, b"z"), "another scheme");
    refused(&with(2, b"another pump"), "another table pump.csv");
    refused(&with(3, b"2"), "other axes");
    refused(&Header { part: (2, 3), ..mine.clone() }, "part 1 of 1");
    std::fs::write(&path, "a letter to my aunt").unwrap();
    assert!(PieceFile::open(&path, &mine).unwrap_err().0[0].contains("is not a sweep"));
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "a letter to my aunt");
}

#[test]
fn a_file_that_one_sweep_works_on_is_refused_to_a_second() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let header = header(300, (1, 1));
    let first = PieceFile::open(&path, &header).unwrap();
    for refused in [PieceFile::open(&path, &header), PieceFile::load(&path)] {
        assert!(refused.unwrap_err().0[0].contains("s.partial: another program is working on this file"));
    }
    drop(first);
    assert!(PieceFile::open(&path, &header).is_ok());
}

#[cfg(unix)]
#[test]
fn a_file_removed_while_the_sweep_runs_is_written_anew_and_one_of_another_is_left_alone() {
    let folder = tempfile::tempdir().unwrap();
    let path = folder.path().join("s.partial");
    let header = header(300, (1, 1));
    let mut kept = PieceFile::open(&path, &header).unwrap();
    kept.add(0, 0, b"first").unwrap();
    std::fs::remove_file(&path).unwrap();
    kept.add(1, 0, b"second").unwrap();
    assert!(PieceFile::load(&path).is_err(), "the new file is locked as well");
    std::fs::remove_file(&path).unwrap();
    kept.sync().unwrap();
    assert_eq!(kept.rows(0).unwrap(), b"first");
    std::fs::remove_file(&path).unwrap();
    std::fs::write(&path, "another's").unwrap();
    assert!(kept.add(2, 0, b"third").is_err());
    kept.remove().unwrap();
    assert_eq!(std::fs::read_to_string(&path).unwrap(), "another's");
}
