//! `--watch`: the answer anew whenever a file is saved.

use std::fs::File;
use std::process::{Child, Command, Stdio};
use std::time::{Duration, Instant};

use nix::sys::signal::{Signal, kill};
use nix::unistd::Pid;

use crate::program::Desk;
use crate::support::root;

/// The demo, its pump's table in a file of its own.
fn demo() -> Desk {
    let desk = Desk::new();
    std::fs::copy(root().join("data/demo/weather.csv"), desk.path("weather.csv")).unwrap();
    let text = std::fs::read_to_string(root().join("data/demo/scheme.toml")).unwrap();
    let (before, rest) = text.split_once("duty = [").unwrap();
    let (rows, after) = rest.split_once("\n]").unwrap();
    let mut table = "head m,power W,flow L/min\n".to_owned();
    for row in rows.lines().filter(|row| !row.trim().is_empty()) {
        let cells: Vec<&str> =
            row.split('"').filter(|cell| cell.contains(' ') && cell.contains(char::is_numeric)).collect();
        let numbers: Vec<&str> = cells.iter().map(|cell| cell.split(' ').next().unwrap()).collect();
        table += &format!("{}\n", numbers.join(","));
    }
    desk.write("pump.csv", &table);
    desk.write("scheme.toml", &format!("{before}duty = \"pump.csv\"{after}"));
    desk
}

/// A running program; what it says goes into files, in the order in which it says it.
struct Watching<'d> {
    desk: &'d Desk,
    child: Child,
}

impl<'d> Watching<'d> {
    fn begin(desk: &'d Desk, args: &[&str]) -> Self {
        let child = Command::new(env!("CARGO_BIN_EXE_dryspell"))
            .args(args)
            .current_dir(desk.path(""))
            .stdout(File::create(desk.path("out.txt")).unwrap())
            .stderr(File::create(desk.path("err.txt")).unwrap())
            .spawn()
            .unwrap();
        Self { desk, child }
    }

    /// Waits, at most a minute, until so many rounds are done; what was printed until then.
    fn rounds(&self, many: usize) -> (String, String) {
        let until = Instant::now() + Duration::from_secs(60);
        loop {
            let err = self.desk.read("err.txt");
            if err.matches("; Ctrl-C ends\n").count() >= many {
                return (self.desk.read("out.txt"), err);
            }
            assert!(Instant::now() < until, "round {many} did not come: {err}{}", self.desk.read("out.txt"));
            std::thread::sleep(Duration::from_millis(20));
        }
    }

    /// Asks it to end; its exit code.
    fn end(&mut self, signal: Signal) -> Option<i32> {
        kill(Pid::from_raw(i32::try_from(self.child.id()).unwrap()), signal).unwrap();
        self.child.wait().unwrap().code()
    }
}

impl Drop for Watching<'_> {
    fn drop(&mut self) {
        let _ = self.child.kill();
        let _ = self.child.wait();
    }
}

/// Saves as many editors do: under another name, which then takes the place of the old file.
fn save(desk: &Desk, name: &str, text: &str) {
    desk.write(&format!("{name}~"), text);
    std::fs::rename(desk.path(&format!("{name}~")), desk.path(name)).unwrap();
}

/// What came after what had come before.
fn since(all: &str, before: &str) -> String {
    all.strip_prefix(before).unwrap().to_owned()
}

