//! dryspell: does the herd go without water in the weather given?
//!
//! Simulates an off-grid stock-water scheme hour by hour (sun, panels, pump, well, pipe, tank, herds, hydrants, frost), counts
//! what it finds, and says what the record allows one to say about other years.
//!
//! # Quick start
//! A plan holds the settings of every stage, a [`Record`](record::Record) the weather; one call goes the whole way of the
//! water. Weather files are read by the crate `dryspell-weather`, a scheme's text by [`scheme::Scheme`].
//!
//! ```
//! use dryspell::array::{self, ArraySettings, Datasheet, Module};
//! use dryspell::draw::{self, Group, Need};
//! use dryspell::pump::{DutyPoint, Settings as Pump, Start};
//! use dryspell::{fault::Faults, plan::Plan, record::Record, simulate::simulate, supply, tank, well};
//!
//! fn days_short(weather: &Record, capacity_m3: f64) -> Result<u32, Faults> {
//!     let module = Module::Datasheet(Datasheet { isc_a: 9.6, voc_v: 40.2, imp_a: 9.1, vmp_v: 33.2,
//!         isc_temperature_a_per_k: 0.005, voc_temperature_v_per_k: -0.12, cells: 60 });
//!     let panels = ArraySettings::new("shed", module, (60.0, 180.0), (2, 1));
//!     let row = |head_m, power_w, flow_m3_per_h| DutyPoint { head_m, power_w, flow_m3_per_h };
//!     let pump = Pump::duty(vec![row(20.0, 60.0, 0.4), row(20.0, 400.0, 1.8), row(40.0, 90.0, 0.2), row(40.0, 400.0, 1.2)],
//!         Start::Zero);
//!     let well = well::Settings { static_level_m: [22.0; 12], ..well::Settings::default() };
//!     let supply = supply::Settings { pump, well, ..supply::Settings::default() };
//!     // 40 head of 45 L a day.
//!     let cows = Group::new("cows", 40.0, Need::ByMonth([0.045; 12]), [1.0 / 24.0; 24]);
//!     let panels = array::Settings { arrays: vec![panels], ..array::Settings::default() };
//!     let plan = Plan::new(panels, supply, draw::Settings::of(vec![cows]), tank::Settings::open("main", capacity_m3));
//!     Ok(simulate(&plan, weather)?.outcome.counts.shortfall_days)
//! }
//! # let calendar = dryspell::calendar::Calendar::starting(dryspell::calendar::Day { year: 2023, month: 3, day: 1 }, 10);
//! // Ten days without sun: 1.8 m³ a day empty a tank of 6 m³ in the fourth.
//! assert_eq!(days_short(&Record::without_weather(calendar), 6.0)?, 7);
//! # Ok::<(), Faults>(())
//! ```
//!
//! # Units
//! Metres, cubic metres, watts, degrees Celsius, degrees of angle (azimuth from north, clockwise), hours; shares as 0 to 1. The
//! unit stands in each name: `available_m3`, `head_m`, `plane_w_per_m2`. [`units`] reads and shows what people write.
//!
//! # The water's way
//! Each stage is a function of its settings and of the columns before it, one number an hour; none reaches back.
//!
//! | stage | makes |
//! |---|---|
//! | [`sun`] | the sky and the light on a plane |
//! | [`array`](mod@array), [`coupling`] | power at the pump |
//! | [`pump`], [`well`], [`pipe`], [`supply`] | water available |
//! | [`evaporation`], [`draw`] | demand of herds and gardens |
//! | [`frost`], [`delivery`] | what reaches the hydrants, and what is requested of the tank |
//! | [`inflow`] | what runs into the tank besides the pump's water |
//! | [`tank`] | what is pumped, drawn, spilled, stored; [`lanes`]: a thousand tanks at once |
//! | [`reliability`] | days of shortfall, spells, autonomy, storage needed |
//! | [`simulate`](mod@simulate) | all of it; [`simulate::Memo`] keeps what a change does not touch |
//! | [`odds`], [`sizing`], [`sweep`], [`sensitivity`] | how often, how big, many cases, how touchy |
//! | [`unknowns`] | how far what a scheme calls uncertain leaves the answer open |
//! | [`mod@why`], [`mod@mends`], [`mod@stress`] | why it goes short, what mends it, and what breaks it first |
//! | [`results`], [`worked`], [`worksheet`] | every number by name, in words, and on paper |
//!
//! # Your own parts
//! A pump that is not of the kinds known: [`pump::FlowLaw`]. Whole hourly columns of water available or of demand:
//! [`plan::OwnColumns`]. Columns of a run by name: [`results::NamedColumns`].
//!
//! # Errors
//! One type: [`fault::Faults`], all that is wrong at once; each [`fault::Fault`] has its place, what was found, what is accepted and the
//! way out, and becomes a line of words where it is shown.

pub mod ageing;
pub mod ahead;
pub mod array;
pub mod calendar;
pub mod coupling;
pub mod curve;
pub mod delivery;
pub mod draw;
pub mod edition;
pub mod evaporation;
pub mod fault;
pub mod frost;
pub mod grid;
pub mod guide;
pub mod inflow;
pub mod keys;
pub mod lanes;
pub mod link;
pub mod mends;
pub mod nearest;
pub mod normal;
pub mod odds;
pub mod pipe;
pub mod plan;
pub mod pressure;
pub mod price;
pub mod pump;
mod random;
pub mod record;
pub mod reliability;
pub mod resample;
mod residual;
pub mod results;
mod ring;
mod root;
#[cfg(feature = "scheme")]
pub mod scheme;
pub mod sensitivity;
pub mod simulate;
pub mod sizing;
pub mod stress;
pub mod sun;
pub mod supply;
#[cfg(feature = "scheme")]
pub mod sweep;
pub mod tank;
#[cfg(feature = "scheme")]
pub mod uncertain;
pub mod units;
#[cfg(feature = "scheme")]
pub mod unknowns;
pub mod well;
pub mod why;
pub mod worked;
pub mod worksheet;
