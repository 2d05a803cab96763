//! Sun time: the middle of the part of an hour in which the sun is up.

use crate::fault::Fault;
use crate::sun::position::{Ephemeris, Geocentric, HourAngle, Site, SunPosition, TrueDirection};
use std::f64::consts::PI;

/// True elevation of the sun's centre at sunrise and sunset, degrees: its upper rim on the horizon, bent by the air.
#[cfg(test)]
const RISE_ELEVATION_DEG: f64 = -0.8333;
/// Its sine.
const RISE_SINE: f64 = -0.014_543_315_936_7;
/// How far an hour's ends may lie from its middle in elevation sine, for each unit of cos φ cos δ: half an hour turns
/// 7.5 degrees (0.131 rad).
const HALF_HOUR_RAD: f64 = 0.131;
/// What the declination may add to that in half an hour, with room to spare.
const DRIFT: f64 = 5e-4;
/// One hour as a share of a day.
const HOUR: f64 = 1.0 / 24.0;

/// The sun of one hour.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct HourSun {
    /// Minutes after the hour's start at which the sun is taken.
    pub minute: f64,
    /// Share of the hour with the sun up, 0 to 1.
    pub lit_fraction: f64,
    /// Where it stands at that minute.
    pub position: SunPosition,
}

/// The sun of an hour: at the middle of its lit part, or at the hour's middle when it is all night.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | t0 | `start` | Julian date, universal time | years −500 to 3000 |
/// | | `minute` of the result | min after t0 | 0 to 60 |
/// | | `lit_fraction` of the result | – | 0 to 1 |
///
/// # Equation
///
/// The sun is up while its true elevation is above −0.8333 degrees. Sunrise and sunset are roots of that condition
/// within the hour itself, so no day can be mistaken for its neighbour.
///
/// # Validity
///
/// Flat horizon. Where the sun dips below the horizon within an hour and comes back (near midnight in high summer), the
/// longer lit part gives the minute; both count in the lit share.
///
/// # Example
///
/// At 36.1 N, 79.95 W on 21 March the sun rises at 06:21:30 local standard time: the hour from 06:00 is lit for its last
/// 38.5 minutes, and the sun is taken at 06:40:45.
///
/// ```
/// use dryspell::sun::{hours::hour_sun, position::{Ephemeris, Site, julian_date}};
/// let site = Site::with_air(36.1, -79.95, 273.0, 98_000.0, 12.0);
/// let date = chrono::NaiveDate::from_ymd_opt(1996, 3, 21).unwrap();
/// let sun = hour_sun(&mut Ephemeris::default(), &site, julian_date(date, (6.0 + 5.0) * 60.0)).unwrap();
/// assert!((sun.lit_fraction - 38.5 / 60.0).abs() < 0.005);
/// assert!((sun.minute - 40.75).abs() < 0.15);
/// ```
///
/// # References
///
/// Common practice in hourly photovoltaic modelling: the midpoint of sunrise and hour end, or of hour start and sunset.
/// The elevation −0.8333 degrees: Reda and Andreas, NREL/TP-560-34302, 2008, appendix A.2.
///
/// # Errors
/// The date lies outside the years for which the sun is worked out.
pub fn hour_sun(ephemeris: &mut Ephemeris, site: &Site, start: f64) -> Result<HourSun, Fault> {
    let middle = start + 0.5 * HOUR;
    let sun = ephemeris.at(middle)?;
    let angle = site.true_direction(&sun, middle).hour_angle_rad;
    Ok(hour_sun_at(ephemeris, site, (start, 1.0), &sun, &HourAngle::new(angle)))
}

/// The same where the sun and its hour angle at the middle are known, of an hour or of a part of one (`length_h`, above 0 to 1): minutes
/// are counted from the part's start, and the lit share is that of the part.
pub(crate) fn hour_sun_at(
    ephemeris: &Ephemeris,
    site: &Site,
    (start, length_h): (f64, f64),
    sun: &Geocentric,
    angle: &HourAngle,
) -> HourSun {
    let there = site.direction(sun, angle);
    let above = there.up - RISE_SINE;
    let cos_declination = (1.0 - sun.sin_declination * sun.sin_declination).max(0.0).sqrt();
    if above.abs() > length_h * HALF_HOUR_RAD * site.cos_latitude() * cos_declination + DRIFT {
        let lit_fraction = if above > 0.0 { 1.0 } else { 0.0 };
        return HourSun { minute: 30.0 * length_h, lit_fraction, position: site.position(&there) };
    }
    // Declination and equation of time move by less than 0.01 degrees in half an hour; near the horizon that would
    // shift sunrise by seconds, so they are taken at the hour's ends and joined by a line.
    let early = ephemeris.beside(start);
    let late = ephemeris.beside(start + length_h * HOUR);
    let at = |share: f64| -> TrueDirection {
        let mix = |a: f64, b: f64| a + share * (b - a);
        let now = Geocentric {
            sin_declination: mix(early.sin_declination, late.sin_declination),
            equation_of_time_deg: mix(early.equation_of_time_deg, late.equation_of_time_deg),
            distance_au: sun.distance_au,
        };
        let turned_deg =
            15.0 * length_h * (share - 0.5) + now.equation_of_time_deg - sun.equation_of_time_deg;
        site.direction(&now, &angle.turned(&HourAngle::small(turned_deg.to_radians())))
    };
    let mut lit = 0.0;
    let mut longest = (0.0, 0.5);
    let mut add = |from: f64, to: f64| {
        lit += to - from;
        if to - from > longest.0 {
            longest = (to - from, 0.5 * (from + to));
        }
    };
    // Between noon and midnight the sun only sinks, between midnight and noon it only climbs: cut the hour there, and
    // each piece holds one crossing at most.
    let turn = turning_share(there.hour_angle_rad, length_h);
    let cuts: &[(f64, f64)] = &match turn {
        Some(t) => [(0.0, t), (t, 1.0)],
        None => [(0.0, 1.0), (1.0, 1.0)],
    };
    let up = |share: f64| at(share).up - RISE_SINE;
    // A lit stretch may run over the cut, so it is closed only when night or the hour's end is reached.
    let mut open: Option<f64> = None;
    for &(from, to) in cuts {
        if to <= from {
            continue;
        }
        let (a, b) = (up(from), up(to));
        if a > 0.0 {
            let since = open.take().unwrap_or(from);
            if b > 0.0 {
                open = Some(since);
            } else {
                add(since, crossing(up, (from, a), (to, b)));
            }
        } else if b > 0.0 {
            open = Some(crossing(up, (from, a), (to, b)));
        }
    }
    if let Some(since) = open {
        add(since, 1.0);
    }
    let share = longest.1;
    HourSun {
        minute: 60.0 * length_h * share,
        lit_fraction: lit.min(1.0),
        position: site.position(&at(share)),
    }
}

