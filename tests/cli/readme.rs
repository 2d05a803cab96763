//! The README's examples are what the program prints.
//!
//! A block marked `console` begins with `$ dryspell …` and goes on with the output. A line `[...]` stands for any number of
//! lines left out.

use crate::program::run_in;
use crate::support::root;

#[test]
fn the_examples_of_the_readme_are_what_the_program_prints() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let mut blocks = 0;
    for block in readme.split("```console\n").skip(1) {
        let block = block.split("```").next().unwrap();
        let (command, shown) = block.split_once('\n').unwrap();
        let typed = command.strip_prefix("$ dryspell ").unwrap_or_else(|| panic!("{command}"));
        // Every second piece between quotes is one argument, as a shell reads it.
        let args: Vec<&str> = typed
            .split('"')
            .enumerate()
            .flat_map(|(i, piece)| if i % 2 == 1 { vec![piece] } else { piece.split_whitespace().collect() })
            .collect();
        let answer = run_in(&root(), &args);
        assert_eq!(answer.code, 0, "{command}: {}", answer.err);
        let mut rest = answer.out.lines();
        let mut skipping = false;
        for line in shown.lines() {
            if line == "[...]" {
                skipping = true;
                continue;
            }
            let found = if skipping { rest.any(|l| l == line) } else { rest.next() == Some(line) };
            assert!(
                found,
                "{command}: the program does not print {line:?} there; it printed\n{}",
                answer.out
            );
            skipping = false;
        }
        blocks += 1;
    }
    assert!(blocks >= 1, "the README shows an example of output");
}

#[test]
fn the_readme_has_the_job_first_and_both_commands() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let mut parts = readme.split("\n\n");
    assert!(parts.next().unwrap().starts_with("# dryspell"));
    assert!(
        parts.next().unwrap().contains("off-grid stock-water"),
        "the job stands at the top in one paragraph"
    );
    for command in ["cargo run --release -- run data/demo/scheme.toml", "cargo test --workspace"] {
        assert!(readme.contains(command), "{command}");
    }
    assert!(std::fs::read_to_string(root().join(".ci/run")).unwrap().contains("cargo test --workspace"));
}

#[test]
fn the_plain_file_of_the_readme_is_read() {
    let readme = std::fs::read_to_string(root().join("README.md")).unwrap();
    let block = readme.split("```\n").find(|b| b.starts_with("# place: ")).unwrap();
    let (head, row) = block.trim_end().rsplit_once('\n').unwrap();
    let (first, values) = row.split_once(',').unwrap();
    assert_eq!(first, "2023-01-01T00:00");
    let mut text = format!("{head}\n");
    for day in dryspell::calendar::Calendar::year(2023).days() {
        for hour in 0..24 {
            text += &format!("2023-{:02}-{:02}T{hour:02}:00,{values}\n", day.month, day.day);
        }
    }
    let desk = crate::program::Desk::new();
    desk.write("plain.csv", &text);
    let answer = desk.run(&["weather", "plain.csv"]);
    assert_eq!(answer.code, 0, "{}", answer.err);
    for part in [
        "Upper paddock",
        "42.100 N 109.500 W",
        "1250 m",
        "UTC-7",
        "8760",
        "calendar years; 2023",
        "not testable",
    ] {
        assert!(answer.out.contains(part), "no {part:?} in\n{}", answer.out);
    }
}
