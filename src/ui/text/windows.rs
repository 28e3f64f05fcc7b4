//! The words of a shot window: its ends and their reasons, what its light is worth, and why
//! there is none.
//!
//! A window is told a minute shorter rather than longer at either end.

use chrono::{DateTime, Utc};

use crate::angle::Angle;
use crate::decimal::{fixed, plain};
use crate::land::ridge::RidgeLine;
use crate::outing::night::local_time::{Rounding, event_minute, minute_instant};
use crate::outing::night::subjects_up::SubjectUp;
use crate::outing::night::{NoWindowReason, Window, WindowBoundary};
use crate::outing::plan::Outing;
use crate::outing::plan::limits::{DarknessLimit, HARMLESS_MAG, Limits, MoonLimit};
use crate::outing::share::ics::Event;
use crate::sky::almanac::SkyBody;
use crate::sky::altitude::TrueAltitude;
use crate::sky::galactic_core::Culmination;
use crate::sky::subject::Subject;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::exposure;
use crate::ui::text::kit;
use crate::ui::text::night::{self, bearing, length, time};
use crate::ui::text::subject::capitalised;
use crate::ui::text::units::{GAP, degrees_to};

/// The ends of a window by the site's clock, each rounded inwards.
pub fn ends(selected: &SelectedNight, window: &Window) -> (String, String) {
    let at = |days, rounding| time(selected.event(days, rounding));
    (
        at(window.span.start, Rounding::Opening),
        at(window.span.end, Rounding::Closing),
    )
}

/// Why a window opens.
fn opens(edge: WindowBoundary, outing: &Outing) -> String {
    let core = outing.subject.word();
    match edge {
        WindowBoundary::Twilight => "when it is dark".to_owned(),
        WindowBoundary::Ridge if is_flat(outing) => format!("when the {core} rises"),
        WindowBoundary::Ridge => format!("when the {core} clears the ridge"),
        WindowBoundary::LeastHeight => format!("when the {core} is {} up", least(&outing.limits)),
        WindowBoundary::Moon => "when the Moon is down".to_owned(),
        WindowBoundary::MoonCost => "when the Moon is OK".to_owned(),
        WindowBoundary::Noon => "from the night's first noon".to_owned(),
    }
}

/// Why it closes.
fn closes(edge: WindowBoundary, outing: &Outing) -> String {
    let core = outing.subject.word();
    match edge {
        WindowBoundary::Twilight => "when it gets light".to_owned(),
        WindowBoundary::Ridge if is_flat(outing) => format!("when the {core} sets"),
        WindowBoundary::Ridge => format!("when the {core} goes behind the ridge"),
        WindowBoundary::LeastHeight => {
            format!("when the {core} sinks below {}", least(&outing.limits))
        }
        WindowBoundary::Moon => "when the Moon rises".to_owned(),
        WindowBoundary::MoonCost => "when the Moon gets too bright".to_owned(),
        WindowBoundary::Noon => "to the night's second noon".to_owned(),
    }
}

/// What opens a window or closes it, in a word or two under its time.
pub fn boundary(edge: WindowBoundary, opens: bool, outing: &Outing) -> String {
    let pick = |opening: &str, closing: &str| if opens { opening } else { closing }.to_owned();
    match edge {
        WindowBoundary::Twilight => pick(DARK, DAWN),
        WindowBoundary::Ridge if is_flat(outing) => pick("rises", "sets"),
        WindowBoundary::Ridge => pick("clears ridge", "behind ridge"),
        WindowBoundary::LeastHeight => format!("{} up", least(&outing.limits)),
        WindowBoundary::Moon => pick("Moon sets", "Moon rises"),
        WindowBoundary::MoonCost => pick("Moon OK", "bright Moon"),
        WindowBoundary::Noon => "noon".to_owned(),
    }
}

/// When the Sun is below the darkness limit, and when it comes back above it.
pub const DARK: &str = "dark";
/// See [`DARK`].
pub const DAWN: &str = "dawn";

/// What holds in a window: `Dark, clear of the ridge`.
pub fn clear(outing: &Outing) -> String {
    if is_flat(outing) {
        let (core, least) = (outing.subject.word(), least(&outing.limits));
        format!("Dark, {core} above {least}")
    } else {
        "Dark, clear of the ridge".to_owned()
    }
}

