//! The words of a test frame: how it is opened and measured, and what its stars show. Why they are so
//! is told by [`frame_causes`](crate::ui::text::frame_causes).

use crate::astrometry::stage::Stage;
use crate::astrometry::strokes::{SHORT_PX, Zone};
use crate::astrometry::verdict::Verdict;
use crate::decimal::{fixed, plain};
use crate::outing::test_frame::report::{CameraNotes, FrameReport, SolvedFrame, ZoneReport};
use crate::ui::text::frame_causes::verdict;
use crate::ui::text::units::{GAP, f_stop, focal};

/// Before a picture is opened.
pub const INVITATION: &str = "Are the stars sharp, and if not, why? Open a picture of the night sky you just took: JPEG or \
     raw, not cropped. It also tells where the camera pointed, what the lens does and where the \
     skyline runs. It stays on this phone.";

/// After a picture that cannot be measured, over the one before.
pub const BEFORE: &str = " The picture before stands below.";

/// How the border of sky and ground is corrected.
pub const CORRECT: &str = "Drag the dotted border to where sky and ground meet.";

/// Where the frame's stars do not stand beside the drawn ones for want of its aim.
pub const COMPARED_WITH_AIM: &str =
    "Once its aim is known, How long? shows these stars beside the drawn ones.";

/// What is taken over when they do.
pub const COMPARED_WITH: &str = "with this aim, lens and night";

/// An answer of another kind than was asked for.
pub const UNEXPECTED: &str = "That did not work; open the picture again.";

/// The browser cannot show what the worker could read.
pub const NOT_SHOWN: &str = "This phone does not show this kind of file; its stars are drawn.";

/// What the code is photographed for.
pub const WHY_CLOCK: &str = "tells how far the camera's clock is off";

/// Over the saved kits.
pub const AGAINST: &str = "Measured against the kit";

/// Which of them took the picture, by its file.
pub fn of_kit(notes: &CameraNotes, kit: &str) -> String {
    let marked = notes.focal_mm.map(focal).unwrap_or_default();
    format!("The file says {marked}: that is “{kit}”.")
}

/// How the code is photographed.
pub const CODE: &str = "Photograph it as large as it goes: f/16 keeps it sharp though the lens is focused on stars, \
     1/60 s or shorter. Then open the photo here.";

/// Before the first code is drawn.
pub const DRAWING: &str = "Drawing the code …";

/// While a photo of the code is read.
pub const READING: &str = "Reading the code …";

/// What is asked where the file does not say how its clock stands.
pub const WHICH_CLOCK: &str = "The file does not say which zone its clock is in. It shows";

/// While a picture is measured: what is being done, and how much there is to do; before that, the
/// worker may have to be fetched.
pub fn stage(stage: Option<Stage>) -> String {
    let words = match stage {
        None => return "Getting ready …".to_owned(),
        Some(Stage::Reading) => "Reading …",
        Some(Stage::Finding) => "Finding stars …",
        Some(Stage::Measuring) => "Measuring …",
        Some(Stage::Identifying) => "Identifying …",
    };
    let place = Stage::ALL.iter().position(|one| Some(*one) == stage);
    let place = place.map_or(0, |place| place + 1);
    format!("{words} {place} of {}", Stage::ALL.len())
}

/// A sentence with a capital and a full stop.
pub fn sentence(text: &str) -> String {
    let mut letters = text.chars();
    let first = letters.next().map(|first| first.to_uppercase().to_string());
    let end = if text.ends_with('.') { "" } else { "." };
    first.unwrap_or_default() + letters.as_str() + end
}

/// Pixels to the second figure.
pub(super) fn px(pixels: f64) -> String {
    fixed(pixels, if pixels < 9.95 { 1 } else { 0 }) + GAP + "px"
}

/// The part of the picture.
pub const fn zone(zone: Zone) -> &'static str {
    match zone {
        Zone::Middle => "middle",
        Zone::TopLeft => "top left",
        Zone::TopRight => "top right",
        Zone::BottomLeft => "bottom left",
        Zone::BottomRight => "bottom right",
    }
}

/// What stands under a star: its trail, or its width where that is what tells.
pub fn zone_stars(report: &ZoneReport, verdict: Verdict) -> (String, String) {
    let by_width = matches!(verdict, Verdict::Lens | Verdict::NotIdentified);
    if verdict == Verdict::Knocked {
        // one of two images, whose length is no trail
        return ("doubled".to_owned(), String::new());
    }
    let measured = match &report.measured {
        Some(stars) if stars.discs => format!("disc {}", px(stars.width_px)),
        Some(stars) if stars.short && by_width => px(stars.width_px) + " wide",
        Some(stars) if stars.short => "< 1.5".to_owned() + GAP + "px",
        Some(stars) => px(stars.stroke.length_px),
        None => "–".to_owned(),
    };
    // a disc is no trail
    let is_disc = report.measured.as_ref().is_some_and(|stars| stars.discs);
    let predicted = match report.predicted {
        _ if is_disc => String::new(),
        Some(stroke) if by_width => format!("trail {}", px(stroke.length_px)),
        Some(stroke) => format!("expect {}", px(stroke.length_px)),
        None => String::new(),
    };
    (measured, predicted)
}

