//! The words of Where?: the subject's place, the ridge it clears, the frame.

use crate::angle::Angle;
use crate::decimal::fixed;
use crate::land::declination::Declination;
use crate::land::ridge::RidgeLine;
use crate::land::survey::{Surveyed, unknown_stretches};
use crate::outing::exposure::Answer;
use crate::outing::framing::scene::Place;
use crate::outing::night::NoWindowReason;
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::{Orientation, Outing};
use crate::sky::almanac::SkyBody;
use crate::sky::night::Course;
use crate::sky::subject::Subject;
use crate::ui::state::derived::selected_night::{MoonSunCrossings, SelectedNight, days_of};
use crate::ui::text::exposure;
use crate::ui::text::night::{bearing, compass, time};
use crate::ui::text::units::{self, degrees_to};
use crate::ui::text::windows::without_short;

/// A bearing: `170° (S)`.
pub fn towards(bearing: Angle) -> String {
    let degrees = fixed(bearing.degrees().round() % 360.0, 0);
    format!("{degrees}° ({})", compass(bearing))
}

/// How high the middle of the frame is, and how the camera is held: `32° up, portrait`.
pub fn up(outing: &Outing) -> String {
    let tilt = degrees_to(outing.pointing().frame.tilt, 0);
    let held = match outing.orientation {
        Orientation::Landscape => "landscape",
        Orientation::Portrait => "portrait",
    };
    match tilt.strip_prefix('−') {
        Some("0°") => format!("0° up, {held}"),
        Some(down) => format!("{down} down, {held}"),
        None => format!("{tilt} up, {held}"),
    }
}

/// What a compass shows, where that differs by a degree or more.
pub fn compass_beside(bearing: Angle, declination: Option<Angle>) -> Option<String> {
    let east = declination.filter(|east| east.degrees().abs() >= 1.0)?;
    let compass_deg = (bearing.degrees() - east.degrees()).rem_euclid(360.0);
    Some(format!(
        "compass {}°",
        fixed(compass_deg.round() % 360.0, 0)
    ))
}

/// Why the picture will not be what one came for: `core` is above the ridge or not, and in the
/// frame or not. Empty where all is well.
pub fn trouble(
    outing: &Outing,
    (is_clear, in_frame): (bool, bool),
    without: Option<NoWindowReason>,
) -> String {
    let word = outing.subject.word();
    let core = match (is_clear, in_frame) {
        (_, false) => format!("{word} out of frame"),
        (false, true) if has_ridge(outing) => format!("{word} behind the ridge"),
        (false, true) => format!("{word} below the horizon"),
        (true, true) => String::new(),
    };
    let Some(why) = without else {
        return core;
    };
    format!("No window: {}", without_short(why))
}

/// Whether there is more than a level skyline.
fn has_ridge(outing: &Outing) -> bool {
    outing.site.ridge != RidgeLine::default()
}

/// The key that puts the subject on a third.
pub fn on_a_third(subject: Subject) -> &'static str {
    match subject {
        Subject::Core => "Core on a third",
        _ => "On a third",
    }
}

/// The key that undoes a frame that was chosen.
pub fn follow(subject: Subject) -> String {
    ["Follow ", subject.with_article()].concat()
}

/// When and where the subject clears the ridge and goes behind, or rises and sets.
pub fn sentence(outing: &Outing, selected: &SelectedNight) -> String {
    let (core, word) = (&selected.night.evening.core, selected.night.subject.word());
    let ridge = has_ridge(outing);
    match (core.crossings.is_empty(), core.starts_above) {
        (true, true) => format!("The {word} is up all night."),
        (true, false) if ridge => format!("The {word} never clears the ridge this night."),
        (true, false) => format!("The {word} never rises this night."),
        _ => {
            let ends = if ridge {
                ["clears the ridge", "goes behind"]
            } else {
                ["rises", "sets"]
            };
            let message = crossing_list(selected, SkyBody::Subject, core, ends);
            format!("The {word} {message}.")
        }
    }
}

