//! The number of a text and what stands behind it, before either means anything.

/// Brings superscripts, signs and spaces to plain text with single spaces.
pub(super) fn plain(text: &str) -> String {
    let mut out = String::with_capacity(text.len());
    for c in text.chars() {
        match c {
            '²' => out.push('2'),
            '⁵' => out.push('5'),
            '³' => out.push('3'),
            '°' | 'º' => out.push_str("deg"),
            'Ω' | '\u{2126}' => out.push_str("ohm"),
            'µ' | 'μ' => out.push('u'),
            '−' | '–' => out.push('-'),
            '½' => out.push_str(" 1/2"),
            '¼' => out.push_str(" 1/4"),
            '¾' => out.push_str(" 3/4"),
            '·' | '⋅' | '*' => out.push(' '),
            '^' => {}
            c if c.is_whitespace() => out.push(' '),
            c => out.push(c),
        }
    }
    let words: Vec<&str> = out.split(' ').filter(|w| !w.is_empty()).collect();
    words.join(" ").replace(" per ", "/").replace(" /", "/").replace("/ ", "/")
}

/// A value or a unit as one types it: degrees in letters, squares and cubes as plain digits.
///
/// ```
/// assert_eq!(dryspell::units::typed("12 m³"), "12 m3");
/// ```
#[must_use]
pub fn typed(text: &str) -> String {
    text.replace('°', "deg").replace('²', "2").replace('³', "3")
}

/// Splits the number from the unit. The number may be a fraction or a mixed one, with a space inside.
pub(super) fn split(plain: &str) -> (&str, &str) {
    let first = number_length(plain);
    let rest = &plain[first..];
    // "3/4 in", then "1 1/4 in".
    let fraction = if first > 0 { over_length(rest) } else { 0 };
    let mixed = match rest.strip_prefix(' ') {
        Some(after) if first > 0 && fraction == 0 => {
            let digits = digits_length(after);
            match over_length(&after[digits..]) {
                over if digits > 0 && over > 0 => 1 + digits + over,
                _ => 0,
            }
        }
        _ => 0,
    };
    let end = first + fraction + mixed;
    (&plain[..end], plain[end..].trim_start())
}

fn digits_length(text: &str) -> usize {
    text.bytes().take_while(u8::is_ascii_digit).count()
}

/// Length of `/4` at the start of the text, 0 if there is none.
fn over_length(text: &str) -> usize {
    match text.strip_prefix('/').map(digits_length) {
        Some(digits) if digits > 0 => 1 + digits,
        _ => 0,
    }
}

fn number_length(text: &str) -> usize {
    let bytes = text.as_bytes();
    let body =
        bytes.iter().take_while(|b| matches!(b, b'0'..=b'9' | b'.' | b',' | b'_' | b'+' | b'-')).count();
    if !bytes[..body].iter().any(u8::is_ascii_digit) {
        return 0;
    }
    let exponent = match bytes.get(body) {
        Some(b'e' | b'E') => {
            let sign = usize::from(matches!(bytes.get(body + 1), Some(b'+' | b'-')));
            match digits_length(&text[body + 1 + sign..]) {
                0 => 0,
                digits => 1 + sign + digits,
            }
        }
        _ => 0,
    };
    body + exponent
}

pub(super) fn number_value(number: &str) -> Option<f64> {
    let simple = |t: &str| -> Option<f64> {
        let plain = t.bytes().all(|b| matches!(b, b'0'..=b'9' | b'.' | b'+' | b'-' | b'e' | b'E'));
        if plain { t.parse().ok().filter(|v: &f64| v.is_finite()) } else { None }
    };
    let Some((left, below)) = number.split_once('/') else { return simple(number) };
    let below = simple(below).filter(|v| *v > 0.0)?;
    match left.split_once(' ') {
        None => Some(simple(left)? / below),
        Some((whole, above)) => {
            let magnitude = simple(whole)?;
            let part = simple(above)? / below;
            Some(if whole.starts_with('-') { magnitude - part } else { magnitude + part })
        }
    }
}

/// The number without separators, with its unit, when it is clear what was meant.
pub(super) fn better_number(number: &str, unit: &str) -> Option<String> {
    let spaced = digits_length(unit);
    if spaced == 3 && number.bytes().all(|b| b.is_ascii_digit()) {
        // "4 200 L"
        return Some(format!("{number}{}", unit));
    }
    let joined: String = match (number.matches(',').count(), number.contains('_')) {
        (0, false) => return None,
        (0, true) => number.replace('_', ""),
        (1, _) if number.split_once(',').is_some_and(|(a, b)| a.contains('.') && !b.contains('.')) => {
            number.replace(['.', '_'], "").replace(',', ".")
        }
        (_, _) if grouped(number) => number.replace([',', '_'], ""),
        (1, _) => number.replace('_', "").replace(',', "."),
        _ => number.replace([',', '_'], ""),
    };
    number_value(&joined)?;
    Some(format!("{joined} {unit}").trim_end().to_string())
}

/// Whether each comma is followed by exactly three digits, before any decimal point.
fn grouped(number: &str) -> bool {
    let whole = number.split_once('.').map_or(number, |(whole, _)| whole);
    whole.split(',').skip(1).all(|g| g.len() == 3 && g.bytes().all(|b| b.is_ascii_digit()))
}
