//! The words of When?: times, nights, bearings, and what a night offers.
//!
//! A window is told a minute shorter rather than longer at either end.

use chrono::{Datelike, NaiveDate};

use super::shown::{Shown, days_of};
use super::words::{self, degrees_to};
use crate::angle::Angle;
use crate::decimal::{fixed, plain};
use crate::land::ridge::RidgeLine;
use crate::outing::clock::Local;
use crate::outing::evening::{Edge, Reading, Window, Without};
use crate::outing::limits::{DarknessLimit, HARMLESS_MAG, Limits, MoonLimit};
use crate::outing::plan::Outing;
use crate::outing::season::Brief;
use crate::outing::site::{Site, offset};

const MONTHS: [&str; 12] = [
    "January",
    "February",
    "March",
    "April",
    "May",
    "June",
    "July",
    "August",
    "September",
    "October",
    "November",
    "December",
];

/// Between a number and its unit: a space at which no line breaks.
const GAP: &str = "\u{a0}";

/// A Moon below the horizon is told to cost something from here on, magnitudes.
const LEAST_COST_MAG: f64 = 0.05;

/// Half a minute, days: what rounding to the minute may add.
const HALF_MINUTE: f64 = 0.5 / 1440.0;

/// A month in three letters.
pub fn month(date: NaiveDate) -> &'static str {
    MONTHS[date.month0() as usize % 12]
        .get(..3)
        .unwrap_or_default()
}

/// A clock time: `23:05`.
pub fn time(local: Local) -> String {
    format!("{:02}:{:02}", local.hour, local.minute)
}

/// An offset from UTC: `UTC+5:30`.
pub fn utc(offset_min: i32) -> String {
    format!("UTC{}", offset(offset_min).replace('-', "−"))
}

/// Both dates of a night: `14–15 June 2026`.
pub fn night(date: NaiveDate) -> String {
    let next = date.succ_opt().unwrap_or(date);
    let month = |date: NaiveDate| MONTHS[date.month0() as usize % 12];
    let (day, day_after, year) = (date.day(), next.day(), next.year());
    if date.year() != year {
        format!(
            "{day} {} {}–{day_after} {} {year}",
            month(date),
            date.year(),
            month(next)
        )
    } else if date.month() != next.month() {
        format!("{day} {}–{day_after} {} {year}", month(date), month(next))
    } else {
        format!("{day}–{day_after} {} {year}", month(date))
    }
}

/// The same, short: `14–15 Jun`.
pub fn night_short(date: NaiveDate) -> String {
    let next = date.succ_opt().unwrap_or(date);
    if date.month() == next.month() {
        format!("{}–{} {}", date.day(), next.day(), month(date))
    } else {
        format!(
            "{} {}–{} {}",
            date.day(),
            month(date),
            next.day(),
            month(next)
        )
    }
}

/// A bearing by its sixteen-point name: `SSE`.
pub fn compass(bearing: Angle) -> &'static str {
    const POINTS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    POINTS[(bearing.degrees() / 22.5).round() as usize % 16]
}

/// A bearing in degrees and by name: `157° SSE`.
pub fn bearing(bearing: Angle) -> String {
    format!(
        "{}° {}",
        fixed(bearing.degrees().round() % 360.0, 0),
        compass(bearing)
    )
}

/// A length of time: `3 h 28 min`.
pub fn length(minutes: f64) -> String {
    let minutes = minutes.floor() as u32;
    match (minutes / 60, minutes % 60) {
        (0, rest) => format!("{rest} min"),
        (hours, 0) => format!("{hours} h"),
        (hours, rest) => format!("{hours} h {rest} min"),
    }
}

/// The ends of a window by the site's clock, each rounded inwards.
pub fn ends(shown: &Shown, window: &Window) -> (String, String) {
    let at = |days: f64| time(shown.local(days));
    (
        at(window.span.start + HALF_MINUTE),
        at(window.span.end - HALF_MINUTE),
    )
}

/// Why a window opens.
fn opens(edge: Edge, outing: &Outing) -> String {
    match edge {
        Edge::Twilight => "when it is dark".to_owned(),
        Edge::Ridge if is_flat(outing) => "when the core rises".to_owned(),
        Edge::Ridge => "when the core clears the ridge".to_owned(),
        Edge::LeastHeight => format!("when the core is {} up", least(&outing.limits)),
        Edge::Moon => "when the Moon is down".to_owned(),
        Edge::MoonCost => "when the Moon is OK".to_owned(),
        Edge::Noon => "from the night's first noon".to_owned(),
    }
}

/// Why it closes.
fn closes(edge: Edge, outing: &Outing) -> String {
    match edge {
        Edge::Twilight => "when it gets light".to_owned(),
        Edge::Ridge if is_flat(outing) => "when the core sets".to_owned(),
        Edge::Ridge => "when the core goes behind the ridge".to_owned(),
        Edge::LeastHeight => format!("when the core sinks below {}", least(&outing.limits)),
        Edge::Moon => "when the Moon rises".to_owned(),
        Edge::MoonCost => "when the Moon gets too bright".to_owned(),
        Edge::Noon => "to the night's second noon".to_owned(),
    }
}

