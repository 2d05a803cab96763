//! The papers say what the program does: every block of the README and of the user's guide is executed or read.
//!
//! - `console`: lines that begin with `$ ` are typed into a shell, one after the other, in a folder that the page begins
//!   empty but for `data` (the shipped folder); a command goes on on the next line after a `\`. What is shown below a
//!   command is what the program prints. A line `[...]` stands for any number of lines left out.
//! - `toml scheme` and `toml scheme=FILE`: a whole scheme without a fault; with a name it is written into the page's folder.
//! - `csv beside=FILE`: a file that a piece of a scheme below it names.
//! - `csv hour=FILE`: head and first hour of a plain weather file; the rest of the year is added and the file written.
//! - `toml`: a piece of a scheme; nothing in it is at fault but what it leaves out.
//! - `text`: words or equations, which nothing executes.
//! - `sh`: each `dryspell` in it is a command that the program has, with options that the command has.
//!
//! Commands within a sentence, such as `dryspell run SCHEME`, are looked up like those of `sh`.
//!
//! `DRYSPELL_WRITE=1 cargo test -p dryspell-cli --test cli readme` writes what is shown, and the generated pages, anew.

mod blocks;
mod generated;
mod refresh;

use std::collections::BTreeMap;
use std::path::PathBuf;

use dryspell::fault::{FaultKind, Faults};
use dryspell::scheme::Scheme;

use crate::program::Desk;
use crate::support::root;
use blocks::{Block, Page};

/// The folder of the user's guide.
fn guide() -> PathBuf {
    root().join("crates/dryspell-cli/docs")
}

/// Every page that is held against the program.
fn pages() -> Vec<PathBuf> {
    let mut pages: Vec<PathBuf> = std::fs::read_dir(guide()).unwrap().map(|e| e.unwrap().path()).collect();
    pages.sort();
    pages.push(root().join("README.md"));
    pages
}

/// Goes through a page: executes, reads or refuses each of its blocks.
#[cfg(unix)]
fn go_through(file: PathBuf) {
    let mut page = Page::read(file);
    let desk = Desk::new();
    std::os::unix::fs::symlink(root().join("data").canonicalize().unwrap(), desk.path("data")).unwrap();
    let mut faults = Vec::new();
    for index in 0..page.blocks().len() {
        let block = page.blocks().swap_remove(index);
        let fault = match block.kind() {
            ("console", None) => console(&mut page, &block, &desk),
            ("toml", Some(name)) => scheme(&block, name.strip_prefix("scheme="), &desk),
            ("toml", None) => piece(&block, &desk),
            ("csv", Some(name)) if name.starts_with("beside=") => {
                desk.write(name.trim_start_matches("beside="), &block.text());
                Ok(())
            }
            ("csv", Some(name)) => hour(&block, name.strip_prefix("hour=").unwrap(), &desk),
            ("sh", None) => typed(&block.text()),
            ("text", None) => Ok(()),
            other => Err(format!("a block that nothing checks: {other:?}")),
        };
        if let Err(fault) = fault {
            faults.push(format!("{}:{}: {fault}", page.name(), block.line));
        }
    }
    for command in page.commands_in_sentences() {
        faults.extend(typed(&command).err().map(|fault| format!("{}: {fault}", page.name())));
    }
    if page.name() == "applicant.md" {
        faults.extend(generated::sections(&mut page).err());
    }
    if refresh::wanted() {
        page.write();
    }
    assert!(faults.is_empty(), "{}", faults.join("\n\n"));
}

/// Types the commands and holds what is shown against what is printed.
fn console(page: &mut Page, block: &Block, desk: &Desk) -> Result<(), String> {
    let mut now = Vec::new();
    let mut fault = Ok(());
    for (command, shown) in block.commands()? {
        let printed = blocks::typed_into_a_shell(&command, desk)?;
        let printed: Vec<&str> = printed.trim_end().lines().map(str::trim_end).collect();
        now.extend(
            command.lines().enumerate().map(|(i, l)| if i == 0 { format!("$ {l}") } else { l.to_owned() }),
        );
        if refresh::fits(&shown, &printed) {
            now.extend(shown);
        } else if refresh::wanted() {
            now.extend(refresh::refreshed(&shown, &printed).map_err(|lost| format!("{command}: {lost}"))?);
        } else {
            let printed = printed.join("\n");
            fault = Err(format!("{command}: the page shows\n{}\nbut it prints\n{printed}", shown.join("\n")));
        }
    }
    if refresh::wanted() {
        page.replace(block, now);
    }
    fault
}

/// A whole scheme.
fn scheme(block: &Block, name: Option<&str>, desk: &Desk) -> Result<(), String> {
    let text = block.text();
    if let Some(name) = name {
        desk.write(name, &text);
    }
    Scheme::from_toml(&text).map(|_| ()).map_err(|faults| faults.to_string())
}

