//! The sun: position, sunrise, radiation outside the air, splitting, tilted planes.

use super::{Evaluator, Row};
use chrono::NaiveDate;
use dryspell::sun::extraterrestrial::{SOLAR_CONSTANT_W_PER_M2, extraterrestrial_normal};
use dryspell::sun::geometry::{
    cos_incidence, daily_extraterrestrial_mj_per_m2, declination_deg, equation_of_time_min,
    hourly_extraterrestrial_mj_per_m2, inverse_distance_squared, solar_azimuth_from_south_deg,
    solar_less_standard_min, sunset_hour_angle_deg,
};
use dryspell::sun::hay_davies::hay_davies_sky;
use dryspell::sun::hours::{HourSun, hour_sun};
use dryspell::sun::isotropic::{ground_reflected, isotropic_sky};
use dryspell::sun::perez::{Brightness, brightness, perez_sky};
use dryspell::sun::plane::{Plane, PlaneLight, plane_light};
use dryspell::sun::position::{Ephemeris, Geocentric, Site, SunPosition, julian_date};
use dryspell::sun::split::{Light, Parts, Radiation, erbs_diffuse_share, split};
use dryspell::sun::{SkyHour, SkyModel, airmass, pressure};
use libm::{acos, asin, cos, sincos};

pub const EVALUATORS: &[(&str, Evaluator)] = &[
    ("sun_zenith_deg", |r| position(r).zenith_deg),
    ("sun_azimuth_deg", |r| position(r).azimuth_deg()),
    ("sun_true_elevation_deg", |r| 90.0 - position(r).true_zenith_deg),
    ("sun_incidence_deg", |r| {
        let plane = Plane::new(r.number("tilt"), r.number("faces"));
        acos(plane.cos_incidence(&position(r).direction)).to_degrees()
    }),
    ("sun_declination_deg", |r| asin(geocentric(r).sin_declination).to_degrees()),
    ("sun_hour_angle_deg", |r| {
        site(r).true_direction(&geocentric(r), moment(r)).hour_angle_rad.to_degrees().rem_euclid(360.0)
    }),
    ("sun_distance_au", |r| geocentric(r).distance_au),
    ("sun_equation_of_time_min", |r| 4.0 * geocentric(r).equation_of_time_deg),
    ("sunrise_h", |r| {
        let day = hours(r);
        let h = day.iter().position(|s| s.lit_fraction > 0.0).unwrap();
        h as f64 + 1.0 - day[h].lit_fraction
    }),
    ("sunset_h", |r| {
        let day = hours(r);
        let h = day.iter().rposition(|s| s.lit_fraction > 0.0).unwrap();
        h as f64 + day[h].lit_fraction
    }),
    ("equation_of_time_min", |r| equation_of_time_min(r.number("n"))),
    ("solar_less_standard_min", |r| {
        let e = equation_of_time_min(r.number("n"));
        solar_less_standard_min(r.number("longitude"), r.number("meridian"), e)
    }),
    ("declination_deg", |r| declination_deg(r.number("n"))),
    ("cos_incidence", low_order_cos),
    ("zenith_low_order_deg", |r| acos(low_order_zenith(r)).to_degrees()),
    ("azimuth_low_order_deg", |r| {
        solar_azimuth_from_south_deg(r.number("declination"), r.number("latitude"), r.number("hour_angle"))
    }),
    ("beam_ratio", |r| low_order_cos(r) / low_order_zenith(r)),
    ("sunset_hour_angle_deg", |r| sunset_hour_angle_deg(r.number("declination"), r.number("latitude"))),
    ("daylight_h", |r| sunset_hour_angle_deg(r.number("declination"), r.number("latitude")) / 7.5),
    ("inverse_distance_squared", |r| inverse_distance_squared(r.number("n"))),
    ("daily_mj_per_m2", |r| {
        let normal = r.number("constant") * inverse_distance_squared(r.number("n"));
        daily_extraterrestrial_mj_per_m2(normal, r.number("declination"), r.number("latitude"))
    }),
    ("hourly_mj_per_m2", |r| {
        let normal = r.number("constant") * inverse_distance_squared(r.number("n"));
        let (from, to) = (r.number("from"), r.number("to"));
        hourly_extraterrestrial_mj_per_m2(normal, r.number("declination"), r.number("latitude"), from, to)
    }),
    ("extraterrestrial_w_per_m2", outside),
    ("air_mass", |r| airmass::relative_air_mass(r.number("zenith"))),
    ("pressure_pa", |r| pressure::standard_pressure_pa(r.number("elevation"))),
    ("erbs_share", |r| erbs_diffuse_share(r.number("clearness"))),
    ("erbs_dni", |r| erbs(r).dni),
    ("erbs_dhi", |r| erbs(r).dhi),
    ("plane_incidence_deg", |r| plane(r, SkyModel::Isotropic).incidence_deg()),
    ("plane_beam", |r| plane(r, SkyModel::Isotropic).beam),
    ("plane_ground", |r| plane(r, SkyModel::Isotropic).ground),
    ("plane_isotropic", |r| plane(r, SkyModel::Isotropic).sky.total()),
    ("plane_haydavies", |r| plane(r, SkyModel::HayDavies).sky.total()),
    ("plane_perez", |r| plane(r, SkyModel::Perez).sky.total()),
    ("book_outside", |r| Book::new(r).outside),
    ("book_clearness", |r| Book::new(r).clearness),
    ("book_diffuse", |r| Book::new(r).diffuse),
    ("book_beam_ratio", |r| Book::new(r).beam_ratio()),
    ("book_isotropic", |r| {
        let b = Book::new(r);
        b.with_sky(isotropic_sky(b.diffuse, b.cos_tilt))
    }),
    ("book_hay_davies", |r| {
        let b = Book::new(r);
        let sky = hay_davies_sky(
            b.diffuse,
            b.beam_normal(),
            b.outside_normal,
            b.cos_angle,
            b.cos_zenith,
            b.cos_tilt,
        );
        b.with_sky(sky.total())
    }),
    ("book_f1", |r| Book::new(r).brightness().around_sun),
    ("book_f2", |r| Book::new(r).brightness().along_horizon),
    ("book_perez", |r| {
        let b = Book::new(r);
        let sin_tilt = (1.0 - b.cos_tilt * b.cos_tilt).sqrt();
        let sky = perez_sky(b.diffuse, &b.brightness(), b.cos_angle, b.cos_zenith, b.cos_tilt, sin_tilt);
        b.with_sky(sky.total())
    }),
];

