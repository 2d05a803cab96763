//! What has been worked out stays until something that it depends on changes.

use std::sync::Arc;

use super::upstream::{Upstream, Variant, Variants, coldest_month_degc, cover, first_highest, peak_month};
use super::{Asked, COVERED_DAYS, Frozen, Lasting, Losses, SNOW_MONTH_DEGC};
use crate::calendar::Calendar;
use crate::fault::Fault;
use crate::pipe::Advice;
use crate::plan::Plan;
use crate::record::Record;
use crate::reliability::storage::needed;
use crate::tank::Carry;
use crate::tank::ledger::Flows;
use crate::{array, delivery, draw, frost, sun, supply};

/// One stage's settings, the versions of what lies upstream, and what came of them.
#[derive(Debug)]
struct Slot<K, V> {
    held: Option<(K, Vec<u64>, Arc<V>)>,
    version: u64,
}

impl<K, V> Default for Slot<K, V> {
    fn default() -> Self {
        Self { held: None, version: 0 }
    }
}

impl<K: PartialEq + Clone, V> Slot<K, V> {
    /// The value for these settings and these versions upstream: the one held, or a new one.
    fn get(
        &mut self,
        key: &K,
        upstream: &[u64],
        make: impl FnOnce() -> Result<V, Vec<Fault>>,
    ) -> Result<(Arc<V>, u64), Vec<Fault>> {
        if let Some((k, u, value)) = &self.held
            && k == key
            && u == upstream
        {
            return Ok((value.clone(), self.version));
        }
        let value = Arc::new(make()?);
        self.version += 1;
        self.held = Some((key.clone(), upstream.to_vec(), value.clone()));
        Ok((value, self.version))
    }
}

/// What the supply stage makes, with the head at its highest flow.
#[derive(Debug)]
struct Supplied {
    columns: Arc<supply::Columns>,
    head: supply::HeadBuildUp,
    head_hour: usize,
    advice: Vec<Advice>,
}

/// A memory of one slot a stage: plans that differ in one stage compute only that stage and what lies behind it. What a
/// change touches is learnt by comparing settings; there are no flags to keep.
///
/// ```no_run
/// # fn example(plan: &dryspell::plan::Plan, record: &dryspell::record::Record) -> Result<(), Vec<dryspell::fault::Fault>> {
/// use dryspell::simulate::{Memo, at_tank};
/// let mut memo = Memo::default();
/// let mut plan = plan.clone();
/// for litres in [4000.0, 6000.0, 8000.0] {
///     plan.tank.capacity_m3 = litres / 1000.0;
///     // Sun, panels, pump and herd are worked out once.
///     let run = at_tank(&memo.upstream(&plan, record, 0)?, &plan)?;
///     println!("{litres} L: {} days of shortfall", run.outcome.counts.shortfall_days);
/// }
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Default)]
pub struct Memo {
    weather: Slot<(), (Arc<Calendar>, Arc<Vec<f64>>)>,
    sky: Slot<sun::Settings, sun::Sky>,
    array: Slot<array::Settings, array::Columns>,
    frozen: Slot<(Option<frost::Settings>, Vec<String>), Frozen>,
    supply: Slot<supply::Settings, Supplied>,
    draw: Slot<draw::Settings, (Arc<draw::Columns>, Arc<draw::garden::Columns>)>,
    panel: Slot<Option<delivery::BoosterSettings>, Vec<f64>>,
    asked: Slot<(Option<delivery::Settings>, Carry, u64), Asked>,
    losses: Slot<(f64, f64, Option<delivery::Settings>), Losses>,
    lasting: Slot<(), Lasting>,
    flows: Slot<(), Flows>,
    variants: Slot<bool, Variants>,
}

impl Memo {
    /// All of a run that lies before the tank. `record_number` tells records apart: the same number must mean the same
    /// record.
    ///
    /// # Errors
    /// Everything that keeps the scheme from running.
    pub fn upstream(
        &mut self,
        plan: &Plan,
        record: &Record,
        record_number: u64,
    ) -> Result<Arc<Upstream>, Vec<Fault>> {
        self.work(plan, record, record_number, true)
    }

