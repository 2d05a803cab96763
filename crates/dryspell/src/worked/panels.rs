//! Light on each array's plane, cells, module, circuit.

use super::Section;
use crate::array::facing::Facing;
use crate::array::incidence::Glass;
use crate::array::one_diode::curve;
use crate::array::{ArrayHour, ArrayModel, ArraySettings, Conditions, Terminals};
use crate::fault::Faults;
use crate::record::Record;
use crate::simulate::Run;
use crate::sun::airmass::relative_air_mass;
use crate::sun::inside_hour::Inside;
use crate::sun::perez::brightness;
use crate::sun::plane::{PlaneLight, SkyLight};
use crate::sun::{SkyHour, SkyModel};
use crate::supply::Hour;

const DE_SOTO: &str = "De Soto, Klein and Beckman 2006, Sol. Energy 80:78";
const MARION: &str = "Marion 2017, Sol. Energy 147:344";
const PEREZ: &str = "Perez et al. 1990, Sol. Energy 44:271";

/// The working of one array: its plane, then its cells and circuit.
pub(super) fn array(
    run: &Run,
    record: &Record,
    settings: &ArraySettings,
    h: usize,
) -> Result<[Section; 2], Faults> {
    let prepared = ArrayModel::new(settings, run.plan.sun.horizon.as_ref()).map_err(|f| vec![f])?;
    let sky = run.sky.hour(h);
    let column = run.array.each.iter().find(|one| one.name == settings.name);
    let (snow_cover, soiling) = column.map_or((0.0, 0.0), |one| (one.snow_cover[h], one.soiling[h]));
    let air = Conditions::of(record, h, snow_cover, soiling);
    let hour = prepared.hour(run.plan.sun.sky_model, &sky, &air);
    let facing = prepared.facing(air.date);
    Ok([plane(run, settings, facing, &sky, &hour.plane), panels(&prepared, facing, &air, &hour)])
}

/// The parts of an hour whose light differs inside it: what the steps before show is the hour's mean light, what the pump sees is this.
/// `with_water`: their water is that of the hour, with no float acting on the well.
pub(super) fn parts(run: &Run, h: usize, parts: &[Hour], with_water: bool) -> Option<Section> {
    if parts.is_empty() {
        return None;
    }
    let how = match &run.sky.inside {
        Inside::Spread(_) => "by the distribution of Skartveit and Olseth 1992, Sol. Energy 49:477",
        _ => "as the weather file measured them",
    };
    let mut s = Section::new(format!("THE LIGHT INSIDE THE HOUR: {} equal parts, {how}", parts.len()));
    for (k, part) in parts.iter().enumerate() {
        let n = k + 1;
        let light = run.array.parts.get(k).map_or(0.0, |columns| columns.plane_w_per_m2[h]);
        s.step(format!("I{n}"), format!("plane of array, part {n}"), light, "W/m2", "", "light of the part");
        s.step(
            format!("P{n}"),
            format!("power of all arrays, part {n}"),
            part.array_w,
            "W",
            "as above, with the light of the part",
            "one-diode model",
        );
        if with_water {
            let water = "operating point of the part, times its length";
            s.step(
                format!("V{n}"),
                format!("available, part {n}"),
                part.available_m3,
                "m3",
                water,
                "as below",
            );
        }
    }
    s.step("Pa", "power of all arrays", run.array.array_w[h], "W", "mean of the parts", "mean");
    if with_water {
        let sum_m3 = parts.iter().map(|part| part.available_m3).sum();
        s.step("V", "available", sum_m3, "m3", "sum of the parts", "sum");
    }
    Some(s)
}

/// Light on the plane, by where it comes from.
fn plane(run: &Run, settings: &ArraySettings, facing: &Facing, sky: &SkyHour, plane: &PlaneLight) -> Section {
    let mut s = Section::new(format!("PLANE-OF-ARRAY IRRADIANCE of array {}", settings.name));
    s.given("β", "tilt", facing.tilt_deg, "deg", "scheme");
    s.given("γ", "panel azimuth, from north", settings.azimuth_deg, "deg", "scheme");
    s.step(
        "θ",
        "angle of incidence",
        plane.incidence_deg(),
        "deg",
        "acos(cos z cos β + sin z sin β cos(A - γ))",
        "Duffie and Beckman 2013, eq. 1.6.3",
    );
    let beam = if sky.sun_seen { "B max(cos θ, 0)" } else { "0: the sun is behind the horizon" };
    s.step("Ib", "beam on the plane of array", plane.beam, "W/m2", beam, "geometry");
    let even = if run.plan.sun.horizon.is_some() {
        "D (1 - F1)(1 + cos β)/2, times the share of it above the horizon"
    } else {
        "D (1 - F1)(1 + cos β)/2"
    };
    let model = run.plan.sun.sky_model;
    if model == SkyModel::Perez && sky.dhi_w_per_m2 > 0.0 && sky.zenith_deg < 90.0 {
        diffuse_by_perez(&mut s, sky, &plane.sky, even);
    } else {
        diffuse_by_others(&mut s, model, &plane.sky);
    }
    s.step(
        "Ig",
        "ground-reflected",
        plane.ground,
        "W/m2",
        "G ρ (1 - cos β)/2",
        "Duffie and Beckman 2013, eq. 2.15.1",
    );
    s.step("I", "plane of array", plane.total(), "W/m2", "Ib + Ii + Ic + Ih + Ig", "sum");
    s
}

