//! What the page is made from.

use dryspell::resample::Settings;
use dryspell::simulate::Run;
use dryspell::sizing::Target;
use dryspell::sweep::Axis;
use dryspell::units::System;

use super::result::SizeResult;

/// What the page is made from.
#[derive(Debug)]
pub struct Page<'a> {
    /// Scheme file as typed.
    pub file: &'a str,
    /// The scheme as it is.
    pub base: &'a Run,
    /// What a size must meet.
    pub targets: &'a [Target],
    /// The array's axis, then the tank's.
    pub axes: &'a [Axis],
    /// By array, then by tank.
    pub grid: &'a [Vec<SizeResult>],
    /// The scheme's own array with every tank.
    pub own_tanks: &'a [SizeResult],
    /// The scheme's own tank with every array.
    pub own_arrays: &'a [SizeResult],
    /// Cost of a cubic metre of tank, in any money.
    pub cost_per_m3: Option<f64>,
    /// Cost of a module, in the same money.
    pub cost_per_module: Option<f64>,
    /// Units of the page.
    pub system: System,
    /// What the chance of a dry year rests on; `None` where it is not asked or rests on the record's own years.
    pub made: Option<ChanceBasis>,
}

/// The made years that the chance of a dry year rests on.
#[derive(Debug)]
pub struct ChanceBasis {
    /// Years made.
    pub made_years: usize,
    /// Whole years of the record that they were made from.
    pub record_years: usize,
    /// Drawings of the record's years; 0 where they would say nothing.
    pub drawings: usize,
    /// How they were made.
    pub settings: Settings,
    /// Where they started from.
    pub seed: u64,
}
