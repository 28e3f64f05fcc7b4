//! The words of a shot window: its ends and their reasons, what its light is worth, and why
//! there is none.
//!
//! A window is told a minute shorter rather than longer at either end.

use super::night_words::{GAP, bearing, length, time};
use super::shown::Shown;
use super::words::{self, degrees_to};
use crate::angle::Angle;
use crate::decimal::{fixed, plain};
use crate::land::ridge::RidgeLine;
use crate::outing::evening::{Edge, Window, Without};
use crate::outing::limits::{DarknessLimit, HARMLESS_MAG, Limits, MoonLimit};
use crate::outing::plan::Outing;
use crate::outing::season::Brief;
use crate::sky::almanac::Body;
use crate::sky::altitude::TrueAltitude;
use crate::sky::core::{CORE_DECLINATION, Highest};

/// Half a minute, days: what rounding to the minute may add.
const HALF_MINUTE: f64 = 0.5 / 1440.0;

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
pub const EQUIVALENT: &str = "Equivalent hours weigh time by its light. An hour counts whole where \
                              the air takes nothing and the sky is as dark as overhead; a sky \
                              twice as bright counts half, half of the core's light a quarter.";

/// The night in a sentence that can be read aloud.
pub fn sentence(shown: &Shown, outing: &Outing) -> String {
    let Some(window) = shown.evening.best() else {
        return no_window(shown, outing);
    };
    let best_at = shown.evening.best_told();
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
        "From {start}, {}, to {end}, {}: {}, {}. Best at {}: core {height} up, \
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
    let mut said = why
        .map(|why| without(why, &outing.limits))
        .unwrap_or_default();
    let peak = Highest::of(CORE_DECLINATION, outing.site.latitude).altitude;
    // least heights are as things look
    let peak = shown.watch.air().seen(TrueAltitude(peak)).0;
    if why == Some(Without::LeastHeight) && peak < outing.limits.least_core {
        said.pop();
        said += &format!(" (it peaks at {}).", tenths_below(peak));
    }
    if why == Some(Without::NotDark) && shown.easier.is_none() {
        let night = shown.watch.night(shown.date);
        let lowest = night
            .extreme(Body::Sun, false)
            .map_or(0.0, |turn| turn.value);
        let down = Angle::from_radians(-lowest.clamp(-1.0, 1.0).asin());
        said.pop();
        said += &format!(": the Sun is at most {} down.", tenths_below(down));
    }
    said.pop();
    match &shown.easier {
        Some(easier) => said += &format!(": {}.", would_help(easier, &outing.limits)),
        None => said += ". No choice of limits gives this night a window.",
    }
    said
}

/// Other limits, as far as they differ, and what they would give.
fn would_help((limits, minutes): &(Limits, f64), chosen: &Limits) -> String {
    let mut with = Vec::new();
    if limits.darkness != chosen.darkness {
        with.push(format!("at {}°", limits.darkness.degrees()));
    }
    if limits.least_core != chosen.least_core {
        with.push(format!("with the core from {} up", least(limits)));
    }
    if limits.moon != chosen.moon {
        with.push("with any Moon".to_owned());
    }
    format!("{} there would be {}", with.join(" "), length(*minutes))
}

/// An angle to a tenth of a degree, never more than it is.
fn tenths_below(angle: Angle) -> String {
    fixed((angle.degrees() * 10.0).floor() / 10.0, 1) + "°"
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
            format!("the sky at most {} mag brighter", fixed(HARMLESS_MAG, 1)),
        ),
        MoonLimit::None => ("no Moon", "it is below the horizon".to_owned()),
    }
}

/// A darkness limit and what it means.
pub fn darkness_limit(limit: DarknessLimit) -> (&'static str, &'static str) {
    match limit {
        DarknessLimit::Down18 => ("18°", "full dark"),
        DarknessLimit::Down15 => ("15°", "last glow"),
        DarknessLimit::Down12 => ("12°", "nautical"),
    }
}

/// What the window asks for, in a line.
pub fn allowed(outing: &Outing) -> String {
    let limits = &outing.limits;
    let mut core = match is_flat(outing) {
        true => "core".to_owned(),
        false => format!("core {}", over_what(outing, "")),
    };
    if limits.least_core > Angle::ZERO {
        core += &format!(" {} up", least(limits));
    } else if is_flat(outing) {
        core += " up";
    }
    format!(
        "Limits: {core} · Sun {}° down · {}",
        limits.darkness.degrees(),
        moon_limit(limits.moon).0.replace(' ', GAP)
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

/// A night of the season in a line: minutes and why, or why not.
pub fn brief(night: &Brief) -> String {
    match (night.best, night.without) {
        (Some(_), _) => format!("{}, {}", length(night.minutes), worth(night.equivalent_h)),
        (None, Some(why)) => without_short(why).to_owned(),
        (None, None) => String::new(),
    }
}
