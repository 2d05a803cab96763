//! Readers on texts that nobody wrote: the shipped corpus, spoilt. None may panic, and what is refused is told in one line.
//!
//! Settings, all from the environment: `DRYSPELL_FUZZ_SECONDS` for each target (1), or `DRYSPELL_FUZZ_COUNT` executions of each in
//! place of it; `DRYSPELL_FUZZ_SEED` (1); `DRYSPELL_FUZZ_ONLY`, the name of one target; `DRYSPELL_FUZZ_WHOLE=1` for whole files in
//! place of their first 8 KiB or 72 rows. A text that makes a reader panic is written to `target/fuzz/` with its seed and number.
#![allow(
    clippy::cast_possible_truncation,
    clippy::cast_precision_loss,
    clippy::unwrap_used,
    clippy::print_stdout,
    clippy::expect_used,
    clippy::panic,
    unreachable_pub,
    reason = "a test stops at the first surprise"
)]

#[allow(dead_code, reason = "the other suite draws more kinds of numbers")]
#[path = "../support/random.rs"]
mod random;
#[path = "../support/mod.rs"]
mod support;

mod corpus;
mod spoil;
mod targets;

use std::cell::RefCell;
use std::panic::{AssertUnwindSafe, catch_unwind};
use std::sync::Mutex;
use std::sync::atomic::{AtomicU64, Ordering};
use std::time::{Duration, Instant};

use random::Random;
use targets::{TARGETS, Target};

fn setting(name: &str) -> Option<String> {
    std::env::var(format!("DRYSPELL_FUZZ_{name}")).ok()
}

fn number(name: &str, otherwise: u64) -> u64 {
    setting(name).map_or(otherwise, |text| text.parse().unwrap())
}

thread_local! {
    /// Where this thread panicked last.
    static PANICKED: RefCell<String> = const { RefCell::new(String::new()) };
}

/// Executions of a target, how many of its texts were accepted, and what went wrong.
struct Ran {
    executions: u64,
    accepted: u64,
    wrong: Vec<String>,
}

fn run(target: &Target, seed: u64, whole: bool, count: Option<u64>, seconds: u64) -> Ran {
    let corpus = (target.corpus)(whole);
    assert!(!corpus.is_empty(), "{} has no corpus", target.name);
    let (next, done, accepted) = (AtomicU64::new(0), AtomicU64::new(0), AtomicU64::new(0));
    let wrong = Mutex::new(Vec::new());
    let end = Instant::now() + Duration::from_secs(seconds);
    let work = || {
        let mut bench = (target.bench)();
        loop {
            let number = next.fetch_add(1, Ordering::Relaxed);
            let over = count.map_or_else(|| Instant::now() >= end, |count| number >= count);
            if over || wrong.lock().unwrap().len() >= 10 {
                break;
            }
            let mut r = Random::new(seed, number);
            let mut text = corpus[r.below(corpus.len())].clone();
            spoil::spoil(&mut text, &corpus, &mut r);
            let what = match catch_unwind(AssertUnwindSafe(|| (target.execute)(&mut bench, &text, &mut r))) {
                Ok(Ok(taken)) => {
                    accepted.fetch_add(u64::from(taken), Ordering::Relaxed);
                    None
                }
                Ok(Err(why)) => Some(why),
                Err(_) => Some(PANICKED.take()),
            };
            if let Some(what) = what {
                let file = keep(target.name, seed, number, &text);
                wrong
                    .lock()
                    .unwrap()
                    .push(format!("{}, seed {seed}, number {number} ({file}): {what}", target.name));
            }
            done.fetch_add(1, Ordering::Relaxed);
        }
    };
    std::thread::scope(|scope| (0..2).for_each(|_| drop(scope.spawn(work))));
    Ran { executions: done.into_inner(), accepted: accepted.into_inner(), wrong: wrong.into_inner().unwrap() }
}

/// Writes a text that was not borne, and says where.
fn keep(target: &str, seed: u64, number: u64, text: &[u8]) -> String {
    let folder = support::root().join("target/fuzz");
    std::fs::create_dir_all(&folder).unwrap();
    let file = folder.join(format!("{}-{seed}-{number}", target.replace(' ', "_")));
    std::fs::write(&file, text).unwrap();
    file.display().to_string()
}

#[test]
fn no_text_makes_a_reader_panic_and_every_refusal_is_one_line() {
    let seed = number("SEED", 1);
    let whole = setting("WHOLE").is_some();
    let count = setting("COUNT").map(|text| text.parse().unwrap());
    let seconds = number("SECONDS", 1);
    let only = setting("ONLY");
    std::panic::set_hook(Box::new(|info| PANICKED.set(info.to_string().replace('\n', " "))));
    let mut wrong = Vec::new();
    let mut sum = 0;
    for target in TARGETS.iter().filter(|t| only.as_deref().is_none_or(|name| name == t.name)) {
        let ran = run(target, seed, whole, count, seconds);
        println!("{:28} {:>10} executions, {:>10} accepted", target.name, ran.executions, ran.accepted);
        // A target of which nothing is accepted tests a first line alone; one that takes all is not spoilt.
        if ran.executions > 20_000 && !whole {
            assert!(ran.accepted < ran.executions, "{}: all accepted", target.name);
            assert!(ran.accepted > 0 || target.refuses_all, "{}: none accepted", target.name);
        }
        ran.wrong.iter().for_each(|why| println!("WRONG {why}"));
        sum += ran.executions;
        wrong.extend(ran.wrong);
    }
    drop(std::panic::take_hook());
    println!("{:28} {sum:>10} executions", "in sum");
    assert!(wrong.is_empty(), "{}", wrong.join("\n"));
}
