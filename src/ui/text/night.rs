//! The words of When?: times, nights, bearings, and where things stand.

use chrono::{Datelike, NaiveDate};

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::outing::night::local_time::{Local, Rounding};
use crate::outing::night::moon_verdict::MoonVerdict;
use crate::outing::night::site_sky::SkyReading;
use crate::outing::night::status::{CoreStanding, WindowStatus};
use crate::outing::plan::site::{Site, offset};
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::subject::capitalised;
use crate::ui::text::units::{GAP, degrees_to, latitude};

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

/// A Moon below the horizon is told to cost something from here on, magnitudes.
const LEAST_COST_MAG: f64 = 0.05;

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

/// An hour of a scale: `23`.
pub fn hour(local: Local) -> String {
    format!("{:02}", local.hour)
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

/// The same, with its year where the reader would take it for another night: from half a year after the
/// present one on, or before it.
pub fn night_from(date: NaiveDate, tonight: NaiveDate) -> String {
    const NEAR_DAYS: i64 = 182;
    if (0..NEAR_DAYS).contains(&(date - tonight).num_days()) {
        night_short(date)
    } else {
        format!("{} {}", night_short(date), date.year())
    }
}

/// The evening of a night: `14 Jun`.
pub fn evening(date: NaiveDate) -> String {
    format!("{} {}", date.day(), month(date))
}

/// A bearing by its sixteen-point name: `SSE`.
pub fn compass(bearing: Angle) -> &'static str {
    const POINTS: [&str; 16] = [
        "N", "NNE", "NE", "ENE", "E", "ESE", "SE", "SSE", "S", "SSW", "SW", "WSW", "W", "WNW",
        "NW", "NNW",
    ];
    POINTS[(bearing.degrees() / 22.5).round() as usize % 16]
}

