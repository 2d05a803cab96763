//! The known word that a misspelt one resembles.

/// Names in a message, at most this many.
const MOST_NAMES: usize = 12;

/// Names of a list that the user made, as few as can be read: of 200 hydrants the first dozen, and how many more.
pub(crate) fn some_of<S: AsRef<str>>(names: &[S]) -> String {
    let shown = names.iter().take(MOST_NAMES).map(AsRef::as_ref).collect::<Vec<&str>>().join(", ");
    match names.len().saturating_sub(MOST_NAMES) {
        0 => shown,
        more => format!("{shown} and {more} more"),
    }
}

/// The candidate most like `word`, if one is like enough: at most a third of its letters differ.
///
/// ```
/// assert_eq!(dryspell::nearest::nearest("capasity", ["capacity", "leak"]), Some("capacity"));
/// assert_eq!(dryspell::nearest::nearest("windmill", ["capacity", "leak"]), None);
/// ```
#[must_use]
pub fn nearest<'a>(word: &str, candidates: impl IntoIterator<Item = &'a str>) -> Option<&'a str> {
    // Long words are no misspelling; the bound keeps hostile text cheap.
    if word.chars().count() > 64 {
        return None;
    }
    let word = word.to_lowercase();
    candidates
        .into_iter()
        .map(|c| (strsim::damerau_levenshtein(&word, &c.to_lowercase()), c))
        .filter(|(distance, c)| *distance <= (c.chars().count().max(word.chars().count()) / 3).max(1))
        .filter(|(distance, c)| *distance < c.chars().count())
        .min_by_key(|(distance, _)| *distance)
        .map(|(_, c)| c)
}

#[cfg(test)]
mod tests {
    use super::some_of;

    #[test]
    fn a_long_list_is_cut() {
        assert_eq!(some_of(&["brook", "hill"]), "brook, hill");
        let names: Vec<String> = (0..200).map(|n| format!("h{n}")).collect();
        assert!(some_of(&names).ends_with("h10, h11 and 188 more"));
        assert!(some_of(&names[..12]).ends_with("h10, h11"));
    }
}
