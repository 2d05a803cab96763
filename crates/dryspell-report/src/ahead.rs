//! The days ahead from today's level, in the words of somebody who must order water in time.

use std::fmt::Write;

use dryspell::ahead::{Ahead, FEWEST_YEARS, Today, WITHIN_DAYS, YearAhead};
use dryspell::calendar::Day;
use dryspell::plan::Plan;
use dryspell::record::YearKind;
use dryspell::reliability::interval::{Interval, Level};
use dryspell::units::{Quantity, System, column_number, column_unit, counted};

use super::layout::{day_month, line, table, wrap, wrap_to};

/// Dry years that are listed one by one.
const MOST_LISTED: usize = 12;
/// Places of the days whose levels are listed: the first, the fifth and so on.
const LISTED_DAYS: usize = 5;

/// What has to be said under every page of days ahead.
pub const CAUTIONS: [&str; 4] = [
    "The years of the record say what winters were like; they are no forecast of this one. Read the level every day and run this again.",
    "Stock without water is harmed within a day or two. Arrange a haul, and a way in for it through snow and mud, before it is needed; \
     brought water must be fit for stock.",
    "Panels are live in daylight, roofs and ladders are slippery in snow: sweep from the ground, with a soft tool that does not conduct.",
    "Local codes and licensed professionals decide on any work on the well, the pump and the wiring.",
];

/// All that the page tells.
#[derive(Debug)]
pub struct Page<'a> {
    /// The scheme's file.
    pub file: &'a str,
    /// The scheme.
    pub plan: &'a Plan,
    /// Date and levels.
    pub today: &'a Today,
    /// As the scheme is written.
    pub written: &'a Ahead,
    /// With panels that are swept; `None` where the scheme and the record have no snow.
    pub swept: Option<&'a Ahead>,
    /// With snow on the panels for so many days from today; `None` where that is not asked.
    pub under_snow: Option<(usize, &'a Ahead)>,
    /// Days from the order of a haul to the water in the tank.
    pub notice_days: usize,
    /// What one load brings, m³, above 0.
    pub load_m3: Option<f64>,
    /// Units of the page.
    pub system: System,
}

/// When water must be ordered.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(crate) enum Order {
    /// By a day ahead, by its place: 0 is today.
    By(usize),
    /// Ordered today it comes so many days too late.
    Late(usize),
}

/// A case that is set beside the others.
pub(crate) struct Case<'a> {
    /// What it is.
    pub(crate) name: String,
    /// What came of it.
    pub(crate) found: &'a Ahead,
}

impl<'a> Page<'a> {
    /// The cases in the order of the page.
    pub(crate) fn cases(&self) -> Vec<Case<'a>> {
        let mut cases = vec![Case { name: "as the scheme says".to_owned(), found: self.written }];
        cases.extend(self.swept.map(|found| Case { name: "panels swept".to_owned(), found }));
        cases.extend(self.under_snow.map(|(days, found)| Case {
            name: format!("{} under snow", counted(small(days), "day")),
            found,
        }));
        cases
    }

    /// Water that stands in all tanks, m³.
    pub(crate) fn level_m3(&self) -> f64 {
        self.today.levels_m3.iter().sum()
    }

    /// A volume in the unit of the tables.
    fn volume(&self, m3: f64) -> String {
        let unit = column_unit(Quantity::Volume, self.system);
        format!("{} {unit}", column_number(m3, Quantity::Volume, self.system))
    }

    /// Loads of a haul: whole ones.
    pub(crate) fn loads(&self, m3: f64) -> Option<u32> {
        let load_m3 = self.load_m3?;
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "a cast ends at the type's end"
        )]
        let loads = libm::ceil(m3 / load_m3 - 1e-9) as u32;
        Some(loads)
    }

    /// When a haul for a day must be ordered, so that it is in the tank on the day before.
    pub(crate) fn order(&self, day: usize) -> Order {
        match day.checked_sub(1 + self.notice_days) {
            Some(place) => Order::By(place),
            None => Order::Late(1 + self.notice_days - day),
        }
    }
}