/// A bearing in degrees and by name: `157° (SSE)`.
pub fn bearing(bearing: Angle) -> String {
    format!(
        "{}° ({})",
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

/// The clock, and what becomes of it in the night.
pub fn clock(selected: &SelectedNight) -> String {
    let clock = &selected.night.clock;
    if clock.unknown {
        return "Times in UTC: this browser does not know the site's zone.".to_owned();
    }
    match clock.change {
        None => {
            let whose = if selected.night.clock_is_the_sites {
                "at the site"
            } else {
                "by this phone's clock"
            };
            format!("Times {whose}, {}.", utc(clock.offset_min))
        }
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

/// What stands at the clock: whether its time is the present or a planned one.
pub const fn now_or_planned(selected: &SelectedNight) -> &'static str {
    if selected.live { "now" } else { "planned" }
}

/// A short length of time: `3 h 06`, `48 min`.
pub fn length_short(minutes: u32) -> String {
    match minutes / 60 {
        0 => format!("{minutes}{GAP}min"),
        hours => format!("{hours}{GAP}h{GAP}{:02}", minutes % 60),
    }
}

/// How things stand at the minute looked at: `Core now 14° at 171° (S), above the ridge, 3 h 06
/// left`; `ridge` tells whether there is one.
pub fn status(selected: &SelectedNight, ridge: bool) -> String {
    let status = selected.status();
    let mut message = capitalised(selected.night.subject);
    if selected.live {
        message += " now";
    }
    message += &format!(" {}", stands(selected));
    message += match status.standing {
        CoreStanding::Clear if ridge => ", above the ridge",
        CoreStanding::BehindRidge => ", behind the ridge",
        CoreStanding::Down => ", below the horizon",
        CoreStanding::Clear => "",
    };
    match status.window {
        WindowStatus::Open(minutes) => message += &format!(", {} left", length_short(minutes)),
        WindowStatus::OpensIn(minutes) => {
            message += &format!(", window in {}", length_short(minutes));
        }
        WindowStatus::Over => message += ", window over",
        WindowStatus::None => message += ", no window",
    }
    message
}

/// Where the subject stands at the minute looked at: `14° at 171° (S)`.
pub fn stands(selected: &SelectedNight) -> String {
    let core = selected.reading.core;
    let altitude = selected.night.site_sky.apparent_altitude(core).0;
    format!("{} at {}", degrees_to(altitude, 0), bearing(core.bearing))
}

/// The Moon over the window: `Moonless until 02:19`.
pub fn moon_verdict(verdict: MoonVerdict, selected: &SelectedNight) -> String {
    let at = |up: bool, at: f64| {
        let rounding = Rounding::of_crossing(true, up);
        time(selected.event(at, rounding))
    };
    match verdict {
        MoonVerdict::Moonless => "Moonless".to_owned(),
        MoonVerdict::MoonlessUntil(rises) => format!("Moonless until {}", at(true, rises)),
        MoonVerdict::MoonlessFrom(sets) => format!("Moonless from {}", at(false, sets)),
        MoonVerdict::MoonlessBetween(sets, rises) => {
            format!("Moonless {}–{}", at(false, sets), at(true, rises))
        }
        MoonVerdict::MoonlessExcept(rises, sets) => {
            format!("Moon up {}–{}", at(true, rises), at(false, sets))
        }
        MoonVerdict::MoonUp { cost_mag } => {
            // a cost is told rather too high than too low
            let tenths = (cost_mag * 10.0).ceil() / 10.0;
            format!("Moon up, costs {}{GAP}mag", fixed(tenths, 1))
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

/// The subject at the minute looked at.
pub fn core_now(selected: &SelectedNight) -> String {
    let core = selected.reading.core;
    format!(
        "{} {}, {}",
        selected.night.subject.word(),
        high(selected.night.site_sky.apparent_altitude(core).0),
        bearing(core.bearing)
    )
}

/// The Moon at the minute looked at.
pub fn moon_now(selected: &SelectedNight) -> String {
    let SkyReading {
        moon,
        lit,
        moon_cost,
        ..
    } = selected.reading;
    // a cost is told rather too high than too low
    let tenths = moon_cost.map(|cost| (cost * 10.0).ceil() / 10.0);
    let costs = |tenths: f64| format!(", costs {}{GAP}mag", fixed(tenths, 1));
    let at = days_of(selected.minute);
    if !selected
        .night
        .evening
        .moon_up
        .0
        .iter()
        .any(|span| span.contains(at))
    {
        // its light comes before it and stays after it
        return match moon_cost.filter(|cost| *cost >= LEAST_COST_MAG) {
            Some(_) => format!("Moon just down{}", tenths.map(costs).unwrap_or_default()),
            None => "Moon down".to_owned(),
        };
    }
    let cost = tenths.map(costs);
    format!(
        "Moon {} {}, {} % lit{}",
        high(selected.night.site_sky.apparent_altitude(moon).0),
        compass(moon.bearing),
        fixed(lit * 100.0, 0),
        cost.unwrap_or_default()
    )
}

/// Sun and sky at the minute looked at.
pub fn sky_now(selected: &SelectedNight) -> String {
    let SkyReading {
        sun,
        sky,
        moon_cost,
        ..
    } = selected.reading;
    // while the subject is down nothing is told of it, and the sky is that overhead
    let overhead = moon_cost.map_or("overhead ", |_| "");
    let up = sun.altitude.0 > Angle::ZERO;
    let sun = high(sun.altitude.0);
    match sky.and_then(|sky| sky.magnitude()) {
        Some(magnitude) => format!("Sun {sun} · sky {overhead}{}{GAP}mag", fixed(magnitude, 1)),
        None if up => format!("Sun {sun} · daylight"),
        None => format!("Sun {sun} · bright twilight"),
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

/// What stands for a site until one is set: `No site yet: figures for 36° N`.
pub fn no_site(site: &Site) -> String {
    format!("No site yet: figures for {}", latitude(site.latitude))
}

/// A site in a line.
pub fn site(site: &Site) -> String {
    if !site.is_set() {
        return no_site(site);
    }
    let place = coordinates(site);
    if site.name.is_empty() {
        place
    } else {
        format!("{} · {place}", site.name)
    }
}