#[test]
fn each_save_brings_what_changed_and_the_new_answer() {
    let desk = demo();
    let mut watching =
        Watching::begin(&desk, &["run", "scheme.toml", "--watch", "--no-mends", "--daily", "days.csv"]);
    let (first, err) = watching.rounds(1);
    assert_eq!(first, desk.run(&["run", "scheme.toml", "--no-mends"]).out);
    assert_eq!(err, "dryspell: watching scheme.toml, pump.csv, weather.csv; Ctrl-C ends\n");
    let days = desk.read("days.csv");

    // The scheme, saved by rename.
    let text = desk.read("scheme.toml");
    let larger = text.replace("series = 2", "series = 3");
    save(&desk, "scheme.toml", &larger);
    let (second, _) = watching.rounds(2);
    let told = since(&second, &first);
    assert!(told.starts_with("\nThe herd goes short on "), "{told}");
    let lines: Vec<Vec<&str>> = told.lines().map(|line| line.split_whitespace().collect()).collect();
    assert!(lines.contains(&vec!["array.shed.series", "2", "3"]), "{told}");
    let json = |file: &str| -> serde_json::Value {
        serde_json::from_str(&desk.run(&["run", file, "--json", "-"]).out).unwrap()
    };
    desk.write("before.toml", &text);
    let (was, is) = (
        json("before.toml")["shortfall_days"].to_string(),
        json("scheme.toml")["shortfall_days"].to_string(),
    );
    assert_ne!(was, is);
    assert!(lines.contains(&vec!["shortfall", "days", "days", &was, &is]), "{told}");
    // Files are written anew as well.
    assert_ne!(desk.read("days.csv"), days);

    // Broken: its faults, and it goes on. What is told next is against the last sound one.
    save(&desk, "scheme.toml", &larger.replace("count = 46", "cuont = 46"));
    let (third, err) = watching.rounds(3);
    assert_eq!(third, second);
    assert!(err.contains("herd.cows.cuont: no key of this name"), "{err}");
    save(&desk, "scheme.toml", &larger.replace("count = 46", "count = 23"));
    let (fourth, _) = watching.rounds(4);
    assert!(since(&fourth, &third).lines().any(|l| l.split_whitespace().eq(["herd.cows.count", "46", "23"])));

    // Its table and its weather, written in place; and a table that is away.
    let table = desk.read("pump.csv");
    desk.write("pump.csv", &table.replace("20,45,2.5", "20,55,2.5"));
    let (fifth, _) = watching.rounds(5);
    assert!(since(&fifth, &fourth).contains("  pump.csv: other content\n"));
    let weather = desk.read("weather.csv");
    let last = weather.trim_end().rsplit_once(',').unwrap().0;
    desk.write("weather.csv", &format!("{last},1.5\n"));
    let (sixth, _) = watching.rounds(6);
    assert!(since(&sixth, &fifth).contains("  weather.csv: other content\n"));
    std::fs::remove_file(desk.path("pump.csv")).unwrap();
    let (_, err) = watching.rounds(7);
    assert!(err.contains("no such file"), "{err}");
    save(&desk, "pump.csv", &table);
    watching.rounds(8);

    assert_eq!(watching.end(Signal::SIGINT), Some(0));
    assert!(desk.files().iter().all(|name| !name.starts_with('.')), "{:?}", desk.files());
}

#[test]
fn a_document_is_written_anew() {
    let desk = demo();
    let args =
        ["summary", "scheme.toml", "--watch", "-o", "page.html", "--made-years", "0", "--drawings", "0"];
    let mut watching = Watching::begin(&desk, &args);
    let (first, _) = watching.rounds(1);
    assert_eq!(first, "page.html\n");
    let page = desk.read("page.html");
    save(&desk, "scheme.toml", &desk.read("scheme.toml").replace("count = 46", "count = 31"));
    let (second, _) = watching.rounds(2);
    let told = since(&second, &first);
    assert!(told.lines().any(|line| line.split_whitespace().eq(["herd.cows.count", "46", "31"])), "{told}");
    assert!(told.ends_with("page.html\n"), "{told}");
    assert_ne!(desk.read("page.html"), page);
    // Not the user's wish at the keyboard, but the system's.
    assert_eq!(watching.end(Signal::SIGTERM), Some(143));
}

#[test]
fn a_watch_without_a_reader_ends() {
    let desk = demo();
    let mut child = Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(["run", "scheme.toml", "--watch", "--no-mends"])
        .current_dir(desk.path(""))
        .stdout(Stdio::piped())
        .stderr(Stdio::null())
        .spawn()
        .unwrap();
    drop(child.stdout.take());
    assert_eq!(child.wait().unwrap().code(), Some(0));
}

#[test]
fn what_cannot_be_watched_is_refused() {
    let desk = demo();
    for (args, told) in [
        (&["run", "nowhere.toml", "--watch"][..], "nowhere.toml: no such file"),
        (&["run", ".", "--watch"], ".: not a file; --watch needs one that can be saved again"),
        (&["run", "scheme.toml", "--watch", "--json", "-"], "--watch: standard output takes its answers"),
        (
            &["run", "scheme.toml", "--watch", "--fail-if-short"],
            "'--watch' cannot be used with '--fail-if-short'",
        ),
        (&["summary", "scheme.toml", "--watch", "-o", "page.txt"], "--out page.txt: not a document format"),
    ] {
        let answer = desk.run(args);
        assert_eq!((answer.code, answer.out.as_str()), (2, ""), "{args:?}");
        assert!(answer.err.contains(told), "{args:?}: {}", answer.err);
    }
}
