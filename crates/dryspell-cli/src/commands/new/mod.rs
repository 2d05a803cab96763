//! `dryspell new`: the commented starter scheme, as it is or with the values that a user is asked for.

mod dialogue;
mod draft;
mod questions;
mod to_animals;
mod weather;
mod words;

use std::io::{BufRead, IsTerminal, Write};
use std::path::Path;

use crate::args::NewArgs;
use crate::files::{self, Target};
use crate::{Failure, Verdict};
use dialogue::{Dialogue, Stop};
use draft::Draft;

/// Writes the starter, and leaves an existing file alone.
pub(crate) fn new(args: &NewArgs) -> Result<Verdict, Failure> {
    let path = &args.file;
    if path != Path::new("-") && path.exists() {
        return Err(Failure(vec![format!(
            "{}: the file already exists; a starter is only written to a new file; choose another name or move the old \
             file",
            path.display()
        )]));
    }
    let target = Target::open(path)?;
    let to_stdout = target.is_stdout();
    if args.ask {
        if !std::io::stdin().is_terminal() {
            return Err(Failure(vec![
                "new --ask: standard input is no terminal; somebody at a keyboard, who is asked; run it in a terminal, or write \
                 the starter with `dryspell new FILE` and fill it in"
                    .to_owned(),
            ]));
        }
        // Standard output may be where the scheme goes.
        let scheme = asked(&mut std::io::stdin().lock(), &mut std::io::stderr(), path)?;
        target.write(&scheme.text)?;
        return told(path, to_stdout, &scheme);
    }
    target.write(&dryspell::scheme::starter(args.units.into()))?;
    if !to_stdout {
        files::print(&format!(
            "{} written. Name your weather file in it under [weather], then: dryspell run {0}\n",
            path.display()
        ))?;
    }
    Ok(Verdict::Answered)
}

/// Asks for the values of a scheme that is to be `path`.
fn asked(input: &mut dyn BufRead, out: &mut dyn Write, path: &Path) -> Result<Draft, Failure> {
    let folder = path.parent().unwrap_or(Path::new(""));
    questions::ask(&mut Dialogue::new(input, out), Draft::starter(folder)).map_err(|stop| match stop {
        Stop::EndOfInput => Failure(vec![
            "new --ask: the input ended before the last question; an answer to each, Enter for its default; nothing is written: \
             begin again"
                .to_owned(),
        ]),
        Stop::Io(e) => Failure(vec![format!("new --ask: {e}; nothing is written")]),
    })
}

