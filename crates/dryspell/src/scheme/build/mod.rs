//! From the tables of a scheme to the settings of each stage. Every key is read before anything is put together, so
//! that all faults are found.

mod ageing;
mod array;
mod backup;
mod coupling;
mod delivery;
mod draw;
mod frost;
mod garden;
mod goal;
mod hourly;
mod inflow;
mod lift;
mod module;
mod price;
mod pump;
mod snow;
mod table;
mod tank;
mod water;
mod what_if;

use super::reader::{Reader, Section};
use super::{StampedAt, WeatherEntry, WeatherOrigin, WhatIf};
use crate::fault::FaultKind;
use crate::link::Tree;
use crate::plan::{OwnColumns, Plan};
use crate::record::YearKind;
use crate::scheme::keys::{KeyDoc, Kind, Range};
use crate::scheme::reader::Value;
use crate::scheme::values::values;
use crate::sun::inside_hour::InsideHour;
use crate::sun::{Horizon, Settings as SunSettings, SkyModel};
use crate::units::{Quantity, System};
use tank::AllTanks;
use toml::de::DeValue;

/// What the whole file says, when nothing is wrong with it.
pub(super) struct Contents {
    pub(super) name: Option<String>,
    pub(super) weather: WeatherEntry,
    pub(super) plan: Plan,
    pub(super) what_ifs: Vec<WhatIf>,
}

pub(super) fn build(r: &mut Reader<'_>, root: &Section<'_>) -> Option<Contents> {
    // First, because faults and defaults are shown in these units.
    if r.word(root, "units") == Some("us") {
        r.system = System::Us;
    }
    let name = r.text(root, "name");
    r.labels(root, &["applicant", "contract"]);
    let weather = weather(r, root);
    let sun = sun(r, root);
    let snow = snow::snow(r, root);
    let lifting = lift::lifting(r, root);
    let water_degc = lifting.water_degc;
    let mut draw = draw::draw(r, root);
    let mut gardens = garden::gardens(r, root);
    let tanks = tank::tanks(r, root, water_degc);
    let all = tanks.as_ref();
    let pumped = all.and_then(|all| lifting.tank(r, all));
    let inflows = inflow::inflows(r, root, all);
    let backup = backup::backup(r, root, all.zip(pumped));
    let goal = goal::goal(r, root);
    let ageing = ageing::ageing(r, root);
    let prices = price::prices(r, root);
    let what_ifs = what_if::what_ifs(r, root);
    let delivery = delivery::delivery(
        r,
        root,
        delivery::OtherTables { water_degc, snow: snow.as_ref(), tanks: all, pumped: pumped.unwrap_or(0) },
    );
    let frost = frost::frost(r, root, water_degc);
    if let (Some(draw), Some(delivery)) = (&draw, &delivery) {
        let names = all.map_or_else(Vec::new, AllTanks::names);
        delivery::check_places(r, draw, delivery.as_ref(), &names);
    }
    let first = lifting.into_tank(r, root, snow.as_ref(), all.zip(pumped));
    let lifts = lift::lifts(r, root, snow.as_ref(), all);
    if let (Some(all), Some(pumped)) = (all, pumped) {
        for group in draw.iter_mut().flat_map(|draw| &mut draw.groups) {
            all.settle(r, &format!("{}.{}.tank", group.kind.table(), group.name), &mut group.tank, pumped);
        }
        for garden in gardens.iter_mut().flatten() {
            all.settle(r, &format!("garden.{}.tank", garden.name), &mut garden.tank, pumped);
        }
        if let (Some(inflows), Some(lifts)) = (&inflows, &lifts) {
            let mut filled = vec![all.names()[pumped]];
            filled.extend(inflows.iter().map(|inflow| inflow.tank.as_str()));
            filled.extend(lifts.iter().map(|lift| lift.into.as_str()));
            tank::check_filled(r, all, &filled);
        }
        if let Err(faults) = Tree::new(&all.names(), &all.links()) {
            r.place_faults(faults.into());
        }
    }
    let (array, supply) = first?;
    let tanks = tanks?;
    let links = tanks.links();
    let mut other_tanks: Vec<_> = tanks.tanks.into_iter().map(|tank| tank.settings).collect();
    let tank = other_tanks.remove(pumped?);
    let plan = Plan {
        columns: OwnColumns::default(),
        sun: sun?,
        array,
        supply,
        draw: crate::draw::Settings { gardens: gardens?, ..draw? },
        frost: frost?,
        delivery: delivery?,
        tank,
        other_tanks,
        links,
        lifts: lifts?,
        inflows: inflows?,
        backup: backup?,
        goal: goal?,
        ageing: ageing?,
        prices: prices?,
    };
    Some(Contents { name, weather: weather?, plan, what_ifs: what_ifs? })
}

