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
        ("alpine valley", 0.63, 1.15),
        ("prairie", 0.69, 0.81),
        ("inland plain", 0.93, 0.98),
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
