//! From an offset in the text to a line and a column.

/// Where the lines of a text begin.
#[derive(Debug)]
pub(super) struct Lines<'t> {
    text: &'t str,
    starts: Vec<usize>,
}

impl<'t> Lines<'t> {
    pub(super) fn new(text: &'t str) -> Self {
        let starts = std::iter::once(0)
            .chain(text.bytes().enumerate().filter(|(_, b)| *b == b'\n').map(|(i, _)| i + 1));
        Self { text, starts: starts.collect() }
    }

    /// Line and column of a byte offset, both from 1; columns count characters, a byte order mark is none.
    pub(super) fn place(&self, offset: usize) -> (usize, usize) {
        let line = self.starts.partition_point(|s| *s <= offset).max(1);
        let start = self.starts.get(line - 1).copied().unwrap_or(0);
        let end = offset.min(self.text.len()).max(start);
        let before = &self.text.as_bytes()[start..end];
        // Bytes that continue a character are not counted.
        let characters = before.iter().filter(|b| (**b & 0xC0) != 0x80).count();
        let mark = usize::from(start == 0 && before.starts_with("\u{feff}".as_bytes()));
        (line, characters - mark + 1)
    }
}

#[cfg(test)]
mod tests {
    use super::Lines;

    #[test]
    fn columns_count_characters() {
        let text = "a = 1\nö = \"°\" x\r\nlast";
        let lines = Lines::new(text);
        assert_eq!(lines.place(0), (1, 1));
        assert_eq!(lines.place(text.find('x').unwrap()), (2, 9));
        assert_eq!(lines.place(text.find("last").unwrap()), (3, 1));
        assert_eq!(lines.place(text.len()), (3, 5));
        assert_eq!(lines.place(9999), (3, 5));
        assert_eq!(Lines::new("\u{feff}a").place(3), (1, 1));
        assert_eq!(Lines::new("").place(0), (1, 1));
    }
}