fn moment(r: &Row) -> f64 {
    let (date, time) = r.text("utc").split_once('T').unwrap();
    let parts: Vec<f64> = time.split(':').map(|t| t.parse().unwrap()).collect();
    let minutes = parts[0] * 60.0 + parts[1] + parts.get(2).copied().unwrap_or(0.0) / 60.0;
    julian_date(date.parse::<NaiveDate>().unwrap(), minutes)
}

fn site(r: &Row) -> Site {
    let elevation = r.number_or("elevation", 0.0);
    let pressure = r.number_or("pressure", pressure::standard_pressure_pa(elevation));
    let air = r.number_or("air", 12.0);
    Site::with_air(r.number("latitude"), r.number("longitude"), elevation, pressure, air)
}

fn geocentric(r: &Row) -> Geocentric {
    Ephemeris::new(Some(r.number("delta_t"))).at(moment(r)).unwrap()
}

fn position(r: &Row) -> SunPosition {
    let site = site(r);
    site.position(&site.true_direction(&geocentric(r), moment(r)))
}

fn hours(r: &Row) -> Vec<HourSun> {
    let date: NaiveDate = r.text("date").parse().unwrap();
    let mut ephemeris = Ephemeris::default();
    (0..24)
        .map(|h| {
            let start = julian_date(date, 60.0 * (f64::from(h) - r.number("offset")));
            hour_sun(&mut ephemeris, &site(r), start).unwrap()
        })
        .collect()
}