/// The page.
#[must_use]
pub fn page(p: &Page<'_>) -> String {
    let mut out = String::new();
    wrap(&mut out, "", &answer(p));
    let _ = writeln!(out, "\nDAYS AHEAD  {}", p.file);
    for (tank, level_m3) in p.plan.tanks().zip(&p.today.levels_m3) {
        let full = p.volume(tank.full_m3());
        line(&mut out, "tank", &format!("{}: {} of {full}", tank.name, p.volume(*level_m3)));
    }
    let last = p.today.on.later(p.today.days.saturating_sub(1));
    line(
        &mut out,
        "days",
        &format!("{} to {}, {} days", day_month(p.today.on), day_month(last), p.today.days),
    );
    line(&mut out, "years", &years_words(p.written));
    if !p.today.forecast_kwh_per_m2.is_empty() {
        let days = p.today.forecast_kwh_per_m2.len();
        let text = format!(
            "the first {days} days have the sun of the forecast given, taken as certain: for each the day of the record, within 15 days \
             of its date, whose sun is nearest, scaled to it"
        );
        line(&mut out, "forecast", &text);
    }
    if p.plan.backup.is_some() {
        line(&mut out, "backup", "left out: this page says when it is needed");
    }
    short(&mut out, p);
    levels(&mut out, p);
    hauls(&mut out, p);
    out.push_str("\nCAUTIONS\n");
    for text in CAUTIONS {
        wrap_to(&mut out, "  - ", "    ", text);
    }
    out
}

/// The answer in a sentence or two.
pub(crate) fn answer(p: &Page<'_>) -> String {
    let (years, short) = (p.written.years.len(), p.written.short_within(p.today.days));
    let start = format!("From {} on {}", p.volume(p.level_m3()), day_month(p.today.on));
    let ahead = format!("within {} days", p.today.days);
    let of = of_years(p.written);
    let Some((at, first)) = first_short(p.written) else {
        let lowest = p.written.driest().and_then(YearAhead::lowest).map_or(0.0, |(_, m3)| m3);
        let none = if years == 1 {
            format!("does not go short {ahead} in {of}")
        } else {
            format!("goes short {ahead} in none of {of}")
        };
        return format!("{start} the herd {none}; the lowest level is {}.", p.volume(lowest));
    };
    let when = first.date(at);
    let all = if years == 1 { "" } else { " to be safe in every one of them" };
    let order = hauled(p.written).map(|(at, _)| match p.order(at) {
        Order::By(0) => format!(" Order water today{all}."),
        Order::By(place) => format!(" Order water by {}{all}.", day_month(p.today.on.later(place))),
        Order::Late(_) if years == 1 => " Order water now: it comes too late.".to_owned(),
        Order::Late(_) => " Order water now: in the driest it would come too late.".to_owned(),
    });
    let order = order.unwrap_or_else(|| " No haul mends that: the tank has water.".to_owned());
    let share = if years == 1 { format!("in {of}") } else { format!("in {short} of {of}") };
    let earliest = if short == 1 { "on" } else { "the earliest on" };
    format!("{start} the herd goes short {ahead} {share}, {earliest} {}.{order}", day_of(when, years))
}

/// The earliest first day of shortfall, and its year.
pub(crate) fn first_short(found: &Ahead) -> Option<(usize, &YearAhead)> {
    found.years.iter().filter_map(|year| Some((year.first_short()?, year))).min_by_key(|(at, _)| *at)
}

/// The earliest day before which a haul must be there, and its year.
pub(crate) fn hauled(found: &Ahead) -> Option<(usize, &YearAhead)> {
    found.years.iter().filter_map(|year| Some((year.hauls.first()?.day, year))).min_by_key(|(at, _)| *at)
}

fn of_years(found: &Ahead) -> String {
    let kind = match found.kind {
        YearKind::Calendar => "of the record",
        YearKind::Typical => "stitched from typical months",
        YearKind::Synthetic => "made by a generator",
        YearKind::Projected => "of the projection",
    };
    match found.years.len() {
        1 => format!("the one year {kind}"),
        years => format!("{years} years {kind}"),
    }
}

/// Which years, and what they do not allow to say.
fn years_words(found: &Ahead) -> String {
    let named = |year: Option<&YearAhead>| year.map_or_else(String::new, |year| year.first.year.to_string());
    let (first, last) = (named(found.years.first()), named(found.years.last()));
    let mut text = of_years(found);
    if first != last {
        let _ = write!(text, ", begun in {first} to {last}");
    }
    if found.left_out > 0 {
        let years = counted(small(found.left_out), "year");
        let _ = write!(text, "; {years} left out: the record ends before the last day ahead");
    }
    text + match found.kind {
        YearKind::Typical => "; extremes are left out of such a year by construction, so it tells no chance",
        YearKind::Synthetic => "; made years are no evidence of how often, so they tell no chance",
        YearKind::Projected => "; a scenario, not what was measured, so it tells no chance",
        YearKind::Calendar if found.years.len() < FEWEST_YEARS as usize => {
            "; with fewer than ten the count alone is told, no chance"
        }
        YearKind::Calendar => "",
    }
}

