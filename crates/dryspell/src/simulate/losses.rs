//! What tank and troughs lose.

use crate::calendar::HOURS_PER_DAY;
use crate::delivery;
use crate::evaporation::{day, ice, open_water};
use crate::frost::daily_means;
use crate::record::Record;

/// Losses of tank and troughs.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Losses {
    /// From open water to the air, m³ in each hour, at most.
    pub evaporation_m3: Vec<f64>,
    /// Through leaks, and over the rim of troughs without a valve, m³ in each hour, at most.
    pub leak_m3: Vec<f64>,
    /// Area of all open water, m².
    pub open_m2: f64,
    /// Evaporation of open water over the record, mm, days with ice at nothing.
    pub depth_mm: f64,
    /// Days with ice on still water, on which nothing evaporates.
    pub iced_days: usize,
    /// What the record lacked for it, in words.
    pub assumptions: Vec<String>,
}

impl Losses {
    /// The losses of a tank and of the troughs behind it in a record. Troughs lose from the tank: what they lose is made up at once.
    #[must_use]
    pub fn of<'a>(
        leak_m3_per_h: f64,
        open_surface_m2: f64,
        hydrants: impl Iterator<Item = &'a delivery::Hydrant> + Clone,
        record: &Record,
    ) -> Self {
        let hours = record.hours();
        let open_m2 = open_surface_m2 + hydrants.clone().map(|h| h.open_surface_m2).sum::<f64>();
        let leak = leak_m3_per_h + hydrants.map(|h| h.overflow_m3_per_h).sum::<f64>();
        let mut out = Self { leak_m3: vec![leak; hours], open_m2, ..Self::default() };
        if open_m2 <= 0.0 {
            out.evaporation_m3 = vec![0.0; hours];
            return out;
        }
        let (days, assumed) = day::days(record);
        let depth_mm: Vec<f64> = days.iter().map(open_water::evaporation_mm).collect();
        let iced = ice::iced_days(&daily_means(&record.air_degc), record.calendar.is_one_year());
        out.evaporation_m3 = open_water::column_m3(&depth_mm, &iced, open_m2);
        debug_assert_eq!(out.evaporation_m3.len(), days.len() * HOURS_PER_DAY);
        out.depth_mm = depth_mm.iter().zip(&iced).filter(|(_, iced)| !**iced).map(|(mm, _)| mm).sum();
        out.iced_days = iced.iter().filter(|iced| **iced).count();
        if assumed.humidity {
            out.assumptions.push(
                "evaporation: the record lacks humidity, so the dew point is taken as the day's lowest temperature".into(),
            );
        }
        if assumed.wind {
            out.assumptions.push("evaporation: the record lacks wind, so it is taken as 2 m/s".into());
        }
        out
    }
}
