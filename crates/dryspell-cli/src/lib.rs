//! The dryspell program: reads a scheme, runs it on a weather file, prints what came of it.
//!
//! Exit codes: 0 answered; 1 only where a verdict was asked for; 2 any error; 130 interrupted, 143 terminated; a broken
//! pipe is 0.

mod args;
mod commands;
mod files;
mod job;
mod kinds;
pub mod reading;
mod source;
mod stop;
mod sweep;
mod tables;
mod watch;

use std::ffi::OsString;
use std::process::ExitCode;

use clap::Parser;

/// How a command ended when it did not fail.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Verdict {
    /// Answered, or no verdict was asked for.
    Answered,
    /// A verdict was asked for, and it is no.
    No,
    /// This signal stopped it; what is finished is kept.
    Interrupted(i32),
}

/// Ends a command: lines for standard error.
#[derive(Debug)]
pub(crate) struct Failure(pub(crate) Vec<String>);

impl<T: std::fmt::Display> From<T> for Failure {
    fn from(error: T) -> Self {
        Self(vec![error.to_string()])
    }
}

/// The whole program: reads the command line, does what it asks and says how it went.
#[must_use]
pub fn main() -> ExitCode {
    ExitCode::from(run_with(std::env::args_os()))
}

/// The program with the words of a command line, of which the first is its name; its exit code. Help and words that it does not know
/// end the process.
#[must_use]
pub fn run_with(words: impl IntoIterator<Item = impl Into<OsString> + Clone>) -> u8 {
    let args = args::Args::parse_from(words);
    stop::watch();
    let done = match args.command {
        args::Command::New(new) => commands::new::new(&new),
        args::Command::Run(run) => commands::run::run(&run),
        args::Command::Hour(hour) => commands::hour::hour(&hour),
        args::Command::Curve(curve) => commands::curve::curve(&curve),
        args::Command::Herd(herd) => commands::herd::herd(&herd),
        args::Command::Frost(frost) => commands::frost::frost(&frost),
        args::Command::Odds(odds) => commands::odds::odds(&odds),
        args::Command::Ahead(ahead) => commands::ahead::ahead(&ahead),
        args::Command::Summary(summary) => commands::summary::summary(&summary),
        args::Command::Verify(verify) => commands::verify::verify(&verify),
        args::Command::Compare(compare) => commands::compare::compare(&compare),
        args::Command::Review(review) => commands::review::review(&review),
        args::Command::Choose(choose) => commands::choose::choose(&choose),
        args::Command::Size(size) => commands::size::size(&size),
        args::Command::Sweep(sweep) => commands::sweep::sweep(&sweep),
        args::Command::Gather(gather) => commands::gather::gather(&gather),
        args::Command::Weather(weather) => commands::weather::weather(&weather),
        args::Command::Synth(synth) => commands::synth::synth(&synth),
        args::Command::Columns(columns) => commands::columns::columns(&columns),
        args::Command::Print(print) => commands::print::print(&print),
    };
    match done {
        Ok(Verdict::Answered) => 0,
        Ok(Verdict::No) => 1,
        Ok(Verdict::Interrupted(signal)) => stop::code(signal),
        Err(Failure(lines)) => {
            for line in lines {
                files::say(&format!("dryspell: {line}"));
            }
            2
        }
    }
}
