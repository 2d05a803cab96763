//! What was asked, the answer, what must not be overlooked; the site and the scheme.

use dryspell::results::{Severity, alerts, answer};

use super::strip::strip;
use super::{Matter, heading};
use crate::goal;
use crate::model::{Align, Block, Table, Text};
use crate::scheme_lines::lines;

pub(super) fn opening(m: &Matter<'_>) -> Vec<Block> {
    let mut blocks: Vec<Block> = names(m).into_iter().collect();
    blocks.extend([
        Block::Paragraph(Text::strong("Question: ").then(
            "does the herd go without water in the given weather, on how many days, how long does the tank last without \
             sun, and what does this record say about other years?",
        )),
        Block::Answer(answer(m.run, m.system).into()),
        strip(m),
    ]);
    blocks.extend(asked(m));
    // What can hurt or bears on every number stands alone; the rest may be read together.
    let (grave, rest): (Vec<_>, Vec<_>) =
        alerts(m.run, m.system).into_iter().partition(|alert| alert.severity <= Severity::EveryFigure);
    blocks.extend(grave.into_iter().map(|alert| Block::Notice(alert.text.into())));
    if !rest.is_empty() {
        blocks.push(Block::List(rest.into_iter().map(|alert| Text::from(alert.text)).collect()));
    }
    blocks.push(heading("Site and scheme"));
    let drawn = m.chart("schematic");
    let told_by_the_drawing = drawn.is_some();
    blocks.extend(drawn);
    let mut told = Text::default();
    let mut seen = "";
    // What the drawing, the herds and the list of inputs do not tell.
    let told_here = |label: &str| match (told_by_the_drawing, m.run.plan.is_one_tank()) {
        (false, _) => true,
        (true, true) => ["weather", "inflow", "backup"].contains(&label),
        // It draws the first well and its tank.
        (true, false) => !["draw", "garden", "booster"].contains(&label),
    };
    for (label, text) in lines(m.run, m.system).into_iter().filter(|(label, _)| told_here(label)) {
        // One label for several pipes or hydrants.
        if label != seen {
            told = told.then_strong(format!("{label} "));
            seen = label;
        }
        told = told.then(format!("{text}. "));
    }
    blocks.push(Block::Fine(told));
    blocks
}

/// Who applies and for what, as far as the scheme says it: applicant, contract, well, makes and models.
fn names(m: &Matter<'_>) -> Option<Block> {
    let mut told: Vec<(String, String)> = Vec::new();
    for key in ["applicant", "contract"] {
        told.extend(m.scheme.labels.get(key).map(|text| (key.to_owned(), text.clone())));
    }
    for (key, text) in &m.scheme.labels {
        let Some((table, name)) = key.rsplit_once('.') else { continue };
        let words = table.replace('.', " ");
        match told.iter_mut().find(|(what, _)| *what == words) {
            // The model after the make.
            Some((_, told)) if name == "model" => *told = format!("{told}, {text}"),
            _ => told.push((words, text.clone())),
        }
    }
    let mut text = Text::default();
    for (at, (what, words)) in told.iter().enumerate() {
        let what = if at == 0 { what.clone() } else { format!(" · {what}") };
        text = text.then_strong(format!("{what} ")).then(words.clone());
    }
    (!told.is_empty()).then_some(Block::Paragraph(text))
}

/// What is asked of the scheme, and whether it comes to that; nothing where nothing is asked.
fn asked(m: &Matter<'_>) -> Option<Block> {
    let judged = m.run.goal()?;
    let cells = |row: [String; 5]| {
        let [what, asked, found, margin, verdict] = row;
        vec![what.into(), asked.into(), found.into(), margin.into(), Text::strong(verdict)]
    };
    let sides = [Align::Left, Align::Right, Align::Right, Align::Right, Align::Left];
    Some(Block::Table(Table {
        title: goal::title(&judged),
        columns: goal::COLUMNS.iter().map(|name| (*name).to_owned()).zip(sides).collect(),
        rows: goal::rows(&judged, m.system).into_iter().map(cells).collect(),
        note: goal::notes(&judged, &m.run.plan).join(" "),
    }))
}
