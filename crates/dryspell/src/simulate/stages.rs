//! The makers of the memory's slots: each a plain function of its settings and of what lies upstream.

use std::borrow::Cow;
use std::sync::Arc;

use super::covered::cover;
use super::march;
use super::requests::RequestsBy;
use super::several::{Several, SeveralBy};
use super::upstream::{Variant, Variants, coldest_month_degc, first_highest};
use super::{COVERED_DAYS, Endurance, FrozenHours, Losses, Requests, SNOW_MONTH_DEGC};
use crate::calendar::Calendar;
use crate::edition::{Edition, EditionRef};
use crate::evaporation::air::pressure_kpa;
use crate::fault::{Fault, Faults};
use crate::pipe::Advice;
use crate::plan::{OwnColumns, Plan};
use crate::record::Record;
use crate::reliability::storage::needed;
use crate::tank::ledger::Flows;
use crate::{array as panels, delivery, draw, frost, grid, inflow, sun, supply};

type StageResult<T> = Result<T, Faults>;

/// A whole column of the user's own, where there is one.
type OwnColumn = Option<Edition<Vec<f64>>>;

/// The settings of the supply, or the column in its place.
pub(super) type SupplyBy = (supply::Settings, OwnColumn);

/// The settings of the draw, or the column in its place.
pub(super) type DrawBy = (draw::Settings, OwnColumn);

/// Draw of the stock and of gardens.
pub(super) type Draws = (Arc<draw::Columns>, Arc<draw::garden::Columns>);

/// What the supply stage makes, with the head at its highest flow.
#[derive(Debug)]
pub(super) struct Supplied {
    pub(super) columns: Arc<supply::Columns>,
    pub(super) head: supply::HeadBuildUp,
    pub(super) head_hour: usize,
    pub(super) advice: Vec<Advice>,
    /// Whether well, riser or motor feel it when the float stops the pump.
    pub(super) feels_the_float: bool,
}

/// The settings on which the losses rest.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct LossesBy {
    leak_m3_per_h: f64,
    open_surface_m2: f64,
    delivery: Option<delivery::Settings>,
}

impl LossesBy {
    pub(super) fn of(plan: &Plan) -> Self {
        Self {
            leak_m3_per_h: plan.all_tanks().leak_m3_per_h,
            open_surface_m2: plan.all_tanks().open_surface_m2,
            delivery: plan.delivery.clone(),
        }
    }
}

/// The settings on which the questions rest that every run answers.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct VariantsBy {
    /// Whether they are asked at all.
    pub(super) questions: bool,
    /// Whether columns of the user's own stand in the place of the supply, of the draw.
    pub(super) own_available: bool,
    pub(super) own_demand: bool,
    pub(super) supply: supply::Settings,
    /// Arrays and sun, for the same year with snow.
    pub(super) array: (panels::Settings, sun::Settings),
    pub(super) requests: RequestsBy,
}

fn one<T>(result: Result<T, Fault>) -> StageResult<T> {
    result.map_err(Faults::from)
}

/// Hours and days, and the air's temperature.
pub(super) type Weather = (Arc<Calendar>, Arc<Vec<f64>>);

pub(super) fn weather((): &(), record: EditionRef<'_, Record>) -> StageResult<Weather> {
    let record = record.value();
    one(record.check())?;
    Ok((Arc::new(record.calendar.clone()), Arc::new(record.air_degc.clone())))
}

pub(super) fn sky(settings: &sun::Settings, record: EditionRef<'_, Record>) -> StageResult<sun::Sky> {
    one(sun::sky(settings, record.value()))
}

