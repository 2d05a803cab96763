//! A well with all that lifts its water: the scheme's first, and further ones.

use super::super::reader::{Reader, Section};
use super::tank::AllTanks;
use super::{array, coupling, pump, water};
use crate::array::snow::Snow;
use crate::array::{ArraySettings, Terminals};
use crate::fault::{Fault, FaultKind};
use crate::scheme::keys::find;
use crate::supply::{Lift, Settings as SupplySettings};
use crate::{array as panels, coupling as couplings, pipe, pump as pumps, well};

/// Panels, well, pump and pipe, before it is known into which tank the water runs.
pub(super) struct Lifting<'d> {
    arrays: Option<Vec<ArraySettings>>,
    terminals: Option<Terminals>,
    well: Option<well::Settings>,
    pub(super) water_degc: Option<f64>,
    pump: Option<pumps::Settings>,
    coupling: Option<couplings::Settings>,
    runs: Option<(Vec<pipe::Run>, Option<pipe::WeepHole>)>,
    /// The pump's table, and the tank that it names there.
    section: Option<Section<'d>>,
    into: Option<String>,
}

/// Reads the tables of a well that stand in a table.
pub(super) fn lifting<'d>(r: &mut Reader<'_>, root: &Section<'d>) -> Lifting<'d> {
    let arrays = array::arrays(r, root);
    let (well, water_degc) = water::well(r, root);
    let section = r.table(root, "pump");
    let into = section.as_ref().and_then(|s| r.text(s, "into"));
    let pump = section.as_ref().and_then(|s| pump::pump(r, s));
    let terminals = coupling::terminals(r, root, arrays.as_ref().map_or(0, Vec::len));
    let coupling = coupling::coupling(r, root, section.as_ref());
    let runs = water::runs(r, root);
    Lifting { arrays, terminals, well, water_degc, pump, coupling, runs, section, into }
}

impl Lifting<'_> {
    /// The number of the tank that it fills: the one that it names, the only one, or the only one that no other feeds.
    pub(super) fn tank(&self, r: &mut Reader<'_>, all: &AllTanks) -> Option<usize> {
        let unfed: Vec<usize> = (0..all.tanks.len()).filter(|i| all.tanks[*i].feed.is_none()).collect();
        let Some(section) = self.section.as_ref().filter(|s| s.may_have("into")) else {
            match (unfed[..].first(), all.tanks.len()) {
                (_, 1) => return Some(0),
                (Some(only), _) if unfed.len() == 1 => return Some(*only),
                _ => r.missing_here(self.section.as_ref()?, "into"),
            }
            return None;
        };
        all.named(r, section, "into", self.into.clone(), 0)
    }

    /// The panels, and the supply with its pipe up to the tank; `root` is the table in which all of it stands.
    pub(super) fn into_tank(
        self,
        r: &mut Reader<'_>,
        root: &Section<'_>,
        snow: Option<&Snow>,
        tank: Option<(&AllTanks, usize)>,
    ) -> Option<(panels::Settings, SupplySettings)> {
        if let Some((all, number)) = tank
            && all.tanks[number].height_m.is_none()
        {
            missing_inlet(r, root, &all.tanks[number].settings.name);
        }
        let inlet = tank.and_then(|(all, number)| {
            let tank = &all.tanks[number];
            Some((tank.height_m?, tank.pressure_m, all.friction))
        });
        let pipe = match (inlet, self.runs, self.water_degc) {
            (
                Some((inlet_height_m, discharge_pressure_m, friction)),
                Some((runs, weep_hole)),
                Some(water_degc),
            ) => Some(pipe::Settings {
                runs,
                inlet_height_m,
                discharge_pressure_m,
                water_degc,
                friction,
                weep_hole,
            }),
            _ => None,
        };
        let supply = match (&self.pump, self.coupling, self.well, pipe) {
            (Some(pump), Some(coupling), Some(well), Some(pipe)) => {
                Some(SupplySettings { pump: pump.clone(), coupling, well, pipe })
            }
            _ => None,
        };
        water::check_together(r, &root.path, self.pump.as_ref(), supply.as_ref());
        let array =
            panels::Settings { arrays: self.arrays?, terminals: self.terminals?, snow: snow?.clone() };
        Some((array, supply?))
    }
}

/// The fault of a tank that a pump fills and whose table does not say how high.
fn missing_inlet(r: &mut Reader<'_>, root: &Section<'_>, tank: &str) {
    let Some(doc) = find("tank.*", "inlet_height") else { return };
    let fault = Fault::at_key(
        format!("tank.{tank}.inlet_height"),
        FaultKind::MissingKey,
        "this key is missing",
        format!("needed where [{}] fills the tank: {}", root.key("pump"), doc.meaning),
        format!("add {} = {}", doc.name, r.example(doc)),
    );
    r.place_faults(vec![fault].into());
}

/// Further wells.
pub(super) fn lifts(
    r: &mut Reader<'_>,
    root: &Section<'_>,
    snow: Option<&Snow>,
    all: Option<&AllTanks>,
) -> Option<Vec<Lift>> {
    let read: Vec<Option<Lift>> = r
        .named_tables(root, "lift")
        .into_iter()
        .map(|(name, section)| {
            let lifting = lifting(r, &section);
            let into = all.and_then(|all| lifting.tank(r, all));
            let (array, supply) = lifting.into_tank(r, &section, snow, all.zip(into))?;
            Some(Lift { name, into: all?.tanks[into?].settings.name.clone(), array, supply })
        })
        .collect();
    read.into_iter().collect()
}
