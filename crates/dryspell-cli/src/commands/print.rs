//! `dryspell print`: what shells, readers of manuals and editors make use of, from the lists that the program itself reads.

use clap::CommandFactory;
use clap_mangen::Man;
use dryspell::nearest::nearest;
use dryspell_report::answers::ANSWERS;

use crate::args::{Args, PrintArgs, Printed};
use crate::{Failure, Verdict, files};

/// The program's name, as it is typed.
const NAME: &str = "dryspell";

/// Prints it on standard output.
pub(crate) fn print(args: &PrintArgs) -> Result<Verdict, Failure> {
    let text = match &args.what {
        Printed::Completions { shell } => {
            let mut text = Vec::new();
            clap_complete::generate(*shell, &mut Args::command(), NAME, &mut text);
            String::from_utf8(text)?
        }
        Printed::Man { command } => page(command.as_deref())?,
        Printed::Schema { command } => {
            let schema = match command.as_deref() {
                None => dryspell::scheme::keys::schema(),
                Some(command) => {
                    let found = ANSWERS.iter().find(|(name, _)| *name == command);
                    found.map(|(_, schema)| schema()).ok_or_else(|| without_answer(command))?
                }
            };
            let mut text = serde_json::to_string_pretty(&schema)?;
            text.push('\n');
            text
        }
    };
    files::print(&text)?;
    Ok(Verdict::Answered)
}

/// A manual page: of the whole program, or of one of its commands.
fn page(command: Option<&str>) -> Result<String, Failure> {
    let mut whole = Args::command().disable_help_subcommand(true);
    whole.build();
    let page = match command {
        None => whole,
        Some(name) => match whole.find_subcommand(name) {
            Some(found) => found.clone(),
            None => return Err(unknown(name, &whole)),
        },
    };
    let mut text = Vec::new();
    Man::new(page).source(format!("{NAME} {}", env!("CARGO_PKG_VERSION"))).render(&mut text)?;
    Ok(String::from_utf8(text)?)
}

fn without_answer(name: &str) -> Failure {
    Failure(vec![format!(
        "print schema {name}: no command with an answer in JSON; known: {}; choose one of them, or none for the scheme file",
        ANSWERS.map(|(name, _)| name).join(", ")
    )])
}

fn unknown(name: &str, whole: &clap::Command) -> Failure {
    let known: Vec<&str> = whole.get_subcommands().map(clap::Command::get_name).collect();
    let way_out = nearest(name, known.iter().copied())
        .map_or_else(|| "choose one of them".to_owned(), |near| format!("did you mean {near}?"));
    Failure(vec![format!(
        "print man {name}: no command of this name; known: {}; {way_out}",
        known.join(", ")
    )])
}
