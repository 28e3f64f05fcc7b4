//! The words of Where?: the core's place, the ridge it clears, the frame.

use super::night_words::{self, bearing, compass, time};
use super::shown::{Others, Shown, days_of};
use super::words::{self, degrees_to};
use crate::angle::Angle;
use crate::land::declination::Declination;
use crate::land::survey::{Surveyed, unknown_stretches};
use crate::outing::answer::Answer;
use crate::outing::plan::Outing;
use crate::outing::scene::Scene;
use crate::sky::almanac::Body;
use crate::sky::night::Course;

/// The core's bearing, and its height at the minute looked at.
pub fn core(shown: &Shown) -> (String, String) {
    let core = shown.reading.core;
    let looks = shown.watch.apparent(core).0;
    let night = shown.watch.night(shown.date);
    let ridge = shown
        .watch
        .ridge_under_core_deg(&night, days_of(shown.minute));
    // over a plain far below a body shows while it is below level
    let clear = looks.degrees() >= ridge;
    let under = match looks < Angle::ZERO {
        true if clear => format!(
            "core {} below level, clear",
            degrees_to(Angle::from_radians(-looks.radians()), 1)
        ),
        true => "core below the horizon".to_owned(),
        false if clear => format!("core {} up, clear", degrees_to(looks, 0)),
        false => format!("core {} up, behind the ridge", degrees_to(looks, 0)),
    };
    (bearing(core.bearing), under)
}

/// The night and minute looked at.
pub fn moment(shown: &Shown) -> String {
    let at = time(shown.local(days_of(shown.minute)));
    format!("{at} · {}", night_words::night(shown.date))
}

/// When and where the core clears the ridge and goes behind.
pub fn sentence(shown: &Shown) -> String {
    let core = &shown.evening.core;
    match (core.crossings.is_empty(), core.starts_above) {
        (true, true) => "The core stays clear of the ridge all night.".to_owned(),
        (true, false) => "The core never clears the ridge this night.".to_owned(),
        _ => {
            let told = crossings(shown, Body::Core, core, ["clears the ridge", "goes behind"]);
            format!("The core {told}.")
        }
    }
}

/// The same of the Moon and the Sun, where they cross it.
pub fn others(shown: &Shown, others: Option<&Others>) -> String {
    let mut text = String::new();
    let Some(Others { moon, sun }) = others else {
        return text;
    };
    for (body, name, course) in [(Body::Moon, "Moon", moon), (Body::Sun, "Sun", sun)] {
        if !course.crossings.is_empty() {
            let told = crossings(shown, body, course, ["over the ridge", "behind it"]);
            text += &format!("{name}: {told}. ");
        }
    }
    text
}

fn crossings(shown: &Shown, body: Body, course: &Course, words: [&str; 2]) -> String {
    let night = shown.watch.night(shown.date);
    let mut said = String::new();
    for crossing in &course.crossings {
        let place = night.see(body, crossing.at).standing().bearing;
        if !said.is_empty() {
            said += ", ";
        }
        said += words[usize::from(!crossing.up)];
        said += " at ";
        said += &time(shown.local(crossing.at));
        said += ", ";
        said += &bearing(place);
    }
    said
}

/// What the lines of the view mean, and what this frame allows.
pub fn legend(outing: &Outing, answer: &Answer, drift_laid: bool) -> String {
    let mut said = format!(
        "{}: {} for {}, {} for every corner.",
        words::focal(outing.kit.lens.focal_mm),
        words::clean(answer.clean_core),
        words::target(answer.target),
        words::clean(answer.clean_frame),
    );
    if answer.target_at.is_none() {
        said += " The core is outside this frame.";
    }
    if drift_laid {
        said += &format!(
            " Heavy line: a trail of {} at the dial time.",
            words::trail(answer.allowed_px)
        );
    }
    said + " Drag the sky to turn the camera. Dashed skyline: nobody has looked there."
}

/// The skyline in a line.
pub fn skyline(outing: &Outing) -> String {
    let ridge = &outing.site.ridge;
    let level = words::skyline_height(ridge.all_round());
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
    let mut said = format!("{known} bearings read; {kept} of them draw the same skyline to 0.05°.");
    let unknown = survey.len() - known;
    if unknown == 0 {
        return said;
    }
    said += &format!(
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
    said += &if named.is_empty() {
        ", in gaps so narrow that the line is drawn across.".to_owned()
    } else {
        let named = named.join(", ");
        format!(": {named}; there the height where nobody has looked is used.")
    };
    said
}

/// What opens the panorama's sheet.
pub fn panorama_door() -> String {
    "The arch, and a panorama of it".to_owned()
}

/// The view for a screen reader.
pub fn view(outing: &Outing, shown: &Shown, scene: &Scene<'_>, at: f64) -> String {
    let frame = outing.aim().frame;
    let inside = match scene.body(Body::Core, at) {
        Some((x, y)) => {
            let across = ["left", "middle", "right"][((x * 3.0) as usize).min(2)];
            let down = ["upper", "middle", "lower"][((y * 3.0) as usize).min(2)];
            format!("the core in the {down} row, {across}")
        }
        None => "the core is not in it".to_owned(),
    };
    format!(
        "the frame at {}: facing {}, {} up; {inside}",
        time(shown.local(at)),
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
        let told = survey_read(&survey(|at| (271..315).contains(&at) || at == 90), 3);
        assert!(told.contains("315 bearings read"), "{told}");
        assert!(
            told.contains("At 45 of 360 bearings the model ends"),
            "{told}"
        );
        assert!(told.contains(": W to NW; there the height"), "{told}");
        let told = survey_read(&survey(|at| at == 90), 3);
        assert!(
            told.ends_with("narrow that the line is drawn across."),
            "{told}"
        );
        let told = survey_read(&survey(|_| true), 0);
        assert!(
            told.contains("At 360 of 360") && told.contains("all round"),
            "{told}"
        );
        let told = survey_read(&survey(|at| at % 40 < 10), 3);
        assert!(told.contains(", 5 more; there"), "{told}");
    }
}
