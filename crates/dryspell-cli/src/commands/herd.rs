//! `dryspell herd`: the classes of animals with their published needs.

use dryspell::draw::classes::{CLASSES, find};
use dryspell::units::System;

use crate::args::HerdArgs;
use crate::{Failure, Verdict, files};

/// Prints all classes, or one with its formula.
pub(crate) fn herd(args: &HerdArgs) -> Result<Verdict, Failure> {
    let system = args.units.map_or(System::Si, Into::into);
    let page = match &args.class {
        None => dryspell_report::herd::list(system),
        Some(name) => {
            let wanted = name.trim().to_lowercase().replace('-', " ");
            let class = find(&wanted).ok_or_else(|| unknown(name))?;
            dryspell_report::herd::one(class, system)
        }
    };
    files::print(&page)?;
    Ok(Verdict::Answered)
}

fn unknown(name: &str) -> Failure {
    let names: Vec<&str> = CLASSES.iter().map(|c| c.name).collect();
    let way_out = dryspell::nearest::nearest(name, names.iter().copied()).map_or_else(
        || "choose the class most like it".to_owned(),
        |near| format!("did you mean \"{near}\"?"),
    );
    Failure(vec![format!("\"{name}\": no class of this name; known: {}; {way_out}", names.join(", "))])
}
