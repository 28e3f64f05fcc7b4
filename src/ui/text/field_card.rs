//! The words of the field card, its frames and its lists.
//!
//! Space and charges are rounded up, the time frames take as well.

use crate::angle::Angle;
use crate::camera::dial::{DialTime, Shutter};
use crate::camera::focus::Focus;
use crate::decimal::{fixed, plain};
use crate::light::tracking::TrackingRate;
use crate::outing::exposure::Answer;
use crate::outing::exposure::sequence::{MIN_S, Sequence};
use crate::outing::exposure::settings::Settings;
use crate::outing::field::card::{CoreMoment, FieldCard, Moon};
use crate::outing::field::dew::Dew;
use crate::outing::framing::panorama::{PanoramaPlan, Row};
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::site::{Site, Zone};
use crate::outing::plan::{Orientation, Outing, Support, Weather};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::exposure;
use crate::ui::text::night::{bearing, coordinates, time, utc};
use crate::ui::text::units::{self, GAP, degrees_to};

/// What frames are for, in a line.
pub const LIGHT: &str = "ISO changes no light: it lifts the picture off the camera's own noise, and \
                         takes room from the bright stars.";

/// What a class of sky is worth.
pub const LOOSE: &str = "Classes are loose: tables differ by a third of a magnitude and more. A \
                         meter held overhead is better.";

/// What a subject's brightness means.
pub const SUBJECT: &str = "By itself, without the sky in front of it: 21 is the brightest of the \
                           Milky Way, 23 its faint arms, 25 a faint nebula.";

/// What stands where nothing is known of a body.
pub const TYPICAL: &str = "Makers print none of this. What you leave empty is typical, good to half \
                           as much again; a read noise is kept for the ISO above and \
                           holds for those beside it.";

/// Where the site is.
pub fn place(site: &Site) -> String {
    let metres = plain(site.height_m.round()).replace('-', "−");
    [&coordinates(site), " · ", &metres, GAP, "m"].concat()
}

/// By which clock the card tells.
pub fn clock(shown: &SelectedNight, zone: &Zone) -> String {
    let mut message = match (zone, shown.night.clock.unknown) {
        (Zone::Named(name), false) => [name, ", ", &utc(shown.night.clock.offset_min)].concat(),
        (_, true) => "times in UTC".to_owned(),
        (Zone::Fixed(_), false) => utc(shown.night.clock.offset_min),
    };
    if let Some((_, after)) = shown.night.clock.change {
        message += ", ";
        message += &utc(after);
        message += " later that night";
    }
    message
}

/// A moment of the subject's: what it is.
pub fn stand(card: &FieldCard, place: usize) -> &'static str {
    let last = card.core.len() - 1;
    let best = card.core[place].best;
    match (place, best) {
        _ if card.window.is_none() => "looked at",
        (0, false) => "opens",
        (0, true) => "opens, best light",
        (_, true) if place == last => "closes, best light",
        (_, true) => "best light",
        _ if place == last => "closes",
        _ => "planned",
    }
}

/// The subject's height at a moment.
pub fn height(stand: &CoreMoment) -> String {
    degrees_to(stand.height.0, 0)
}

/// What the shutter is for, and what it leaves elsewhere.
pub fn shutter_for(outing: &Outing, answer: &Answer, series: &Sequence) -> String {
    if outing.support == Support::Tracker {
        let mut message = match outing.mount.rate {
            TrackingRate::Sidereal => "on the tracker; take the ground apart, tracker off",
            TrackingRate::Half => "on the tracker at half rate, sky and ground in one frame",
        }
        .to_owned();
        if let Some(lasts) = exposure::lasts(series.shutter) {
            message += "; ";
            message += &lasts;
        }
        return message;
    }
    let mut message = match answer.dial() {
        DialTime::NoLimit => "no star trails; as long as you like".to_owned(),
        DialTime::TooShort => "the shortest there is, and too long".to_owned(),
        DialTime::Set(_) => String::new(),
    };
    if message.is_empty() {
        message += "for ";
        message += &exposure::kept_sharp(outing.keep_sharp, answer.target);
    }
    if let Some(lasts) = exposure::lasts(series.shutter) {
        message += "; ";
        message += &lasts;
    }
    if let Some(corners) = DialTime::new(answer.clean_frame).shutter()
        && corners != series.shutter
    {
        message += " · ";
        message += &units::shutter(corners);
        message += " for every corner";
    }
    message
}

