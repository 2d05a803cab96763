//! Day-to-day clearness by the library of ten Markov matrices.
//!
//! # Units
//!
//! | symbol | name | unit | valid range |
//! |---|---|---|---|
//! | `K̄` | mean clearness of the month | – | chooses the matrix |
//! | `i`, `j` | class of today's and of tomorrow's clearness | – | 1 to 10 |
//! | `p_ij` | chance of class `j` after class `i` | – | 0 to 1 |
//!
//! # Equation
//!
//! Ten equal classes lie between the matrix's least and greatest clearness. Tomorrow's class is drawn from today's row;
//! the value is uniform within the class. Rows are divided by their sum (1 ± 0.003 as printed).
//!
//! # Validity
//!
//! Made from months of measured data, mostly of Portugal and a few other stations. Each matrix stands for a band of `K̄`
//! and has its own mean, so months are drawn again until their mean meets the one asked for. The second matrix
//! (0.30 to 0.35) rests on few months: its days hardly depend on each other (lag-one correlation 0.02).
//!
//! # Example
//!
//! A month with `K̄ = 0.47` takes the fifth matrix; after a day of the tenth class, the ninth follows with a chance of
//! 0.273.
//!
//! # References
//!
//! Aguiar, R. J., Collares-Pereira, M. and Conde, J. P. (1988). Simple procedure for generating sequences of daily
//! radiation values using a library of Markov transition matrices. Solar Energy 40, 269–279. The numbers were transcribed
//! from a public repository (two copies identical); the journal page was not seen.

use dryspell::fault::{Fault, FaultKind};

/// The library as transcribed.
const LIBRARY: &str = include_str!("matrices.csv");

/// Classes of a matrix.
const CLASSES: usize = 10;

/// One matrix of the library.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Matrix {
    k_min: f64,
    k_max: f64,
    /// Row sums up to and with each class, the last exactly 1.
    cumulative: [[f64; CLASSES]; CLASSES],
}

/// The ten matrices, in order of clearness.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Library(Vec<Matrix>);

impl Library {
    /// Reads the library that is part of the program.
    ///
    /// # Errors
    /// The library is not ten matrices of ten rows: a fault of the program.
    pub(super) fn read() -> Result<Self, Fault> {
        let rows: Option<Vec<Vec<f64>>> =
            LIBRARY.lines().filter(|l| l.starts_with(|c: char| c.is_ascii_digit())).map(numbers).collect();
        rows.as_deref().and_then(matrices).map(Self).ok_or_else(|| {
            Fault::at_key(
                "synth.matrices",
                FaultKind::Weather,
                "a library of matrices that cannot be read",
                "the program carries ten matrices of ten rows",
                "use the program as it was built",
            )
        })
    }

    /// The matrix for a month of that mean clearness.
    pub(super) fn matrix(&self, k_mean: f64) -> &Matrix {
        // Bands of 0.05 from 0.30 on; the first and last are open.
        let above = (0..CLASSES - 1).zip([0.30, 0.35, 0.40, 0.45, 0.50, 0.55, 0.60, 0.65, 0.70]);
        let index = above.filter(|(_, bound)| k_mean > *bound).count();
        &self.0[index]
    }
}

/// The numbers of one line of the library, without the text of its second field.
fn numbers(line: &str) -> Option<Vec<f64>> {
    line.split(',').enumerate().filter(|(i, _)| *i != 1).map(|(_, field)| field.parse().ok()).collect()
}

fn matrices(rows: &[Vec<f64>]) -> Option<Vec<Matrix>> {
    if rows.len() != CLASSES * CLASSES || rows.iter().any(|r| r.len() != 4 + CLASSES) {
        return None;
    }
    let matrices = rows.chunks_exact(CLASSES).map(|rows| {
        let mut cumulative = [[1.0; CLASSES]; CLASSES];
        for (out, row) in cumulative.iter_mut().zip(rows) {
            let total: f64 = row[4..].iter().sum();
            let mut sum = 0.0;
            for (out, p) in out.iter_mut().zip(&row[4..]).take(CLASSES - 1) {
                sum += p;
                *out = sum / total;
            }
        }
        Matrix { k_min: rows[0][1], k_max: rows[0][2], cumulative }
    });
    Some(matrices.collect())
}

impl Matrix {
    /// The class, 0 to 9, in which a clearness lies; values outside belong to the end classes.
    pub(super) fn class_of(&self, k: f64) -> usize {
        let width = (self.k_max - self.k_min) / 10.0;
        (1..CLASSES)
            .zip([1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0])
            .filter(|(_, n)| k >= self.k_min + n * width)
            .count()
    }

