//! What has been worked out stays until something that it depends on changes.

use std::sync::Arc;

use super::requests::RequestsBy;
use super::several::{Several, SeveralBy};
use super::slot::Slot;
use super::stages::{self, DrawBy, Draws, LossesBy, Supplied, SupplyBy, VariantsBy};
use super::upstream::{Upstream, Variants, coldest_month_degc, peak_month};
use super::{Endurance, FrozenHours, Losses, Requests, SNOW_MONTH_DEGC};
use crate::edition::EditionRef;
use crate::fault::Faults;
use crate::plan::Plan;
use crate::record::Record;
use crate::tank::ledger::Flows;
use crate::{array, delivery, frost, inflow, sun};

/// A memory of one slot a stage: plans that differ in one stage compute only that stage and what lies behind it. What a
/// change touches is learnt by comparing settings, and the versions that records and columns carry ([`crate::edition::Edition`]); there are no
/// flags to keep and no numbers to give. A clone shares what is held and goes on by itself: for threads that begin alike.
///
/// ```no_run
/// # fn example(plan: &dryspell::plan::Plan, record: dryspell::record::Record) -> Result<(), dryspell::fault::Faults> {
/// use dryspell::edition::Edition;
/// use dryspell::simulate::{Memo, at_tank};
/// let mut memo = Memo::default();
/// let record = Edition::new(record);
/// let mut plan = plan.clone();
/// for litres in [4000.0, 6000.0, 8000.0] {
///     plan.tank.capacity_m3 = litres / 1000.0;
///     // Sun, panels, pump and herd are worked out once.
///     let run = at_tank(&memo.upstream(&plan, &record)?, &plan)?;
///     println!("{litres} L: {} days of shortfall", run.outcome.counts.shortfall_days);
/// }
/// # Ok(())
/// # }
/// ```
#[derive(Debug, Clone, Default)]
pub struct Memo {
    weather: Slot<(), stages::Weather>,
    sky: Slot<sun::Settings, sun::Sky>,
    array: Slot<(array::Settings, sun::Settings), array::Columns>,
    frozen: Slot<(Option<frost::Settings>, Vec<String>), FrozenHours>,
    supply: Slot<SupplyBy, Supplied>,
    draw: Slot<DrawBy, Draws>,
    inflows: Slot<Vec<inflow::Settings>, Vec<inflow::Column>>,
    panel: Slot<(Option<delivery::BoosterSettings>, sun::Settings), Vec<f64>>,
    requests: Slot<RequestsBy, Requests>,
    several: Slot<Option<SeveralBy>, Option<Arc<Several>>>,
    losses: Slot<LossesBy, Losses>,
    lasting: Slot<(), Endurance>,
    flows: Slot<(), Flows>,
    variants: Slot<VariantsBy, Variants>,
}

impl Memo {
    /// All of a run that lies before the tank. The record is an [`crate::edition::Edition`], or [`EditionRef`] for a while.
    ///
    /// # Errors
    /// Everything that keeps the scheme from running.
    pub fn upstream<'a>(
        &mut self,
        plan: &Plan,
        record: impl Into<EditionRef<'a, Record>>,
    ) -> Result<Arc<Upstream>, Faults> {
        self.work(plan, record.into(), true)
    }

    /// The same without the columns of the questions that a whole run answers: for yearly counts alone.
    ///
    /// # Errors
    /// As [`Self::upstream`].
    pub fn driven<'a>(
        &mut self,
        plan: &Plan,
        record: impl Into<EditionRef<'a, Record>>,
    ) -> Result<Arc<Upstream>, Faults> {
        self.work(plan, record.into(), false)
    }

    fn work(
        &mut self,
        plan: &Plan,
        record: EditionRef<'_, Record>,
        questions: bool,
    ) -> Result<Arc<Upstream>, Faults> {
        plan.check()?;
        let weather = self.weather.get(&(), record, stages::weather)?;
        let sky = self.sky.get(&plan.sun, record, stages::sky)?;
        let array_by = (plan.array.clone(), plan.sun.clone());
        let array = self.array.get(&array_by, (record, &sky), stages::array)?;
        let hydrants = plan.delivery.iter().flat_map(|d| &d.hydrants).map(|h| h.name.clone()).collect();
        let frozen = self.frozen.get(&(plan.frost.clone(), hydrants), record, stages::frozen)?;
        let supplied = self.supply.get(
            &(plan.supply.clone(), plan.columns.available_m3.clone()),
            (record, &array, &frozen),
            stages::supplied,
        )?;
        let drawn =
            self.draw.get(&(plan.draw.clone(), plan.columns.demand_m3.clone()), record, stages::drawn)?;
        let booster = plan.delivery.as_ref().and_then(|d| d.booster.clone());
        let panel_w = self.panel.get(&(booster, plan.sun.clone()), (record, &sky), stages::panel)?;
        let inflows = self.inflows.get(&plan.inflows, record, stages::inflows)?;
        let requests_by = RequestsBy::of(plan);
        let requests =
            self.requests.get(&requests_by, (record, &drawn, &frozen, &panel_w), stages::requests)?;
        let losses = self.losses.get(&LossesBy::of(plan), record, stages::losses)?;
        let flows = self.flows.get(&(), (&supplied, &requests, &losses), stages::flows)?;
        let lasting = self.lasting.get(&(), (record, &requests, &losses), stages::lasting)?;
        let own_available = plan.columns.available_m3.is_some();
        let variants_by = VariantsBy {
            questions: questions && !own_available,
            own_available,
            own_demand: plan.columns.demand_m3.is_some(),
            supply: plan.supply.clone(),
            array: array_by,
            requests: requests_by,
        };
        let several = self.several.get(&SeveralBy::of(plan), (record, &sky, &frozen), stages::several)?;
        let before = (record, &array, &frozen, &drawn, &panel_w, &inflows, &several);
        let variants = self.variants.get(
            &variants_by,
            (&weather, &sky, before, &supplied, &requests, &losses, &flows),
            stages::variants,
        )?;
        let march = Arc::new(stages::march_inputs(&variants_by, &weather, before, &supplied, &flows));
        let (draw, garden) = (&drawn.0, &drawn.1);
        let record = record.value();
        let cold = coldest_month_degc(record) < SNOW_MONTH_DEGC;
        Ok(Arc::new(Upstream {
            place: record.place.clone(),
            kind: record.kind,
            source: record.source.clone(),
            calendar: weather.0.clone(),
            air_degc: weather.1.clone(),
            sky: sky.shared().clone(),
            array: array.shared().clone(),
            inflows: inflows.shared().clone(),
            inflow_m3: Arc::default(),
            supply: supplied.columns.clone(),
            head: supplied.head.clone(),
            head_hour: supplied.head_hour,
            advice: supplied.advice.clone(),
            draw: draw.clone(),
            garden: garden.clone(),
            frozen: frozen.shared().clone(),
            peak_month: peak_month(&weather.0, &requests.demand_m3),
            demand_sum_m3: requests.demand_m3.iter().sum(),
            garden_sum_m3: garden.demand_m3.iter().sum(),
            delivery: requests.delivery.clone(),
            demand_m3: requests.demand_m3.clone(),
            extra_m3: requests.extra_m3.clone(),
            demand: requests.demand.clone(),
            requests: requests.shared().clone(),
            losses: losses.shared().clone(),
            lasting: lasting.shared().clone(),
            flows: flows.shared().clone(),
            march,
            before_march: None,
            storage: variants.storage,
            several: (*several).clone(),
            variants: variants.shared().clone(),
            snow_not_modelled: cold && !plan.array.snow.is_modelled(record),
        }))
    }
}
