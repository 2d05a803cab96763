//! No text makes the reader panic, and every fault is one line with its parts.

use proptest::prelude::*;

use super::BASE;
use crate::scheme::{STARTER, Scheme};

fn check(text: &str) -> Result<(), TestCaseError> {
    match Scheme::from_toml(text) {
        Ok(scheme) => {
            let plan = scheme.plan();
            prop_assert!(plan.tank.capacity_m3 > 0.0 && plan.tank.capacity_m3.is_finite());
            prop_assert!(!plan.array.arrays.is_empty() && !plan.draw.groups.is_empty());
        }
        Err(faults) => {
            prop_assert!(!faults.is_empty());
            let lines = text.split('\n').count();
            for fault in faults {
                let line = fault.to_string();
                prop_assert!(!line.contains(char::is_control), "{line:?}");
                prop_assert!(
                    !fault.found.is_empty() && !fault.accepted.is_empty() && !fault.way_out.is_empty()
                );
                prop_assert!(fault.location.line.is_none_or(|n| (1..=lines).contains(&n)), "{line}");
                prop_assert!(fault.location.line.is_some() || fault.location.key.is_some(), "{line}");
            }
        }
    }
    Ok(())
}

/// Pieces that TOML and units are made of.
const PIECES: [&str; 30] = [
    "\"",
    "'",
    "[",
    "]",
    "[[",
    "]]",
    "{",
    "}",
    "=",
    ".",
    ",",
    "\n",
    "\r\n",
    "#",
    "\\",
    "\"\"\"",
    "1e999",
    "nan",
    "-inf",
    "0xffffffffffffffffff",
    "99999999999999999999999",
    "\"1/0 L\"",
    "\"1,1,1 gal\"",
    "true",
    "1979-05-27",
    "\u{0}",
    "é",
    "°",
    "[herd.\"a b\"]\n",
    "\u{feff}",
];

fn cut(text: &str, at: usize) -> usize {
    (0..=at.min(text.len())).rev().find(|i| text.is_char_boundary(*i)).unwrap_or(0)
}

proptest! {
    #![proptest_config(ProptestConfig::with_cases(512))]

    #[test]
    fn any_text(text in ".{0,200}") {
        check(&text)?;
    }

    #[test]
    fn any_bytes(bytes in proptest::collection::vec(any::<u8>(), 0..200)) {
        check(&String::from_utf8_lossy(&bytes))?;
    }

    #[test]
    fn text_of_pieces(pieces in proptest::collection::vec(0..PIECES.len(), 0..20)) {
        let text: String = pieces.into_iter().map(|i| PIECES[i]).collect();
        check(&text)?;
    }

    /// A good scheme with some of its text cut out, doubled or replaced.
    #[test]
    fn broken_schemes(
        starter in any::<bool>(),
        changes in proptest::collection::vec((any::<prop::sample::Index>(), 0_usize..30, 0..=PIECES.len()), 1..4),
    ) {
        let mut text = if starter { STARTER.to_string() } else { BASE.to_string() };
        for (at, length, piece) in changes {
            let from = cut(&text, at.index(text.len().max(1)));
            let to = cut(&text, from + length).max(from);
            let new = PIECES.get(piece).map_or_else(|| text[from..to].repeat(2), |p| (*p).to_string());
            text.replace_range(from..to, &new);
        }
        check(&text)?;
    }

    /// A good scheme with the values of its keys shuffled, dropped or of another type: always TOML.
    #[test]
    fn shuffled_values(seed in proptest::collection::vec((any::<prop::sample::Index>(), any::<prop::sample::Index>()), 1..6)) {
        let mut lines: Vec<String> = BASE.lines().map(str::to_string).collect();
        let others = ["{ a = 1 }", "[[[]]]", "[1, \"2 m\", {}]", "\"\"", "-0.0", "nan", "-9e99", "12:00:00", "\"-5 ft\""];
        for (which, what) in seed {
            let i = which.index(lines.len());
            let Some((key, _)) = lines[i].split_once(" = ").map(|(k, v)| (k.to_string(), v.to_string())) else {
                continue;
            };
            let j = what.index(lines.len() + others.len());
            let value = match lines.get(j) {
                Some(line) => line.split_once(" = ").map_or("[]".to_string(), |(_, v)| v.to_string()),
                None => others[j - lines.len()].to_string(),
            };
            lines[i] = format!("{key} = {value}");
        }
        check(&(lines.join("\n") + "\n"))?;
    }
}

#[test]
fn deep_and_long_texts_are_refused_in_time() {
    for text in
        ["[".repeat(100_000), "a = ".to_string() + &"[".repeat(100_000), "a.".repeat(100_000) + "b = 1"]
    {
        assert!(Scheme::from_toml(&text).is_err());
    }
    let many: String = (0..20_000).map(|i| format!("key{i} = {i}\n")).collect();
    assert!(Scheme::from_toml(&many).unwrap_err().len() >= 20_000);
}