/// Diffuse light by the model of Perez; `even` is the equation of its isotropic part.
fn diffuse_by_perez(s: &mut Section, sky: &SkyHour, light: &SkyLight, even: &str) {
    let mass = relative_air_mass(sky.zenith_deg);
    let b = brightness(
        sky.dhi_w_per_m2,
        sky.dni_w_per_m2,
        sky.extraterrestrial_normal_w_per_m2,
        sky.zenith_deg.to_radians(),
        mass,
    );
    s.step(
        "m",
        "relative air mass",
        mass,
        "",
        "1/(cos z + 0.50572 (96.07995 - z)^-1.6364)",
        "Kasten and Young 1989",
    );
    s.step(
        "ε",
        "sky clearness",
        b.sky_clearness,
        "",
        "((D + B)/D + 1.041 z^3)/(1 + 1.041 z^3), z in rad",
        PEREZ,
    );
    s.step("Δ", "sky brightness", b.sky_brightness, "", "m D / Eon", PEREZ);
    s.step(
        "F1",
        "circumsolar coefficient",
        b.around_sun,
        "",
        "max(0, f11 + f12 Δ + f13 z), f of the bin of ε, z in rad",
        PEREZ,
    );
    s.step("F2", "horizon coefficient", b.along_horizon, "", "f21 + f22 Δ + f23 z", PEREZ);
    s.step("Ii", "diffuse, isotropic", light.isotropic, "W/m2", even, PEREZ);
    s.step(
        "Ic",
        "diffuse, circumsolar",
        light.circumsolar,
        "W/m2",
        "D F1 max(cos θ, 0)/max(cos z, cos 85 deg); 0 behind the horizon",
        PEREZ,
    );
    s.step("Ih", "diffuse, horizon", light.horizon, "W/m2", "D F2 sin β", PEREZ);
}

/// Diffuse light by Hay and Davies, or from an isotropic sky.
fn diffuse_by_others(s: &mut Section, model: SkyModel, light: &SkyLight) {
    let (equation, source) = match model {
        SkyModel::HayDavies => {
            ("D (1 - B/Eon)(1 + cos β)/2", "Hay and Davies 1980, as in Duffie and Beckman 2013, eq. 2.16.3")
        }
        _ => ("D (1 + cos β)/2", "Liu and Jordan 1963, as in Duffie and Beckman 2013, eq. 2.15.1"),
    };
    s.step("Ii", "diffuse, isotropic", light.isotropic, "W/m2", equation, source);
    s.step(
        "Ic",
        "diffuse, circumsolar",
        light.circumsolar,
        "W/m2",
        "D (B/Eon) cos θ/cos z with Hay-Davies, else 0",
        source,
    );
    s.step("Ih", "diffuse, horizon", light.horizon, "W/m2", "0 in this model", source);
}

/// From the light on the plane to the array's power.
fn panels(prepared: &ArrayModel<'_>, facing: &Facing, air: &Conditions, hour: &ArrayHour) -> Section {
    let settings = prepared.settings;
    let mut c = Section::new(format!("PANELS of array {}", settings.name));
    through_glass(&mut c, settings, facing, hour.beam_share);
    c.given("s", "soiling", air.soiling, "", "scheme, or rain in the weather file");
    let light = if air.snow_cover >= 1.0 {
        "0: snow covers the panels"
    } else {
        "(K (Ib + Ic) + Ki Ii + Kh Ih + Kg Ig)(1 - s)"
    };
    c.step("S", "irradiance at the cells", hour.light_w_per_m2, "W/m2", light, "product");
    if air.snow_cover > 0.0 {
        c.given("c", "share of the slope under snow", air.snow_cover, "", "scheme, or Marion et al. 2013");
        c.step(
            "w",
            "share of the strings that work",
            hour.working_share,
            "",
            format!("1 - ceil({} c)/{}", settings.slope_strings, settings.slope_strings),
            "Ryberg and Freeman 2017, NREL/TP-6A20-68705",
        );
    }
    c.given("Ta", "air", air.air_degc, "degC", "weather file");
    c.given("v", "wind", air.wind_m_per_s, "m/s", "weather file at 10 m, or 1 m/s where it has none");
    c.step(
        "Tc",
        "cells",
        hour.cell_degc,
        "degC",
        format!("Ta + I/({} + {} v)", settings.faiman.u0, settings.faiman.u1),
        "Faiman 2008, Prog. Photovolt. 16:307",
    );
    one_diode(&mut c, prepared, hour);
    c.step(
        "P",
        "array power at the load end of the cable",
        hour.power_w,
        "W",
        format!(
            "{} x {} x (1 - {}){} x the largest V I with I = IL - I0 (exp((V + I Rs)/a) - 1) - (V + I Rs) Gsh",
            settings.series,
            settings.parallel,
            settings.mismatch,
            if air.snow_cover > 0.0 { " x w" } else { "" }
        ),
        DE_SOTO,
    );
    c
}

