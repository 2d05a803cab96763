//! Shown lines put in step with what is printed.
//!
//! A page shows segments of an output, with `[...]` between them. When words of the output change, each segment is found
//! again: the shown lines are laid beside the printed ones so that the sum of their likenesses is greatest, in order; a
//! segment then shows all that is printed from where its first line lies to where its last line lies.

/// Stands for lines left out.
const LEFT_OUT: &str = "[...]";

/// Lines less like each other than this are not the same line.
const LIKE: f64 = 0.55;

/// Whether the pages are to be written anew.
pub fn wanted() -> bool {
    std::env::var_os("DRYSPELL_WRITE").is_some()
}

/// Segments of shown lines; the first begins the output, the last ends it, where they stand at the ends.
fn segments(shown: &[String]) -> Vec<&[String]> {
    shown.split(|l| l == LEFT_OUT).collect()
}

/// Whether the shown lines are what is printed.
pub fn fits(shown: &[String], printed: &[&str]) -> bool {
    let segments = segments(shown);
    if let [only] = segments[..] {
        return only == printed;
    }
    let (first, last) = (segments[0], segments[segments.len() - 1]);
    if printed.len() < first.len() + last.len()
        || first != &printed[..first.len()]
        || last != &printed[printed.len() - last.len()..]
    {
        return false;
    }
    let mut rest = &printed[first.len()..printed.len() - last.len()];
    segments[1..segments.len() - 1].iter().filter(|s| !s.is_empty()).all(|segment| {
        let found = rest.windows(segment.len()).position(|window| *segment == window);
        found.is_some_and(|at| {
            rest = &rest[at + segment.len()..];
            true
        })
    })
}

/// The printed lines that the shown ones stand for. Nothing shown asks for all; a segment of which no line is found is
/// named.
pub fn refreshed(shown: &[String], printed: &[&str]) -> Result<Vec<String>, String> {
    let segments = segments(shown);
    let lines: Vec<(usize, &str)> = segments
        .iter()
        .enumerate()
        .flat_map(|(s, lines)| lines.iter().map(move |l| (s, l.as_str())))
        .collect();
    let places = laid_beside(&lines, printed);
    let mut spans = Vec::new();
    let mut index = 0;
    for (s, segment) in segments.iter().enumerate() {
        let found = &places[index..index + segment.len()];
        index += segment.len();
        let (first, last) = (s == 0, s + 1 == segments.len());
        if segment.is_empty() && !(first && last) {
            continue;
        }
        let low = spans.last().map_or(0, |span: &(usize, usize)| span.1);
        let mut start =
            found.iter().enumerate().find_map(|(i, place)| Some(place.as_ref()?.saturating_sub(i)));
        let behind = found.iter().rev().enumerate();
        let mut end =
            behind.clone().find_map(|(i, place)| Some((place.as_ref()? + 1 + i).min(printed.len())));
        if first {
            start = Some(0);
        }
        if last {
            end = Some(printed.len());
        }
        let (Some(start), Some(end)) = (start, end) else {
            return Err(format!("nothing printed is like what is shown as\n{}", segment.join("\n")));
        };
        let start = start.max(low);
        spans.push((start, end.max(start)));
    }
    let mut now: Vec<String> = Vec::new();
    let mut at = 0;
    for (start, end) in spans {
        if start > at {
            now.push(LEFT_OUT.to_owned());
        }
        now.extend(printed[start..end].iter().map(|l| (*l).to_owned()));
        at = end;
    }
    if at < printed.len() {
        now.push(LEFT_OUT.to_owned());
    }
    Ok(now)
}

