//! How made years compare with measured ones, as figures for whoever reads an answer that rests on them.
//!
//! # Validity
//!
//! Four measured records, five tanks each, from tight to roomy; tanks with less than a short day a year on the record are left out,
//! since ten years tell too little of them. A place of another climate may lie outside the range. The table in full, with the
//! standard errors, is in the guide's page of weather; `data/reference/weather_judge.py` makes it.
//!
//! # References
//!
//! Figures: `data/reference/weather_judge.csv`, worked out by this project from the records that the script names.

/// Made years of one kind against the records.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Judged {
    /// What the years are made from, as in the table.
    pub kind: &'static str,
    /// For each place its kind and how many times the record's days of shortfall the made years have, least and most of the
    /// tanks.
    pub times: [(&'static str, f64, f64); 4],
}

impl Judged {
    /// Least and most of all places.
    #[must_use]
    pub fn range(&self) -> (f64, f64) {
        self.times.iter().fold((f64::INFINITY, f64::NEG_INFINITY), |(low, high), (_, least, most)| {
            (low.min(*least), high.max(*most))
        })
    }

    /// Place by place, in words.
    #[must_use]
    pub fn words(&self) -> String {
        let place = |(name, least, most): &(&str, f64, f64)| {
            if (most - least).abs() < 0.05 {
                format!("{name} {most:.1}")
            } else {
                format!("{name} {least:.1} to {most:.1}")
            }
        };
        self.times.iter().map(place).collect::<Vec<_>>().join(", ")
    }
}

/// Years from twelve monthly means.
pub const FROM_MEANS: Judged = Judged {
    kind: "twelve means",
    times: [
        ("alpine valley", 0.60, 1.63),
        ("prairie", 0.11, 0.30),
        ("inland plain", 1.22, 1.49),
        ("maritime lowland", 1.13, 1.17),
    ],
};

/// Years like those of a record of many years.
pub const LIKE_A_RECORD: Judged = Judged {
    kind: "like the record",
    times: [
        ("alpine valley", 0.59, 1.13),
        ("prairie", 0.68, 0.81),
        ("inland plain", 0.92, 0.95),
        ("maritime lowland", 1.23, 1.56),
    ],
};

/// Years that a record's days are shuffled into, in blocks of the default length.
pub const SHUFFLED: Judged = Judged {
    kind: "blocks of 15 days",
    times: [
        ("alpine valley", 0.76, 0.93),
        ("prairie", 0.90, 0.96),
        ("inland plain", 0.82, 0.89),
        ("maritime lowland", 0.84, 0.87),
    ],
};

/// What the sun of a place is like, as far as a tank feels it.
///
/// # Units
///
/// | symbol | name | unit | valid range |
/// |---|---|---|---|
/// | D | `darkest_kwh`: mean global light of the darkest calendar month | kWh/(m² day) | > 0 |
/// | B | `brightest_kwh`: of the brightest | kWh/(m² day) | > 0 |
/// | s | `spread`: standard deviation of a day over its month's mean, in the darkest month and those beside it | – | ≥ 0 |
///
/// # Equation
///
/// Two places are as far apart as `√((ln(D/D′)/ln 1.5)² + (ln(B/B′)/ln 1.25)² + ((s − s′)/0.1)²)`; beyond 1.5 they are not near.
///
/// # Validity
///
/// A whole year at least. The scales are a judgement: half as much light again in the darkest month, a quarter more in the brightest, a tenth
/// more spread count alike.
///
/// # References
///
/// Places: `data/reference/weather_judge_places.csv`, worked out by this project.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Sun {
    /// Mean global light of the darkest calendar month, kWh/(m² day).
    pub darkest_kwh: f64,
    /// Of the brightest.
    pub brightest_kwh: f64,
    /// Standard deviation of a day over its month's mean, in the darkest month and those beside it.
    pub spread: f64,
}

/// The sun of the places, in the order of [`Judged::times`].
pub const PLACES: [Sun; 4] = [
    Sun { darkest_kwh: 1.24, brightest_kwh: 5.76, spread: 0.382 },
    Sun { darkest_kwh: 2.40, brightest_kwh: 6.78, spread: 0.398 },
    Sun { darkest_kwh: 1.54, brightest_kwh: 6.23, spread: 0.412 },
    Sun { darkest_kwh: 0.46, brightest_kwh: 4.76, spread: 0.623 },
];

/// Beyond this two places are not near.
const NEAR: f64 = 1.5;

impl Sun {
    /// The sun of days by their calendar month (1 to 12) and global light, kWh/m²; `None` where a month has none.
    #[must_use]
    pub fn of(days: &[(u8, f64)]) -> Option<Self> {
        let mut months = [(0.0, 0.0); 12];
        let place = |month: u8| usize::from(month.clamp(1, 12)) - 1;
        for (month, kwh) in days {
            let sum = &mut months[place(*month)];
            *sum = (sum.0 + kwh, sum.1 + 1.0);
        }
        if months.iter().any(|(kwh, days)| *days <= 0.0 || *kwh <= 0.0) {
            return None;
        }
        let means = months.map(|(kwh, days)| kwh / days);
        let darkest = (0..12).min_by(|a, b| means[*a].total_cmp(&means[*b]))?;
        let dark = [(darkest + 11) % 12, darkest, (darkest + 1) % 12];
        let shares = || {
            let dark_days = days.iter().filter(|(month, _)| dark.contains(&place(*month)));
            dark_days.map(|(month, kwh)| kwh / means[place(*month)])
        };
        let n = shares().count() as f64;
        let mean = shares().sum::<f64>() / n;
        Some(Self {
            darkest_kwh: means[darkest],
            brightest_kwh: means.iter().copied().fold(0.0, f64::max),
            spread: (shares().map(|share| (share - mean) * (share - mean)).sum::<f64>() / n).sqrt(),
        })
    }

    /// The place whose sun is nearest, as its number in [`PLACES`]; `None` where none is near.
    #[must_use]
    pub fn nearest(&self) -> Option<usize> {
        let apart = |other: &Self| {
            let light = libm::log(self.darkest_kwh / other.darkest_kwh) / libm::log(1.5);
            let summer = libm::log(self.brightest_kwh / other.brightest_kwh) / libm::log(1.25);
            let spread = (self.spread - other.spread) / 0.1;
            (light * light + summer * summer + spread * spread).sqrt()
        };
        let near = PLACES.iter().map(apart).enumerate().min_by(|a, b| a.1.total_cmp(&b.1))?;
        (near.1 <= NEAR).then_some(near.0)
    }
}

impl Judged {
    /// The factors of the place whose sun is nearest, in words; that none is near, where it is so.
    #[must_use]
    pub fn nearest_words(&self, sun: Option<Sun>) -> String {
        match sun.and_then(|sun| sun.nearest()) {
            None => "none of the four is near this record in its sun".to_owned(),
            Some(place) => {
                let (name, least, most) = self.times[place];
                format!("nearest to this record in its sun: the {name}, {least:.1} to {most:.1}")
            }
        }
    }
}