    /// The same without the columns of the questions that a whole run answers: for yearly counts alone.
    ///
    /// # Errors
    /// As [`Self::upstream`].
    pub fn driven(&mut self, plan: &Plan, record: &Record) -> Result<Arc<Upstream>, Vec<Fault>> {
        self.work(plan, record, 0, false)
    }

    fn work(
        &mut self,
        plan: &Plan,
        record: &Record,
        record_number: u64,
        questions: bool,
    ) -> Result<Arc<Upstream>, Vec<Fault>> {
        let at = record_number;
        let (weather, _) = self.weather.get(&(), &[at], || {
            record.check().map_err(|fault| vec![fault])?;
            Ok((Arc::new(record.calendar.clone()), Arc::new(record.air_degc.clone())))
        })?;
        let (sky, sky_v) = self.sky.get(&plan.sun, &[at], || one(sun::sky(&plan.sun, record)))?;
        let (array, array_v) = self
            .array
            .get(&plan.array, &[sky_v], || one(array::array(&plan.array, &sky, &plan.sun, record)))?;
        let hydrants: Vec<String> =
            plan.delivery.iter().flat_map(|d| &d.hydrants).map(|h| h.name.clone()).collect();
        let (frozen, frozen_v) =
            self.frozen.get(&(plan.frost.clone(), hydrants), &[at], || Frozen::of(plan, record))?;
        let (supplied, supply_v) = self
            .supply
            .get(&plan.supply, &[array_v, frozen_v], || supplied(plan, record, &array, &frozen))?;
        let (drawn, draw_v) = self.draw.get(&plan.draw, &[at], || {
            let draw = draw::draw(&plan.draw, &record.calendar, &record.air_degc)?;
            let garden = draw::garden::garden(&plan.draw.gardens, record)?;
            Ok((Arc::new(draw), Arc::new(garden)))
        })?;
        let (draw, garden) = (&drawn.0, &drawn.1);
        let booster = plan.delivery.as_ref().and_then(|d| d.booster.clone());
        let (panel_w, panel_v) = self.panel.get(&booster, &[sky_v], || match &booster {
            None => Ok(Vec::new()),
            Some(b) => one(delivery::panel_w(b, &sky, &plan.sun, record)),
        })?;
        let asked_key = (plan.delivery.clone(), plan.tank.carry, plan.tank.tolerance.to_bits());
        let (asked, asked_v) = self.asked.get(&asked_key, &[draw_v, frozen_v, panel_v], || {
            Asked::of(plan, record, draw, &garden.wanted_m3, &frozen.hydrants, &panel_w)
        })?;
        let losses_key = (plan.tank.leak_m3_per_h, plan.tank.open_surface_m2, plan.delivery.clone());
        let (losses, losses_v) = self.losses.get(&losses_key, &[at], || Ok(Losses::of(plan, record)))?;
        let drive = |offered_m3: &[f64], asked: &Asked| {
            Flows::new(offered_m3, &asked.stock_m3, &losses.evaporation_m3, &losses.leak_m3)
                .with_garden(&asked.garden_m3)
        };
        let (flows, _) = self
            .flows
            .get(&(), &[supply_v, asked_v, losses_v], || Ok(drive(&supplied.columns.offered_m3, &asked)))?;
        let wraps = record.calendar.is_one_year();
        let (lasting, _) = self.lasting.get(&(), &[asked_v, losses_v], || Ok(Lasting::new(&flows, wraps)))?;
        let (variants, _) = self.variants.get(&questions, &[supply_v, asked_v, losses_v], || {
            let asked_with = |frozen: &[Vec<bool>], panel_w: &[f64]| {
                Asked::of(plan, record, draw, &garden.wanted_m3, frozen, panel_w)
            };
            let variant = |offered_m3: &[f64], asked: &Asked| Variant {
                flows: drive(offered_m3, asked),
                demand: asked.demand.clone(),
            };
            let source = supply::Source::from(&*array).stopped(&frozen.supply);
            let storage = needed(&flows, wraps);
            if !questions {
                return Ok(Variants { storage, start_ends: None, covered: Vec::new(), without_frost: None });
            }
            let end = |hopeful: bool| -> Result<Option<Option<Variant>>, Vec<Fault>> {
                match plan.supply.pump.with_start_end(hopeful) {
                    None => Ok(None),
                    Some(pump) if pump == plan.supply.pump => Ok(Some(None)),
                    Some(pump) => {
                        let settings = supply::Settings { pump, ..plan.supply.clone() };
                        let other = supply::supply(&settings, source, &record.calendar)?;
                        Ok(Some(Some(variant(&other.offered_m3, &asked))))
                    }
                }
            };
            let start_ends = end(false)?.zip(end(true)?).map(|(zero, best)| [zero, best]);
            let mut covered = Vec::new();
            for days in COVERED_DAYS {
                let Some(critical) = storage.critical else { continue };
                let mut offered = supplied.columns.offered_m3.clone();
                cover(&mut offered, critical.began, days);
                covered.push((
                    days,
                    if panel_w.is_empty() {
                        variant(&offered, &asked)
                    } else {
                        // The booster's panels lie under the same snow.
                        let mut dark_w = (*panel_w).clone();
                        cover(&mut dark_w, critical.began, days);
                        variant(&offered, &asked_with(&frozen.hydrants, &dark_w)?)
                    },
                ));
            }
            let without_frost = if frozen.stops_anything() {
                let thawed = supply::supply(&plan.supply, &*array, &record.calendar)?;
                Some(variant(&thawed.offered_m3, &asked_with(&[], &panel_w)?))
            } else {
                None
            };
            Ok(Variants { storage, start_ends, covered, without_frost })
        })?;
        let cold = coldest_month_degc(record) < SNOW_MONTH_DEGC;
        Ok(Arc::new(Upstream {
            place: record.place.clone(),
            kind: record.kind,
            source: record.source.clone(),
            calendar: weather.0.clone(),
            air_degc: weather.1.clone(),
            sky,
            array,
            supply: supplied.columns.clone(),
            head: supplied.head.clone(),
            head_hour: supplied.head_hour,
            advice: supplied.advice.clone(),
            draw: draw.clone(),
            garden: garden.clone(),
            frozen,
            peak_month: peak_month(&weather.0, &asked.wanted_m3),
            wanted_sum_m3: asked.wanted_m3.iter().sum(),
            garden_sum_m3: garden.wanted_m3.iter().sum(),
            delivery: asked.delivery.clone(),
            wanted_m3: asked.wanted_m3.clone(),
            demand: asked.demand.clone(),
            asked,
            losses,
            lasting,
            flows,
            storage: variants.storage,
            variants,
            snow_not_modelled: cold && !plan.array.snow.is_modelled(record),
        }))
    }
}

