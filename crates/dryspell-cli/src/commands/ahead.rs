//! `dryspell ahead`: the days ahead from today's level.

use std::path::Path;

use dryspell::ahead::{DaysAhead, MOST_DAYS, Today, swept, under_snow};
use dryspell::calendar::MonthDay;
use dryspell::fault::{Fault, Faults, Location};
use dryspell::plan::Plan;
use dryspell::units::{Quantity, parse};
use dryspell_report::ahead::{Page, page};
use dryspell_report::answers::{self, About, ahead_answer};
use dryspell_report::{Input, Inputs, Role};
use dryspell_weather::forecast;

use crate::args::AheadArgs;
use crate::files::{self, Answer, Format};
use crate::job::Job;
use crate::kinds::FileNeed;
use crate::source::in_file;
use crate::{Failure, Verdict};

/// Days under snow that are looked at where nothing is said.
const SNOW_DAYS: usize = 7;
/// Most days from an order to the water.
const MOST_NOTICE_DAYS: usize = 60;

/// Runs the scheme from today's level through every year of its record and says when water must be ordered.
pub(crate) fn ahead(args: &AheadArgs) -> Result<Verdict, Failure> {
    let on = date("--on", &args.on)?;
    let load_m3 = args.load.as_deref().map(load).transpose()?;
    check(args)?;
    if args.plot.is_some() && !cfg!(feature = "charts") {
        return Err(super::built_without("pictures", "charts", "the page alone"));
    }
    let job = Job::open(&args.scheme, &args.set.set)?;
    let mut outputs = job.outputs();
    args.forecast.iter().for_each(|path| outputs.keep_from(path));
    let answer = Answer::open(&mut outputs, args.json.as_deref())?;
    let plot = args.plot.as_deref().map(|path| outputs.open("--plot", path, &[Format::Svg])).transpose()?;
    let plan = job.scheme.plan();
    let (forecast_kwh_per_m2, forecast_input) = match &args.forecast {
        Some(path) => {
            let (days, input) = read_forecast(path, on)?;
            (days, Some(input))
        }
        None => (Vec::new(), None),
    };
    let today = Today { on, levels_m3: levels(&args.level, &plan)?, days: args.days, forecast_kwh_per_m2 };
    let source = job.weather()?;
    let record = &source.record;
    let panels = plan.columns.available_m3.is_none();
    let faults = |faults| told(&job, faults);
    let mut days_ahead = DaysAhead::new(record, today.clone()).map_err(faults)?;
    let cold = if days_ahead.are_cold() { SNOW_DAYS.min(args.days) } else { 0 };
    let snow_days = args.snow_days.unwrap_or(cold);
    let written = days_ahead.through(&plan).map_err(faults)?;
    // Each goes on from what the first has worked out. A column of water of one's own knows no snow.
    let beside = |plan: Option<Plan>| plan.map(|plan| days_ahead.clone().through(&plan)).transpose();
    let without = panels && plan.array.snow.is_modelled(record);
    let (swept, snow) = rayon::join(
        || beside(without.then(|| swept(&plan))),
        || beside((panels && snow_days > 0).then(|| under_snow(&plan, on, snow_days))),
    );
    let (swept, snow) = (swept.map_err(faults)?, snow.map_err(faults)?);
    let matter = Page {
        file: &job.file,
        plan: &plan,
        today: &today,
        written: &written,
        swept: swept.as_ref(),
        under_snow: snow.as_ref().map(|found| (snow_days, found)),
        notice_days: args.notice_days,
        load_m3,
        system: args.units.map_or(job.scheme.units, Into::into),
    };
    if let Some(target) = plot {
        draw(target, &matter)?;
    }
    answer.give(
        || {
            let inputs = forecast_input.into_iter().fold(job.inputs(&source), Inputs::with);
            let about = About::of(&job.scheme, &job.file, &inputs)?;
            answers::text(&ahead_answer(&matter, about))
        },
        || page(&matter),
    )?;
    Ok(Verdict::Answered)
}

fn check(args: &AheadArgs) -> Result<(), Failure> {
    let within = |option: &str, value: usize, least: usize, most: usize| {
        if (least..=most).contains(&value) {
            return Ok(());
        }
        Err(Failure(vec![format!(
            "{option} {value}: {least} to {most} days; give a number of days in this range"
        )]))
    };
    within("--days", args.days, 1, MOST_DAYS)?;
    within("--notice-days", args.notice_days, 0, MOST_NOTICE_DAYS)?;
    within("--snow-days", args.snow_days.unwrap_or(0), 0, args.days)
}