/// What the glass lets in, of each kind of light.
fn through_glass(c: &mut Section, settings: &ArraySettings, facing: &Facing, beam_share: f64) {
    let (glass, source) = match settings.glass {
        Glass::Clear => ("1: not counted".to_owned(), "scheme"),
        Glass::Fresnel => {
            ("Fresnel and absorption, n 1.526, 4/m, 2 mm, relative to normal incidence".to_owned(), DE_SOTO)
        }
        Glass::Ashrae { coefficient } => {
            (format!("max(0, 1 - {coefficient} (1/cos θ - 1))"), "Souka and Safwat 1966, Sol. Energy 10:170")
        }
    };
    c.step("K", "share of the beam entering the glass", beam_share, "", glass, source);
    for (symbol, name, share) in [
        ("Ki", "the same for isotropic diffuse", facing.diffuse.sky),
        ("Kh", "the same for horizon diffuse", facing.diffuse.horizon),
        ("Kg", "the same for ground-reflected light", facing.diffuse.ground),
    ] {
        c.step(symbol, name, share, "", "mean of K over the directions of that light", MARION);
    }
}

/// The module's five parameters at the light and temperature of the hour; none in the dark.
fn one_diode(c: &mut Section, prepared: &ArrayModel<'_>, hour: &ArrayHour) {
    let (settings, m) = (prepared.settings, &prepared.module);
    let Some(curve) = curve(m, hour.light_w_per_m2, hour.cell_degc) else { return };
    c.step(
        "IL",
        "light current of a module",
        curve.photocurrent_a,
        "A",
        format!("S/1000 ({:.5} + {:.5} (Tc - 25))", m.photocurrent_a, m.isc_temperature_a_per_k),
        DE_SOTO,
    );
    c.step(
        "I0",
        "saturation current",
        curve.saturation_current_a,
        "A",
        format!(
            "{:.5e} (T/298.15)^3 exp(({}/298.15 - Eg/T)/8.617333e-5), T = Tc + 273.15, Eg = {} (1 - 0.0002677 (Tc - \
             25))",
            m.saturation_current_a, m.band_gap_ev, m.band_gap_ev
        ),
        DE_SOTO,
    );
    c.step(
        "a",
        "modified ideality",
        curve.modified_ideality_v,
        "V",
        format!("{:.6} T/298.15", m.modified_ideality_v),
        DE_SOTO,
    );
    c.step(
        "Rs",
        "series resistance with its share of the cable",
        curve.series_resistance_ohm
            + settings.cable_ohm * f64::from(settings.parallel) / f64::from(settings.series),
        "ohm",
        format!(
            "{:.5} + {:.5} x {} / {}",
            m.series_resistance_ohm, settings.cable_ohm, settings.parallel, settings.series
        ),
        DE_SOTO,
    );
    c.step(
        "Gsh",
        "shunt conductance",
        curve.shunt_conductance_per_ohm,
        "1/ohm",
        format!("S/1000 / {:.4}", m.shunt_resistance_ohm),
        DE_SOTO,
    );
}

/// From the arrays to the pump.
pub(super) fn coupling(run: &Run, h: usize, hour: &Hour) -> Section {
    let mut s = Section::new("POWER FOR THE PUMP");
    let (how, rule) = match (run.array.each.len(), run.array.terminals) {
        (0..=1, _) => ("that of the one array", "sum"),
        (_, Terminals::Separate) => ("sum over the arrays", "sum"),
        (_, Terminals::Common) => {
            ("the largest V x sum of I at one voltage V of all arrays", "Kirchhoff's laws")
        }
    };
    s.step("Pa", "power of all arrays", run.array.array_w[h], "W", how, rule);
    match hour.passed {
        Some(passed) => {
            let source = "scheme";
            if (passed.input_w - run.array.array_w[h]).abs() > 1e-9 {
                s.step(
                    "Pi",
                    "power taken by the tracker",
                    passed.input_w,
                    "W",
                    "Pa, within window and rating",
                    source,
                );
            }
            s.given("ηt", "efficiency of the maximum-power tracker", passed.efficiency, "", source);
            s.step(
                "Pv",
                "power available to the pump",
                hour.available_w,
                "W",
                "ηt Pa (ηt Pi where given)",
                "product",
            );
        }
        None => s.given(
            "Pv",
            "most power the coupling can pass on",
            hour.available_w,
            "W",
            "linear current booster: efficiency times the best power; direct: that of the arrays",
        ),
    }
    s
}
