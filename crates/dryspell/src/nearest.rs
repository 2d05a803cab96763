//! The known word that a misspelt one resembles.

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