/// Faults of what was typed carry the option, others the scheme's line.
fn told(job: &Job, faults: Faults) -> Failure {
    let line = |mut fault: Fault| {
        let option = fault.location.key.take_if(|key| ["level", "days", "forecast"].contains(&key.as_str()));
        if let Some(option) = option {
            fault.location = Location::key(format!("--{option}"));
        } else {
            fault = job.scheme.locate(fault);
            fault.location.file = Some(job.file.clone());
        }
        fault.to_string()
    };
    Failure(faults.into_iter().map(line).collect())
}

/// A date without its year, or with one that does not count.
fn date(option: &str, text: &str) -> Result<MonthDay, Failure> {
    MonthDay::read_date(text).ok_or_else(|| {
        Failure(vec![format!(
            "{option} {text}: no such date; month and day, such as 12-14; write the month first"
        )])
    })
}

fn load(text: &str) -> Result<f64, Failure> {
    let fault = |why: String| Failure(vec![format!("--load {text}: {why}")]);
    let m3 = parse(text, Quantity::Volume).map_err(|e| fault(e.to_string()))?;
    if m3 > 0.0 {
        Ok(m3)
    } else {
        Err(fault("a load brings something; a volume above 0; write \"8 m3\"".to_owned()))
    }
}

/// The level of each tank of a plan, in its order.
fn levels(texts: &[String], plan: &Plan) -> Result<Vec<f64>, Failure> {
    let tanks: Vec<_> = plan.tanks().collect();
    let names = || tanks.iter().map(|tank| tank.name.as_str()).collect::<Vec<_>>().join(", ");
    let mut found: Vec<Option<f64>> = vec![None; tanks.len()];
    for text in texts {
        let fault = |why: String| Failure(vec![format!("--level {text}: {why}")]);
        let (number, level) = match text.split_once('=') {
            Some((name, level)) => {
                let number = tanks
                    .iter()
                    .position(|tank| tank.name == name.trim())
                    .ok_or_else(|| fault(format!("no tank of this name; {}; name one of them", names())))?;
                (number, level)
            }
            None if tanks.len() == 1 => (0, text.as_str()),
            None => {
                return Err(fault(format!(
                    "which of the tanks is not said; {}; write \"{} = 4 m3\", and so for each",
                    names(),
                    tanks[0].name
                )));
            }
        };
        let level = level.trim();
        let m3 = if level.ends_with('%') {
            parse(level, Quantity::Fraction).map(|share| share * tanks[number].full_m3())
        } else {
            parse(level, Quantity::Volume)
        };
        let m3 = m3.map_err(|e| fault(format!("{e}; or a share of full such as \"45 %\"")))?;
        if found[number].replace(m3).is_some() {
            return Err(fault(format!(
                "tank {} has a level already; one for each tank; leave one out",
                tanks[number].name
            )));
        }
    }
    let missing: Vec<&str> =
        tanks.iter().zip(&found).filter(|(_, m3)| m3.is_none()).map(|(tank, _)| tank.name.as_str()).collect();
    if let Some(first) = missing.first() {
        return Err(Failure(vec![format!(
            "--level: none for {}; a level for each tank; add --level \"{first} = 4 m3\"",
            missing.join(", ")
        )]));
    }
    Ok(found.into_iter().flatten().collect())
}

/// The sun of the first days, which must follow each other from today.
fn read_forecast(path: &Path, on: MonthDay) -> Result<(Vec<f64>, Input), Failure> {
    let text = files::read_text(path, FileNeed::Forecast)?;
    let name = files::name_of(path);
    let days = forecast::read(&text).map_err(|fault| in_file(&name, fault.into()))?;
    for (number, day) in days.iter().enumerate() {
        let wanted = on.later(number);
        if day.date != wanted {
            return Err(Failure(vec![format!(
                "{name}: day {} is {:02}-{:02}; the days from --on on, without a gap: {:02}-{:02} here; leave out what lies \
                 before today, and fill gaps",
                number + 1,
                day.date.month,
                day.date.day,
                wanted.month,
                wanted.day
            )]));
        }
    }
    let sun = days.iter().map(|day| day.ghi_kwh_per_m2).collect();
    Ok((sun, Input::of(Role::Table, name, text.as_bytes())))
}

#[cfg(feature = "charts")]
fn draw(target: files::Target, matter: &Page<'_>) -> Result<(), Failure> {
    let chart = dryspell_report::days_ahead(matter).map_err(|e| {
        Failure(vec![format!("the picture cannot be drawn: {e}; the page; leave out --plot")])
    })?;
    target.write(&chart)
}

#[cfg(not(feature = "charts"))]
fn draw(_: files::Target, _: &Page<'_>) -> Result<(), Failure> {
    Err(super::built_without("pictures", "charts", "the page alone"))
}