/// Rounded up to one place.
fn tenths_up(value: f64) -> String {
    fixed((value * 10.0).ceil() / 10.0, 1)
}

/// From the start of one frame to that of the next.
pub fn every(series: &Sequence) -> String {
    series.interval_s.to_string() + GAP + "s"
}

/// How long the frames take.
pub fn lasts(series: &Sequence) -> String {
    units::up_to(series.lasts_s)
}

/// What they take of the card, rounded up: to hundredths below a gigabyte, else to tenths.
pub fn card(series: &Sequence) -> String {
    let steps = if series.card_gb < 1.0 { 100.0 } else { 10.0 };
    plain((series.card_gb * steps).ceil() / steps) + GAP + "GB"
}

/// What they take of the battery.
pub fn charges(series: &Sequence) -> String {
    tenths_up(series.charges)
}

/// Frames in a sentence.
pub fn frames(settings: &Settings) -> String {
    let series = &settings.series;
    let mut message = series.frames.to_string() + " × " + &units::shutter(series.shutter);
    if series.frames > 1 {
        message += ", one every ";
        message += &every(series);
        message += ": ";
        message += &lasts(series);
    }
    [
        &message,
        ", ",
        &card(series),
        ", ",
        &charges(series),
        " batteries.",
    ]
    .concat()
}

/// Where the sky ends up.
pub fn sky_placed(settings: &Settings) -> String {
    [
        "The sky stands ",
        &fixed(settings.exposure_level.in_histogram * 100.0, 0),
        " % from the left of the histogram, ",
        &fixed((settings.below_white() * 10.0).floor() / 10.0, 1),
        " stops from white.",
    ]
    .concat()
}

/// An ISO.
pub fn iso(iso: f64) -> String {
    plain(iso.round())
}

/// The Moon in a line.
pub fn moon(moon: &Moon, shown: &SelectedNight) -> String {
    let mut message = if moon.up {
        fixed(moon.lit * 100.0, 0) + " % lit"
    } else {
        "down".to_owned()
    };
    if let Some(cost) = moon.cost_mag.filter(|_| moon.up) {
        message += ", costs up to ";
        message += &tenths_up(cost);
        message += GAP;
        message += "mag";
    }
    for (at, up) in &moon.turns {
        message += if *up { ", rises " } else { ", sets " };
        message += &time(shown.event(*at, Rounding::of_crossing(true, *up)));
    }
    message
}

/// Where the camera points: the true bearing.
pub fn bearing_of((towards, _): (Angle, Angle)) -> String {
    bearing(towards)
}

/// The same: how high the middle of the frame is, and how the camera is held.
pub fn up_and_held((_, altitude): (Angle, Angle), outing: &Outing) -> String {
    let held = match outing.orientation {
        Orientation::Portrait => " up, portrait",
        Orientation::Landscape => " up, landscape",
    };
    degrees_to(altitude, 0) + held
}

/// How many frames.
pub fn frame_count(series: &Sequence) -> String {
    match series.frames {
        1 => "1 frame".to_owned(),
        frames => frames.to_string() + " frames",
    }
}

/// How long they take together.
pub fn in_all(series: &Sequence) -> String {
    const WHOLE_MIN: f64 = 5.0;
    // the camera's own time is not known to tenths of a minute
    let minutes = (series.lasts_s / MIN_S).ceil();
    let whole = minutes >= WHOLE_MIN && series.lasts_s < 90.0 * MIN_S;
    let all = if whole {
        fixed(minutes, 0) + GAP + "min"
    } else {
        lasts(series)
    };
    all + " in all"
}

/// The time that keeps every corner, where it is another one than that of the card.
pub fn whole_frame(outing: &Outing, answer: &Answer, series: &Sequence) -> Option<String> {
    let corners = DialTime::new(answer.clean_frame).shutter()?;
    let other = outing.support == Support::Tripod && corners != series.shutter;
    other.then(|| "whole frame ".to_owned() + &units::shutter(corners))
}

