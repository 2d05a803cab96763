//! Sizes by the chance of a dry year: what it rests on, and the same numbers for any number of threads.

use std::process::Command;

use crate::odds::{demo_years, words};
use crate::program::Desk;

const ARRAYS: &str = "array.shed.series = 2, 3";

/// The page with so many threads.
fn page(desk: &Desk, threads: &str, args: &[&str]) -> String {
    let output = Command::new(env!("CARGO_BIN_EXE_dryspell"))
        .args(["size", "scheme.toml", "--target", "dry-years=60", "--array", ARRAYS])
        .args(args)
        .env("RAYON_NUM_THREADS", threads)
        .current_dir(desk.path(""))
        .output()
        .unwrap();
    assert!(output.stderr.is_empty(), "{}", String::from_utf8_lossy(&output.stderr));
    String::from_utf8(output.stdout).unwrap()
}

/// Share of made years that are dry, by tank, from the rows of the tanks: percent.
fn shares(page: &str) -> Vec<(String, f64)> {
    let tanks = page.split("TANKS with").nth(1).unwrap().split("ARRAYS with").next().unwrap();
    tanks
        .lines()
        .filter(|l| l.contains(" of ") && l.contains(" m3 "))
        .map(|l| {
            let words: Vec<&str> = l.split_whitespace().collect();
            let at = words.iter().position(|w| *w == "%").unwrap();
            (words[0].to_owned(), words[at - 1].parse().unwrap())
        })
        .collect()
}

#[test]
fn the_chance_is_that_of_the_odds_and_falls_from_tank_to_tank() {
    let desk = demo_years("calendar", "6");
    let made = ["--made-years", "60", "--drawings", "0", "--seed", "7"];
    let text = page(&desk, "2", &[&made[..], &["--tank", "7 to 31 by 4 m3"]].concat());
    // The scheme's own tank holds 11 m³: the odds of the same seed are of the same years.
    let odds = words(&desk.run(&[&["odds", "scheme.toml"][..], &made].concat()));
    let share = odds.split("share with a day of shortfall: ").nth(1).unwrap().split(' ').next().unwrap();
    let found = shares(&text);
    assert_eq!(found[1], ("11".to_owned(), share.parse().unwrap()), "{text}");
    assert_eq!(found.len(), 7);
    assert!(found.windows(2).all(|w| w[1].1 <= w[0].1) && found[0].1 > found[6].1, "{found:?}");
    // The answer is the first from which all larger ones meet the target.
    let first = found.iter().position(|(_, share)| *share <= 60.0).unwrap();
    assert!(first > 0, "{found:?}");
    let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        &format!("with the scheme's own array the smallest tank is {} m3", found[first].0),
        "In 60 years made from this record of 6 years,",
        "How far that holds for other years can be estimated with --drawings.",
        "share of 60 made tank years with a day of shortfall, from 6 years of the record, the same for every size",
        "not requested (--drawings 0)",
    ] {
        assert!(plain.contains(part), "no {part:?} in\n{text}");
    }
    // The record's own 5 whole tank years given as well as it; --made-years 0 lets them decide.
    assert!(text.contains(" of 5"), "{text}");
    let own = page(&desk, "2", &["--made-years", "0", "--tank", "7 to 31 by 4 m3"]);
    assert!(own.starts_with("In this record,") && !own.contains("made tank year"), "{own}");
}

#[test]
fn any_number_of_threads_gives_the_same_page_and_the_record_says_how_sure_it_is() {
    let desk = demo_years("calendar", "2");
    let args = |seed| ["--made-years", "50", "--tank", "11 to 27 by 8 m3", "--seed", seed];
    let one = page(&desk, "1", &args("7"));
    assert_eq!(one, page(&desk, "3", &args("7")));
    assert_ne!(one, page(&desk, "3", &[&args("8")[..], &["--drawings", "0"]].concat()));
    let plain = one.split_whitespace().collect::<Vec<_>>().join(" ");
    for part in [
        "the record allows any chance of a dry year from",
        "covered the true value in",
        "redraws the record's 2 years 200 times",
        "two standard errors, from the number of years made",
    ] {
        assert!(plain.contains(part), "no {part:?} in\n{one}");
    }
}

#[test]
fn made_years_of_made_years_give_no_interval() {
    let desk = demo_years("synthetic", "3");
    let more = ["--made-years", "25", "--tank", "11 to 27 by 8 m3", "--target", "served=95"];
    let text = page(&desk, "2", &more);
    let plain = text.split_whitespace().collect::<Vec<_>>().join(" ");
    assert!(plain.contains("interval cannot be known from this record"), "{text}");
    assert!(plain.contains("for other years cannot be known from this record."), "{text}");
    assert!(!plain.contains("the record allows"), "{text}");
    // Water served is asked of the record itself.
    let first = "In this record of 3 years, and by the dry years of 25 years made from it,";
    assert!(plain.starts_with(first), "{text}");
}