pub(super) fn array(
    (settings, sun): &(panels::Settings, sun::Settings),
    (record, sky): (EditionRef<'_, Record>, &Edition<sun::Sky>),
) -> StageResult<panels::Columns> {
    one(panels::array(settings, sky, sun, record.value()))
}

pub(super) fn frozen(
    (settings, hydrants): &(Option<frost::Settings>, Vec<String>),
    record: EditionRef<'_, Record>,
) -> StageResult<FrozenHours> {
    FrozenHours::of(settings.as_ref(), hydrants, record.value())
}

/// Holds a column of the user's own against the record.
fn own(column: &[f64], key: &str, calendar: &Calendar) -> StageResult<()> {
    OwnColumns::fault(column, key, calendar).map_or(Ok(()), |fault| Err(fault.into()))
}

pub(super) fn drawn((settings, own_m3): &DrawBy, record: EditionRef<'_, Record>) -> StageResult<Draws> {
    let record = record.value();
    let draw = match own_m3 {
        None => draw::draw(settings, &record.calendar, &record.air_degc)?,
        Some(own_m3) => {
            own(own_m3, "demand_m3", &record.calendar)?;
            draw::of_column(own_m3, &record.air_degc)
        }
    };
    let garden = draw::garden::garden(&settings.gardens, record)?;
    Ok((Arc::new(draw), Arc::new(garden)))
}

/// What runs into the tank besides the pump's water, on the grid.
#[expect(clippy::ptr_arg, reason = "the shape of every maker: the settings are a Vec")]
pub(super) fn inflows(
    settings: &Vec<inflow::Settings>,
    record: EditionRef<'_, Record>,
) -> StageResult<Vec<inflow::Column>> {
    let mut columns = inflow::columns(settings, record.value())?;
    columns.iter_mut().for_each(|column| column.m3 = grid::column_m3(&column.m3));
    Ok(columns)
}

/// Several tanks and wells; nothing for one tank that one pump fills.
pub(super) fn several(
    settings: &Option<SeveralBy>,
    (record, sky, frozen): (EditionRef<'_, Record>, &Edition<sun::Sky>, &Edition<FrozenHours>),
) -> StageResult<Option<Arc<Several>>> {
    let made = settings.as_ref().map(|by| Several::of(by, record.value(), sky, frozen));
    made.transpose().map(|several| several.map(Arc::new))
}

/// The flows with the water of inflows and further wells beside the first pump's.
fn with_inflows<'a>(
    flows: &'a Flows,
    inflows: &[inflow::Column],
    several: Option<&Several>,
) -> Cow<'a, Flows> {
    let lifts = || several.into_iter().flat_map(|several| &several.lifts);
    if inflows.is_empty() && lifts().next().is_none() {
        return Cow::Borrowed(flows);
    }
    let mut flows = flows.clone();
    for inflow in inflows {
        flows.available_m3.iter_mut().zip(&inflow.m3).for_each(|(sum, m3)| *sum += m3);
    }
    for lift in lifts() {
        let further_m3 = lift.available_m3(false);
        flows.available_m3.iter_mut().zip(further_m3).for_each(|(sum, m3)| *sum += m3);
    }
    Cow::Owned(flows)
}

