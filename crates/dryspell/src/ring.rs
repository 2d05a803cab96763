//! A year that repeats.

/// Most rounds of a year until what it remembers has come round.
pub(crate) const MOST_ROUNDS: usize = 20;

/// What a repeating year begins with: what a round of it leaves, once that no longer changes; after [`MOST_ROUNDS`] what it is
/// by then.
pub(crate) fn come_round<S: PartialEq + Clone>(start: S, mut round: impl FnMut(S) -> S) -> S {
    let mut state = start;
    for _ in 0..MOST_ROUNDS {
        let end = round(state.clone());
        if end == state {
            break;
        }
        state = end;
    }
    state
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn a_round_is_repeated_until_it_ends_as_it_began_and_no_longer() {
        let mut rounds = 0;
        let filled = come_round(0_u32, |x| {
            rounds += 1;
            (x + 4).min(10)
        });
        assert_eq!((filled, rounds), (10, 4));
        assert_eq!(come_round(0, |x| x + 1), MOST_ROUNDS);
    }
}
