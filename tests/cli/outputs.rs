//! Where results go: devices, pipes and links, names and what they hold, signals, and files that are read.
#![cfg(unix)]

use std::io::Read;
use std::os::unix::fs::{PermissionsExt, symlink};
use std::process::{Command, Stdio};
use std::time::Duration;

use crate::program::{Answer, Desk};
use crate::support::data;

const VARY: [&str; 2] = ["--vary", "tank.main.capacity = 6, 9, 12 m3"];

/// A folder with the demo, its pump's table in a file of its own.
fn with_table() -> Desk {
    let desk = Desk::new();
    for name in ["weather.csv", "climate.toml"] {
        std::fs::copy(data("demo").join(name), desk.path(name)).unwrap();
    }
    let text = std::fs::read_to_string(data("demo").join("scheme.toml")).unwrap();
    let begin = text.find("duty = [").unwrap();
    let end = begin + text[begin..].find("\n]").unwrap() + 2;
    let mut table = String::from("head m,power W,flow L/min\n");
    for row in text[begin..end].lines().filter(|l| l.trim_start().starts_with("[\"")) {
        let cells: Vec<&str> = row.split('"').skip(1).step_by(2).take(3).collect();
        let numbers: Vec<&str> = cells.iter().map(|c| c.split(' ').next().unwrap()).collect();
        assert!(
            cells[0].ends_with(" m") && cells[1].ends_with(" W") && cells[2].ends_with(" L/min"),
            "{row}"
        );
        table += &(numbers.join(",") + "\n");
    }
    desk.write("duty.csv", &table);
    desk.write("scheme.toml", &format!("{}duty = \"duty.csv\"{}", &text[..begin], &text[end..]));
    desk.write("inline.toml", &text);
    desk
}

