//! The words of When?: times, nights, bearings, and what a night offers.
//!
//! A window is told a minute shorter rather than longer at either end.

use chrono::{Datelike, NaiveDate};

use super::shown::{Shown, days_of};
use super::words::{self, degrees_to};
use crate::angle::Angle;
use crate::decimal::fixed;
use crate::outing::clock::Local;
use crate::outing::evening::{Edge, HARMLESS_MAG, Reading, Window, Without};
use crate::outing::plan::{MoonLimit, Outing};
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
const fn opens(edge: Edge) -> &'static str {
    match edge {
        Edge::Twilight => "when it is dark",
        Edge::Ridge => "when the core clears the ridge",
        Edge::Moon => "when the Moon is down",
        Edge::MoonCost => "when the Moon turns harmless",
        Edge::Noon => "from the night's first noon",
    }
}

/// Why it closes.
const fn closes(edge: Edge) -> &'static str {
    match edge {
        Edge::Twilight => "when it gets light",
        Edge::Ridge => "when the core goes behind the ridge",
        Edge::Moon => "when the Moon rises",
        Edge::MoonCost => "when the Moon gets too bright",
        Edge::Noon => "to the night's second noon",
    }
}

/// Why a window opens and closes, and how long it is.
pub fn window(window: &Window) -> String {
    let (opens, closes) = (opens(window.opens), closes(window.closes));
    [&length(window.span.minutes()), ": ", opens, " to ", closes].concat()
}

/// The night in a sentence that can be read aloud.
pub fn sentence(shown: &Shown, outing: &Outing) -> String {
    let Some(window) = shown.evening.best() else {
        let why = shown.evening.without.map_or("", |why| without(why, outing));
        return why.to_owned();
    };
    let night = shown.watch.night(shown.date);
    let top = shown.evening.best_moment(&night);
    let core = shown.watch.reading(shown.date, top).core;
    let height = degrees_to(shown.watch.apparent(core).0, 0);
    let (start, end) = ends(shown, &window);
    let others = shown.evening.windows.len() - 1;
    let more = match others {
        0 => String::new(),
        1 => " There is one more, shorter.".to_owned(),
        _ => format!(" There are {others} more, shorter."),
    };
    format!(
        "From {start}, {}, to {end}, {}: {}. The core stands highest at {}: {height} up, {}.{more}",
        opens(window.opens),
        closes(window.closes),
        length(window.span.minutes()),
        time(shown.local(top)),
        bearing(core.bearing),
    )
}

/// Why a night is of no use.
pub const fn without(why: Without, outing: &Outing) -> &'static str {
    match (why, outing.moon) {
        (Without::NeverRises, _) => "The core never rises here: this site lies too far north.",
        (Without::BehindRidge, _) => "The core stays behind the ridge all night.",
        (Without::NotDark, _) => "No dark hours: the Sun is never 18° down.",
        (Without::CoreByDay, _) => "The core is over the ridge by day and twilight only.",
        (Without::Moon, MoonLimit::None) => "The Moon is up all the while the core is.",
        (Without::Moon, _) => "The Moon is too bright all the while the core is up.",
    }
}

/// The same in a word or two, for a list.
pub const fn without_short(why: Without) -> &'static str {
    match why {
        Without::NeverRises => "core never rises",
        Without::BehindRidge => "core behind ridge",
        Without::NotDark => "no dark hours",
        Without::CoreByDay => "core by day",
        Without::Moon => "Moon",
    }
}

/// A limit for the Moon and what it means.
pub fn moon_limit(limit: MoonLimit) -> (&'static str, String) {
    match limit {
        MoonLimit::Any => ("any Moon", "it may stand anywhere".to_owned()),
        MoonLimit::Harmless => (
            "harmless",
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
    let at = days_of(shown.minute);
    if !shown.evening.moon_up.0.iter().any(|span| span.holds(at)) {
        return "Moon down".to_owned();
    }
    let cost = moon_cost.map(|cost| {
        // a cost is told rather too high than too low
        format!(", costs {}{GAP}mag", fixed((cost * 10.0).ceil() / 10.0, 1))
    });
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

/// What the window asks for, in a line.
pub fn allowed(outing: &Outing) -> String {
    let ridge = over_what(outing, "over the flat horizon");
    let moon = match outing.moon {
        MoonLimit::Any => "whatever the Moon does",
        MoonLimit::Harmless => "Moon harmless",
        MoonLimit::None => "Moon down",
    };
    format!("core {ridge} · {moon}")
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
        (Some(_), _) => length(night.minutes),
        (None, Some(why)) => without_short(why).to_owned(),
        (None, None) => String::new(),
    }
}