fn low_order_cos(r: &Row) -> f64 {
    let (tilt, from_south) = (r.number("tilt"), r.number("from_south"));
    cos_incidence(r.number("declination"), r.number("latitude"), tilt, from_south, r.number("hour_angle"))
}

fn low_order_zenith(r: &Row) -> f64 {
    cos_incidence(r.number("declination"), r.number("latitude"), 0.0, 0.0, r.number("hour_angle"))
}

fn outside(r: &Row) -> f64 {
    extraterrestrial_normal(r.number("n"), SOLAR_CONSTANT_W_PER_M2)
}

fn erbs(r: &Row) -> Parts {
    let zenith_deg = r.number("zenith");
    let light = Light {
        zenith_deg,
        cos_zenith: cos(zenith_deg.to_radians()),
        extraterrestrial_normal: outside(r),
        lit_fraction: 1.0,
    };
    split(&Radiation { ghi: r.number("ghi"), dni: None, dhi: None }, &light)
}

fn plane(r: &Row, model: SkyModel) -> PlaneLight {
    let (zenith_deg, azimuth_deg) = (r.number("zenith"), r.number("azimuth"));
    let (sz, cz) = sincos(zenith_deg.to_radians());
    let (sa, ca) = sincos(azimuth_deg.to_radians());
    let hour = SkyHour {
        zenith_deg,
        direction: [sz * sa, sz * ca, cz],
        extraterrestrial_normal_w_per_m2: outside(r),
        ghi_w_per_m2: r.number("ghi"),
        dni_w_per_m2: r.number("dni"),
        dhi_w_per_m2: r.number("dhi"),
        albedo: 0.2,
        sun_seen: true,
    };
    plane_light(model, &hour, &Plane::new(r.number("tilt"), r.number("faces")))
}

/// The textbook's hour on a slope: MJ/m² in the hour throughout.
struct Book {
    total: f64,
    albedo: f64,
    outside_normal: f64,
    outside: f64,
    clearness: f64,
    diffuse: f64,
    cos_angle: f64,
    cos_zenith: f64,
    cos_tilt: f64,
}

impl Book {
    fn new(r: &Row) -> Self {
        let (declination, latitude, middle) =
            (r.number("declination"), r.number("latitude"), r.number("hour_angle"));
        let normal = 1367.0 * inverse_distance_squared(r.number("n"));
        let outside =
            hourly_extraterrestrial_mj_per_m2(normal, declination, latitude, middle - 7.5, middle + 7.5);
        let total = r.number("i");
        let clearness = total / outside;
        Self {
            total,
            albedo: r.number("albedo"),
            outside_normal: normal * 0.0036,
            outside,
            clearness,
            diffuse: total * erbs_diffuse_share(clearness),
            cos_angle: cos_incidence(declination, latitude, r.number("tilt"), 0.0, middle),
            cos_zenith: cos_incidence(declination, latitude, 0.0, 0.0, middle),
            cos_tilt: cos(r.number("tilt").to_radians()),
        }
    }

    fn beam_ratio(&self) -> f64 {
        self.cos_angle / self.cos_zenith
    }

    fn beam_normal(&self) -> f64 {
        (self.total - self.diffuse) / self.cos_zenith
    }

    fn brightness(&self) -> Brightness {
        // The book's air mass is that of a flat atmosphere.
        let zenith = acos(self.cos_zenith);
        brightness(self.diffuse, self.beam_normal(), self.outside_normal, zenith, 1.0 / self.cos_zenith)
    }

    fn with_sky(&self, sky: f64) -> f64 {
        let beam = (self.total - self.diffuse) * self.beam_ratio();
        beam + sky + ground_reflected(self.total, self.albedo, self.cos_tilt)
    }
}
