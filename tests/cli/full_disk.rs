//! A disk that fills up loses nothing. A limit on the size of a file stands for the disk: writing fails at that byte.

use std::process::Command;

use crate::program::{Answer, Desk};
use crate::support::data;

/// 8 pieces of 100 cases.
const VARY: &str = "tank.main.capacity = 6 to 21.98 by 0.02 m3";

/// A sweep in which no file may grow beyond so many blocks (512 or 1024 bytes, as the shell has it).
fn within(desk: &Desk, blocks: u64, out: &str) -> Answer {
    // Without the trap the kernel would end the program in place of refusing the write.
    let script = format!("trap '' XFSZ; ulimit -f {blocks}; exec \"$0\" \"$@\"");
    let output = Command::new("sh")
        .args(["-c", &script, env!("CARGO_BIN_EXE_dryspell")])
        .args(["sweep", "scheme.toml", "--vary", VARY, "--out", out])
        .current_dir(desk.path(""))
        .output()
        .unwrap();
    Answer {
        code: output.status.code().unwrap(),
        out: String::from_utf8(output.stdout).unwrap(),
        err: String::from_utf8(output.stderr).unwrap(),
    }
}

/// Cases that were there when a run went on.
fn there(answer: &Answer) -> u64 {
    let words: Vec<&str> = answer.err.split_whitespace().collect();
    let at = words.windows(2).position(|w| w == ["of", "800"]).unwrap_or_else(|| panic!("{}", answer.err));
    assert!(answer.err.contains("resuming"), "{}", answer.err);
    words[at - 1].parse().unwrap()
}

#[test]
fn a_full_disk_loses_nothing_and_the_same_command_goes_on() {
    let desk = Desk::new();
    for name in ["scheme.toml", "weather.csv"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    let unlimited = |out: &str| desk.run(&["sweep", "scheme.toml", "--vary", VARY, "--out", out]);
    assert_eq!(unlimited("whole.csv").code, 0);
    let whole = desk.read("whole.csv");
    let blocks = whole.len() as u64 / 1024;

    // A quarter or half of the table has room, then three quarters: each time what is finished stays.
    let first = within(&desk, blocks / 2, "s.csv");
    assert_eq!((first.code, first.out.as_str()), (2, ""), "{}", first.err);
    for part in
        ["s.csv.partial: cannot be written", "all finished pieces are kept", "run the same command again"]
    {
        assert!(first.err.contains(part), "no {part:?} in {}", first.err);
    }
    assert_eq!(first.err.lines().count(), 1, "one line, not one for every piece: {}", first.err);
    assert_eq!(
        desk.files(),
        ["s.csv.partial", "scheme.toml", "weather.csv", "whole.csv"],
        "no table and no temporary file"
    );
    let second = within(&desk, 3 * blocks / 4, "s.csv");
    assert_eq!(second.code, 2, "{}", second.err);
    let kept = there(&second);
    assert!((100..800).contains(&kept), "{kept}");

    // A second name keeps the finished pieces beyond the end of the sweep.
    std::fs::hard_link(desk.path("s.csv.partial"), desk.path("t.csv.partial")).unwrap();
    let third = unlimited("s.csv");
    assert_eq!(third.code, 0, "{}", third.err);
    assert!(there(&third) >= kept, "{}", third.err);
    assert!(desk.read("s.csv") == whole, "the table is another one after a full disk");

    // All pieces are there, but the table has no room.
    let fourth = within(&desk, blocks / 2, "t.csv");
    assert_eq!((fourth.code, fourth.out.as_str()), (2, ""), "{}", fourth.err);
    assert_eq!(there(&fourth), 800);
    for part in ["t.csv: cannot be written", "what was there before is untouched", "free some space"] {
        assert!(fourth.err.contains(part), "no {part:?} in {}", fourth.err);
    }
    assert!(!desk.path("t.csv").exists() && desk.path("t.csv.partial").exists());
    assert_eq!(unlimited("t.csv").code, 0);
    assert!(desk.read("t.csv") == whole);
    assert_eq!(desk.files(), ["s.csv", "scheme.toml", "t.csv", "weather.csv", "whole.csv"]);
}

#[test]
fn a_report_without_room_is_an_error_and_the_old_one_stays() {
    let desk = Desk::new();
    for name in ["scheme.toml", "weather.csv"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    desk.write("hours.csv", "what was there before\n");
    let script = "trap '' XFSZ; ulimit -f 20; exec \"$0\" run scheme.toml --hourly hours.csv";
    let output = Command::new("sh")
        .args(["-c", script, env!("CARGO_BIN_EXE_dryspell")])
        .current_dir(desk.path(""))
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert_eq!(output.status.code(), Some(2), "{err}");
    assert!(err.contains("hours.csv: cannot be written") && err.contains("untouched"), "{err}");
    assert_eq!(desk.read("hours.csv"), "what was there before\n");
    assert_eq!(desk.files(), ["hours.csv", "scheme.toml", "weather.csv"]);
    // The terminal's own file may be full as well.
    let full = std::fs::OpenOptions::new().write(true).open("/dev/full").unwrap();
    let output = Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(["run", "scheme.toml"])
        .current_dir(desk.path(""))
        .stdout(full)
        .output()
        .unwrap();
    let err = String::from_utf8(output.stderr).unwrap();
    assert!(output.status.code() == Some(2) && err.contains("standard output: "), "{err}");
}