pub(super) fn panel(
    (booster, sun): &(Option<delivery::BoosterSettings>, sun::Settings),
    (record, sky): (EditionRef<'_, Record>, &Edition<sun::Sky>),
) -> StageResult<Vec<f64>> {
    match booster {
        None => Ok(Vec::new()),
        Some(booster) => one(delivery::panel_w(booster, sky, sun, record.value())),
    }
}

fn ask(
    by: &RequestsBy,
    record: &Record,
    drawn: &Draws,
    frozen: &[Vec<bool>],
    panel_w: &[f64],
) -> StageResult<Requests> {
    Requests::of(by, record, (&drawn.0, &drawn.1.demand_m3), frozen, panel_w)
}

/// All on which the requests of the tank rest.
type RequestsFrom<'a> =
    (EditionRef<'a, Record>, &'a Edition<Draws>, &'a Edition<FrozenHours>, &'a Edition<Vec<f64>>);

pub(super) fn requests(
    settings: &RequestsBy,
    (record, drawn, frozen, panel_w): RequestsFrom<'_>,
) -> StageResult<Requests> {
    ask(settings, record.value(), drawn, &frozen.hydrants, panel_w)
}

#[expect(clippy::unnecessary_wraps, reason = "the shape of every maker")]
pub(super) fn losses(settings: &LossesBy, record: EditionRef<'_, Record>) -> StageResult<Losses> {
    let LossesBy { leak_m3_per_h, open_surface_m2, delivery } = settings;
    let hydrants = delivery.iter().flat_map(|delivery| &delivery.hydrants);
    Ok(Losses::of(*leak_m3_per_h, *open_surface_m2, hydrants, record.value()))
}

/// The columns that drive a tank.
fn drive(available_m3: &[f64], requests: &Requests, losses: &Losses) -> Flows {
    Flows::new(available_m3, &requests.stock_m3, &losses.evaporation_m3, &losses.leak_m3)
        .with_garden(&requests.garden_m3)
}

#[expect(clippy::unnecessary_wraps, reason = "the shape of every maker")]
pub(super) fn flows(
    (): &(),
    (supplied, requests, losses): (&Edition<Supplied>, &Edition<Requests>, &Edition<Losses>),
) -> StageResult<Flows> {
    Ok(drive(&supplied.columns.available_m3, requests, losses))
}

#[expect(clippy::unnecessary_wraps, reason = "the shape of every maker")]
pub(super) fn lasting(
    (): &(),
    (record, requests, losses): (EditionRef<'_, Record>, &Edition<Requests>, &Edition<Losses>),
) -> StageResult<Endurance> {
    let calendar = &record.value().calendar;
    let nothing = vec![0.0; calendar.hours()];
    let flows = drive(&nothing, requests, losses);
    Ok(Endurance::new(&requests.with_demand(&flows), calendar.is_one_year()))
}

pub(super) fn supplied(
    (settings, own_m3): &SupplyBy,
    (record, array, frozen): (EditionRef<'_, Record>, &Edition<panels::Columns>, &Edition<FrozenHours>),
) -> StageResult<Supplied> {
    let calendar = &record.value().calendar;
    if let Some(own_m3) = own_m3 {
        own(own_m3, "available_m3", calendar)?;
        let columns = Arc::new(supply::Columns::of_column(own_m3));
        let head_hour = first_highest(&columns.flow_m3_per_h);
        let head = supply::HeadBuildUp {
            month: calendar.day_of(head_hour).month,
            flow_m3_per_h: columns.flow_m3_per_h[head_hour],
            ..supply::HeadBuildUp::default()
        };
        return Ok(Supplied { columns, head, head_hour, advice: Vec::new(), feels_the_float: false });
    }
    let source = supply::Source::from(&**array).stopped(&frozen.supply);
    let mut columns = supply::supply(settings, source, calendar)?;
    columns.ledger.close().map_err(Faults::from)?;
    columns.tell_night_by(&array.plane_w_per_m2);
    // The highest flow is the one that a reviewer asks about.
    let head_hour = first_highest(&columns.flow_m3_per_h);
    let head_month = calendar.day_of(head_hour).month;
    let mut head = supply::head_build_up(settings, head_month, columns.flow_m3_per_h[head_hour])?;
    if settings.well.bore.is_some() {
        head = head.at_head(columns.head_m[head_hour]);
    }
    let system = supply::System::new(settings)?;
    let advice = system.advice(head.flow_m3_per_h);
    let feels_the_float = system.feels_the_float();
    Ok(Supplied { columns: Arc::new(columns), head, head_hour, advice, feels_the_float })
}

/// All that lies before the tank's flows.
type BeforeTank<'a> = (
    EditionRef<'a, Record>,
    &'a Edition<panels::Columns>,
    &'a Edition<FrozenHours>,
    &'a Edition<Draws>,
    &'a Edition<Vec<f64>>,
    &'a Edition<Vec<inflow::Column>>,
    &'a Edition<Option<Arc<Several>>>,
);

/// All on which the questions rest that every run answers.
type VariantsFrom<'a> = (
    &'a Edition<Weather>,
    &'a Edition<sun::Sky>,
    BeforeTank<'a>,
    &'a Edition<Supplied>,
    &'a Edition<Requests>,
    &'a Edition<Losses>,
    &'a Edition<Flows>,
);

/// What a march of the scheme as it is would be driven by.
pub(super) fn march_inputs(
    settings: &VariantsBy,
    weather: &Weather,
    (record, array, frozen, drawn, panel_w, inflows, several): BeforeTank<'_>,
    supplied: &Supplied,
    flows: &Edition<Flows>,
) -> march::Inputs {
    let record = record.value();
    march::Inputs {
        calendar: weather.0.clone(),
        air_degc: weather.1.clone(),
        air_pa: 1000.0 * pressure_kpa(record.place.elevation_m),
        supply: (!settings.own_available).then(|| Arc::new(settings.supply.clone())),
        feels_the_float: supplied.feels_the_float,
        several: (**several).clone(),
        array: array.shared().clone(),
        flows: flows.shared().clone(),
        frozen: Some(frozen.shared().clone()),
        covered: None,
        draw: drawn.0.clone(),
        own_demand: settings.own_demand,
        garden: drawn.1.clone(),
        inflows: inflows.shared().clone(),
        by: settings.requests.clone(),
        panel_w: panel_w.shared().clone(),
    }
}

pub(super) fn variants(
    settings: &VariantsBy,
    (weather, sky, before, supplied, requests, losses, flows): VariantsFrom<'_>,
) -> StageResult<Variants> {
    let (record, array, frozen, drawn, panel_w, inflows, several) = before;
    let record = record.value();
    let with_all = requests.with_demand(flows);
    let with_all = with_inflows(&with_all, inflows, several.as_deref());
    let mut storage = needed(&with_all, record.calendar.is_one_year());
    if several.as_ref().is_some_and(|several| several.names.len() > 1) {
        // Of several tanks no one volume is enough or not.
        storage.storage_m3 = None;
    }
    if !settings.questions {
        return Ok(Variants::none(storage));
    }
    let variant = |available_m3: &[f64], requests: &Requests, march: march::Inputs| {
        let flows = Arc::new(drive(available_m3, requests, losses));
        let march = march::Inputs { flows: flows.clone(), ..march };
        Variant { flows, demand: requests.demand.clone(), march }
    };
    let march = march_inputs(settings, weather, before, supplied, flows);
    let source = supply::Source::from(&**array).stopped(&frozen.supply);
    let end = |hopeful: bool| -> StageResult<Option<Option<Variant>>> {
        match settings.supply.pump.with_start_end(hopeful) {
            None => Ok(None),
            Some(pump) if pump == settings.supply.pump => Ok(Some(None)),
            Some(pump) => {
                let settings = supply::Settings { pump, ..settings.supply.clone() };
                let other = supply::supply(&settings, source, &record.calendar)?;
                let march = march::Inputs { supply: Some(Arc::new(settings)), ..march.clone() };
                Ok(Some(Some(variant(&other.available_m3, requests, march))))
            }
        }
    };
    let start_ends = end(false)?.zip(end(true)?).map(|(zero, best)| [zero, best]);
    let mut covered = Vec::new();
    for days in COVERED_DAYS {
        let Some(critical) = storage.critical else { continue };
        let mut available = supplied.columns.available_m3.clone();
        cover(&mut available, critical.began, days);
        let march = march::Inputs { covered: Some((critical.began, days)), ..march.clone() };
        covered.push((
            days,
            if panel_w.is_empty() {
                variant(&available, requests, march)
            } else {
                // The booster's panels lie under the same snow.
                let mut dark_w = (**panel_w).clone();
                cover(&mut dark_w, critical.began, days);
                let asked = ask(&settings.requests, record, drawn, &frozen.hydrants, &dark_w)?;
                variant(&available, &asked, march::Inputs { panel_w: Arc::new(dark_w), ..march })
            },
        ));
    }
    let without_frost = if frozen.stops_anything() {
        let thawed = supply::supply(&settings.supply, &**array, &record.calendar)?;
        let march = march::Inputs { frozen: None, ..march };
        let asked = ask(&settings.requests, record, drawn, &[], panel_w)?;
        Some(variant(&thawed.available_m3, &asked, march))
    } else {
        None
    };
    let under_snow = |array: panels::Columns| -> StageResult<Variant> {
        let source = supply::Source::from(&array).stopped(&frozen.supply);
        let supply = supply::supply(&settings.supply, source, &record.calendar)?;
        let march = march_inputs(settings, weather, before, supplied, flows);
        Ok(variant(&supply.available_m3, requests, march::Inputs { array: Arc::new(array), ..march }))
    };
    let snow_ends = match snowed(settings, record, sky)? {
        None => None,
        Some([least, most]) => Some([under_snow(least)?, under_snow(most)?]),
    };
    Ok(Variants { storage, start_ends, covered, without_frost, snow_ends })
}

/// The arrays under the least and the most snow that rain and temperature allow, where nothing says when snow lies and it may.
fn snowed(
    settings: &VariantsBy,
    record: &Record,
    sky: &sun::Sky,
) -> StageResult<Option<[panels::Columns; 2]>> {
    let (array, sun) = &settings.array;
    if !array.arrays.is_empty()
        && record.precipitation_mm.is_some()
        && record.snow_depth_m.is_none()
        && !array.snow.is_modelled(record)
        && coldest_month_degc(record) < SNOW_MONTH_DEGC
    {
        let under = |end| {
            let snow = panels::snow::Snow { from_rain: Some(end), ..array.snow.clone() };
            one(panels::array(&panels::Settings { snow, ..array.clone() }, sky, sun, record))
        };
        return Ok(Some([under(panels::snowfall::SnowEnd::Least)?, under(panels::snowfall::SnowEnd::Most)?]));
    }
    Ok(None)
}