/// A piece of a scheme: what is there is right, whatever else a scheme needs.
fn piece(block: &Block, desk: &Desk) -> Result<(), String> {
    let files = |name: &str| std::fs::read_to_string(desk.path(name)).map_err(|e| e.to_string());
    let Err(faults) = Scheme::from_toml_with(&block.text(), &files) else { return Ok(()) };
    let faults: Faults = faults.into_iter().filter(|f| !matches!(f.kind, FaultKind::MissingKey)).collect();
    if faults.is_empty() { Ok(()) } else { Err(faults.to_string()) }
}

/// A plain weather file of which the first hour is shown: every other hour is the same.
fn hour(block: &Block, name: &str, desk: &Desk) -> Result<(), String> {
    let text = block.text();
    let (head, row) = text.trim_end().rsplit_once('\n').ok_or("a head and one hour are needed")?;
    let values = row.strip_prefix("2023-01-01T00:00,").ok_or("the hour shown is not the first of 2023")?;
    let mut text = format!("{head}\n");
    for day in dryspell::calendar::Calendar::year(2023).days() {
        for hour in 0..24 {
            text += &format!("2023-{:02}-{:02}T{hour:02}:00,{values}\n", day.month, day.day);
        }
    }
    desk.write(name, &text);
    Ok(())
}

/// Commands that are not executed: at least the program knows them.
fn typed(text: &str) -> Result<(), String> {
    let mut helps = BTreeMap::new();
    let desk = Desk::new();
    for line in text.replace("\\\n", " ").lines() {
        // What follows a # is a remark, which may hold a command too.
        for part in line.split("dryspell ").skip(1) {
            let mut words = part.split_whitespace();
            let Some(command) = words.next() else { continue };
            let help = helps.entry(command.to_owned()).or_insert_with(|| desk.run(&[command, "--help"]));
            if help.code != 0 || !help.out.contains(&format!("Usage: dryspell {command}")) {
                return Err(format!("dryspell {command}: the program has no such command"));
            }
            for option in words.filter(|w| w.starts_with('-') && w.len() > 1) {
                if !help.out.split_whitespace().any(|w| w.trim_end_matches(',') == option) {
                    return Err(format!("dryspell {command} {option}: the command has no such option"));
                }
            }
        }
    }
    Ok(())
}

/// One test a page, so that they run side by side; a page that is not listed is found by `every_page_is_gone_through`.
macro_rules! gone_through {
    ($($test:ident: $file:literal),* $(,)?) => {
        $(
            #[cfg(unix)]
            #[test]
            fn $test() {
                go_through(root().join($file));
            }
        )*

        #[test]
        fn every_page_is_gone_through() {
            let listed = [$($file),*].map(|f| root().join(f));
            for page in pages() {
                assert!(listed.contains(&page), "{}: a page that no test goes through", page.display());
            }
        }
    };
}

gone_through! {
    the_readme: "README.md",
    the_index_of_the_guide: "crates/dryspell-cli/docs/README.md",
    the_page_of_the_designer: "crates/dryspell-cli/docs/designer.md",
    the_page_of_the_applicant: "crates/dryspell-cli/docs/applicant.md",
    the_page_of_the_researcher: "crates/dryspell-cli/docs/researcher.md",
    the_page_of_weather: "crates/dryspell-cli/docs/weather.md",
    the_page_of_inflows: "crates/dryspell-cli/docs/inflows.md",
    the_page_of_tanks: "crates/dryspell-cli/docs/tanks.md",
    the_page_of_backup: "crates/dryspell-cli/docs/backup.md",
    the_page_of_keys: "crates/dryspell-cli/docs/keys.md",
    the_page_of_columns: "crates/dryspell-cli/docs/columns.md",
    the_page_of_assumptions: "crates/dryspell-cli/docs/assumptions.md",
    the_glossary: "crates/dryspell-cli/docs/glossary.md",
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
fn links_within_the_project_lead_somewhere() {
    let mut files = pages();
    files.extend(["DEVELOPERS.md", "data/README.md"].map(|f| root().join(f)));
    let mut followed = 0;
    for file in files {
        let text = std::fs::read_to_string(&file).unwrap();
        for link in text.split("](").skip(1).map(|rest| rest.split(')').next().unwrap()) {
            let (path, heading) = link.split_once('#').unwrap_or((link, ""));
            if link.contains("://") {
                continue;
            }
            let to = if path.is_empty() { file.clone() } else { file.parent().unwrap().join(path) };
            assert!(to.exists(), "{}: the link {link} leads nowhere", file.display());
            if !heading.is_empty() {
                let page = std::fs::read_to_string(&to).unwrap();
                let found = page.lines().filter(|l| l.starts_with('#')).any(|l| blocks::anchor(l) == heading);
                assert!(found, "{}: the link {link} names a heading that is not there", file.display());
            }
            followed += 1;
        }
    }
    assert!(followed > 20, "only {followed} links");
}
