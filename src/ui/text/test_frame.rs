//! The words of a test frame: what its stars show, what to do next, what the outing can take.

use crate::astrometry::solution::NoSolution;
use crate::astrometry::strokes::Zone;
use crate::astrometry::verdict::Verdict;
use crate::camera::dial::next_f_number;
use crate::decimal::{fixed, plain};
use crate::outing::test_frame::report::{FrameReport, SolvedFrame, ZoneReport};
use crate::ui::text::units::{GAP, f_stop, seconds};

/// Before a picture is opened.
pub const INVITATION: &str =
    "Open a picture of the night sky you just took. It is measured here and goes nowhere.";

/// After a picture that cannot be measured, over the one before.
pub const BEFORE: &str = " The picture before stands below.";

/// How the border of sky and ground is corrected.
pub const CORRECT: &str = "Drag the dotted border to where sky and ground meet.";

/// While it is measured.
pub const MEASURING: &str = "Measuring its stars …";

/// An answer of another kind than was asked for.
pub const UNEXPECTED: &str = "That did not work; open the picture again.";

/// The browser cannot show what the worker could read.
pub const NOT_SHOWN: &str = "This phone does not show this kind of file; its stars are drawn.";

/// How the code is photographed.
pub const CODE: &str = "Photograph it as large as it goes: f/16 keeps it sharp though the lens is focused on stars, \
     1/60 s or shorter. Then open the photo here.";

/// Before the first code is drawn.
pub const DRAWING: &str = "Drawing the code …";

/// While a photo of the code is read.
pub const READING: &str = "Reading the code …";

/// What is asked where the file does not say how its clock stands.
pub const WHICH_CLOCK: &str = "The file does not say which zone its clock is in. It shows";

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

/// What explains the stars, in a few words.
pub fn verdict(report: &FrameReport) -> String {
    let widest = |middle: bool| {
        let zones = report.zones.iter();
        let zones = zones.filter(move |it| (it.zone == Zone::Middle) == middle);
        let stars = zones.filter_map(|it| it.measured.as_ref());
        stars
            .map(|stars| stars.width_px.max(stars.stroke.length_px))
            .fold(0.0, f64::max)
    };
    let middle = report.zones.iter().find(|it| it.zone == Zone::Middle);
    let lengths = middle.map(|it| {
        let measured = it.measured.as_ref();
        let measured = measured.map(|stars| (!stars.short).then_some(stars.stroke.length_px));
        (measured, it.predicted.map(|stroke| stroke.length_px))
    });
    match report.verdict {
        Verdict::AsPredicted => match lengths {
            Some((Some(Some(measured)), Some(predicted))) => {
                format!("As predicted: {} for {}", px(measured), px(predicted))
            }
            Some((Some(None), Some(predicted))) => {
                format!("Sharp: trails {}, {} predicted", short(), px(predicted))
            }
            _ => "As predicted".to_owned(),
        },
        Verdict::Knocked => match report.moved_px {
            Some(moved) => format!("The tripod moved by {}", px(moved)),
            None => "The tripod moved".to_owned(),
        },
        Verdict::Defocused => {
            let discs = report.zones.iter().filter_map(|it| it.measured.as_ref());
            let width = discs.map(|stars| stars.width_px).next();
            match width {
                Some(width) => format!("Out of focus: discs of {}", px(width)),
                None => "Out of focus".to_owned(),
            }
        }
        Verdict::Lens => format!(
            "The lens: corners of {}, middle {}",
            px(widest(false)),
            px(widest(true))
        ),
        Verdict::Tracked => match lengths {
            Some((_, Some(predicted))) => {
                format!("Tracked: the sky alone would draw {}", px(predicted))
            }
            _ => "Tracked".to_owned(),
        },
        Verdict::NoStars => "No stars".to_owned(),
        Verdict::NotIdentified => "Stars not identified".to_owned(),
    }
}

/// What to do next. `allowed_px` is the trail allowed, px of the kit's sensor; `finer` how many of
/// those a pixel of the picture has.
pub fn next(report: &FrameReport, allowed_px: f64, finer: f64) -> String {
    match report.verdict {
        Verdict::AsPredicted => keep_or_shorten(report, allowed_px, finer),
        Verdict::Knocked => {
            "Hang no bag, shield it from wind, use a 2 s timer, and take it again.".to_owned()
        }
        Verdict::Defocused => {
            "Enlarge a bright star on the display and turn the ring until it is smallest."
                .to_owned()
        }
        // transverse coma goes as the square of the aperture (third-order theory, H. H. Hopkins,
        // Wave Theory of Aberrations, 1950, from memory): a stop halves it
        Verdict::Lens => match report.notes.f_number {
            Some(f_number) => {
                let closed = (0..3).fold(f_number, |f_number, _| next_f_number(f_number, true));
                format!("At {} corner stars are half as wide.", f_stop(closed))
            }
            None => "A stop further closed corner stars are half as wide.".to_owned(),
        },
        Verdict::Tracked => "Nothing to do, if that was meant.".to_owned(),
        Verdict::NoStars => {
            "Focus on a bright star, expose for some seconds, and take it again.".to_owned()
        }
        Verdict::NotIdentified => match report.solution {
            Err(NoSolution::Mirrored) => "The picture is mirrored; turn it back.".to_owned(),
            _ => "Open the file as the camera made it: neither stitched, cut nor stretched."
                .to_owned(),
        },
    }
}