/// Why the night selected has no window, in a sentence.
pub fn no_window_reason(selected: &SelectedNight, outing: &Outing) -> String {
    let why = selected.night.evening.usable.no_window_reason;
    why.map(|why| without(why, outing)).unwrap_or_default()
}

/// Whether nobody has drawn a ridge.
pub fn is_flat(outing: &Outing) -> bool {
    outing.site.ridge == RidgeLine::default()
}

/// The least height of the subject.
pub fn least(limits: &Limits) -> String {
    plain(limits.least_core.degrees()) + "°"
}

/// Why a window opens and closes, how long it is, and what its light is worth.
pub fn window(window: &Window, outing: &Outing) -> String {
    let (opens, closes) = (opens(window.opens, outing), closes(window.closes, outing));
    format!(
        "{}, {}: {opens} to {closes}",
        length(window.minutes),
        worth(window.equivalent_h)
    )
}

/// What light is worth: `0.34 equivalent hours`, never more than it is.
pub fn worth(equivalent_h: f64) -> String {
    let places = if equivalent_h < 1.0 { 2 } else { 1 };
    let steps = if equivalent_h < 1.0 { 100.0 } else { 10.0 };
    let message = fixed((equivalent_h * steps).floor() / steps, places);
    format!("{message}{GAP}equivalent hours")
}

/// What equivalent hours are.
pub const EQUIVALENT: &str = "Equivalent hours weigh time by its light. An hour counts whole where \
                              the air takes nothing and the sky is as dark as overhead; a sky \
                              twice as bright counts half, half of the subject's light a quarter.";

/// Further windows of the night than the best one: `again 01:35–02:23`; nothing where there is none.
pub fn again(selected: &SelectedNight, best: &Window) -> String {
    let windows = selected.night.evening.usable.windows.iter();
    let others = windows.filter(|window| window.span != best.span);
    let times = others.map(|window| {
        let (start, end) = ends(selected, window);
        format!("{start}–{end}")
    });
    let times: Vec<_> = times.collect();
    if times.is_empty() {
        return String::new();
    }
    ["again ", &times.join(", ")].concat()
}

/// The night in a sentence that can be read aloud.
pub fn sentence(selected: &SelectedNight, outing: &Outing) -> String {
    let Some(window) = selected.night.evening.best() else {
        return no_window(selected, outing);
    };
    let best_at = selected.night.evening.best_at_minute();
    let core = selected
        .night
        .site_sky
        .reading(selected.night.date, best_at)
        .core;
    let height = degrees_to(selected.night.site_sky.apparent_altitude(core).0, 0);
    let (start, end) = ends(selected, &window);
    let crossings = selected.night.evening.usable.windows.len() - 1;
    let more = match crossings {
        0 => String::new(),
        1 => " There is one more, with less light.".to_owned(),
        _ => format!(" There are {crossings} more, with less light."),
    };
    format!(
        "From {start}, {}, to {end}, {}: {}, {}. Best at {}: {} {height} up, \
         {}.{more}",
        opens(window.opens, outing),
        closes(window.closes, outing),
        length(window.minutes),
        worth(window.equivalent_h),
        time(selected.local(best_at)),
        outing.subject.word(),
        bearing(core.bearing),
    )
}

/// Why the night selected is of no use, and what would help.
pub fn no_window(selected: &SelectedNight, outing: &Outing) -> String {
    let why = selected.night.evening.usable.no_window_reason;
    let mut message = why.map(|why| without(why, outing)).unwrap_or_default();
    let peak = Culmination::new(outing.subject.declination(), outing.site.latitude).altitude;
    // least heights are as things look
    let peak = selected
        .night
        .site_sky
        .air()
        .to_apparent(TrueAltitude(peak))
        .0;
    if why == Some(NoWindowReason::LeastHeight) && peak < outing.limits.least_core {
        message.pop();
        message += &format!(" (it peaks at {}).", tenths_below(peak));
    }
    if why == Some(NoWindowReason::NotDark) && selected.night.easier_limits.is_none() {
        let night = selected.night.site_sky.night(selected.night.date);
        let lowest = night
            .extreme(SkyBody::Sun, false)
            .map_or(0.0, |turn| turn.value);
        let down = Angle::from_radians(-lowest.clamp(-1.0, 1.0).asin());
        message.pop();
        message += &format!(": the Sun is at most {} down.", tenths_below(down));
    }
    message.pop();
    match &selected.night.easier_limits {
        Some(easier_limits) => message += &format!(": {}.", would_help(easier_limits, outing)),
        None => message += ". No other limits give this night a window.",
    }
    message
}

