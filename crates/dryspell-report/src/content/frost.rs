//! What the frost reaches.

use dryspell::frost::{Basis, Drain, Kind, PartReport};
use dryspell::units::{Quantity, counted};

use super::{Matter, heading};
use crate::frost;
use crate::model::{Align, Block, Table, Text};

pub(super) fn frost(m: &Matter<'_>) -> Vec<Block> {
    let mut blocks = vec![heading("Frost")];
    let Some((settings, report)) = m.frost else {
        blocks.push(Block::Paragraph(
            "The scheme gives no frost data for pipes, valves and troughs, so this run leaves frost out. Add [frost] \
             and its parts where winter matters."
                .into(),
        ));
        return blocks;
    };
    blocks.push(Block::Paragraph(frost::answer(m.run, settings, report, m.system).into()));
    let rows = report
        .parts
        .iter()
        .zip(&settings.parts)
        .map(|((name, found), part)| {
            let (lies, frost) = match found {
                PartReport::Buried(buried) => (
                    format!("{} of cover", m.both(buried.cover_m, Quantity::Length)),
                    if report.ground.basis == Basis::Design {
                        buried.verdict.word().to_uppercase()
                    } else {
                        format!("{}, not design", buried.verdict.word())
                    },
                ),
                PartReport::Exposed(exposed) => (
                    match &part.kind {
                        Kind::Exposed { drain: Drain::ByHand(_), .. } => {
                            "exposed, drained by hand on the dates given"
                        }
                        Kind::Exposed { drain: Drain::Itself { .. }, .. } if exposed.stands => {
                            "exposed, drains too slowly"
                        }
                        Kind::Exposed { drain: Drain::Itself { .. }, .. } => {
                            "exposed, drains by itself in time"
                        }
                        _ => "exposed, holds standing water",
                    }
                    .to_owned(),
                    match &part.kind {
                        Kind::Exposed { drain: Drain::ByHand(dates), .. } => format!(
                            "ice in {} outside those dates",
                            counted(exposed.hours_outside(dates, &m.run.calendar), "hour")
                        ),
                        _ if exposed.stands => format!("ice in {}", counted(exposed.hours, "hour")),
                        _ => format!(
                            "empty; standing water would contain ice in {}",
                            counted(exposed.hours, "hour")
                        ),
                    },
                ),
                PartReport::Open(open) => (
                    "open water".to_owned(),
                    format!(
                        "ice in {}, at most {}",
                        counted(open.ice_hours, "hour"),
                        m.both((1e3 * open.most_ice_m).round() / 1e3, Quantity::Length)
                    ),
                ),
            };
            [name.clone(), lies, frost].map(Text::from).to_vec()
        })
        .collect();
    blocks.push(Block::Table(Table {
        title: "Parts that frost can reach".to_owned(),
        columns: ["part", "position", "frost"].map(|name| (name.to_owned(), Align::Left)).to_vec(),
        rows,
        note: String::new(),
    }));
    blocks
}
