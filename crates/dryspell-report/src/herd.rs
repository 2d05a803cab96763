//! The classes of animals.

use dryspell::draw::classes::{Animal, Ask, CLASSES, Class, Fallback};
use dryspell::units::{Quantity, System, column_number, column_unit, retold, show};

use super::layout::{line, table, wrap, wrap_to};

/// Temperatures of the columns, °C.
const AIR_DEGC: [f64; 4] = [5.0, 15.0, 25.0, 35.0];

/// All classes, a row each.
#[must_use]
pub fn list(system: System) -> String {
    let mut out = String::from("CLASSES OF ANIMALS  daily need per head at a steady temperature\n");
    table(&mut out, &rows(CLASSES, system));
    out.push_str("\nFORMULA, RANGE, SOURCE\n");
    for class in CLASSES {
        let asks: Vec<String> =
            class.inputs.iter().map(|i| format!("{} {}", i.ask.key(), i.range())).collect();
        let asks =
            if asks.is_empty() { "needs no keys".to_owned() } else { format!("needs {}", asks.join(", ")) };
        let memory = if class.from_memory.is_some() { " (in part from memory)" } else { "" };
        wrap_to(
            &mut out,
            &format!("  {}: ", class.name),
            "      ",
            &retold(&format!("{}; {asks}; {}{memory}", class.formula, class.source), system),
        );
    }
    out.push('\n');
    wrap(
        &mut out,
        "",
        "Needs are for the animal shown; a scheme gives its own mass, milk and so on. Needs follow the daily mean \
         temperature of the weather file (some classes the daily high), and no class needs less in heat. Your own \
         monthly figures, drinks = [...], take precedence. Snow eaten is not counted; water in green forage only with \
         forage_moisture, as a bonus.",
    );
    wrap(
        &mut out,
        "",
        "dryspell herd CLASS, such as dryspell herd \"beef cow\", shows which figures are from memory and which are our \
         own.",
    );
    out
}

/// One class with all that is known of it.
#[must_use]
pub fn one(class: &Class, system: System) -> String {
    let mut out = format!("{}\n", class.name.to_uppercase());
    let line = |out: &mut String, name: &str, text: &str| line(out, name, &retold(text, system));
    line(&mut out, "formula", class.formula);
    if class.inputs.is_empty() {
        line(&mut out, "asks", "no keys");
    }
    for input in class.inputs {
        let left_out = match input.left_out {
            Fallback::Needed => "needed".to_owned(),
            Fallback::Value(v) => format!("{} {} if left out", input.ask.shown(v), input.ask.unit()),
            Fallback::Estimated(how) => format!("if left out: {how}"),
        };
        line(&mut out, "asks", &format!("{} {}; {left_out}", input.ask.key(), input.range()));
    }
    line(&mut out, "source", class.source);
    if let Some(what) = class.from_memory {
        line(&mut out, "memory", &format!("from memory: {what}"));
    }
    if let Some(what) = class.constructed {
        line(&mut out, "our own", what);
    }
    line(
        &mut out,
        "feed",
        if class.counts_feed_water {
            "the figure includes water in the feed: forage_moisture may deduct that, as a bonus"
        } else {
            "the figure is water drunk, without that in the feed"
        },
    );
    out.push('\n');
    table(&mut out, &rows(&[class], system));
    out
}

fn rows(classes: &[&Class], system: System) -> Vec<Vec<String>> {
    let unit = column_unit(Quantity::Temperature, system);
    let mut head = vec!["class".to_owned(), "animal shown".to_owned()];
    head.extend(AIR_DEGC.map(|t| {
        format!("{} {unit}", column_number(t, Quantity::Temperature, system).trim_end_matches(".0"))
    }));
    let mut second = vec![String::new(), String::new()];
    second.extend(AIR_DEGC.map(|_| if system == System::Us { "gal" } else { "L" }.to_owned()));
    let mut rows = vec![head, second];
    for class in classes {
        let mut row = vec![class.name.to_owned(), animal(&class.typical, system)];
        row.extend(AIR_DEGC.map(|t| amount(class.typical_litres_at(t), system)));
        rows.push(row);
    }
    rows
}

/// Three significant digits: poultry drink less than a litre.
fn amount(litres: f64, system: System) -> String {
    let value = if system == System::Us { litres / 3.785_411_784 } else { litres };
    if value < 10.0 { format!("{value:.2}") } else { format!("{value:.1}") }
}

fn animal(animal: &Animal, system: System) -> String {
    let parts: Vec<String> = Ask::ALL
        .into_iter()
        .filter_map(|ask| {
            let value = animal.get(ask)?;
            Some(match ask {
                Ask::Mass => show(value, Quantity::Mass, system),
                Ask::Milk if value <= 0.0 => "dry".to_owned(),
                Ask::Milk => format!("{} milk", show(value, Quantity::DailyMass, system)),
                _ => format!("{} {}", ask.shown(value), ask.unit()),
            })
        })
        .collect();
    parts.join(", ")
}