/// Whether the trails are short enough, and else the time in which they are.
fn keep_or_shorten(report: &FrameReport, allowed_px: f64, finer: f64) -> String {
    let trails = report.zones.iter().filter_map(|it| it.predicted);
    let longest = trails
        .map(|stroke| stroke.length_px * finer)
        .fold(0.0, f64::max);
    match report.notes.exposure_s {
        Some(exposure_s) if longest > allowed_px && longest > 0.0 => {
            let time = exposure_s * allowed_px / longest;
            format!(
                "Longest {}; at most {} keeps {} in every corner.",
                px(longest),
                seconds(time),
                px(allowed_px)
            )
        }
        Some(_) => format!(
            "All corners are within {}: keep these settings.",
            px(allowed_px)
        ),
        None => "The file does not say how long it was exposed.".to_owned(),
    }
}

/// A trail that is not told from a star's own shape, in a sentence.
fn short() -> String {
    "under 1.5".to_owned() + GAP + "px"
}

/// What stands under a star: its trail, or its width where that is what tells.
pub fn zone_stars(report: &ZoneReport, verdict: Verdict) -> (String, String) {
    let by_width = matches!(verdict, Verdict::Lens | Verdict::NotIdentified);
    let measured = match &report.measured {
        Some(stars) if stars.discs => format!("disc {}", px(stars.width_px)),
        Some(stars) if stars.short && by_width => px(stars.width_px) + " wide",
        Some(stars) if stars.short => "< 1.5".to_owned() + GAP + "px",
        Some(stars) => px(stars.stroke.length_px),
        None => "–".to_owned(),
    };
    let predicted = match report.predicted {
        Some(stroke) => format!("for {}", px(stroke.length_px)),
        None => String::new(),
    };
    (measured, predicted)
}

/// A star's picture, for a screen reader.
pub fn zone_label(report: &ZoneReport, verdict: Verdict) -> String {
    let (measured, predicted) = zone_stars(report, verdict);
    let width = report.measured.as_ref().map(|stars| px(stars.width_px));
    let width = width
        .map(|width| format!(", {width} wide"))
        .unwrap_or_default();
    format!(
        "{}: {measured} measured {predicted}{width}",
        zone(report.zone)
    )
}

/// By how much strokes are drawn longer.
pub fn longer(factor: f64) -> String {
    format!(
        "Strokes {} × longer: solid measured, dashed predicted",
        plain(factor)
    )
}

/// How many stars, and how well they fit.
pub fn found(report: &FrameReport) -> String {
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

    fn with(verdict: Verdict) -> FrameReport {
        FrameReport { verdict, ..good() }
    }

    #[test]
    fn each_verdict_has_a_name_and_a_next_step() {
        let table = [
            (
                Verdict::AsPredicted,
                "As predicted: 3.1 px for 3.0 px",
                "at most 6.6 s keeps 2.0 px",
            ),
            (Verdict::Knocked, "The tripod moved", "take it again"),
            (
                Verdict::Defocused,
                "Out of focus: discs of 2.0 px",
                "until it is smallest",
            ),
            (
                Verdict::Lens,
                "The lens: corners of 3.3 px, middle 3.1 px",
                "At f/2.8 corner stars are half as wide.",
            ),
            (
                Verdict::Tracked,
                "Tracked: the sky alone would draw 3.0 px",
                "if that was meant",
            ),
            (Verdict::NoStars, "No stars", "Focus on a bright star"),
            (
                Verdict::NotIdentified,
                "Stars not identified",
                "as the camera made it",
            ),
        ];
        assert_eq!(table.len(), Verdict::ALL.len());
        for (kind, what, then) in table {
            let report = with(kind);
            assert_eq!(spaced(&verdict(&report)), what);
            let next = spaced(&next(&report, 2.0, 1.0));
            assert!(next.contains(then), "{kind:?}: {next}");
            assert!(next.ends_with('.'), "{next}");
        }
        let moved = FrameReport {
            moved_px: Some(7.04),
            ..with(Verdict::Knocked)
        };
        assert_eq!(spaced(&verdict(&moved)), "The tripod moved by 7.0 px");
        assert!(next(&good(), 4.0, 1.0).contains("keep these settings"));
        // a picture of half the pixels: its trails count double
        assert!(next(&good(), 4.0, 2.0).starts_with("Longest 6.0"));
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
            "top left: 3.3 px measured for 3.0 px, 2.0 px wide"
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
    fn a_sentence_has_a_capital_and_an_end() {
        assert_eq!(sentence("no code was found"), "No code was found.");
        assert_eq!(sentence("Done."), "Done.");
        assert_eq!(sentence(""), ".");
    }
}