/// For each shown line (with the number of its segment) the printed line that it is, if any, in order.
fn laid_beside(shown: &[(usize, &str)], printed: &[&str]) -> Vec<Option<usize>> {
    // Leaving out printed lines within a segment costs a little, so that a segment keeps together.
    let gap = |i: usize| if i > 0 && i < shown.len() && shown[i - 1].0 == shown[i].0 { 0.02 } else { 0.0 };
    let (m, n) = (shown.len(), printed.len());
    let mut best = vec![vec![0.0_f64; n + 1]; m + 1];
    let mut same = vec![vec![0.0_f64; n]; m];
    for i in (0..=m).rev() {
        for j in (0..=n).rev() {
            let mut most: f64 = 0.0;
            if j < n {
                most = best[i][j + 1] - gap(i);
            }
            if i < m {
                most = if j < n { most.max(best[i + 1][j]) } else { best[i + 1][j] };
            }
            if i < m && j < n {
                same[i][j] = likeness(shown[i].1, printed[j]);
                if same[i][j] > 0.0 {
                    most = most.max(same[i][j] + best[i + 1][j + 1]);
                }
            }
            best[i][j] = most;
        }
    }
    let mut places = vec![None; m];
    let (mut i, mut j) = (0, 0);
    while i < m && j < n {
        let here = best[i][j];
        if same[i][j] > 0.0 && here <= same[i][j] + best[i + 1][j + 1] {
            places[i] = Some(j);
            (i, j) = (i + 1, j + 1);
        } else if here <= best[i + 1][j] {
            i += 1;
        } else {
            j += 1;
        }
    }
    places
}

/// How like two lines are: 1 if equal, 0 below [`LIKE`]; empty lines hardly count.
fn likeness(shown: &str, printed: &str) -> f64 {
    if shown.is_empty() || printed.is_empty() {
        return if shown == printed { 0.05 } else { 0.0 };
    }
    if shown == printed {
        return 1.0;
    }
    let like = strsim::sorensen_dice(shown, printed);
    if like < LIKE { 0.0 } else { 0.95 * like * like }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PRINTED: [&str; 11] = [
        "The herd goes short on 7 days.",
        "One year: no return period.",
        "",
        "SCHEME  moor",
        "  pump   one",
        "",
        "WATER",
        "  asked      12.0 m3",
        "  turned     3.0 m3",
        "",
        "MADE BY us",
    ];

    fn lines(text: &str) -> Vec<String> {
        text.lines().map(str::to_owned).collect()
    }

    const SHOWN: &str = "The herd goes short on 7 days.\n[...]\nSCHEME  moor\n[...]\nWATER\n  asked      12.0 m3\n  turned     3.0 m3\n[...]";

    #[test]
    fn what_is_shown_fits_what_is_printed() {
        assert!(fits(&lines(SHOWN), &PRINTED));
        assert!(fits(&PRINTED.map(str::to_owned), &PRINTED));
        assert!(fits(&lines("[...]\nMADE BY us"), &PRINTED));
        for wrong in [
            "One year: no return period.\n[...]",
            "The herd goes short on 7 days.\n[...]\nWATER",
            "[...]\nWATER\nMADE BY us",
            "[...]\nWATER\n[...]\nSCHEME  moor\n[...]",
            "The herd goes short on 7 days.",
            "",
        ] {
            assert!(!fits(&lines(wrong), &PRINTED), "{wrong}");
        }
    }

    #[test]
    fn words_that_change_are_followed() {
        let mut printed = PRINTED.to_vec();
        printed[0] = "The herd goes short on 9 days.";
        printed[7] = "  requested  12.0 m3";
        printed.insert(8, "  available  15.0 m3");
        printed.insert(3, "PLACE");
        let now = refreshed(&lines(SHOWN), &printed).unwrap();
        assert!(fits(&now, &printed));
        assert_eq!(
            now.join("\n"),
            "The herd goes short on 9 days.\n[...]\nSCHEME  moor\n[...]\nWATER\n  requested  12.0 m3\n  available  \
             15.0 m3\n  turned     3.0 m3\n[...]"
        );
    }

    #[test]
    fn ends_stay_ends_and_nothing_asks_for_all() {
        let shown = lines("[...]\nWATER\n  asked      12.0 m3\n[...]\nMADE BY you");
        let now = refreshed(&shown, &PRINTED).unwrap();
        assert_eq!(now.join("\n"), "[...]\nWATER\n  asked      12.0 m3\n[...]\nMADE BY us");
        assert_eq!(refreshed(&[], &PRINTED).unwrap(), PRINTED);
        assert!(refreshed(&lines("[...]\nsomething else\n[...]"), &PRINTED).is_err());
    }
}