/// The same of the Moon and the Sun, where they cross it.
pub fn crossings(
    outing: &Outing,
    selected: &SelectedNight,
    crossings: &MoonSunCrossings,
) -> String {
    let ends = if has_ridge(outing) {
        ["over the ridge", "behind it"]
    } else {
        ["rises", "sets"]
    };
    let mut text = String::new();
    let MoonSunCrossings { moon, sun } = crossings;
    for (body, name, course) in [(SkyBody::Moon, "Moon", moon), (SkyBody::Sun, "Sun", sun)] {
        if !course.crossings.is_empty() {
            let message = crossing_list(selected, body, course, ends);
            text += &format!("{name}: {message}. ");
        }
    }
    text
}

fn crossing_list(
    selected: &SelectedNight,
    body: SkyBody,
    course: &Course,
    words: [&str; 2],
) -> String {
    let night = selected.night.site_sky.night(selected.night.date);
    let mut message = String::new();
    for crossing in &course.crossings {
        let place = night.topocentric(body, crossing.at).horizontal().bearing;
        if !message.is_empty() {
            message += ", ";
        }
        message += words[usize::from(!crossing.up)];
        message += " at ";
        let rounding = Rounding::of_crossing(body != SkyBody::Subject, crossing.up);
        message += &time(selected.event(crossing.at, rounding));
        message += ", ";
        message += &bearing(place);
    }
    message
}

/// What the lines of the view mean, and what this frame allows.
pub fn legend(outing: &Outing, answer: &Answer, with_drift_map: bool) -> String {
    let mut message = format!(
        "{}: {} for {}, {} for every corner.",
        units::focal(outing.kit.lens.focal_mm),
        exposure::clean(answer.clean_core),
        exposure::target(answer.target),
        exposure::clean(answer.clean_frame),
    );
    if with_drift_map {
        message += &format!(
            " Heavy line: a trail of {} at the dial time.",
            units::trail(answer.allowed_px)
        );
    }
    message
        + " Drag the sky to turn the camera; solid path: shot window. Dashed skyline: nobody \
               has looked there."
}

/// The skyline in a line.
pub fn skyline(outing: &Outing) -> String {
    let ridge = &outing.site.ridge;
    let level = exposure::skyline_height(ridge.all_round());
    match ridge.sightings().len() {
        0 if ridge.all_round() == Angle::ZERO => "Skyline: flat, not measured yet".to_owned(),
        0 => format!("Skyline: {level} all round"),
        1 => format!("Skyline: one sighting, else {level}"),
        count => format!("Skyline: {count} sightings, else {level}"),
    }
}

/// What is to be said of a compass near a magnetic pole.
pub const fn compass_warning(modelled: Option<Declination>) -> Option<&'static str> {
    match modelled {
        Some(Declination::Caution(_)) => Some(
            "So near the magnetic pole a compass is unreliable: the level field that turns it is \
             weak. Take true bearings, or set the compass against Moon or core.",
        ),
        Some(Declination::Blackout) => Some(
            "So near the magnetic pole a compass is of no use, and no declination is told. Take \
             true bearings.",
        ),
        _ => None,
    }
}

/// What was read of a skyline, and of how many bearings `kept` draw it.
pub fn survey_read(survey: &[Surveyed], kept: usize) -> String {
    /// Stretches told by name.
    const NAMED: usize = 4;
    let known = survey.iter().filter(|point| point.height.is_some()).count();
    let mut message =
        format!("{known} bearings read; {kept} of them draw the same skyline to 0.05°.");
    let unknown = survey.len() - known;
    if unknown == 0 {
        return message;
    }
    message += &format!(
        " At {unknown} of {} bearings the model ends before the land does",
        survey.len()
    );
    let stretches = unknown_stretches(survey);
    let named = stretches.iter().take(NAMED).map(|(from, to)| {
        let whole = to.degrees() - from.degrees() >= 360.0;
        match [compass(*from), compass(*to)] {
            _ if whole => "all round".to_owned(),
            [one, other] if one == other => one.to_owned(),
            [one, other] => format!("{one} to {other}"),
        }
    });
    let mut named: Vec<String> = named.collect();
    match stretches.len().saturating_sub(NAMED) {
        0 => {}
        1 => named.push("another".to_owned()),
        more => named.push(format!("{more} more")),
    }
    message += &if named.is_empty() {
        ", in gaps so narrow that the line is drawn across.".to_owned()
    } else {
        let named = named.join(", ");
        format!(": {named}; the height all round is used there.")
    };
    message
}