/// The tank of a name and the rules of counting alone.
pub(super) fn tank_alone(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    name: &str,
) -> Option<crate::tank::Settings> {
    if r.word(root, "units") == Some("us") {
        r.system = System::Us;
    }
    tank::alone(r, root, name)
}

fn weather(r: &mut Reader<'_>, root: &Section<'_>) -> Option<WeatherEntry> {
    let section = r.table(root, "weather")?;
    let origin = origin(r, &section);
    let latitude_deg = r.quantity(&section, "latitude");
    let longitude_deg = r.quantity(&section, "longitude");
    let elevation_m = r.quantity(&section, "elevation");
    let utc_offset_h = r.quantity(&section, "utc_offset");
    let stamps = r.word(&section, "stamps").map(|word| match word {
        "start" => StampedAt::Start,
        "middle" => StampedAt::Middle,
        _ => StampedAt::End,
    });
    let years = r.word(&section, "years").map(|word| match word {
        "typical" => YearKind::Typical,
        "synthetic" => YearKind::Synthetic,
        "projected" => YearKind::Projected,
        _ => YearKind::Calendar,
    });
    let part_of_year = r.flag(&section, "part_of_year").unwrap_or(false);
    let accept_shift = r.flag(&section, "accept_shift").unwrap_or(false);
    let fill_long_gaps = r.flag(&section, "fill_long_gaps").unwrap_or(false);
    Some(WeatherEntry {
        origin: origin?,
        latitude_deg,
        longitude_deg,
        elevation_m,
        utc_offset_h,
        stamps,
        years,
        part_of_year,
        accept_shift,
        fill_long_gaps,
    })
}

/// Files, or a climate from which years are made.
fn origin(r: &mut Reader<'_>, section: &Section<'_>) -> Option<WeatherOrigin> {
    let files = r.files(section, "file");
    let climate = r.text(section, "climate");
    let seed = r.count(section, "seed");
    let years = r.count(section, "made_years");
    if !section.may_have("climate") {
        for key in ["seed", "made_years"] {
            if section.has(key) {
                r.fault_at(
                    section,
                    key,
                    FaultKind::Contradiction,
                    format!("{key} has no effect without climate"),
                    "seed and made_years only with climate",
                    "remove it, or name a climate in place of file",
                );
            }
        }
        r.missing_here(section, "file");
        return files.map(WeatherOrigin::Files);
    }
    if section.may_have("file") {
        r.fault_at(
            section,
            "climate",
            FaultKind::Contradiction,
            "climate given as well as file",
            "either a weather file or a climate",
            "keep one of them",
        );
    }
    // Their ranges hold both within these types.
    Some(WeatherOrigin::Climate { file: climate?, seed: seed.unwrap_or(1), years: years.unwrap_or(1) })
}