    /// The class after `class`, for a uniform number.
    pub(super) fn next(&self, class: usize, u: f64) -> usize {
        self.cumulative[class].iter().take(CLASSES - 1).filter(|c| u >= **c).count()
    }

    /// The clearness at a uniform place within a class.
    pub(super) fn value(&self, class: usize, u: f64) -> f64 {
        let lower = [0.0, 1.0, 2.0, 3.0, 4.0, 5.0, 6.0, 7.0, 8.0, 9.0][class];
        self.k_min + (lower + u) / 10.0 * (self.k_max - self.k_min)
    }
}

#[cfg(test)]
#[allow(clippy::print_stdout, reason = "statistics are shown beside their bounds")]
mod tests {
    use super::*;
    use crate::synth::draws::Stream;

    /// Mean, standard deviation and lag-one correlation of each chain in the long run, from the stationary vector of the
    /// transcribed matrices worked out by linear algebra in another program (numpy 2.4.6).
    const STATIONARY: [(f64, f64, f64, f64); 10] = [
        (0.25, 0.2414, 0.1560, 0.3850),
        (0.33, 0.3339, 0.1668, 0.0229),
        (0.38, 0.3745, 0.1663, 0.2826),
        (0.43, 0.4288, 0.1671, 0.3081),
        (0.48, 0.4760, 0.1673, 0.3247),
        (0.53, 0.5262, 0.1568, 0.3096),
        (0.58, 0.5749, 0.1535, 0.2264),
        (0.63, 0.6204, 0.1361, 0.2365),
        (0.68, 0.6684, 0.1188, 0.1960),
        (0.75, 0.7281, 0.0726, 0.2521),
    ];

    #[test]
    fn each_chain_has_its_stationary_mean_spread_and_lag() {
        let library = Library::read().unwrap();
        // Five million days: the standard error of a lag of 0.02 is then 2 % of it, and far less elsewhere.
        let days = 5_000_000;
        for (n, (k_mean, mean, sd, lag)) in (0_u64..).zip(STATIONARY) {
            let matrix = library.matrix(k_mean);
            let mut stream = Stream::new(20_260, 7, n);
            let mut class = 5;
            let (mut sum, mut squares, mut products, mut last) = (0.0, 0.0, 0.0, 0.0);
            for day in 0..days + 200 {
                class = matrix.next(class, stream.uniform());
                let k = matrix.value(class, stream.uniform());
                if day >= 200 {
                    sum += k;
                    squares += k * k;
                    products += k * last;
                }
                last = k;
            }
            let days = f64::from(days);
            let got_mean = sum / days;
            let variance = squares / days - got_mean * got_mean;
            let got_lag = (products / days - got_mean * got_mean) / variance;
            println!("matrix {}: {got_mean:.4} {:.4} {got_lag:.4}", n + 1, variance.sqrt());
            // Facts are printed to four digits; three standard errors are below 0.0015 for each of the three.
            assert!((got_mean - mean).abs() < 0.0008, "{}: mean {got_mean} {mean}", n + 1);
            assert!((variance.sqrt() - sd).abs() < 0.0006, "{}: sd {} {sd}", n + 1, variance.sqrt());
            assert!((got_lag - lag).abs() < 0.0015, "{}: lag {got_lag} {lag}", n + 1);
        }
    }

    #[test]
    fn bands_and_classes() {
        let library = Library::read().unwrap();
        assert!(std::ptr::eq(library.matrix(0.30), &raw const library.0[0]));
        assert!(std::ptr::eq(library.matrix(0.301), &raw const library.0[1]));
        assert!(std::ptr::eq(library.matrix(0.71), &raw const library.0[9]));
        let fifth = library.matrix(0.47);
        for class in 0..10 {
            assert_eq!(fifth.class_of(fifth.value(class, 0.5)), class);
        }
        assert_eq!((fifth.class_of(-1.0), fifth.class_of(2.0)), (0, 9));
        // After the tenth class, the ninth has the chance 0.273 of a row that sums to 1.002.
        let to_ninth = fifth.cumulative[9][8] - fifth.cumulative[9][7];
        assert!((to_ninth - 0.273 / 1.002).abs() < 1e-12);
        assert_eq!((fifth.next(9, 0.0), fifth.next(9, 0.999_999)), (1, 9));
    }
}