/// Within which days the tables count: those of the list that lie ahead, and the last.
pub(crate) fn within(days: usize) -> Vec<usize> {
    let mut within: Vec<usize> = WITHIN_DAYS.into_iter().filter(|n| *n < days).collect();
    within.push(days);
    within
}

fn short(out: &mut String, p: &Page<'_>) {
    let within = within(p.today.days);
    let _ = writeln!(out, "\nYEARS WITH A DAY OF SHORTFALL  of {}", p.written.years.len());
    let mut header = vec!["within".to_owned()];
    header.extend(within.iter().map(|days| format!("{days} days")));
    header.push("earliest".to_owned());
    let mut rows = vec![header];
    for case in p.cases() {
        let mut row = vec![case.name];
        row.extend(within.iter().map(|days| case.found.short_within(*days).to_string()));
        row.push(
            first_short(case.found).map_or_else(|| "-".to_owned(), |(at, _)| day_month(p.today.on.later(at))),
        );
        rows.push(row);
    }
    table(out, &rows);
    let chances: Vec<String> = within
        .iter()
        .filter_map(|days| {
            let Interval { low, high } = p.written.chance(*days, Level::default())?;
            Some(format!("{days} days: {:.0} to {:.0} %", 100.0 * low, 100.0 * high))
        })
        .collect();
    if !chances.is_empty() {
        let text = format!(
            "95 % interval for the chance, by the years alone (Clopper and Pearson): {}",
            chances.join("; ")
        );
        wrap(out, "  ", &text);
    }
    if let Some((days, _)) = p.under_snow {
        let text = format!(
            "under snow: it lies on all panels for the first {days} days and nobody sweeps, whatever the weather; then as the scheme says"
        );
        wrap(out, "  ", &text);
    }
    if p.swept.is_some() {
        wrap(out, "  ", "swept: no snow lies on any panel at any time");
    }
}

fn levels(out: &mut String, p: &Page<'_>) {
    let unit = column_unit(Quantity::Volume, p.system);
    let _ = writeln!(out, "\nLOWEST LEVEL OF THE DAY  {unit}, all years; as the scheme says");
    let one = p.written.years.len() == 1;
    let enough = p.written.years.len() >= FEWEST_YEARS as usize;
    let mut header = vec![String::new()];
    header.extend(
        match (one, enough) {
            (true, _) => vec!["level"],
            (false, false) => vec!["least", "middle", "most"],
            (false, true) => vec!["least", "1 in 10 below", "half below", "9 in 10 below", "most"],
        }
        .into_iter()
        .map(str::to_owned),
    );
    let mut rows = vec![header];
    let last = p.today.days.saturating_sub(1);
    let mut places: Vec<usize> =
        (0..p.today.days).filter(|at| *at == 0 || (at + 1) % LISTED_DAYS == 0).collect();
    if places.last() != Some(&last) {
        places.push(last);
    }
    for at in places {
        let Some(fan) = p.written.fan(at) else { continue };
        let number = |m3: f64| column_number(m3, Quantity::Volume, p.system);
        let mut row = vec![day_month(p.today.on.later(at))];
        match (one, fan.tenth.zip(fan.ninth)) {
            (true, _) => row.push(number(fan.least)),
            (false, None) => row.extend([fan.least, fan.middle, fan.most].map(number)),
            (false, Some((tenth, ninth))) => {
                row.extend([fan.least, tenth, fan.middle, ninth, fan.most].map(number));
            }
        }
        rows.push(row);
    }
    table(out, &rows);
}