/// Whether nobody has drawn a ridge.
fn is_flat(outing: &Outing) -> bool {
    outing.site.ridge == RidgeLine::default()
}

/// The least height of the core.
pub fn least(limits: &Limits) -> String {
    plain(limits.least_core.degrees()) + "°"
}

/// Why a window opens and closes, how long it is, and what its light is worth.
pub fn window(window: &Window, outing: &Outing) -> String {
    let (opens, closes) = (opens(window.opens, outing), closes(window.closes, outing));
    format!(
        "{}, {}: {opens} to {closes}",
        length(window.span.minutes()),
        worth(window.equivalent_h)
    )
}

/// What light is worth: `0.34 equivalent hours`, never more than it is.
pub fn worth(equivalent_h: f64) -> String {
    let places = if equivalent_h < 1.0 { 2 } else { 1 };
    let steps = if equivalent_h < 1.0 { 100.0 } else { 10.0 };
    let told = fixed((equivalent_h * steps).floor() / steps, places);
    format!("{told}{GAP}equivalent hours")
}

/// What equivalent hours are.
pub const EQUIVALENT: &str = "Equivalent hours: the time weighted by what the air leaves of the \
                              core, squared, over how bright Moon and twilight make its sky.";

/// The night in a sentence that can be read aloud.
pub fn sentence(shown: &Shown, outing: &Outing) -> String {
    let Some(window) = shown.evening.best() else {
        return no_window(shown, outing);
    };
    let best_at = shown.evening.best_at;
    let core = shown.watch.reading(shown.date, best_at).core;
    let height = degrees_to(shown.watch.apparent(core).0, 0);
    let (start, end) = ends(shown, &window);
    let others = shown.evening.usable.windows.len() - 1;
    let more = match others {
        0 => String::new(),
        1 => " There is one more, worth less.".to_owned(),
        _ => format!(" There are {others} more, worth less."),
    };
    format!(
        "From {start}, {}, to {end}, {}: {}, {}. The light is best at {}: core {height} up, \
         {}.{more}",
        opens(window.opens, outing),
        closes(window.closes, outing),
        length(window.span.minutes()),
        worth(window.equivalent_h),
        time(shown.local(best_at)),
        bearing(core.bearing),
    )
}

/// Why the night shown is of no use, and what would help.
pub fn no_window(shown: &Shown, outing: &Outing) -> String {
    let why = shown.evening.usable.without;
    let why = why.map(|why| without(why, &outing.limits));
    let mut said = why.unwrap_or_default();
    if let Some((darkness, minutes)) = shown.less_darkness {
        let more = format!(
            " At {}° there would be {}.",
            darkness.degrees(),
            length(minutes)
        );
        said += &more;
    }
    said
}

/// Why a night is of no use.
pub fn without(why: Without, limits: &Limits) -> String {
    match why {
        Without::NeverRises => {
            "The core never rises here: this site lies too far north.".to_owned()
        }
        Without::BehindRidge => "The core stays behind the ridge all night.".to_owned(),
        Without::LeastHeight => {
            format!("The core is under your least height of {}.", least(limits))
        }
        Without::NotDark => format!("No darkness at {}°.", limits.darkness.degrees()),
        Without::CoreByDay => "The core is up only in daylight and twilight.".to_owned(),
        Without::Moon if limits.moon == MoonLimit::None => {
            "The Moon is up all the while the core is.".to_owned()
        }
        Without::Moon => "The Moon is too bright all the while the core is up.".to_owned(),
    }
}

/// The same in a word or two, for a list.
pub const fn without_short(why: Without) -> &'static str {
    match why {
        Without::NeverRises => "core never rises",
        Without::BehindRidge => "core behind ridge",
        Without::LeastHeight => "core too low",
        Without::NotDark => "no darkness",
        Without::CoreByDay => "core by day",
        Without::Moon => "Moon",
    }
}

/// A limit for the Moon and what it means.
pub fn moon_limit(limit: MoonLimit) -> (&'static str, String) {
    match limit {
        MoonLimit::Any => ("any Moon", "it may stand anywhere".to_owned()),
        MoonLimit::Harmless => (
            "Moon OK",
            format!("it costs {} mag at most", fixed(HARMLESS_MAG, 1)),
        ),
        MoonLimit::None => ("no Moon", "it is below the horizon".to_owned()),
    }
}

/// The clock, and what becomes of it in the night.
pub fn clock(shown: &Shown) -> String {
    let clock = &shown.clock;
    if clock.unknown {
        return "Times in UTC: this browser does not know the site's zone.".to_owned();
    }
    match clock.change {
        None => format!("Times at the site, {}.", utc(clock.offset_min)),
        Some((when, after)) => {
            let before = clock.local(when.plus_s(-60.0));
            let now = clock.local(when.plus_s(1.0));
            let whole = u32::from(before.minute == 59);
            let before = Local {
                hour: (before.hour + whole) % 24,
                minute: (before.minute + 1) % 60,
                ..before
            };
            format!(
                "The clocks change tonight: at {} they go to {} ({} to {}).",
                time(before),
                time(now),
                utc(clock.offset_min),
                utc(after),
            )
        }
    }
}

