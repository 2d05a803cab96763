//! The paths that a file names.

/// Every path that begins with `crate`, `super` or `self`, in `use` lines and elsewhere, outside comments, texts and tests.
pub fn paths(text: &str) -> Vec<Vec<String>> {
    let code = code(text);
    let words = words(&code);
    let mut all = Vec::new();
    let mut at = 0;
    while at < words.len() {
        let begins = matches!(words[at], "crate" | "super" | "self");
        if begins && words.get(at + 1) == Some(&"::") && (at == 0 || words[at - 1] != "::") {
            tree(&words, at, &[], &mut all);
        }
        at += 1;
    }
    all
}

/// Reads a tree of names from a place on and returns where it ends.
fn tree(words: &[&str], mut at: usize, before: &[String], all: &mut Vec<Vec<String>>) -> usize {
    let mut path = before.to_vec();
    while at < words.len() {
        if words[at] == "{" {
            at += 1;
            while words.get(at).is_some_and(|w| *w != "}") {
                let next = tree(words, at, &path, all);
                at = if next == at { at + 1 } else { next };
            }
            return at + 1;
        }
        // `self` at the end of a tree is the path before it.
        if words[at] != "self" || path.is_empty() {
            path.push(words[at].to_owned());
        }
        at += 1;
        if words.get(at) == Some(&"::") {
            at += 1;
        } else {
            break;
        }
    }
    all.push(path);
    while words.get(at).is_some_and(|w| !matches!(*w, "," | "}")) && !before.is_empty() {
        at += 1;
    }
    at
}

/// Names, `::` and single signs.
fn words(code: &str) -> Vec<&str> {
    let mut all = Vec::new();
    let mut rest = code.trim_start();
    while let Some(first) = rest.chars().next() {
        let name = rest.find(|c: char| !c.is_alphanumeric() && c != '_').unwrap_or(rest.len());
        let length = if name > 0 {
            name
        } else if rest.starts_with("::") {
            2
        } else {
            first.len_utf8()
        };
        let (word, after) = rest.split_at(length);
        all.push(word);
        rest = after.trim_start();
    }
    all
}

/// A file's text without comments, texts in quotes, and its tests, which stand at its end.
fn code(text: &str) -> String {
    let text = text.split("\n#[cfg(test)]\nmod tests {").next().unwrap_or(text);
    let mut out = String::new();
    for line in text.lines() {
        let mut quoted = false;
        let mut signs = line.chars().peekable();
        while let Some(sign) = signs.next() {
            match sign {
                '\\' if quoted => _ = signs.next(),
                '"' => quoted = !quoted,
                '/' if !quoted && signs.peek() == Some(&'/') => break,
                _ if quoted => {}
                _ => out.push(sign),
            }
        }
        out.push('\n');
    }
    out
}
