//! Each group of the herd followed by itself: in which hours it stands dry, and in which it drinks nothing.

use crate::calendar::HOURS_PER_DAY;

/// A bit for each hour of a day, the first hour highest.
pub(crate) const ALL_HOURS: u32 = (1 << HOURS_PER_DAY) - 1;

/// A group on a day; bits of hours, the first highest.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct GroupDay {
    /// All hours on a day on which it draws, else none.
    pub(crate) counted: u32,
    /// Hours in which it wants water.
    pub(crate) wants: u32,
    /// Behind a hydrant: what happens there; `None` where it drinks at the tank.
    pub(crate) way: Option<WayDay>,
    /// What was seen of the group itself, where it was followed through the hours: then tank and way say nothing more.
    pub(crate) own: Option<OwnDay>,
}

/// What a group did on a day by its own book.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub struct OwnDay {
    /// Hours in which it stands dry.
    pub(crate) dry: u32,
    /// Hours in which it drinks nothing.
    pub(crate) idle: u32,
}

/// A herd: where it is and when it wants water, day by day.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct Herd {
    /// Hours in which it wants water, a bit for each, the first hour highest.
    pub wants: Vec<u32>,
    /// The number of the hydrant at which it drinks; `None` at the tank.
    pub hydrant: Vec<Option<usize>>,
}

/// What happens at a hydrant on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord, Default)]
pub(crate) struct WayDay {
    /// Hours that end with nothing before the animals.
    pub(crate) dry: u32,
    /// Hours in which the animals there drink.
    pub(crate) drink: u32,
    /// Hours that end with thirst.
    pub(crate) owes: u32,
}

/// What the tank did on a day.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub(crate) struct TankDay {
    /// Hours that end with no usable water.
    pub(crate) empty: u32,
    /// Hours in which something is drawn for the stock.
    pub(crate) drawn: u32,
    /// Hours that end with thirst.
    pub(crate) owes: u32,
    /// Those of them whose thirst the next hour still knows.
    pub(crate) carried: u32,
}

impl TankDay {
    /// Takes the day an hour on.
    pub(crate) fn hour(&mut self, level_m3: f64, drawn_m3: f64, short_m3: f64) {
        let flag = |bits: &mut u32, on: bool| *bits = *bits << 1 | u32::from(on);
        flag(&mut self.empty, level_m3 <= 0.0);
        flag(&mut self.drawn, drawn_m3 > 0.0);
        flag(&mut self.owes, level_m3 < 0.0);
        // What is booked in its hour is no longer owed.
        flag(&mut self.carried, level_m3 < 0.0 && short_m3 <= 0.0);
    }
}

impl GroupDay {
    /// Hours in which the group stands dry.
    pub(crate) const fn dry(&self, tank: &TankDay) -> u32 {
        if let Some(own) = self.own {
            return own.dry & self.counted;
        }
        let way = match self.way {
            Some(way) => way.dry,
            None => 0,
        };
        (tank.empty | way) & self.counted
    }

    /// Hours in which it drinks nothing. Groups at one place share by what each owes and wants: in an hour with water for any
    /// of them all drink that owe or want. Behind a hydrant the tank may rest while the group drinks: there its rest counts
    /// only when it owes water.
    pub(crate) const fn idle(&self, tank: &TankDay) -> u32 {
        if let Some(own) = self.own {
            return own.idle & self.counted;
        }
        let idle = match self.way {
            Some(way) => !(way.drink & thirsty(self.wants, way.owes)) | (tank.owes & !tank.drawn),
            None => !(tank.drawn & thirsty(self.wants, tank.carried)),
        };
        idle & self.counted
    }
}

/// Hours in which a group wants water or still owes some of its own: what it wanted in an hour that ended with thirst it owes
/// in the next.
const fn thirsty(wants: u32, owes: u32) -> u32 {
    // Runs of thirst are followed in strides of 1, 2, 4, 8 and 16 hours.
    let mut stretch = owes >> 1;
    let mut found = wants;
    let mut stride = 1;
    while stride < HOURS_PER_DAY {
        found |= stretch & (found >> stride);
        stretch &= stretch >> stride;
        stride *= 2;
    }
    found
}

/// Hours flagged from the day's first on.
#[inline(always)]
pub(crate) const fn lead(bits: u32) -> u32 {
    (bits << (u32::BITS as usize - HOURS_PER_DAY)).leading_ones()
}

/// Hours flagged up to the day's last.
#[inline(always)]
pub(crate) const fn trail(bits: u32) -> u32 {
    bits.trailing_ones()
}

/// Length of the longest run of ones among 24: halving the length that is still to be found.
#[inline(always)]
pub(crate) fn longest_run(bits: u32) -> u32 {
    // Bit k of `of_n` is set where a run of n begins at k and goes up.
    let of_2 = bits & (bits >> 1);
    let of_4 = of_2 & (of_2 >> 2);
    let of_8 = of_4 & (of_4 >> 4);
    let of_16 = of_8 & (of_8 >> 8);
    let (mut found, mut length) = (u32::MAX, 0_u32);
    for (at, more) in [(of_16, 16), (of_8, 8), (of_4, 4), (of_2, 2), (bits, 1)] {
        let longer = found & (at >> length);
        found = if longer != 0 { longer } else { found };
        length += if longer != 0 { more } else { 0 };
    }
    length
}

/// Runs of hours of one group, day after day.
#[derive(Debug, Clone, Copy, Default)]
pub(crate) struct HourRuns {
    /// That which begins with the first hour counted.
    pub(crate) first: u32,
    /// That which goes on.
    pub(crate) now: u32,
    pub(crate) longest: u32,
}

impl HourRuns {
    /// Takes the runs a day on; `before`: hours counted before it.
    pub(crate) fn day(&mut self, bits: u32, before: u32) {
        let joined = self.now + lead(bits);
        if self.first == before {
            self.first += lead(bits);
        }
        self.longest = self.longest.max(joined).max(longest_run(bits));
        self.now = if bits == ALL_HOURS { joined } else { trail(bits) };
    }

    /// The run over the end of so many hours, where they are a ring. A run of all of them is not joined to itself.
    pub(crate) const fn around(&self, hours: u32) -> u32 {
        if self.first < hours { self.first + self.now } else { self.first }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use proptest::prelude::*;

    proptest! {
        #[test]
        fn thirst_is_followed_hour_by_hour(wants in 0..=ALL_HOURS, owes in 0..=ALL_HOURS) {
            let (mut own, mut by_hand) = (false, 0);
            for hour in (0..HOURS_PER_DAY).rev() {
                let bit = |bits: u32| bits >> hour & 1 == 1;
                let now = bit(wants) || own;
                by_hand |= u32::from(now) << hour;
                own = now && bit(owes);
            }
            prop_assert_eq!(thirsty(wants, owes), by_hand);
        }
    }
}
