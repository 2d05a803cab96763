//! Why the scheme goes short, or what brought it nearest to it.

use std::fmt::Write;

use dryspell::simulate::Run;
use dryspell::units::{Quantity, System, column_number, column_unit};
use dryspell::why::{HeldBy, Why};

use crate::layout::wrap_to;
use crate::told;

/// The window, what came and what could have come, and what held it back.
pub(super) fn why(run: &Run, why: &Why, system: System) -> String {
    let title = if why.spell.is_some() { "WHY IT GOES SHORT" } else { "NEAREST TO SHORT" };
    let mut out = format!("{title}  {}\n", told::window(run, why));
    let mut say = |text: &str| wrap_to(&mut out, "  ", "  ", text);
    if let Some(text) = told::spell_causes(why, system) {
        say(&text);
    }
    if !told::tank_ran_out(why) {
        return out;
    }
    say(&told::came(why, system));
    say(&told::thresholds(why, system));
    let unit = column_unit(Quantity::Volume, system);
    let _ = writeln!(out, "    {:<22}{:>10}  {:>6}", "held back by", unit, "hours");
    for held in &why.held_back {
        let volume = column_number(held.m3, Quantity::Volume, system);
        let note = if held.by == HeldBy::Night { "  no light" } else { "" };
        let _ = writeln!(out, "    {:<22}{volume:>10}  {:>6}{note}", held.by.word(), held.hours);
    }
    out
}
