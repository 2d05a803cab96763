//! Tanks and what feeds them, in order.

use super::Settings;
use crate::fault::{Fault, FaultKind, quoted};

/// Tanks in a tree: each is fed by at most one other.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Tree {
    /// The tank that feeds each.
    pub from: Vec<Option<usize>>,
    /// The tanks, each after the one that feeds it.
    pub order: Vec<usize>,
    /// The tanks that each feeds, in the order of their names.
    pub feeds: Vec<Vec<usize>>,
}

impl Tree {
    /// One tank that nothing feeds.
    #[must_use]
    pub fn of_one() -> Self {
        Self { from: vec![None], order: vec![0], feeds: vec![Vec::new()] }
    }

    /// Puts tanks and links in order.
    ///
    /// # Errors
    /// Two tanks of one name, a link from or to none, two links into one tank, tanks that feed each other.
    pub fn new(names: &[&str], links: &[Settings]) -> Result<Self, Vec<Fault>> {
        let mut faults = Vec::new();
        for (i, name) in names.iter().enumerate() {
            if names[..i].contains(name) {
                faults.push(Fault::at_key(
                    format!("tank.{name}.capacity"),
                    FaultKind::Contradiction,
                    format!("two tanks with the name {name}"),
                    "a name of its own for each tank",
                    "rename one of them",
                ));
            }
        }
        let number = |name: &str| names.iter().position(|other| *other == name);
        let mut from = vec![None; names.len()];
        for link in links {
            let key = format!("tank.{}.feed.from", link.into);
            let (Some(into), Some(feeder)) = (number(&link.into), number(&link.from)) else {
                let missing = if number(&link.into).is_none() { &link.into } else { &link.from };
                faults.push(no_tank(key, missing, names));
                continue;
            };
            if from[into].is_some() {
                faults.push(Fault::at_key(
                    key,
                    FaultKind::Contradiction,
                    format!("two tanks that feed {}", link.into),
                    "at most one tank that feeds another",
                    "remove one of the feeds",
                ));
            }
            from[into] = Some(feeder);
        }
        let order = ordered(&from);
        if order.len() < names.len() {
            let round: Vec<&str> =
                (0..names.len()).filter(|i| !order.contains(i)).map(|i| names[i]).collect();
            faults.push(Fault::at_key(
                format!("tank.{}.feed.from", round[0]),
                FaultKind::Contradiction,
                format!("tanks that feed each other: {}", round.join(", ")),
                "a way down from a tank that no other feeds",
                "remove one of the feeds",
            ));
        }
        if !faults.is_empty() {
            return Err(faults);
        }
        let feeds = (0..names.len())
            .map(|tank| {
                let mut fed: Vec<usize> = (0..names.len()).filter(|i| from[*i] == Some(tank)).collect();
                fed.sort_by_key(|i| names[*i]);
                fed
            })
            .collect();
        Ok(Self { from, order, feeds })
    }
}

/// The tanks that can be reached, each after the one that feeds it.
fn ordered(from: &[Option<usize>]) -> Vec<usize> {
    let mut order: Vec<usize> = (0..from.len()).filter(|i| from[*i].is_none()).collect();
    let mut next = 0;
    while let Some(tank) = order.get(next).copied() {
        order.extend((0..from.len()).filter(|i| from[*i] == Some(tank)));
        next += 1;
    }
    order
}

/// The fault of a name that no tank has.
pub(crate) fn no_tank(key: String, found: &str, names: &[&str]) -> Fault {
    let list: Vec<String> = names.iter().map(|name| quoted(name)).collect();
    let way_out = crate::nearest::nearest(found, names.iter().copied()).map_or_else(
        || "name a tank of the scheme".to_owned(),
        |near| format!("did you mean {}?", quoted(near)),
    );
    Fault::at_key(
        key,
        FaultKind::UnknownWord,
        format!("no tank {}", quoted(found)),
        format!("one of {}", crate::nearest::some_of(&list)),
        way_out,
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::inflow::Steady;
    use crate::link::Way;

    fn link(into: &str, from: &str) -> Settings {
        let way = Way::Pump { flow: Steady::of(1.0), needs_sun: false };
        Settings { into: into.into(), from: from.into(), way }
    }

    #[test]
    fn each_tank_comes_after_the_one_that_feeds_it() {
        let tree = Tree::new(&["low", "hill", "mid"], &[link("low", "mid"), link("mid", "hill")]).unwrap();
        assert_eq!(tree.order, [1, 2, 0]);
        assert_eq!(tree.from, [Some(2), None, Some(1)]);
        assert_eq!(tree.feeds, [vec![], vec![2], vec![0]]);
    }

    #[test]
    fn what_is_no_tree_is_refused() {
        let fault = |names: &[&str], links: &[Settings]| Tree::new(names, links).unwrap_err()[0].to_string();
        let round = fault(&["a", "b", "c"], &[link("a", "b"), link("b", "a")]);
        assert!(round.contains("tanks that feed each other: a, b"), "{round}");
        assert!(fault(&["a", "b"], &[link("b", "b")]).contains("feed each other: b"));
        assert!(fault(&["a", "b", "c"], &[link("c", "a"), link("c", "b")]).contains("two tanks that feed c"));
        assert!(fault(&["main", "hill"], &[link("hill", "mian")]).contains("did you mean \"main\"?"));
        assert!(fault(&["a", "a"], &[]).contains("two tanks with the name a"));
    }
}