/// What was measured of the stars of a part, px of the sensor, of which so many lie along one of the
/// picture.
pub fn beside_drawn(report: &ZoneReport, pixel_ratio: f64) -> String {
    match &report.measured {
        Some(stars) if stars.discs => format!("disc {}", px(pixel_ratio * stars.width_px)),
        Some(stars) if stars.short => format!("<{GAP}{}", px(pixel_ratio * SHORT_PX)),
        Some(stars) => px(pixel_ratio * stars.stroke.length_px),
        None => String::new(),
    }
}

/// A star's picture, for a screen reader.
pub fn zone_label(report: &ZoneReport, verdict: Verdict) -> String {
    let (measured, predicted) = zone_stars(report, verdict);
    let width = report.measured.as_ref().map(|stars| px(stars.width_px));
    let width = width
        .map(|width| format!(", {width} wide"))
        .unwrap_or_default();
    let predicted = match predicted.as_str() {
        "" => String::new(),
        predicted => format!(", {predicted}"),
    };
    format!(
        "{}: {measured} measured{predicted}{width}",
        zone(report.zone)
    )
}

/// By how much what is drawn is longer: strokes measured, strokes predicted, and the arrow of a knock,
/// as far as each is there.
pub fn longer(factor: f64, (measured, predicted, arrow): (bool, bool, bool)) -> String {
    let strokes = match (measured, predicted) {
        (true, true) => "solid measured, dashed predicted",
        (true, false) => "strokes as measured",
        (false, true) => "dashed strokes as predicted",
        (false, false) => "",
    };
    let arrow = if arrow {
        "the arrow is how the picture moved"
    } else {
        ""
    };
    let drawn: Vec<_> = [strokes, arrow]
        .into_iter()
        .filter(|word| !word.is_empty())
        .collect();
    if drawn.is_empty() {
        return String::new();
    }
    format!("{} × longer: {}", plain(factor), drawn.join("; "))
}

/// How the picture was taken: shutter, f-number, ISO speed, as far as the file says.
pub fn settings(report: &FrameReport) -> String {
    let notes = &report.notes;
    let parts = [
        notes.exposure_s.map(shutter),
        notes.f_number.map(f_stop),
        notes.iso.map(|iso| format!("ISO {}", plain(iso.round()))),
    ];
    parts.into_iter().flatten().collect::<Vec<_>>().join(", ")
}

/// A shutter time as cameras write it: short ones as a fraction.
fn shutter(exposure_s: f64) -> String {
    /// From this time on cameras write seconds (common practice).
    const LONG_S: f64 = 0.3;
    let time = if exposure_s < LONG_S {
        format!("1/{}", plain(exposure_s.recip().round()))
    } else {
        plain((10.0 * exposure_s).round() / 10.0)
    };
    time + GAP + "s"
}

/// How many stars, how well they fit, and whether the picture was made smaller for it.
pub fn found(report: &FrameReport) -> String {
    let halved = if report.notes.halved {
        "; measured at half its size"
    } else {
        ""
    };
    stars_found(report) + halved
}

fn stars_found(report: &FrameReport) -> String {
    let found = match report.found {
        count if report.verdict == Verdict::NoStars => format!("{count} specks found"),
        1 => "1 star found".to_owned(),
        count => format!("{count} stars found"),
    };
    match &report.solution {
        Ok(SolvedFrame {
            matched, rms_px, ..
        }) => {
            format!(
                "{found}, {matched} identified to {}",
                fixed(*rms_px, 2) + GAP + "px"
            )
        }
        Err(_) => found,
    }
}

/// The picture, for a screen reader.
pub fn picture(report: &FrameReport) -> String {
    format!(
        "the frame with its stars ringed; {}; {}",
        found(report),
        verdict(report)
    )
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::test_frame::offers::tests::{good, zone as zone_of};

    fn spaced(text: &str) -> String {
        text.replace(GAP, " ")
    }

    #[test]
    fn stars_are_told_short_as_discs_and_by_length() {
        let mut report = zone_of(Zone::TopLeft, 1.2, 2.0);
        assert_eq!(
            spaced(&zone_stars(&report, Verdict::AsPredicted).0),
            "< 1.5 px"
        );
        report = zone_of(Zone::TopLeft, 3.26, 2.0);
        assert_eq!(
            spaced(&zone_label(&report, Verdict::AsPredicted)),
            "top left: 3.3 px measured, expect 3.0 px, 2.0 px wide"
        );
        if let Some(stars) = &mut report.measured {
            (stars.discs, stars.width_px) = (true, 12.3);
        }
        assert_eq!(
            spaced(&zone_stars(&report, Verdict::AsPredicted).0),
            "disc 12 px"
        );
    }

    #[test]
    fn settings_are_told_as_far_as_the_file_says() {
        let mut report = good();
        report.notes.iso = Some(3200.0);
        assert_eq!(spaced(&settings(&report)), "10 s, f/2, ISO 3200");
        report.notes.f_number = None;
        report.notes.exposure_s = Some(1.0 / 60.0);
        assert_eq!(spaced(&settings(&report)), "1/60 s, ISO 3200");
        report.notes.exposure_s = Some(10.0);
        assert_eq!(spaced(&settings(&report)), "10 s, ISO 3200");
        report.notes = CameraNotes::default();
        assert_eq!(settings(&report), "");
        report.notes.halved = true;
        assert!(found(&report).ends_with("; measured at half its size"));
    }

    #[test]
    fn a_sentence_has_a_capital_and_an_end() {
        assert_eq!(sentence("no code was found"), "No code was found.");
        assert_eq!(sentence("Done."), "Done.");
        assert_eq!(sentence(""), ".");
    }
}