fn sun(r: &mut Reader<'_>, root: &Section<'_>) -> Option<SunSettings> {
    let site = r.table(root, "site")?;
    let albedo = r.ratio(&site, "albedo");
    let sky_model = r.word(&site, "sky").map(|word| match word {
        "isotropic" => SkyModel::Isotropic,
        "hay-davies" => SkyModel::HayDavies,
        _ => SkyModel::Perez,
    });
    let inside_hour = r.word(&site, "inside_hour").map(|word| match word {
        "hourly mean" => InsideHour::Mean,
        "distribution" => InsideHour::Spread,
        _ => InsideHour::Steps,
    });
    let horizon = r.key(&site, "horizon", horizon);
    let inside_hour = inside_hour.unwrap_or_default();
    Some(SunSettings { sky_model: sky_model?, albedo: albedo?, horizon, inside_hour })
}

fn horizon(r: &mut Reader<'_>, v: Value<'_>, doc: &'static KeyDoc) -> Option<Horizon> {
    let elevation = doc.part(
        Kind::Quantity(Quantity::Angle),
        Range::Between(0.0, 90.0),
        "elevation of the horizon",
        "\"3 deg\"",
    );
    let direction =
        doc.part(Kind::Direction, Range::Between(0.0, 360.0), "azimuth, degrees from north", "\"90 deg\"");
    let mut points: Vec<(f64, f64)> = Vec::new();
    let sound = r.rows(v, doc, 2, |r, row, cells| {
        let azimuth = r.direction_value(cells[0], &direction);
        let height = r.quantity_value(cells[1], &elevation);
        let (azimuth, height) = (azimuth?, height?);
        if points.last().is_some_and(|(before, _)| *before >= azimuth) {
            r.refuse(
                row,
                FaultKind::Contradiction,
                format!("azimuth {azimuth}° is not above the one before"),
                "azimuths that rise from 0 to below 360 degrees",
                "put the pairs in order and remove duplicates",
            );
        }
        points.push((azimuth, height));
        Some(())
    });
    sound.then_some(Horizon { points_deg: points })
}

impl Reader<'_> {
    /// Rows of two values.
    fn pairs(
        &mut self,
        v: Value<'_>,
        doc: &KeyDoc,
        columns: &[&str],
        first: &KeyDoc,
        second: &KeyDoc,
    ) -> Option<Vec<(f64, f64)>> {
        let mut points = Vec::new();
        let sound = self.table_rows(v, doc, columns, |r, row| {
            let (x, y) = (r.quantity_value(row[0], first), r.quantity_value(row[1], second));
            points.push((x?, y?));
            Some(())
        });
        sound.then_some(points)
    }

    /// Reads a list of rows of `width` cells each with `read`; whether all of them are sound.
    fn rows(
        &mut self,
        v: Value<'_>,
        doc: &KeyDoc,
        width: usize,
        mut read: impl FnMut(&mut Self, Value<'_>, &[Value<'_>]) -> Option<()>,
    ) -> bool {
        let DeValue::Array(list) = v.de else {
            self.wrong_type(v, &format!("a list of rows of {width} values"), doc);
            return false;
        };
        if list.is_empty() {
            self.refuse(
                v,
                FaultKind::WrongLength,
                "an empty list",
                format!("rows of {width} values"),
                format!("write {} = {}", doc.name, self.example(doc)),
            );
            return false;
        }
        let mut sound = true;
        for (i, row) in list.iter().enumerate() {
            let path = format!("{}[{}]", v.path, i + 1);
            let at = row.span().start;
            self.note(&path, at);
            let value = Value { path: &path, at: Some(at), de: row.get_ref() };
            let cells: Vec<Value<'_>> = match row.get_ref() {
                DeValue::Array(cells) => cells
                    .iter()
                    .map(|c| Value { path: &path, at: Some(c.span().start), de: c.get_ref() })
                    .collect(),
                _ => {
                    let text = format!("a row: a list of {width} values");
                    self.wrong_type(value, &text, doc);
                    sound = false;
                    continue;
                }
            };
            if cells.len() != width {
                self.refuse(
                    value,
                    FaultKind::WrongLength,
                    format!("a row of {}", values(cells.len())),
                    format!("rows of {width} values"),
                    format!("write {} = {}", doc.name, self.example(doc)),
                );
                sound = false;
                continue;
            }
            sound &= read(self, value, &cells).is_some();
        }
        sound
    }
}
