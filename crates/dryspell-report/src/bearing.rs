//! What breaks a scheme first, in words.

use dryspell::calendar::HOURS_PER_DAY;
use dryspell::simulate::Run;
use dryspell::stress::{Aged, Bearing, Kind, Stress};
use dryspell::units::{Quantity, System, counted, percent_number, show};

use crate::figures::day_text;

/// Titles of the table.
pub(crate) const COLUMNS: [&str; 3] = ["by itself", "breaks it", "short then"];

/// A row for each stress: what, how much breaks it, the days short with that; nothing where the scheme is broken as it stands.
pub(crate) fn rows(bearing: &Bearing, run: &Run, system: System) -> Vec<[String; 3]> {
    bearing.stresses.iter().map(|stress| row(stress, run, system)).collect()
}

/// What, how much of it breaks the scheme, the days short with that.
pub(crate) fn row(stress: &Stress, run: &Run, system: System) -> [String; 3] {
    let breaks = match (stress.breaks_at, stress.first_day) {
        (None, _) => format!("not up to {}", amount(stress.kind, stress.most, system)),
        (Some(least), None) => amount(stress.kind, least, system),
        (Some(least), Some(day)) => {
            let from = day_text(run, day * HOURS_PER_DAY);
            format!("{} from {from}", amount(stress.kind, least, system))
        }
    };
    let short = match (stress.breaks_at, stress.short_days) {
        (None, _) => String::new(),
        (Some(_), None) => "it cannot run".to_owned(),
        (Some(_), Some(days)) => short(days, run),
    };
    [stress.kind.word().to_owned(), breaks, short]
}

fn short(days: f64, run: &Run) -> String {
    if run.calendar.years() > 1.0 {
        return format!("{days:.1} days a year");
    }
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "days of a year")]
    let whole = days.round() as u32;
    counted(whole, "day")
}

/// An amount of a stress.
fn amount(kind: Kind, amount: f64, system: System) -> String {
    #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "some hundred at most")]
    let whole = amount.round() as u32;
    match kind {
        Kind::PumpOut | Kind::PanelsCovered => counted(whole, "day"),
        Kind::MoreHeads | Kind::LessSun | Kind::LowerYield => format!("{whole} %"),
        Kind::DeeperWater => show(amount, Quantity::Length, system),
        Kind::FewerModules => whole.to_string(),
        Kind::OlderModules | Kind::OlderPump | Kind::AllOlder => counted(whole, "year"),
    }
}

/// How it ages, in a sentence, with what a year takes.
pub(crate) fn ageing(bearing: &Bearing, run: &Run) -> String {
    let each = |aged: &Aged| {
        let short = aged
            .short_days
            .map_or_else(|| "it cannot run".to_owned(), |days| format!("{} short", short(days, run)));
        format!("after {}: {short}", counted(aged.years, "year"))
    };
    let told: Vec<String> = bearing.aged.iter().map(each).collect();
    let rates = &bearing.ageing;
    let percent = |share: f64| {
        let text = percent_number(100.0 * share, 1);
        text.strip_suffix(".0").map_or_else(|| text.clone(), str::to_owned)
    };
    let usual = dryspell::ageing::Ageing::default();
    let source = |given: f64, usual: f64, source: &str| {
        if (given - usual).abs() < 1e-12 {
            format!(" ({source})")
        } else {
            " (as the scheme says)".to_owned()
        }
    };
    format!(
        "All older, {}. A year takes {} % of the modules' current{} and {} % of the pump's flow{}, and adds {} % to the herd.",
        told.join(", "),
        percent(rates.modules),
        source(rates.modules, usual.modules, "the median of Jordan and Kurtz 2013"),
        percent(rates.pump),
        source(rates.pump, usual.pump, "common practice, no source"),
        percent(rates.herd),
    )
}