fn hauls(out: &mut String, p: &Page<'_>) {
    let notice = counted(small(p.notice_days), "day");
    let _ =
        writeln!(out, "\nWATER TO BRING  ordered {notice} ahead, in the tank the day before it is needed");
    for case in p.cases() {
        wrap(out, "  ", &haul_words(p, &case));
    }
    if p.written.years.iter().any(YearAhead::beyond_hauls) {
        wrap(
            out,
            "  ",
            "Some days are short though the tank has water: pipes, frost or the booster's battery keep it back, and no haul mends \
             that (`dryspell run` names the cause).",
        );
    }
    let mut dry: Vec<&YearAhead> = p.written.years.iter().filter(|year| !year.hauls.is_empty()).collect();
    if dry.is_empty() {
        return;
    }
    let all = dry.len();
    // The driest, shown in the order of the record.
    dry.sort_by(|a, b| b.haul_m3().total_cmp(&a.haul_m3()));
    dry.truncate(MOST_LISTED);
    dry.sort_by_key(|year| (year.first.year, year.first.month, year.first.day));
    let unit = column_unit(Quantity::Volume, p.system);
    let mut header = ["year from", "first short", "days short", "order by", "to bring", "hauls"]
        .map(str::to_owned)
        .to_vec();
    let mut units = ["", "", "", "", unit, ""].map(str::to_owned).to_vec();
    if p.load_m3.is_some() {
        header.push("loads".to_owned());
        units.push(String::new());
    }
    let mut rows = vec![header, units];
    for year in &dry {
        let first = year.first_short().map_or_else(String::new, |at| day_month(year.date(at).month_day()));
        let order = year.hauls.first().map(|haul| p.order(haul.day));
        let mut row = vec![
            year.first.year.to_string(),
            first,
            year.short_days().to_string(),
            match order {
                Some(Order::By(place)) => day_month(year.date(place).month_day()),
                Some(Order::Late(days)) => format!("{} late", counted(small(days), "day")),
                None => String::new(),
            },
            column_number(year.haul_m3(), Quantity::Volume, p.system),
            year.hauls.len().to_string(),
        ];
        if p.load_m3.is_some() {
            let loads: u32 = year.hauls.iter().filter_map(|haul| p.loads(haul.m3)).sum();
            row.push(loads.to_string());
        }
        rows.push(row);
    }
    table(out, &rows);
    if all > dry.len() {
        let _ = writeln!(out, "  the {} driest of {all} years that need water", dry.len());
    }
}

/// What a case needs, in a sentence.
fn haul_words(p: &Page<'_>, case: &Case<'_>) -> String {
    let name = capital(&case.name);
    let Some((earliest, _)) = hauled(case.found) else {
        let years = if case.found.years.len() == 1 { "" } else { " in any year" };
        return format!("{name}: nothing to bring{years}.");
    };
    let Some(driest) = case.found.driest() else { return String::new() };
    let (first, rest) = match driest.hauls.split_first() {
        Some((first, rest)) => (*first, rest.len()),
        None => return String::new(),
    };
    let loads = p.loads(first.m3).map_or_else(String::new, |n| format!(" ({})", counted(n, "load")));
    let more = if rest == 0 {
        String::new()
    } else {
        let rest = counted(small(rest), "haul");
        format!("; with {rest} more {} in all", p.volume(driest.haul_m3()))
    };
    let one = case.found.years.len() == 1;
    let whose =
        if one { String::new() } else { format!(" in a year like {}, the driest,", driest.first.year) };
    let there = day_month(driest.date(first.day.saturating_sub(1)).month_day());
    let (when, there) = match p.order(first.day) {
        Order::By(0) => ("today".to_owned(), format!(", to be there on {there}")),
        Order::By(place) => {
            (format!("by {}", day_month(p.today.on.later(place))), format!(", to be there on {there}"))
        }
        Order::Late(days) => {
            let late = counted(small(days), "day");
            ("now".to_owned(), format!(": it should be there on {there} and comes {late} too late"))
        }
    };
    let volume = p.volume(first.m3);
    let mut text = format!("{name}:{whose} order {volume}{loads} {when}{there}{more}.");
    if earliest < first.day {
        let by = match p.order(earliest) {
            Order::By(place) => format!("by {}", day_month(p.today.on.later(place))),
            Order::Late(_) => "now".to_owned(),
        };
        let _ = write!(text, " In another year it must be ordered {by}.");
    }
    text
}

/// A number of days, years or hauls.
fn small(n: usize) -> u32 {
    u32::try_from(n).unwrap_or(u32::MAX)
}

fn capital(text: &str) -> String {
    let mut letters = text.chars();
    letters.next().map_or_else(String::new, |first| first.to_uppercase().chain(letters).collect())
}

/// A date with its year where there are several.
fn day_of(day: Day, years: usize) -> String {
    let date = day_month(day.month_day());
    if years == 1 { date } else { format!("{date} {}", day.year) }
}