/// A height with a true minus.
fn high(angle: Angle) -> String {
    let text = degrees_to(angle, 0);
    match text.strip_prefix('−') {
        Some("0°") => "0°".to_owned(),
        Some(down) => format!("{down} down"),
        None => format!("{text} up"),
    }
}

/// The core at the minute looked at.
pub fn core_now(shown: &Shown) -> String {
    let core = shown.reading.core;
    format!(
        "core {}, {}",
        high(shown.watch.apparent(core).0),
        bearing(core.bearing)
    )
}

/// The Moon at the minute looked at.
pub fn moon_now(shown: &Shown) -> String {
    let Reading {
        moon,
        lit,
        moon_cost,
        ..
    } = shown.reading;
    // a cost is told rather too high than too low
    let tenths = moon_cost.map(|cost| (cost * 10.0).ceil() / 10.0);
    let costs = |tenths: f64| format!(", costs {}{GAP}mag", fixed(tenths, 1));
    let at = days_of(shown.minute);
    if !shown.evening.moon_up.0.iter().any(|span| span.holds(at)) {
        // its light comes before it and stays after it
        return match moon_cost.filter(|cost| *cost >= LEAST_COST_MAG) {
            Some(_) => format!("Moon just down{}", tenths.map(costs).unwrap_or_default()),
            None => "Moon down".to_owned(),
        };
    }
    let cost = tenths.map(costs);
    format!(
        "Moon {} {}, {} % lit{}",
        high(shown.watch.apparent(moon).0),
        compass(moon.bearing),
        fixed(lit * 100.0, 0),
        cost.unwrap_or_default()
    )
}

/// Sun and sky at the minute looked at.
pub fn sky_now(shown: &Shown) -> String {
    let Reading {
        sun,
        sky,
        moon_cost,
        ..
    } = shown.reading;
    // while the core is down nothing is told of it, and the sky is that overhead
    let overhead = moon_cost.map_or("overhead ", |_| "");
    let up = sun.altitude.0 > Angle::ZERO;
    let sun = high(sun.altitude.0);
    match sky.and_then(|sky| sky.magnitude()) {
        Some(magnitude) => format!("Sun {sun} · sky {overhead}{}{GAP}mag", fixed(magnitude, 1)),
        None if up => format!("Sun {sun} · daylight"),
        None => format!("Sun {sun} · bright twilight"),
    }
}

/// A darkness limit and what it means.
pub fn darkness_limit(limit: DarknessLimit) -> (&'static str, &'static str) {
    match limit {
        DarknessLimit::Down18 => ("18°", "full darkness"),
        DarknessLimit::Down15 => ("15°", "a last glow"),
        DarknessLimit::Down12 => ("12°", "nautical twilight"),
    }
}

/// What the window asks for, in a line.
pub fn allowed(outing: &Outing) -> String {
    let limits = &outing.limits;
    let high = match limits.least_core {
        Angle::ZERO => String::new(),
        _ => format!(" and {} up", least(limits)),
    };
    format!(
        "core {}{high} · Sun {}° down · {}",
        over_what(outing, "over the flat horizon"),
        limits.darkness.degrees(),
        moon_limit(limits.moon).0
    )
}

/// What stands over what, for a title.
pub fn allowed_short(outing: &Outing) -> String {
    over_what(outing, "over the horizon")
}

fn over_what(outing: &Outing, flat: &str) -> String {
    let ridge = &outing.site.ridge;
    match ridge.sightings().len() {
        0 if ridge.all_round() == Angle::ZERO => flat.to_owned(),
        0 => {
            let what = if ridge.all_round() < Angle::ZERO {
                "a horizon"
            } else {
                "a ridge"
            };
            let height = words::skyline_height(ridge.all_round());
            format!("over {what} {height}")
        }
        _ => "over the skyline".to_owned(),
    }
}

/// A site's latitude and longitude.
pub fn coordinates(site: &Site) -> String {
    let angle = |angle: Angle, sides: [&str; 2]| {
        let side = sides[usize::from(angle < Angle::ZERO)];
        format!("{}° {side}", fixed(angle.degrees().abs(), 2))
    };
    format!(
        "{} {}",
        angle(site.latitude, ["N", "S"]),
        angle(site.longitude, ["E", "W"])
    )
}

/// A site in a line.
pub fn site(site: &Site) -> String {
    let place = coordinates(site);
    if site.name.is_empty() {
        place
    } else {
        format!("{} · {place}", site.name)
    }
}

/// A night of the season in a line: minutes and why, or why not.
pub fn brief(night: &Brief) -> String {
    match (night.best, night.without) {
        (Some(_), _) => format!("{}, {}", length(night.minutes), worth(night.equivalent_h)),
        (None, Some(why)) => without_short(why).to_owned(),
        (None, None) => String::new(),
    }
}
