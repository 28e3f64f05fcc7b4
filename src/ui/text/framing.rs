//! The words of Where?: the subject's place, the ridge it clears, the frame.

use crate::angle::Angle;
use crate::land::declination::Declination;
use crate::land::survey::{Surveyed, unknown_stretches};
use crate::outing::exposure::Answer;
use crate::outing::framing::scene::Place;
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::Outing;
use crate::sky::almanac::SkyBody;
use crate::sky::night::Course;
use crate::ui::state::derived::selected_night::{MoonSunCrossings, SelectedNight, days_of};
use crate::ui::text::exposure::{self, degrees_to};
use crate::ui::text::night::{self, bearing, compass, time};

/// The subject's bearing, and its height at the minute looked at.
pub fn core(selected: &SelectedNight) -> (String, String) {
    let (core, word) = (selected.reading.core, selected.night.subject.word());
    let looks = selected.night.site_sky.apparent_altitude(core).0;
    let night = selected.night.site_sky.night(selected.night.date);
    let ridge = selected
        .night
        .site_sky
        .ridge_under_core_deg(&night, days_of(selected.minute));
    // over a plain far below a body shows while it is below level
    let clear = looks.degrees() >= ridge;
    let under = match looks < Angle::ZERO {
        true if clear => format!(
            "{word} {} below level, clear",
            degrees_to(Angle::from_radians(-looks.radians()), 1)
        ),
        true => format!("{word} below the horizon"),
        false if clear => format!("{word} {} up, clear", degrees_to(looks, 0)),
        false => format!("{word} {} up, behind the ridge", degrees_to(looks, 0)),
    };
    (bearing(core.bearing), under)
}

/// The night and minute looked at.
pub fn moment(selected: &SelectedNight) -> String {
    let at = time(selected.local(days_of(selected.minute)));
    format!("{at} · {}", night::night(selected.night.date))
}

/// When and where the subject clears the ridge and goes behind.
pub fn sentence(selected: &SelectedNight) -> String {
    let (core, word) = (&selected.night.evening.core, selected.night.subject.word());
    match (core.crossings.is_empty(), core.starts_above) {
        (true, true) => format!("The {word} stays clear of the ridge all night."),
        (true, false) => format!("The {word} never clears the ridge this night."),
        _ => {
            let message = crossing_list(
                selected,
                SkyBody::Subject,
                core,
                ["clears the ridge", "goes behind"],
            );
            format!("The {word} {message}.")
        }
    }
}

/// The same of the Moon and the Sun, where they cross it.
pub fn crossings(selected: &SelectedNight, crossings: &MoonSunCrossings) -> String {
    let mut text = String::new();
    let MoonSunCrossings { moon, sun } = crossings;
    for (body, name, course) in [(SkyBody::Moon, "Moon", moon), (SkyBody::Sun, "Sun", sun)] {
        if !course.crossings.is_empty() {
            let message = crossing_list(selected, body, course, ["over the ridge", "behind it"]);
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
        exposure::focal(outing.kit.lens.focal_mm),
        exposure::clean(answer.clean_core),
        exposure::target(answer.target),
        exposure::clean(answer.clean_frame),
    );
    if answer.target_at.is_none() {
        message += &format!(" The {} is outside this frame.", outing.subject.word());
    }
    if with_drift_map {
        message += &format!(
            " Heavy line: a trail of {} at the dial time.",
            exposure::trail(answer.allowed_px)
        );
    }
    message + " Drag the sky to turn the camera. Dashed skyline: nobody has looked there."
}

/// The skyline in a line.
pub fn skyline(outing: &Outing) -> String {
    let ridge = &outing.site.ridge;
    let level = exposure::skyline_height(ridge.all_round());
    match ridge.sightings().len() {
        0 if ridge.all_round() == Angle::ZERO => "Skyline: flat, nobody has looked yet".to_owned(),
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
        format!(": {named}; there the height where nobody has looked is used.")
    };
    message
}

/// The link to the panorama's sheet.
pub const PANORAMA_LINK: &str = "The arch, and a panorama of it";

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
        "the frame at {}: facing {}, {} up; {inside}",
        time(selected.local(days_of(selected.minute))),
        bearing(frame.bearing),
        degrees_to(frame.tilt, 0)
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
    fn where_the_model_ends_is_told() {
        let all = "360 bearings read; 3 of them draw the same skyline to 0.05°.";
        assert_eq!(survey_read(&survey(|_| false), 3), all);
        let message = survey_read(&survey(|at| (271..315).contains(&at) || at == 90), 3);
        assert!(message.contains("315 bearings read"), "{message}");
        assert!(
            message.contains("At 45 of 360 bearings the model ends"),
            "{message}"
        );
        assert!(message.contains(": W to NW; there the height"), "{message}");
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
        assert!(message.contains(", 5 more; there"), "{message}");
    }
}