/// Where to focus, in a few words.
pub fn focus_on(outing: &Outing) -> String {
    match outing.focus {
        Focus::Stars => "focus on a star".to_owned(),
        Focus::Hyperfocal => "focus: hyperfocal".to_owned(),
        Focus::At(metres) => ["focus at ", &plain(metres), GAP, "m"].concat(),
    }
}

/// What the frames take of card and battery.
pub fn card_and_charges(series: &Sequence) -> String {
    [&card(series), ", ", &charges(series)].concat()
}

/// A panorama in a line: how long each frame, rows in order.
pub fn panorama(plan: &PanoramaPlan, setting: Shutter) -> String {
    let mut message = plan.count().to_string() + " frames of ";
    message += &units::shutter(setting);
    for row in &plan.rows {
        let Row {
            tilt,
            first,
            turn,
            columns,
            ..
        } = row;
        message += "; ";
        message += &degrees_to(*tilt, 0);
        message += " up: ";
        message += &columns.to_string();
        message += ", from ";
        message += &bearing(*first);
        if *columns > 1 {
            message += ", turn ";
            message += &degrees_to(*turn, 1);
        }
    }
    message
}

/// Dew in a line.
pub fn dew_short(weather: Weather) -> String {
    let (gap, point) = dew_numbers(weather);
    let message = match weather.dew() {
        Dew::Now => "warm the glass now",
        Dew::Soon => "look every quarter hour",
        Dew::Far => "not to be expected",
    };
    ["at ", &point, ", ", &gap, " below the air: ", message].concat()
}

/// Dew, and what to do about it.
pub fn dew(weather: Weather) -> String {
    let (gap, point) = dew_numbers(weather);
    let message = match weather.dew() {
        Dew::Now => {
            "Glass under a clear sky is colder than that: put a heater band or a chemical hand \
             warmer around the front of the lens before it fogs, and wipe only what is fogged \
             already. Look every quarter hour."
        }
        Dew::Soon => {
            "A little cooling brings it: have a heater band or a chemical hand warmer ready for \
             the front of the lens, and look at the glass every quarter hour."
        }
        Dew::Far => "The glass stays dry for now; read both again when it gets colder.",
    };
    [
        "Dew point ",
        &point,
        ", ",
        &gap,
        " below the air. ",
        message,
    ]
    .concat()
}

/// The gap is rounded down.
fn dew_numbers(weather: Weather) -> (String, String) {
    let point = weather.dew_point_c();
    let degrees = |celsius: f64, places| fixed(celsius, places).replace('-', "−") + GAP + "°C";
    let gap = ((weather.celsius - point).max(0.0) * 10.0).floor() / 10.0;
    (degrees(gap, 1), degrees(point, 1))
}

/// What holds while a box is empty.
pub fn if_empty(value: f64, unit: &str) -> String {
    let text = if value < 100.0 {
        plain((value * 100.0).round() / 100.0)
    } else {
        fixed(value, 0)
    };
    ["if empty: ", &text, GAP, unit].concat()
}

/// How many of a list are ticked.
pub fn count(ticked: usize, of: usize) -> String {
    ticked.to_string() + " of " + &of.to_string()
}

#[cfg(test)]
mod tests {
    use super::*;

    fn spaced(text: &str) -> String {
        text.replace(GAP, " ")
    }

    #[test]
    fn space_rounds_up() {
        assert_eq!(tenths_up(1.01), "1.1");
    }

    /// 10 °C and 85 %: a dew point of 7.594 °C, worked independently by Magnus's formula.
    #[test]
    fn dew_says_what_to_do() {
        let weather = |celsius, humidity_percent| Weather {
            celsius,
            humidity_percent,
        };
        let message = spaced(&dew(weather(10.0, 85.0)));
        assert!(
            message.starts_with("Dew point 7.6 °C, 2.4 °C below"),
            "{message}"
        );
        assert!(message.contains("heater band") && message.contains("quarter hour"));
        let dry = spaced(&dew_short(weather(15.0, 30.0)));
        // γ = −1.2040 + 1.0246, so 243.04 · −0.1794 / 17.8044 = −2.449 °C
        assert!(dry.starts_with("at −2.4 °C, 17.4 °C below"), "{dry}");
        assert!(dry.ends_with("not to be expected"), "{dry}");
    }
}
