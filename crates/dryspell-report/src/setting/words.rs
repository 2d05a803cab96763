//! Words of the pictures: how wide they are, how they are broken.

/// Advance widths of DejaVu Sans, hundredths of the size, from space to `~`. It is one of the widest among the faces that
/// stand behind "sans-serif": what has room here has room in the others.
const WIDTHS: [u8; 95] = [
    32, 41, 46, 84, 64, 96, 78, 28, 40, 40, 50, 84, 32, 37, 32, 34, 64, 64, 64, 64, 64, 64, 64, 64, 64, 64,
    34, 34, 84, 84, 84, 54, 100, 69, 69, 70, 78, 64, 58, 78, 76, 30, 30, 66, 56, 87, 75, 79, 61, 79, 70, 64,
    62, 74, 69, 99, 69, 62, 69, 40, 34, 40, 84, 50, 50, 62, 64, 55, 64, 62, 36, 64, 64, 28, 28, 58, 28, 98,
    64, 62, 64, 64, 42, 53, 40, 64, 60, 82, 60, 60, 53, 64, 34, 64, 84,
];
/// How much wider bold letters are.
const BOLD: f64 = 1.17;

/// Width of words, points.
pub(crate) fn width(text: &str, size: f64, bold: bool) -> f64 {
    let hundredths: f64 = text.chars().map(letter).sum();
    hundredths / 100.0 * size * if bold { BOLD } else { 1.0 }
}

fn letter(letter: char) -> f64 {
    let code = u32::from(letter);
    let ascii = code.checked_sub(32).and_then(|at| usize::try_from(at).ok()).and_then(|at| WIDTHS.get(at));
    if let Some(width) = ascii {
        return f64::from(*width);
    }
    match code {
        // Superscripts, middle dot, degree.
        0xb0 | 0xb2 | 0xb3 | 0xb7 => 50.0,
        // Combining marks.
        0x300..=0x36f => 0.0,
        // Latin with marks, Greek, Cyrillic: few are wider than 85.
        0xa0..=0x24f => 80.0,
        0x370..=0x3ff => 78.0,
        0x400..=0x4ff => 88.0,
        _ => 105.0,
    }
}

/// Words shortened to a width, with an ellipsis where something is left out.
pub(crate) fn shortened(text: &str, room: f64, size: f64, bold: bool) -> String {
    if width(text, size, bold) <= room {
        return text.to_owned();
    }
    let mut kept = String::new();
    for letter in text.chars() {
        kept.push(letter);
        if width(&format!("{kept}…"), size, bold) > room {
            kept.pop();
            break;
        }
    }
    format!("{}…", kept.trim_end())
}

/// Words between which a line may be broken: a number keeps its unit.
fn tied(text: &str) -> Vec<String> {
    const UNIT: usize = 6;
    let mut words: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        let unit = word.chars().count() <= UNIT && !word.starts_with(|c: char| c.is_ascii_digit());
        match words.last_mut() {
            Some(last) if unit && last.ends_with(|c: char| c.is_ascii_digit()) => {
                last.push(' ');
                last.push_str(word);
            }
            _ => words.push(word.to_owned()),
        }
    }
    words
}

/// Words broken into lines of a width, at most so many; the last ends with an ellipsis where something is left out.
pub(crate) fn broken(text: &str, room: f64, size: f64, most: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    let mut current = String::new();
    let mut words = tied(text).into_iter();
    while let Some(word) = words.next() {
        let longer = if current.is_empty() { word.clone() } else { format!("{current} {word}") };
        if width(&longer, size, false) <= room {
            current = longer;
        } else if lines.len() + 1 >= most {
            // The last line takes what is left, as far as it goes.
            let rest = words.fold(longer, |line, word| format!("{line} {word}"));
            lines.push(shortened(&rest, room, size, false));
            return lines;
        } else if current.is_empty() {
            lines.push(shortened(&word, room, size, false));
        } else {
            lines.push(std::mem::take(&mut current));
            // A word longer than the line is shortened by itself.
            current = shortened(&word, room, size, false);
        }
    }
    if !current.is_empty() {
        lines.push(current);
    }
    lines
}

#[cfg(test)]
mod tests {
    use super::{broken, shortened, width};

    #[test]
    fn words_are_broken_and_shortened_to_their_room() {
        let text = "hydrant at the far corner of the moor beyond the old sheepfold";
        let lines = broken(text, 80.0, 8.0, 9);
        assert_eq!(lines.join(" "), text);
        assert!(lines.len() > 2 && lines.iter().all(|l| width(l, 8.0, false) <= 80.0), "{lines:?}");
        let two = broken(text, 80.0, 8.0, 2);
        assert!(two.len() == 2 && two[1].ends_with('…'), "{two:?}");
        assert!(two.iter().all(|l| width(l, 8.0, false) <= 80.0), "{two:?}");
        let long = "W".repeat(60);
        assert!(broken(&long, 80.0, 8.0, 3).iter().all(|l| width(l, 8.0, false) <= 80.0));
        assert_eq!(shortened("brook", 80.0, 8.0, false), "brook");
        assert!(shortened(&long, 80.0, 8.0, true).ends_with('…'));
    }
}