/// Share of the time at which the sun passes the meridian, above or below, if it does.
fn turning_share(middle_hour_angle_rad: f64, length_h: f64) -> Option<f64> {
    let half_turns = middle_hour_angle_rad / PI;
    let to_next = (half_turns - libm::round(half_turns)) * PI;
    let share = 0.5 - to_next / (15.0 * length_h).to_radians();
    (share > 0.0 && share < 1.0).then_some(share)
}

/// The crossing of zero between two points of different sign, by the secant through the last two looks, held within the
/// bracket; where it leaves the bracket, the bracket's own secant (false position) and then its middle.
fn crossing(f: impl Fn(f64) -> f64, (mut a, mut fa): (f64, f64), (mut b, mut fb): (f64, f64)) -> f64 {
    let mut last = if fa.abs() < fb.abs() { (b, fb) } else { (a, fa) };
    let mut x = (a * fb - b * fa) / (fb - fa);
    for look in 0..60 {
        let fx = f(x);
        if (fx > 0.0) == (fb > 0.0) {
            (b, fb) = (x, fx);
        } else {
            (a, fa) = (x, fx);
        }
        let next = x - fx * (x - last.0) / (fx - last.1);
        last = (x, fx);
        x = match look {
            0..8 if next >= a && next <= b => next,
            0..8 => (a * fb - b * fa) / (fb - fa),
            _ => 0.5 * (a + b),
        };
        // A secant's next miss is far below this step: a hundredth of a second.
        if (x - last.0).abs() < 3e-5 || fx.abs() < 1e-7 || b - a < 1e-6 {
            break;
        }
    }
    x
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sun::position::{julian_date, sun_position};

    /// The same by brute force, 3600 looks at the sun: its answer is good to a second.
    fn brute(site: &Site, start: f64) -> (f64, f64) {
        let mut ephemeris = Ephemeris::default();
        let mut lit = 0;
        let (mut run, mut best) = ((0, 0), (0, 0));
        for second in 0..3600 {
            let t = start + (f64::from(second) + 0.5) / 86_400.0;
            let sun = sun_position(&mut ephemeris, site, t).unwrap();
            if 90.0 - sun.true_zenith_deg > RISE_ELEVATION_DEG {
                lit += 1;
                run = if run.1 == second { (run.0, second + 1) } else { (second, second + 1) };
                if run.1 - run.0 > best.1 - best.0 {
                    best = run;
                }
            }
        }
        let minute = if lit == 0 { 30.0 } else { f64::from(best.0 + best.1) / 120.0 };
        (minute, f64::from(lit) / 3600.0)
    }

    #[test]
    fn every_kind_of_hour_agrees_with_looking_each_second() {
        for (latitude, ordinals) in
            [(36.1, [1, 80, 172]), (-23.0, [10, 200, 355]), (68.0, [8, 145, 345]), (66.4, [172, 355, 10])]
        {
            let site = Site::with_air(latitude, 20.0, 200.0, 98_000.0, 12.0);
            for ordinal in ordinals {
                let date = chrono::NaiveDate::from_yo_opt(2003, ordinal).unwrap();
                for hour in 0..24 {
                    let start = julian_date(date, f64::from(hour) * 60.0 - 80.0);
                    let ours = hour_sun(&mut Ephemeris::default(), &site, start).unwrap();
                    let (minute, lit) = brute(&site, start);
                    assert!(
                        (ours.lit_fraction - lit).abs() < 1e-3,
                        "{latitude} {date} {hour}: lit {} v {lit}",
                        ours.lit_fraction
                    );
                    assert!(
                        (ours.minute - minute).abs() < 0.05,
                        "{latitude} {date} {hour}: minute {} v {minute}",
                        ours.minute
                    );
                }
            }
        }
    }

    #[test]
    fn the_sine_belongs_to_the_elevation() {
        assert!((libm::sin(RISE_ELEVATION_DEG.to_radians()) - RISE_SINE).abs() < 1e-10);
    }
}