/// The view for a screen reader; `core` is the subject's place in the frame, if it is in it.
pub fn view(outing: &Outing, selected: &SelectedNight, core: Option<Place>) -> String {
    let frame = outing.pointing().frame;
    let word = outing.subject.word();
    let inside = match core {
        Some((x, y)) => {
            let across = ["left", "middle", "right"][((x * 3.0) as usize).min(2)];
            let down = ["upper", "middle", "lower"][((y * 3.0) as usize).min(2)];
            format!("the {word} in the {down} row, {across}")
        }
        None => format!("the {word} is not in it"),
    };
    format!(
        "the frame at {}: facing {}, {}; {inside}",
        time(selected.local(days_of(selected.minute))),
        towards(frame.bearing),
        up(outing)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    fn survey(unknown: impl Fn(i32) -> bool) -> Vec<Surveyed> {
        let point = |bearing: i32| Surveyed {
            bearing: Angle::from_degrees(f64::from(bearing)),
            height: (!unknown(bearing)).then_some(Angle::ZERO),
        };
        (0..360).map(point).collect()
    }

    #[test]
    fn a_compass_is_told_from_a_degree_on() {
        let beside = |bearing: f64, east: Option<f64>| {
            compass_beside(Angle::from_degrees(bearing), east.map(Angle::from_degrees))
        };
        assert_eq!(beside(170.0, None), None);
        assert_eq!(beside(170.0, Some(0.9)), None);
        assert_eq!(beside(170.0, Some(3.2)).as_deref(), Some("compass 167°"));
        assert_eq!(beside(359.0, Some(-1.2)).as_deref(), Some("compass 0°"));
    }

    #[test]
    fn an_aim_reads_aloud() {
        let mut outing = Outing::default();
        for (tilt, want) in [
            (32.4, "32° up, landscape"),
            (-0.2, "0° up, landscape"),
            (-12.0, "12° down, landscape"),
        ] {
            outing.frame = Some(crate::camera::frame::Frame {
                bearing: Angle::from_degrees(359.8),
                tilt: Angle::from_degrees(tilt),
                roll: Angle::ZERO,
            });
            assert_eq!(up(&outing), want);
            assert_eq!(towards(outing.pointing().frame.bearing), "0° (N)");
        }
        assert_eq!(trouble(&outing, (true, false), None), "core out of frame");
        assert_eq!(
            trouble(&outing, (false, true), None),
            "core below the horizon"
        );
        assert_eq!(trouble(&outing, (true, true), None), "");
    }

    #[test]
    fn where_the_model_ends_is_told() {
        let all = "360 bearings read; 3 of them draw the same skyline to 0.05°.";
        assert_eq!(survey_read(&survey(|_| false), 3), all);
        let message = survey_read(&survey(|at| (271..315).contains(&at) || at == 90), 3);
        assert!(message.contains("315 bearings read"), "{message}");
        assert!(
            message.contains("At 45 of 360 bearings the model ends"),
            "{message}"
        );
        assert!(
            message.contains(": W to NW; the height all round"),
            "{message}"
        );
        let message = survey_read(&survey(|at| at == 90), 3);
        assert!(
            message.ends_with("narrow that the line is drawn across."),
            "{message}"
        );
        let message = survey_read(&survey(|_| true), 0);
        assert!(
            message.contains("At 360 of 360") && message.contains("all round"),
            "{message}"
        );
        let message = survey_read(&survey(|at| at % 40 < 10), 3);
        assert!(message.contains(", 5 more; the height"), "{message}");
    }
}
