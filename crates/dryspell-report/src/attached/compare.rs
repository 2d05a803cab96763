//! Results held against others, figure by figure.

use serde_json::Value;

/// Two figures of one name.
#[derive(Debug, Clone, PartialEq)]
pub struct Difference {
    /// Dotted name, rows counted from 1: `months[3].pumped_m3`.
    pub name: String,
    /// As the document has it; `None` where it has none.
    pub document: Option<Value>,
    /// As the new run has it; `None` where it has none.
    pub run: Option<Value>,
}

/// What a comparison came to.
#[derive(Debug, Clone, Default, PartialEq)]
pub struct Compared {
    /// How many figures both have.
    pub figures: usize,
    /// Those that differ.
    pub different: Vec<Difference>,
}

/// What is told of files and programs, and is held against the list of what is attached in place of each other.
const OF_FILES: [&str; 6] =
    ["inputs", "inputs_hash", "program", "scheme.file", "scheme.sha256", "weather.files"];

/// Holds the results of a document against those of a run: every number, text and switch but names and hashes of files.
#[must_use]
pub fn compare(document: &Value, run: &Value) -> Compared {
    let mut found = Compared::default();
    walk("", Some(document), Some(run), &mut found);
    found
}

fn walk(name: &str, document: Option<&Value>, run: Option<&Value>, found: &mut Compared) {
    if OF_FILES.contains(&name) {
        return;
    }
    match (document, run) {
        (Some(Value::Object(a)), Some(Value::Object(b))) => {
            let keys = a.keys().chain(b.keys().filter(|key| !a.contains_key(*key)));
            for key in keys {
                let name = if name.is_empty() { key.clone() } else { format!("{name}.{key}") };
                walk(&name, a.get(key), b.get(key), found);
            }
        }
        (Some(Value::Array(a)), Some(Value::Array(b))) => {
            for at in 0..a.len().max(b.len()) {
                walk(&format!("{name}[{}]", at + 1), a.get(at), b.get(at), found);
            }
        }
        (a, b) => {
            found.figures += 1;
            if a != b {
                found.different.push(Difference {
                    name: name.to_owned(),
                    document: a.cloned(),
                    run: b.cloned(),
                });
            }
        }
    }
}

#[cfg(test)]
mod tests {
    use serde_json::json;

    use super::*;

    #[test]
    fn what_differs_is_named_with_both_values() {
        let a = json!({"days": 7, "months": [{"m3": 1.5}, {"m3": 2.5}], "inputs": [1], "scheme": {"file": "a", "name": "n"}});
        let b = json!({"days": 7, "months": [{"m3": 1.5}, {"m3": 2.25}, {"m3": 3}], "inputs": [2, 3],
                       "scheme": {"file": "b", "name": "n"}, "more": null});
        let found = compare(&a, &b);
        assert_eq!(found.figures, 6);
        let told: Vec<_> = found.different.into_iter().map(|d| (d.name, d.document, d.run)).collect();
        assert_eq!(
            told,
            [
                ("months[2].m3".to_owned(), Some(json!(2.5)), Some(json!(2.25))),
                ("months[3]".to_owned(), None, Some(json!({"m3": 3}))),
                ("more".to_owned(), None, Some(json!(null))),
            ]
        );
        assert_eq!(compare(&a, &a).different, []);
    }
}