fn json(desk: &Desk, scheme: &str) -> serde_json::Value {
    let answer = desk.run(&["run", scheme, "--json", "-"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    serde_json::from_str(&answer.out).unwrap()
}

const PARTS: [&str; 2] = ["s.csv.part-1-of-2", "s.csv.part-2-of-2"];

/// A sweep in two parts.
fn in_two_parts(desk: &Desk) {
    for part in ["1/2", "2/2"] {
        let args = ["sweep", "scheme.toml", VARY[0], VARY[1], "--out", "s.csv", "--part", part];
        assert_eq!(desk.run(&args).code, 0);
    }
}

fn refused(answer: &Answer, part: &str) {
    assert_eq!(answer.code, 2, "{} {}", answer.out, answer.err);
    assert!(answer.err.contains(part), "no {part:?} in {}", answer.err);
    assert!(answer.err.lines().all(|l| l.matches("; ").count() >= 2), "{}", answer.err);
}

#[test]
fn a_table_in_a_file_of_its_own_is_in_the_hash_and_is_not_overwritten() {
    let desk = with_table();
    let first = json(&desk, "scheme.toml");
    let roles: Vec<&str> =
        first["inputs"].as_array().unwrap().iter().map(|i| i["role"].as_str().unwrap()).collect();
    assert_eq!(roles, ["program", "schema", "scheme", "weather", "table"]);
    let table = &first["inputs"][4];
    assert_eq!(table["name"], "duty.csv");
    assert_eq!(table["bytes"], desk.read("duty.csv").len());
    // The same case written otherwise is the same case; another file is another list.
    let inline = json(&desk, "inline.toml");
    assert_eq!(first["case_hash"], inline["case_hash"]);
    assert_ne!(first["inputs_hash"], inline["inputs_hash"]);

    let before = desk.read("duty.csv");
    std::fs::hard_link(desk.path("duty.csv"), desk.path("second.csv")).unwrap();
    symlink("duty.csv", desk.path("third.csv")).unwrap();
    std::fs::create_dir(desk.path("folder")).unwrap();
    for out in ["duty.csv", "./duty.csv", "folder/../duty.csv", "second.csv", "third.csv"] {
        refused(&desk.run(&["run", "scheme.toml", "--hourly", out]), "this file is an input");
    }
    refused(
        &desk.run(&["run", "scheme.toml", "--hourly", "o.csv", "--daily", "folder/../o.csv"]),
        "another output",
    );
    assert_eq!(desk.read("duty.csv"), before);

    // A pump changed in its own file is another case, and no sweep goes on with it.
    let sweep = |more: &[&str]| desk.run(&[&["sweep", "scheme.toml"][..], &VARY, more].concat());
    assert_eq!(sweep(&["--out", "s.csv", "--part", "1/2"]).code, 0);
    let mut lines: Vec<&str> = before.lines().collect();
    lines.pop();
    desk.write("duty.csv", &(lines.join("\n") + "\n"));
    let other = json(&desk, "scheme.toml");
    assert_ne!(first["case_hash"], other["case_hash"]);
    assert_ne!(first["inputs_hash"], other["inputs_hash"]);
    refused(&sweep(&["--out", "s.csv", "--part", "1/2"]), "another table duty.csv");
    assert_eq!(sweep(&["--out", "s.csv", "--part", "2/2"]).code, 0);
    let gather = ["gather", "s.csv.part-1-of-2", "s.csv.part-2-of-2", "--out", "g.csv"];
    refused(&desk.run(&gather), "belongs to another sweep");
}

#[test]
fn a_name_that_says_another_format_is_refused_with_what_is_accepted() {
    let desk = with_table();
    let parts: [&[&str]; 6] = [
        &["run", "scheme.toml", "--hourly", "h.xlsx"],
        &["run", "scheme.toml", "--daily", "d.txt"],
        &["run", "scheme.toml", "--json", "r.csv"],
        &["weather", "weather.csv", "--to", "w.parquet"],
        &["compare", "scheme.toml", "inline.toml", "--csv", "c.parquet"],
        &["synth", "climate.toml", "--to", "y.epw"],
    ];
    for args in parts {
        refused(&desk.run(args), "not a format that is written here; a name that ends in .");
    }
    in_two_parts(&desk);
    assert_eq!(desk.run(&["run", "scheme.toml", "--hourly", "H.CSV"]).code, 0);
}

#[test]
fn devices_and_pipes_are_written_through_links_followed_and_the_umask_holds() {
    let desk = with_table();
    // A device takes any number of outputs.
    let null = desk.run(&["run", "scheme.toml", "--hourly", "/dev/null", "--json", "/dev/null"]);
    assert_eq!(null.code, 0, "{}", null.err);
    refused(&desk.run(&["run", "scheme.toml", "--json", "/dev/full"]), "/dev/full: cannot be written");

    assert!(Command::new("mkfifo").arg(desk.path("pipe")).status().unwrap().success());
    let pipe = desk.path("pipe");
    let reader = std::thread::spawn(move || {
        let mut text = String::new();
        std::fs::File::open(pipe).unwrap().read_to_string(&mut text).unwrap();
        text
    });
    assert_eq!(desk.run(&["run", "scheme.toml", "--daily", "pipe"]).code, 0);
    assert_eq!(desk.run(&["run", "scheme.toml", "--daily", "d.csv"]).code, 0);
    assert_eq!(reader.join().unwrap(), desk.read("d.csv"));
    assert!(!std::fs::metadata(desk.path("pipe")).unwrap().is_file(), "the pipe is still one");

    std::fs::create_dir(desk.path("far")).unwrap();
    symlink("far/d.csv", desk.path("link.csv")).unwrap();
    for _ in 0..2 {
        assert_eq!(desk.run(&["run", "scheme.toml", "--daily", "link.csv"]).code, 0);
        assert!(std::fs::symlink_metadata(desk.path("link.csv")).unwrap().is_symlink());
        assert_eq!(desk.read("far/d.csv"), desk.read("d.csv"));
    }

    for (umask, mode) in [("027", 0o640), ("077", 0o600), ("002", 0o664)] {
        let name = format!("u{umask}.json");
        let script = format!("umask {umask}; exec \"$0\" run scheme.toml --json {name}");
        let mut shell = Command::new("sh");
        shell.args(["-c", &script, env!("CARGO_BIN_EXE_dryspell")]).current_dir(desk.path(""));
        assert!(shell.output().unwrap().status.success());
        assert_eq!(
            std::fs::metadata(desk.path(&name)).unwrap().permissions().mode() & 0o777,
            mode,
            "{umask}"
        );
    }
}

/// Files in memory lie under /dev and are files all the same.
#[test]
fn a_file_in_memory_is_replaced_whole_and_guarded_like_any_other() {
    if !std::path::Path::new("/dev/shm").is_dir() {
        return;
    }
    let memory = tempfile::tempdir_in("/dev/shm").unwrap();
    let path = |name: &str| memory.path().join(name).display().to_string();
    let desk = with_table();
    std::fs::write(path("a.json"), "x".repeat(400_000)).unwrap();
    assert_eq!(desk.run(&["run", "scheme.toml", "--json", &path("a.json")]).code, 0);
    serde_json::from_str::<serde_json::Value>(&std::fs::read_to_string(path("a.json")).unwrap()).unwrap();

    for name in ["scheme.toml", "duty.csv", "weather.csv"] {
        std::fs::copy(desk.path(name), path(name)).unwrap();
    }
    refused(
        &desk.run(&["run", &path("scheme.toml"), "--hourly", &path("weather.csv")]),
        "this file is an input",
    );
    assert_eq!(std::fs::read_to_string(path("weather.csv")).unwrap(), desk.read("weather.csv"));
}

fn start(desk: &Desk, args: &[&str]) -> std::process::Child {
    let mut command = Command::new(env!("CARGO_BIN_EXE_dryspell"));
    command.args(args).current_dir(desk.path("")).stdout(Stdio::piped()).stderr(Stdio::piped());
    command.spawn().unwrap()
}

#[test]
fn signals_leave_no_temporary_files_and_have_their_codes() {
    let desk = with_table();
    let before = desk.files();
    for (signal, code) in [("-INT", 130), ("-TERM", 143)] {
        let vary = "tank.main.capacity = 6 to 206 by 0.02 m3";
        for args in [
            &["synth", "climate.toml", "--years", "300", "--to", "y.csv"][..],
            &["sweep", "scheme.toml", "--vary", vary, "--out", "s.csv"],
        ] {
            let child = start(&desk, args);
            std::thread::sleep(Duration::from_millis(300));
            assert!(Command::new("kill").args([signal, &child.id().to_string()]).status().unwrap().success());
            let output = child.wait_with_output().unwrap();
            assert_eq!(
                output.status.code(),
                Some(code),
                "{args:?} {}",
                String::from_utf8_lossy(&output.stderr)
            );
        }
    }
    let left: Vec<String> = desk.files().into_iter().filter(|f| !before.contains(f)).collect();
    assert_eq!(left, ["s.csv.partial"]);
}

#[test]
fn killed_at_any_moment_an_output_is_whole_or_not_there() {
    let desk = with_table();
    in_two_parts(&desk);
    let commands: [(&str, &[&str]); 3] = [
        ("y.csv", &["synth", "climate.toml", "--years", "20", "--to", "y.csv"]),
        ("g.csv", &["gather", PARTS[0], PARTS[1], "--out", "g.csv"]),
        ("d.html", &["summary", "scheme.toml", "--out", "d.html"]),
    ];
    let mut seed = 20_261_126_u64;
    for (out, args) in commands {
        let begun = std::time::Instant::now();
        assert_eq!(desk.run(args).code, 0);
        let all_us = u64::try_from(begun.elapsed().as_micros()).unwrap();
        let whole = desk.read(out);
        let mut kills = 0;
        for round in 0..40 {
            // Every other round there is an older result to lose.
            if round % 2 == 0 {
                std::fs::remove_file(desk.path(out)).unwrap();
            } else {
                desk.write(out, "older");
            }
            let mut child = start(&desk, args);
            seed = seed.wrapping_mul(6_364_136_223_846_793_005).wrapping_add(1_442_695_040_888_963_407);
            std::thread::sleep(Duration::from_micros((seed >> 33) % (all_us + all_us / 10)));
            kills += u32::from(child.try_wait().unwrap().is_none());
            let _ = child.kill();
            child.wait().unwrap();
            match std::fs::read_to_string(desk.path(out)) {
                Ok(text) => {
                    assert!(text == whole || (round % 2 == 1 && text == "older"), "{out} is half-written")
                }
                Err(_) => {
                    assert!(round % 2 == 0, "{out} is lost");
                    desk.write(out, "");
                }
            }
            if kills >= 8 && round > 12 {
                break;
            }
        }
        assert!(kills >= 4, "{out}: only {kills} kills");
    }
}

#[test]
fn two_programs_on_one_output_leave_the_whole_of_one() {
    let desk = with_table();
    in_two_parts(&desk);
    let commands: [(&str, &[&str], &[&str]); 3] = [
        (
            "y.csv",
            &["synth", "climate.toml", "--years", "9", "--to", "y.csv"],
            &["synth", "climate.toml", "--years", "9", "--seed", "2", "--to", "y.csv"],
        ),
        (
            "g.csv",
            &["gather", PARTS[0], PARTS[1], "--out", "g.csv"],
            &["gather", PARTS[1], PARTS[0], "--out", "g.csv"],
        ),
        (
            "d.html",
            &["summary", "scheme.toml", "--out", "d.html"],
            &["summary", "scheme.toml", "--units", "us", "--out", "d.html"],
        ),
    ];
    for (out, one, other) in commands {
        let whole = [one, other].map(|args| {
            assert_eq!(desk.run(args).code, 0);
            desk.read(out)
        });
        let before = desk.files();
        for _ in 0..4 {
            let both = [one, other].map(|args| start(&desk, args));
            for child in both {
                let answer = child.wait_with_output().unwrap();
                assert!(answer.status.success(), "{}", String::from_utf8_lossy(&answer.stderr));
            }
            assert!(whole.contains(&desk.read(out)), "{out} is a mixture");
            assert_eq!(desk.files(), before, "{out}: something was left behind");
        }
    }
}

#[test]
fn weather_through_a_pipe_is_read_once_and_hashed_as_it_was_read() {
    let desk = with_table();
    let scheme = desk.read("scheme.toml");
    let weather = desk.read("weather.csv");
    desk.write("piped.toml", &scheme.replace("weather.csv", "pipe"));
    assert!(Command::new("mkfifo").arg(desk.path("pipe")).status().unwrap().success());
    let (pipe, bytes) = (desk.path("pipe"), weather.clone());
    let writer = std::thread::spawn(move || std::fs::write(pipe, bytes));
    let piped = json(&desk, "piped.toml");
    writer.join().unwrap().unwrap();
    let plain = json(&desk, "scheme.toml");
    let hash = |run: &serde_json::Value| {
        let inputs = run["inputs"].as_array().unwrap();
        let weather = inputs.iter().find(|input| input["role"] == "weather").unwrap();
        (weather["bytes"].as_u64(), weather["sha256"].as_str().map(str::to_owned))
    };
    assert_eq!(hash(&piped), hash(&plain));
    assert_eq!(hash(&piped).0, Some(weather.len() as u64));
    assert_eq!(piped["case_hash"], plain["case_hash"]);
}

#[test]
fn costs_and_drawings_beyond_their_bounds_are_refused_with_the_bound() {
    let desk = with_table();
    for cost in ["NaN", "-3", "inf"] {
        refused(
            &desk.run(&["size", "scheme.toml", "--target", "days=0", "--cost-per-m3", cost]),
            "not a cost; a number of 0 or more",
        );
    }
    refused(&desk.run(&["odds", "scheme.toml", "--drawings", "100001"]), "at most 100000");
    std::fs::File::create(desk.path("large.toml")).unwrap().set_len((4 << 20) + 1).unwrap();
    refused(&desk.run(&["run", "large.toml"]), "larger than 4 MiB");
    std::fs::File::create(desk.path("duty.csv")).unwrap().set_len((64 << 20) + 1).unwrap();
    let answer = desk.run(&["run", "scheme.toml"]);
    assert!(answer.code == 2 && answer.err.contains("larger than 64 MiB"), "{}", answer.err);
}