fn one<T>(result: Result<T, Fault>) -> Result<T, Vec<Fault>> {
    result.map_err(|fault| vec![fault])
}

fn supplied(
    plan: &Plan,
    record: &Record,
    array: &array::Columns,
    frozen: &Frozen,
) -> Result<Supplied, Vec<Fault>> {
    let source = supply::Source::from(array).stopped(&frozen.supply);
    let mut columns = supply::supply(&plan.supply, source, &record.calendar)?;
    columns.ledger.close().map_err(|fault| vec![fault])?;
    // The pump cannot tell covered panels from night; the sky can.
    for (limit, plane) in columns.limit.iter_mut().zip(&array.plane_w_per_m2) {
        if *limit == supply::Limit::Night && *plane > 0.0 {
            *limit = supply::Limit::SunBelowStart;
        }
    }
    // The highest flow is the one that a reviewer asks about.
    let head_hour = first_highest(&columns.lifted_m3);
    let head_month = record.calendar.day_of(head_hour).month;
    let head = supply::head_build_up(&plan.supply, head_month, columns.lifted_m3[head_hour])?;
    let system = supply::System::new(&plan.supply)?;
    let pressure_m = columns.limit.iter().zip(&columns.head_m).filter(|(l, _)| l.flows()).map(|(_, h)| *h);
    let advice = system.advice(head.flow_m3_per_h, pressure_m.fold(0.0, f64::max));
    Ok(Supplied { columns: Arc::new(columns), head, head_hour, advice })
}
