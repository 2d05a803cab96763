//! A long list of short texts in one block of memory.

/// Values of a key as they would stand in a scheme, in order. Ten million of them take little more than their letters.
#[derive(Debug, Clone, Default, PartialEq, Eq)]
pub struct Literals {
    text: String,
    /// Where each ends.
    ends: Vec<usize>,
}

impl Literals {
    /// Adds one at the end.
    pub fn push(&mut self, literal: &str) {
        self.text.push_str(literal);
        self.ends.push(self.text.len());
    }

    /// The one at a place; empty beyond the last.
    #[must_use]
    pub fn get(&self, index: usize) -> &str {
        let Some(end) = self.ends.get(index) else { return "" };
        let start = index.checked_sub(1).map_or(0, |before| self.ends[before]);
        &self.text[start..*end]
    }

    /// How many there are.
    #[must_use]
    pub const fn len(&self) -> usize {
        self.ends.len()
    }

    /// Whether there is none.
    #[must_use]
    pub const fn is_empty(&self) -> bool {
        self.ends.is_empty()
    }

    /// All in order.
    pub fn iter(&self) -> impl Iterator<Item = &str> {
        (0..self.len()).map(|i| self.get(i))
    }
}

impl<T: AsRef<str>> FromIterator<T> for Literals {
    fn from_iter<I: IntoIterator<Item = T>>(all: I) -> Self {
        let mut list = Self::default();
        all.into_iter().for_each(|literal| list.push(literal.as_ref()));
        list
    }
}

impl<const N: usize> PartialEq<[&str; N]> for Literals {
    fn eq(&self, other: &[&str; N]) -> bool {
        self.iter().eq(other.iter().copied())
    }
}
