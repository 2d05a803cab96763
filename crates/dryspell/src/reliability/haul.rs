//! Water that must be brought, and when, so that nobody goes short.

/// A day of a tank that was not helped, m³.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct HaulDay {
    /// Usable water at its first moment.
    pub start_m3: f64,
    /// Highest level at an hour's end.
    pub highest_m3: f64,
    /// What the tank was short of.
    pub short_m3: f64,
    /// Losses for which it had too little water.
    pub losses_left_m3: f64,
    /// Whether it is a day of shortfall for want of water in the tank.
    pub shortfall: bool,
}

/// Water to be in the tank before a day begins.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Haul {
    /// The day, by its place among those given.
    pub day: usize,
    /// How much, m³.
    pub m3: f64,
}

/// The hauls after which no day of shortfall for want of water is left, each as late and as small as may be.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// | --- | --- | --- | --- |
/// | s | `short_m3` of a day | m³ | ≥ 0 |
/// | e | `losses_left_m3` of a day | m³ | ≥ 0 |
/// | x, h | `start_m3`, `highest_m3` of a day | m³ | 0 to F |
/// | F | `full_m3` | m³ | > 0 |
/// | r | hauled water still in the tank | m³ | ≥ 0 |
///
/// # Equation
///
/// Day after day:
/// 1. `r ← min(r, F − h)`: what would stand above full goes.
/// 2. A day of shortfall with `s > r` begins with a haul of `min(Σ(s + e) − r, F − x − r)`, but at least `s − r`. The sum goes from that
///    day to the last short one before the next day with `h = F`.
/// 3. `r ← (r − s − e)⁺`.
///
/// # Validity
///
/// Water is short only while the tank is empty, so that each litre brought serves a litre that was short, or is lost where the losses
/// found the tank empty. `F − h` of a day is held against all that is still there, so that a haul may come out a little larger than the least.
/// A float with a band may keep the pump off while brought water stands in the tank: a haul is then too small by what the pump does not lift. What pipes, frost or a battery keep from the animals no haul mends.
///
/// # Example
///
/// Two days short by 3 m³ and a tank of 4 m³: the first haul fills it, the second brings the rest.
///
/// ```
/// use dryspell::reliability::haul::{HaulDay, hauls};
/// let short = HaulDay { short_m3: 3.0, shortfall: true, ..HaulDay::default() };
/// let found = hauls(&[HaulDay::default(), short, short], 4.0);
/// let found: Vec<_> = found.iter().map(|haul| (haul.day, haul.m3)).collect();
/// assert_eq!(found, [(1, 4.0), (2, 2.0)]);
/// ```
///
/// # References
///
/// This project's definition; `Σ s` alone is the volume short of the days.
#[must_use]
pub fn hauls(days: &[HaulDay], full_m3: f64) -> Vec<Haul> {
    let mut hauls = Vec::new();
    let mut left_m3: f64 = 0.0;
    for (number, day) in days.iter().enumerate() {
        left_m3 = left_m3.min((full_m3 - day.highest_m3).max(0.0));
        if day.shortfall && day.short_m3 > left_m3 {
            let room_m3 = full_m3 - day.start_m3 - left_m3;
            let m3 = (needed_m3(&days[number..], full_m3) - left_m3).min(room_m3).max(day.short_m3 - left_m3);
            hauls.push(Haul { day: number, m3 });
            left_m3 += m3;
        }
        if left_m3 > 0.0 {
            left_m3 = (left_m3 - day.short_m3 - day.losses_left_m3).max(0.0);
        }
    }
    hauls
}

/// What is short and lost from the first of these days to the last short one before the tank is full again, m³.
fn needed_m3(days: &[HaulDay], full_m3: f64) -> f64 {
    let (mut sum_m3, mut needed_m3) = (0.0, 0.0);
    for day in days.iter().take_while(|day| day.highest_m3 < full_m3) {
        sum_m3 += day.short_m3 + day.losses_left_m3;
        if day.short_m3 > 0.0 {
            needed_m3 = sum_m3;
        }
    }
    needed_m3
}
