//! Why the scheme goes short, or what brought it nearest to it.

use dryspell::units::{Quantity, column_number, column_unit};

use super::Matter;
use crate::model::{Block, Text};
use crate::told;

/// One paragraph below the critical spell.
pub(super) fn why(m: &Matter<'_>) -> Option<Block> {
    let why = m.why?;
    let title = if why.spell.is_some() { "Why it goes short" } else { "Nearest to short" };
    let mut text = format!("{}.", told::window(m.run, why));
    let mut say = |more: &str| {
        let mut letters = more.chars();
        let first: String = letters.next().into_iter().flat_map(char::to_uppercase).collect();
        text = format!("{text} {first}{}.", letters.as_str());
    };
    if let Some(causes) = told::spell_causes(why, m.system) {
        say(&causes);
    }
    if told::tank_ran_out(why) {
        say(&told::came(why, m.system));
        say(&told::thresholds(why, m.system));
        let unit = column_unit(Quantity::Volume, m.system);
        let held: Vec<String> = why
            .held_back
            .iter()
            .map(|held| {
                let volume = column_number(held.m3, Quantity::Volume, m.system);
                format!("{}, {volume} {unit} in {} h", held.by.word(), held.hours)
            })
            .collect();
        say(&format!("held back against that flow by: {}", held.join("; ")));
    }
    Some(Block::Paragraph(Text::strong(format!("{title}: ")).then(text)))
}
