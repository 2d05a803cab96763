//! Texts spoilt at random.

use crate::random::Random;

/// What stands in a field in place of what stood there.
const NASTY: [&str; 44] = [
    "",
    " ",
    "0",
    "-0",
    "1",
    "-1",
    "NaN",
    "nan",
    "inf",
    "-inf",
    "1e308",
    "-1e308",
    "1e-308",
    "5e-324",
    "9223372036854775808",
    "99999999999999999999",
    "0x10",
    "1,5",
    "1 1/4",
    "1/0",
    "-9900",
    "-9999",
    "24:00",
    "00:60",
    "02/29/2001",
    "2001-02-29",
    "9999-12-31",
    "0000-00-00",
    "\"1 m3\"",
    "\"1 gal\"",
    "\"1 degF\"",
    "\"1 W\"",
    "\"-1 m\"",
    "\"1e400 L/min\"",
    "[]",
    "[[]]",
    "{}",
    "true",
    "\"\"",
    "é",
    "°",
    "\u{feff}",
    "\u{0}",
    "2 to 3 by 0.001",
];

/// Changes a text in one to four places.
pub fn spoil(text: &mut Vec<u8>, corpus: &[Vec<u8>], r: &mut Random) {
    for _ in 0..1 + r.below(4) {
        once(text, corpus, r);
    }
}

fn once(text: &mut Vec<u8>, corpus: &[Vec<u8>], r: &mut Random) {
    if text.is_empty() {
        text.extend(r.pick(&NASTY).bytes());
        return;
    }
    match r.below(12) {
        0 => {
            let at = r.below(text.len());
            text[at] ^= 1 << r.below(8);
        }
        1 => {
            let at = r.below(text.len());
            text[at] = r.bits() as u8;
        }
        2 => {
            let line = line(text, r);
            text.drain(line);
        }
        3 => {
            let line = line(text, r);
            let copy = text[line.clone()].to_vec();
            text.splice(line.end..line.end, copy);
        }
        4 => {
            let (a, b) = (line(text, r), line(text, r));
            if a.end <= b.start {
                let (first, second) = (text[a.clone()].to_vec(), text[b.clone()].to_vec());
                text.splice(b, first);
                text.splice(a, second);
            }
        }
        5..=8 => {
            let field = field(text, r);
            text.splice(field, r.pick(&NASTY).bytes());
        }
        9 => text.truncate(r.below(text.len())),
        10 => {
            let at = r.below(text.len());
            let bytes: [&[u8]; 4] = [b"\xff", b"\xc3\x28", b"\r\n", b"\t"];
            text.splice(at..at, r.pick(&bytes).iter().copied());
        }
        _ => {
            // A line of another text.
            let other = r.pick(corpus);
            if !other.is_empty() {
                let from = line(other, r);
                let at = line(text, r).start;
                text.splice(at..at, other[from].iter().copied());
            }
        }
    }
}

/// A line with its end; the early ones, where heads stand, more often.
fn line(text: &[u8], r: &mut Random) -> std::ops::Range<usize> {
    let at = place(text, r);
    let start = text[..at].iter().rposition(|b| *b == b'\n').map_or(0, |n| n + 1);
    let end = text[at..].iter().position(|b| *b == b'\n').map_or(text.len(), |n| at + n + 1);
    start..end
}

fn place(text: &[u8], r: &mut Random) -> usize {
    let within = if r.chance(0.3) { text.len().min(600) } else { text.len() };
    r.below(within)
}

/// What stands between separators.
fn field(text: &[u8], r: &mut Random) -> std::ops::Range<usize> {
    let at = place(text, r);
    let ends = |b: &u8| b",;\n=[]:".contains(b);
    let start = text[..at].iter().rposition(ends).map_or(0, |n| n + 1);
    let end = text[at..].iter().position(ends).map_or(text.len(), |n| at + n);
    start..end.max(start)
}
