//! One table of keys: the reader, the starter scheme and the page cannot drift from it.

use super::{BASE, header, report, with};
use crate::fault::FaultKind;
use crate::scheme::keys::{KEYS, Presence, SECTIONS, page};
use crate::scheme::{STARTER, Scheme};

fn path(section: &str, name: &str) -> String {
    let header = header(section);
    if header.is_empty() { name.to_string() } else { format!("{header}.{name}") }
}

/// A value of a type that no key takes is refused at each key: so each key of the table is really read.
#[test]
fn the_reader_reads_every_key() {
    for key in KEYS {
        let (text, line) = with(key.section, key.name, "1979-05-27");
        let faults = Scheme::from_toml(&text).unwrap_err();
        let path = path(key.section, key.name);
        let own: Vec<_> =
            faults.iter().filter(|f| f.location.key.as_deref() == Some(path.as_str())).collect();
        assert!(
            own.iter().any(|f| f.kind == FaultKind::WrongType && f.location.line == Some(line)),
            "{path}:\n{}",
            report(&text)
        );
        assert!(own.iter().all(|f| f.kind != FaultKind::UnknownKey), "{path}");
    }
}

/// Each example and each default is accepted where it stands; only another key may contradict it.
#[test]
fn examples_and_defaults_are_accepted() {
    for key in KEYS {
        let default = match key.presence {
            Presence::Default { literal, .. } => literal,
            _ => key.example,
        };
        for literal in [key.example, default] {
            let (text, _) = with(key.section, key.name, literal);
            let Err(faults) = Scheme::from_toml(&text) else { continue };
            for fault in faults {
                assert!(
                    matches!(
                        fault.kind,
                        FaultKind::Contradiction | FaultKind::MissingKey | FaultKind::CannotRun
                    ),
                    "{} = {literal}: {fault}",
                    key.path()
                );
            }
        }
    }
}

#[test]
fn tables_of_keys_are_listed_as_tables() {
    for key in KEYS {
        assert!(key.section.is_empty() || SECTIONS.iter().any(|s| s.path == key.section), "{}", key.path());
        assert!(!key.meaning.is_empty() && !key.example.is_empty());
    }
    let mut paths: Vec<String> = KEYS.iter().map(crate::scheme::keys::KeyDoc::path).collect();
    paths.sort();
    paths.dedup();
    assert_eq!(paths.len(), KEYS.len());
}

#[test]
fn the_starter_shows_every_key_and_table() {
    let mut table = String::new();
    let mut shown = Vec::new();
    for line in STARTER.lines() {
        let line = line.strip_prefix("# ").unwrap_or(line);
        if let Some(name) = line.strip_prefix('[').and_then(|l| l.split_once(']')).map(|(n, _)| n) {
            let fits = |path: &str| {
                let (a, b): (Vec<&str>, Vec<&str>) = (path.split('.').collect(), name.split('.').collect());
                a.len() == b.len() && a.iter().zip(&b).all(|(a, b)| *a == "*" || a == b)
            };
            table =
                SECTIONS.iter().find(|s| fits(s.path)).unwrap_or_else(|| panic!("{line}")).path.to_string();
            shown.push(table.clone());
        } else if let Some((name, _)) = line.split_once(" = ") {
            shown.push(if table.is_empty() { name.to_string() } else { format!("{table}.{name}") });
        }
    }
    for section in SECTIONS {
        assert!(shown.iter().any(|s| s == section.path), "[{}] is not in the starter", section.path);
    }
    for key in KEYS {
        // The extra draw shares two keys with the herd, and says so.
        let shared = key.section == "extra.*" && matches!(key.name, "pattern" | "present");
        assert!(shared || shown.contains(&key.path()), "{} is not in the starter", key.path());
    }
}

/// Every line that the starter shows behind a `#` works when the `#` is taken away.
#[test]
fn the_lines_that_the_starter_leaves_out_are_right() {
    let mut tried = 0;
    for (i, line) in STARTER.lines().enumerate() {
        let Some(active) = line.strip_prefix("# ") else { continue };
        let name: String = active.chars().take_while(|c| c.is_ascii_lowercase() || *c == '_').collect();
        if !active[name.len()..].starts_with(" = ") {
            continue;
        }
        let mut lines: Vec<&str> = STARTER.lines().collect();
        lines[i] = active;
        // The head of a table that is itself left out, such as # [extra.deer].
        let head =
            (0..i).rev().take_while(|n| lines[*n].starts_with("# ")).find(|n| lines[*n].starts_with("# ["));
        if let Some(head) = head {
            lines[head] = &lines[head][2..];
        }
        tried += 1;
        if let Err(faults) = Scheme::from_toml(&lines.join("\n")) {
            for fault in faults {
                // No file is there to be read.
                assert!(
                    matches!(
                        fault.kind,
                        FaultKind::Contradiction | FaultKind::MissingKey | FaultKind::CannotRun
                    ),
                    "{active}: {fault}"
                );
            }
        }
    }
    assert!(tried >= 30, "only {tried} lines tried");
}

/// `DRYSPELL_WRITE=1 cargo test -p dryspell --lib the_page` writes the page anew.
#[test]
fn the_page_of_keys_is_up_to_date() {
    let file = std::path::Path::new(env!("CARGO_MANIFEST_DIR")).join("src/scheme/keys.md");
    if std::env::var_os("DRYSPELL_WRITE").is_some() {
        std::fs::write(&file, page()).unwrap();
    }
    assert!(
        std::fs::read_to_string(file).unwrap() == page(),
        "run with DRYSPELL_WRITE=1 to write keys.md anew"
    );
}

#[test]
fn the_base_scheme_has_no_fault() {
    assert_eq!(report(BASE), "");
}

/// A semicolon parts found, accepted and way out in a message.
#[test]
fn meanings_fit_into_messages() {
    for key in KEYS {
        assert!(!key.meaning.contains(';'), "{}", key.meaning);
    }
}

/// The old name of a key is read as the new one, with a hint; both together are refused.
#[test]
fn a_key_is_read_under_its_old_name_for_a_while() {
    let with = |text: &str| {
        Scheme::from_toml(&STARTER.replace("[pump]", &format!("[garden.beds]\ncrop = \"small vegetables\"\narea = \"20 m2\"\nplanted = \"05-01\"\nstages = [30, 40, 40, 25]\n{text}\n\n[pump]")))
    };
    let new = with("soil_storage = \"30 mm\"").unwrap_or_else(|f| panic!("{f}"));
    let old = with("soil_holds = \"30 mm\"").unwrap_or_else(|f| panic!("{f}"));
    assert_eq!(old.plan(), new.plan());
    assert!(new.hints.is_empty());
    assert_eq!(old.hints.len(), 1);
    assert!(
        old.hints[0]
            .contains("garden.beds.soil_holds: this key is now soil_storage; the old name is read until 0.3"),
        "{}",
        old.hints[0]
    );
    let both = with("soil_holds = \"30 mm\"\nsoil_storage = \"30 mm\"").unwrap_err();
    assert!(both.to_string().contains("garden.beds.soil_holds: no key of this name"), "{both}");
}

#[test]
fn a_whole_number_too_long_for_any_count_is_refused_with_a_word() {
    for long in ["0xffffffffffffffffff2", "99999999999999999999999"] {
        let faults =
            Scheme::from_toml(&STARTER.replace("cells = 72", &format!("cells = {long}"))).unwrap_err();
        assert!(
            faults.iter().any(|f| f.location.key.as_deref().is_some_and(|key| key.ends_with("cells"))),
            "{faults}"
        );
    }
}