/// What to do next: run it, or first mend what is still at fault.
fn told(path: &Path, to_stdout: bool, scheme: &Draft) -> Result<Verdict, Failure> {
    let name = path.display();
    for fault in scheme.faults() {
        files::say(&format!("dryspell: still to mend: {name}, {fault}"));
    }
    if !to_stdout {
        files::print(&format!("{name} written. Look through it, then: dryspell run {name}\n"))?;
    }
    Ok(Verdict::Answered)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// What comes of these lines of answers in a folder with the demo's weather, and what was said.
    fn answered(folder: &Path, lines: &str) -> (Result<Draft, Vec<String>>, String) {
        let demo = Path::new(env!("CARGO_MANIFEST_DIR")).join("../../data/demo");
        for file in ["weather.csv", "climate.toml"] {
            std::fs::copy(demo.join(file), folder.join(file)).unwrap();
        }
        let mut said = Vec::new();
        let scheme = asked(&mut lines.as_bytes(), &mut said, &folder.join("scheme.toml"));
        (scheme.map_err(|failure| failure.0), String::from_utf8(said).unwrap())
    }

    /// Writes a scheme and runs it on its weather.
    fn runs(folder: &Path, scheme: &Draft) -> dryspell::simulate::Run {
        assert_eq!(scheme.faults(), [], "{}", scheme.text);
        std::fs::write(folder.join("scheme.toml"), &scheme.text).unwrap();
        let job = crate::job::Job::open(&folder.join("scheme.toml"), &[]).map_err(|f| f.0).unwrap();
        let source = job.weather().map_err(|f| f.0).unwrap();
        job.run(&source.record).map_err(|f| f.0).unwrap()
    }

    /// Answers to the questions whose words begin so, Enter to all others.
    fn answering(folder: &Path, answers: &[(&str, &[&str])]) -> (Draft, String) {
        let mut lines: Vec<String> = Vec::new();
        let mut left: Vec<(&str, &[&str])> = answers.to_vec();
        // Each round answers one question more; what is asked last of all lines is the question that comes next.
        loop {
            let (scheme, said) =
                answered(folder, &lines.iter().map(|line| format!("{line}\n")).collect::<String>());
            if let Ok(scheme) = scheme {
                assert!(left.is_empty(), "never asked: {left:?}\n{said}");
                return (scheme, said);
            }
            let last = said.trim_end().lines().last().unwrap().trim_end_matches("]:");
            let question = last.rsplit("]: ").next().unwrap().trim_start().to_owned();
            match left.iter().position(|(words, _)| question.starts_with(words)) {
                Some(at) => lines.extend(left.remove(at).1.iter().map(|answer| (*answer).to_owned())),
                None => lines.push(String::new()),
            }
            assert!(lines.len() < 90, "{}", &said[said.len() - 900..]);
        }
    }

    #[test]
    fn all_defaults_make_a_scheme_that_runs() {
        let folder = tempfile::tempdir().unwrap();
        let (scheme, said) = answered(folder.path(), &"\n".repeat(60));
        let scheme = scheme.unwrap();
        runs(folder.path(), &scheme);
        // What is asked stands there with its default, and the notes of the starter are all there.
        assert!(said.contains("\nStatic level: depth of the water at rest, such as 18 m [18 m]: "), "{said}");
        assert!((12..40).contains(&said.matches("]: ").count()), "{said}");
        let notes = |text: &str| text.lines().filter(|line| line.contains(" # ")).count();
        assert_eq!(notes(&scheme.text), notes(dryspell::scheme::STARTER));
    }

    #[test]
    fn answers_stand_in_the_scheme_and_a_bad_one_is_asked_again() {
        let folder = tempfile::tempdir().unwrap();
        let (scheme, said) = answering(
            folder.path(),
            &[
                ("Name of the scheme", &["Upper moor"]),
                ("Units of the reports", &["imperial", "us"]),
                ("What they are called", &["old ewes", "ewes"]),
                ("Class of animals", &["lactating ewes", "?", "beef cow"]),
                ("Of each animal: mass", &["90 kg", "1300 lb"]),
                ("How many head", &["many", "-3", "120"]),
                ("When they are there", &["15-11", "11-01 to 04-30"]),
                ("Static level", &["60", "60 ft"]),
                ("Power of one panel", &["400", "400 W"]),
                ("Tank: usable volume", &["3200 gal"]),
                ("Direction they face", &["sauth", "SSW"]),
                ("Strings in parallel", &["2"]),
            ],
        );
        for told in [
            "  \"imperial\" is not known here; one of \"si\", \"us\"; ",
            "  one word of letters a to z, digits, _ and -\n",
            "did you mean",
            "  herd.ewes.class: ",
            "  \"many\" (text); a number without quotes; write count = 40\n",
            "  \"-3\" is out of range; number of head: ",
            "  \"15-11\" is not a date or span of dates; ",
            "  \"60\" has no unit; a length carries its unit: ",
            "  \"400\" has no unit; a power carries its unit: ",
            "did you mean \"south\"?",
            "Volume at which a float stops the pump, or none [3040 gal]: ",
        ] {
            assert!(said.contains(told), "{told}\n{said}");
        }
        for line in [
            "name = \"Upper moor\"",
            "[herd.ewes]",
            "class = \"beef cow\"",
            "mass = \"1300 lb\"",
            "count = 120",
            "present = \"11-01 to 04-30\"",
            "parallel = 2  ",
            "# drinks = \"55 L\"",
            "azimuth = \"SSW\"",
            "float_stop = \"3040 gal\"",
        ] {
            assert!(scheme.text.lines().any(|l| l.starts_with(line)), "{line}\n{}", scheme.text);
        }
        let run = runs(folder.path(), &scheme);
        let capacity = run.plan.tank.capacity_m3;
        assert!((capacity - 12.113_3).abs() < 1e-3, "{capacity}");
        assert!(scheme.value("array.main.module.imp").is_some_and(|imp| imp == "10.75 A"));
    }

    #[test]
    fn every_kind_of_pump_and_each_way_to_the_animals_is_led_to_a_scheme_that_runs() {
        let folder = tempfile::tempdir().unwrap();
        for kind in ["volt table", "Head_Flow table", "positive displacement", "centrifugal"] {
            let answers: &[(&str, &[&str])] = &[("How the pump is described", &[kind])];
            let (scheme, _) = answering(folder.path(), answers);
            assert!(scheme.text.contains(&format!("\nkind = \"{kind}\"")));
            assert!(scheme.text.contains("\n# duty = [\n"));
            assert_eq!(scheme.faults(), [], "{kind}");
        }
        // Deeper than the example pump reaches: it is told, and kept when it is given again.
        let answers: &[(&str, &[&str])] = &[
            ("How the pump is described", &["volt table"]),
            ("CSV file of head, voltage", &["", ""]),
            ("Static level", &["70 m"]),
        ];
        let (scheme, said) = answering(folder.path(), answers);
        assert!(
            said.contains("highest head of the table") && said.contains("; the same answer again keeps it, "),
            "{said}"
        );
        assert!(
            scheme.faults().iter().all(|fault| fault.found.contains("static head")),
            "{:?}",
            scheme.faults()
        );
        assert_eq!(scheme.faults().len(), 1);
        for way in ["gravity", "booster"] {
            let (scheme, _) = answering(
                folder.path(),
                &[("Where they drink", &["at home", way]), ("When they are there", &["11-01 to 04-30"])],
            );
            let run = runs(folder.path(), &scheme);
            assert!(run.delivery.is_some(), "{way}");
            assert!(scheme.text.contains("at = [[\"paddock\", \"11-01 to 04-30\"]]"), "{}", scheme.text);
        }
    }

    #[test]
    fn weather_is_read_at_once() {
        let folder = tempfile::tempdir().unwrap();
        let (scheme, said) = answering(folder.path(), &[("Weather: ", &["climate.toml"])]);
        assert!(scheme.text.contains("\nclimate = \"climate.toml\""));
        assert!(scheme.text.contains("\n# file = \"weather.csv\""));
        assert!(!said.contains("is not there yet"), "{said}");
        runs(folder.path(), &scheme);

        let (scheme, said) = answering(folder.path(), &[("Weather: ", &["later.csv"])]);
        assert!(
            said.contains("later.csv is not there yet: put it there before you run the scheme\n"),
            "{said}"
        );
        assert!(scheme.text.contains("\nfile = \"later.csv\"  "));

        std::fs::write(folder.path().join("bad.csv"), "time,ghi W/m2\nnever,0\n").unwrap();
        let (scheme, said) = answering(folder.path(), &[("Weather: ", &["bad.csv", "bad.csv"])]);
        assert!(
            said.contains("bad.csv") && said.contains("; or give the same name again to keep it\n"),
            "{said}"
        );
        assert!(scheme.text.contains("\nfile = \"bad.csv\"  "));
    }

    #[test]
    fn an_input_that_ends_makes_nothing() {
        let folder = tempfile::tempdir().unwrap();
        let (scheme, _) = answered(folder.path(), "Upper moor\n\n");
        let lines = scheme.unwrap_err();
        assert!(lines[0].starts_with("new --ask: the input ended before the last question; "), "{lines:?}");
        assert!(!folder.path().join("scheme.toml").exists());
    }
}
