//! A scheme's text with another pump.

use toml_edit::Item;

use super::edit::{parsed, without_words_about};
use crate::coupling::Settings as Coupling;
use crate::fault::{Fault, FaultKind};

/// Keys of the scheme's own pump that another pump takes over where it does not say them itself: they belong to the scheme.
const OF_THE_SCHEME: [&str; 2] = ["into", "tracking_efficiency"];

/// A scheme's text with a pump in the place of its own, and another kind of coupling where one is given; `pump` is a text with a table
/// `[pump]`, as a scheme has it, and whatever else beside it. The coupling's other keys stay where its kind does; sources of the own
/// pump go.
///
/// # Errors
/// A text that is no TOML, a pump's text without the table.
///
/// # Example
/// ```
/// let scheme = "[pump]\nduty = \"a.csv\"\ninto = \"main\"\n\n[tank.main]\ncapacity = \"9 m3\"\n";
/// let other = "price = 700\n[pump]\nmake = \"B\"\nduty = \"b.csv\"\n";
/// let text = dryspell::sweep::with_pump(scheme, other, Some("direct")).map_err(|fault| fault.to_string())?;
/// assert!(text.contains("make = \"B\"") && text.contains("duty = \"b.csv\"") && text.contains("into = \"main\""));
/// assert!(!text.contains("a.csv") && !text.contains("price") && text.contains("kind = \"direct\""));
/// # Ok::<(), String>(())
/// ```
pub fn with_pump(scheme: &str, pump: &str, coupling: Option<&str>) -> Result<String, Fault> {
    let [tracking, ..] = Coupling::KINDS;
    let text = without_words_about(scheme, "pump")?;
    let mut document = parsed(&text)?;
    let mut other = parsed(pump)?;
    let Some(Item::Table(mut table)) = other.as_table_mut().remove("pump") else {
        return Err(Fault::at_key(
            "pump",
            FaultKind::MissingKey,
            "no table [pump]",
            "a table [pump] with the keys that it has in a scheme",
            "write the pump under [pump]",
        ));
    };
    let own = document.get("pump").and_then(Item::as_table_like);
    for key in OF_THE_SCHEME {
        if let Some(item) = own.and_then(|own| own.get(key))
            && !table.contains_key(key)
        {
            table.insert(key, item.clone());
        }
    }
    if coupling.is_some_and(|kind| kind != tracking) {
        table.remove("tracking_efficiency");
    }
    table.set_position(None);
    document.insert("pump", Item::Table(table));
    if let Some(kind) = coupling {
        let own = document.get("coupling").and_then(Item::as_table_like).and_then(|own| own.get("kind"));
        if own.and_then(Item::as_str).unwrap_or(tracking) != kind {
            let mut table = toml_edit::Table::new();
            table.insert("kind", toml_edit::value(kind));
            document.insert("coupling", Item::Table(table));
        }
    }
    Ok(document.to_string())
}