/// Other limits, as far as they differ, and what they would give.
fn would_help((limits, minutes): &(Limits, f64), outing: &Outing) -> String {
    let chosen = &outing.limits;
    let mut with = Vec::new();
    if limits.darkness != chosen.darkness {
        with.push(format!("at {}°", limits.darkness.degrees()));
    }
    if limits.least_core != chosen.least_core {
        with.push(format!(
            "with the {} from {} up",
            outing.subject.word(),
            least(limits)
        ));
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
pub fn without(why: NoWindowReason, outing: &Outing) -> String {
    let (core, limits) = (outing.subject.word(), &outing.limits);
    match why {
        NoWindowReason::NeverRises => {
            let far = if outing.subject.declination() < outing.site.latitude {
                "north"
            } else {
                "south"
            };
            format!("The {core} never rises here: this site lies too far {far}.")
        }
        NoWindowReason::BehindRidge => format!("The {core} stays behind the ridge all night."),
        NoWindowReason::LeastHeight => {
            format!(
                "The {core} is under your least height of {}.",
                least(limits)
            )
        }
        NoWindowReason::NotDark => format!("No darkness at {}°.", limits.darkness.degrees()),
        NoWindowReason::CoreByDay => format!("The {core} is up only in daylight and twilight."),
        NoWindowReason::Moon if limits.moon == MoonLimit::None => {
            format!("The Moon is up whenever the {core} is.")
        }
        NoWindowReason::Moon => format!("The Moon is too bright whenever the {core} is up."),
    }
}

/// The same in a word or two, for a list.
pub const fn without_short(why: NoWindowReason) -> &'static str {
    match why {
        NoWindowReason::NeverRises => "never rises",
        NoWindowReason::BehindRidge => "behind ridge",
        NoWindowReason::LeastHeight => "too low",
        NoWindowReason::NotDark => "no darkness",
        NoWindowReason::CoreByDay => "only by day",
        NoWindowReason::Moon => "Moon",
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

/// The limits of a shot window in a line.
pub fn allowed(outing: &Outing) -> String {
    let limits = &outing.limits;
    let mut core = match is_flat(outing) {
        true => outing.subject.word().to_owned(),
        false => format!("{} {}", outing.subject.word(), over_what(outing, "")),
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

/// What the subject stands over, for a title.
pub fn horizon_title(outing: &Outing) -> String {
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
            let height = exposure::skyline_height(ridge.all_round());
            format!("over {what} {height}")
        }
        _ => "over the skyline".to_owned(),
    }
}

/// All subjects, with the usable time of those that have a window in the night.
pub fn subjects(up: &[SubjectUp]) -> Vec<(Subject, String)> {
    let line = |subject: Subject| {
        let found = up.iter().find(|up| up.subject == subject);
        let line = found.map(|up| length(up.minutes())).unwrap_or_default();
        (subject, line)
    };
    Subject::ALL.map(line).into()
}

/// The best window of the night selected for a calendar, by the times written on the page.
pub fn calendar_event(
    outing: &Outing,
    selected: &SelectedNight,
    stamp: DateTime<Utc>,
) -> Option<Event> {
    let evening = &selected.night.evening;
    let window = evening.best()?;
    let at = |days, rounding| minute_instant(event_minute(evening.start.plus_days(days), rounding));
    // among other entries the core alone says nothing
    let subject = match outing.subject {
        Subject::Core => "Milky Way core".to_owned(),
        other => capitalised(other),
    };
    Some(Event {
        title: format!("{subject} {}", horizon_title(outing)),
        description: vec![
            sentence(selected, outing),
            night::clock(selected),
            kit::summary(&outing.kit, outing.f_number),
        ],
        location: night::site(&outing.site),
        latitude: outing.site.latitude,
        longitude: outing.site.longitude,
        start: at(window.span.start, Rounding::Opening),
        end: at(window.span.end, Rounding::Closing),
        stamp,
    })
}
