//! The chance of a dry year for many sizes, on years made from the record.

use dryspell::fault::{Fault, Faults};
use dryspell::odds::{STRETCH, made_record, stretch_seed};
use dryspell::plan::Plan;
use dryspell::record::Record;
use dryspell::reliability::interval::{Interval, Level};
use dryspell::resample::interval::{Replicate, of_values};
use dryspell::resample::{Archive, Settings};
use dryspell::sizing::dry_years::count;
use dryspell::sizing::{Chance, Group};
use indicatif::ProgressBar;
use rayon::prelude::*;

use crate::Failure;
use crate::args::MadeArgs;

/// What years are made from, and how.
pub(crate) struct Maker<'a> {
    archive: Archive,
    args: &'a MadeArgs,
    /// How blocks are drawn.
    pub(crate) settings: Settings,
    month: u8,
    /// Drawings of the record's years; 0 where they would say nothing.
    pub(crate) drawings: usize,
}

/// By size, in the order asked: what it came to, or why it cannot run on the made years.
pub(crate) type BySize<T> = Vec<Result<T, Faults>>;

impl<'a> Maker<'a> {
    /// Takes a record apart. Tank years begin in the month given; the scheme's own full tank lasts so many days.
    pub(crate) fn new(
        record: &Record,
        args: &'a MadeArgs,
        full_tank_days: Option<f64>,
        month: u8,
    ) -> Result<Self, Failure> {
        let archive = Archive::of(record).map_err(|fault| Failure(vec![fault.to_string()]))?;
        let making = args.making();
        let drawings = making.drawings_that_tell(record, archive.years());
        // One length of blocks for all sizes.
        let settings = making.settings(&archive, full_tank_days);
        Ok(Self { archive, args, settings, month, drawings })
    }

    /// Whole years of the record.
    pub(crate) fn record_years(&self) -> usize {
        self.archive.years()
    }

    /// The dry years of each plan among the made years. All plans meet the same ones.
    pub(crate) fn chances(&self, plans: &[&Plan]) -> Result<BySize<Chance>, Failure> {
        let (groups, places) = Group::gather(plans.iter().copied());
        let all: Vec<usize> = (0..self.archive.years()).collect();
        let stretches = self.args.made_years.div_ceil(STRETCH);
        let bar = ProgressBar::new(self.args.made_years as u64);
        let found: Vec<Vec<Result<Vec<Chance>, Faults>>> = (0..stretches)
            .into_par_iter()
            .map(|i| {
                let years = STRETCH.min(self.args.made_years - i * STRETCH);
                let seed = stretch_seed(self.archive.years(), self.args.seed, i);
                let found = self.count(&groups, &all, seed, years);
                bar.inc(years as u64);
                found
            })
            .collect::<Result<_, _>>()?;
        bar.finish_and_clear();
        Ok(places
            .into_iter()
            .map(|(group, tank)| {
                found.iter().try_fold(Chance::default(), |sum, stretch| match &stretch[group] {
                    Ok(chances) => Ok(sum.and(chances[tank])),
                    Err(faults) => Err(faults.clone()),
                })
            })
            .collect())
    }

    /// The interval of each plan's chance from drawing the record's years anew, with as many years made from each drawing;
    /// nothing where the record cannot tell.
    pub(crate) fn intervals(&self, plans: &[&Plan]) -> Result<Option<Vec<Interval>>, Failure> {
        if self.drawings == 0 || plans.is_empty() {
            return Ok(None);
        }
        let n = self.archive.years();
        let (groups, places) = Group::gather(plans.iter().copied());
        let bar = ProgressBar::new((self.drawings * n) as u64);
        let found: Vec<Vec<Vec<Chance>>> = (0..self.drawings)
            .into_par_iter()
            .map(|number| {
                let replicate = Replicate::new(n, self.args.seed, number);
                let found = self.count(&groups, &replicate.years, replicate.seed, n)?;
                bar.inc(n as u64);
                found.into_iter().collect::<Result<_, _>>().map_err(|faults| in_lines(&faults))
            })
            .collect::<Result<_, _>>()?;
        bar.finish_and_clear();
        let intervals = places.into_iter().map(|(group, tank)| {
            let shares: Vec<f64> = found.iter().filter_map(|drawing| drawing[group][tank].share()).collect();
            of_values(&shares, Level::default()).map_err(|fault| Failure(vec![fault.to_string()]))
        });
        intervals.collect::<Result<_, _>>().map(Some)
    }

    fn count(
        &self,
        groups: &[Group],
        drawn: &[usize],
        seed: u64,
        years: usize,
    ) -> Result<BySize<Vec<Chance>>, Failure> {
        let record = made_record(&self.archive, drawn, self.settings, seed, years)
            .map_err(|fault| Failure(vec![fault.to_string()]))?;
        Ok(count(groups, &record, self.month, years))
    }
}

fn in_lines(faults: &[Fault]) -> Failure {
    Failure(faults.iter().map(ToString::to_string).collect())
}
