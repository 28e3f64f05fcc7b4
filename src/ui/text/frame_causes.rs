//! The words for what explains a test frame, and what to do next.

use crate::astrometry::cause::Cause;
use crate::astrometry::solution::NoSolution;
use crate::astrometry::strokes::Zone;
use crate::astrometry::tilt::SoftSide;
use crate::astrometry::verdict::Verdict;
use crate::camera::f_number::next_f_number;
use crate::outing::test_frame::report::{FrameReport, ZoneStars};
use crate::ui::text::test_frame::{px, zone};
use crate::ui::text::units::{GAP, f_stop, seconds};

/// Thirds of a stop in a stop.
const THIRDS: usize = 3;

/// Parts of an exposure, and how they are told; from a little under half on it is half way.
const PARTS: [(f64, &str); 4] = [
    (0.1, "a tenth"),
    (0.2, "a fifth"),
    (0.25, "a quarter"),
    (0.33, "a third"),
];
const HALF_WAY: f64 = 0.42;

/// What explains the stars, in a few words.
pub fn verdict(report: &FrameReport) -> String {
    match report.causes.first() {
        Some(cause) => cause_words(report, *cause),
        None => without_cause(report),
    }
}

fn without_cause(report: &FrameReport) -> String {
    match report.verdict {
        Verdict::NoStars => "No stars".to_owned(),
        Verdict::NotIdentified => "Stars not identified".to_owned(),
        _ => match middle_lengths(report) {
            (Some(Some(measured)), Some(predicted)) => {
                format!(
                    "As predicted: trails of {}, expected {}",
                    px(measured),
                    px(predicted)
                )
            }
            (Some(None), Some(predicted)) => {
                format!("Sharp: trails {}, expected {}", short(), px(predicted))
            }
            _ => "As predicted".to_owned(),
        },
    }
}

fn cause_words(report: &FrameReport, cause: Cause) -> String {
    match cause {
        Cause::Knocked => match report.moved_px {
            Some(moved) => format!("The tripod moved by {}", px(moved)),
            None => "The tripod moved".to_owned(),
        },
        Cause::Defocused => match measured(report).next() {
            Some((_, stars)) => format!("Out of focus: discs of {}", px(stars.width_px)),
            None => "Out of focus".to_owned(),
        },
        Cause::Tracked => match middle_lengths(report).1 {
            Some(predicted) => format!("Tracked: the sky alone would draw {}", px(predicted)),
            None => "Tracked".to_owned(),
        },
        Cause::Tilted(side) => {
            let corners = || measured(report).filter(|(zone, _)| *zone != Zone::Middle);
            let widths = || corners().map(|(_, stars)| stars.width_px);
            let (soft, sharp) = (
                widths().fold(0.0, f64::max),
                widths().fold(f64::MAX, f64::min),
            );
            format!("Soft {}: {}, opposite {}", at(side), px(soft), px(sharp))
        }
        Cause::Decentred(corner) => {
            let (own, others): (Vec<_>, Vec<_>) = measured(report)
                .filter(|(zone, _)| *zone != Zone::Middle)
                .partition(|(zone, _)| *zone == corner);
            let most =
                |of: Vec<(Zone, &ZoneStars)>| of.into_iter().map(extent_px).fold(0.0, f64::max);
            format!(
                "One corner, {}: {}, others {}",
                zone(corner),
                px(most(own)),
                px(most(others))
            )
        }
        Cause::Lens => format!(
            "The lens: corners of {}, middle {}",
            px(widest(report, false)),
            px(widest(report, true))
        ),
    }
}

/// What to do next. `allowed_px` is the trail allowed, px of the kit's sensor; `pixel_ratio` how many of
/// those a pixel of the picture has.
pub fn next(report: &FrameReport, allowed_px: f64, pixel_ratio: f64) -> String {
    let first = match report.causes.first() {
        Some(cause) => next_of(report, *cause),
        None => match (report.verdict, report.solution) {
            (Verdict::NoStars, _) => {
                "Focus on a bright star, expose for some seconds, and take it again.".to_owned()
            }
            (Verdict::NotIdentified, Err(NoSolution::Mirrored)) => {
                "The picture is mirrored; turn it back.".to_owned()
            }
            (Verdict::NotIdentified, _) => {
                "Open the file as the camera made it: neither stitched, cut nor stretched."
                    .to_owned()
            }
            _ => keep_or_shorten(report, allowed_px, pixel_ratio),
        },
    };
    match report.causes.get(1) {
        Some(cause) => format!("{first} {}", second(report, *cause)),
        None => first,
    }
}

fn next_of(report: &FrameReport, cause: Cause) -> String {
    match cause {
        Cause::Knocked => {
            let moment = report
                .knock
                .map_or_else(String::new, |knock| moment(knock.share) + " ");
            moment + "Hang no bag, shield it from wind, use a 2 s timer, and take it again."
        }
        Cause::Defocused => {
            "Enlarge a bright star on the display and turn the ring until it is smallest."
                .to_owned()
        }
        Cause::Tracked => "Nothing to do, if that was meant.".to_owned(),
        // a disc is as wide as the aperture makes it: two stops halve it
        Cause::Tilted(_) => format!(
            "See that lens, adapter and filter sit straight. {} the soft side is half as wide.",
            closed(report, 2)
        ),
        Cause::Decentred(_) => {
            "If the next frame shows it again, an element of the lens is off its axis.".to_owned()
        }
        // transverse coma goes as the square of the aperture (third-order theory, H. H. Hopkins,
        // Wave Theory of Aberrations, 1950, from memory): a stop halves it
        Cause::Lens => format!("{} corner stars are half as wide.", closed(report, 1)),
    }
}

/// A second cause and what to do about it, in a sentence.
fn second(report: &FrameReport, cause: Cause) -> String {
    let what = cause_words(report, cause);
    match cause {
        Cause::Knocked => what + " too.",
        Cause::Defocused => what + " too; focus anew.",
        Cause::Tracked => "It was tracked too.".to_owned(),
        Cause::Tilted(side) => {
            format!(
                "Soft {} too: see that lens and filter sit straight.",
                at(side)
            )
        }
        Cause::Decentred(_) => what + " too.",
        Cause::Lens => {
            let closed = closed(report, 1);
            let closed = closed.replacen('A', "a", 1);
            format!("The lens too: {closed} corner stars are half as wide.")
        }
    }
}

/// At which f-number something is, so many stops further closed.
fn closed(report: &FrameReport, stops: usize) -> String {
    match (report.notes.f_number, stops) {
        (Some(f_number), _) => {
            let closed =
                (0..THIRDS * stops).fold(f_number, |f_number, _| next_f_number(f_number, true));
            format!("At {}", f_stop(closed))
        }
        (None, 1) => "One stop further closed,".to_owned(),
        (None, _) => "Two stops further closed,".to_owned(),
    }
}

/// When the camera moved, by the light of the weaker image over that of the stronger: which of the two
/// was first no picture tells.
fn moment(share: f64) -> String {
    let part = share / (1.0 + share);
    if part > HALF_WAY {
        return "It moved half way through the exposure.".to_owned();
    }
    let off = |(known, _): &&(f64, &str)| (known - part).abs();
    let nearest = PARTS.iter().min_by(|a, b| off(a).total_cmp(&off(b)));
    let name = nearest.map_or("", |(_, name)| name);
    format!("It moved {name} of the exposure after its start or before its end.")
}

const fn at(side: SoftSide) -> &'static str {
    match side {
        SoftSide::Left => "on the left",
        SoftSide::Right => "on the right",
        SoftSide::Top => "at the top",
        SoftSide::Bottom => "at the bottom",
        SoftSide::TopLeft => "at the top left",
        SoftSide::TopRight => "at the top right",
        SoftSide::BottomLeft => "at the bottom left",
        SoftSide::BottomRight => "at the bottom right",
    }
}

/// Stars measured, zone by zone.
fn measured(report: &FrameReport) -> impl Iterator<Item = (Zone, &ZoneStars)> {
    let zones = report.zones.iter();
    zones.filter_map(|it| Some((it.zone, it.measured.as_ref()?)))
}

/// The most that stars take up in the middle, or in the corners, px.
fn widest(report: &FrameReport, middle: bool) -> f64 {
    measured(report)
        .filter(|(zone, _)| (*zone == Zone::Middle) == middle)
        .map(extent_px)
        .fold(0.0, f64::max)
}

/// What stars take up, px.
fn extent_px((_, stars): (Zone, &ZoneStars)) -> f64 {
    stars.width_px.max(stars.stroke.length_px)
}

/// The middle's stroke, `Some(None)` where it is short, and the one predicted; px.
fn middle_lengths(report: &FrameReport) -> (Option<Option<f64>>, Option<f64>) {
    let middle = report.zones.iter().find(|it| it.zone == Zone::Middle);
    let measured = middle.and_then(|it| it.measured.as_ref());
    (
        measured.map(|stars| (!stars.short).then_some(stars.stroke.length_px)),
        middle.and_then(|it| Some(it.predicted?.length_px)),
    )
}

/// Whether the trails are short enough, and else the time in which they are.
fn keep_or_shorten(report: &FrameReport, allowed_px: f64, pixel_ratio: f64) -> String {
    let trails = report.zones.iter().filter_map(|it| it.predicted);
    let longest = trails
        .map(|stroke| stroke.length_px * pixel_ratio)
        .fold(0.0, f64::max);
    match report.notes.exposure_s {
        Some(exposure_s) if longest > allowed_px && longest > 0.0 => {
            let time = exposure_s * allowed_px / longest;
            format!(
                "Up to {} predicted; at most {} keeps {} everywhere.",
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

#[cfg(test)]
mod tests {
    use super::*;
    use crate::astrometry::knock::Knock;
    use crate::outing::test_frame::offers::tests::good;
    use crate::outing::test_frame::report::ZoneReport;

    fn spaced(text: &str) -> String {
        text.replace(GAP, " ")
    }

    fn with(verdict: Verdict, causes: &[Cause]) -> FrameReport {
        FrameReport {
            verdict,
            causes: causes.to_vec(),
            ..good()
        }
    }

    #[test]
    fn each_verdict_has_a_name_and_a_next_step() {
        let tilted = Cause::Tilted(SoftSide::TopLeft);
        let table: [(Verdict, &[Cause], &str, &str); 8] = [
            (
                Verdict::AsPredicted,
                &[],
                "As predicted: trails of 3.1 px, expected 3.0 px",
                "at most 6.6 s keeps 2.0 px",
            ),
            (
                Verdict::Knocked,
                &[Cause::Knocked],
                "The tripod moved",
                "take it again",
            ),
            (
                Verdict::Defocused,
                &[Cause::Defocused],
                "Out of focus: discs of 2.0 px",
                "until it is smallest",
            ),
            (
                Verdict::Lens,
                &[Cause::Lens],
                "The lens: corners of 3.3 px, middle 3.1 px",
                "At f/2.8 corner stars are half as wide.",
            ),
            (
                Verdict::Lens,
                &[tilted],
                "Soft at the top left: 3.0 px, opposite 3.0 px",
                "sit straight. At f/4 the soft side is half as wide.",
            ),
            (
                Verdict::Tracked,
                &[Cause::Tracked],
                "Tracked: the sky alone would draw 3.0 px",
                "if that was meant",
            ),
            (Verdict::NoStars, &[], "No stars", "Focus on a bright star"),
            (
                Verdict::NotIdentified,
                &[],
                "Stars not identified",
                "as the camera made it",
            ),
        ];
        for (kind, causes, what, then) in table {
            let report = with(kind, causes);
            assert_eq!(spaced(&verdict(&report)), what);
            let next = spaced(&next(&report, 2.0, 1.0));
            assert!(next.contains(then), "{kind:?}: {next}");
            assert!(next.ends_with('.'), "{next}");
            assert!(!next.contains(" too"), "{next}");
        }
        assert!(next(&good(), 4.0, 1.0).contains("keep these settings"));
        // a picture of half the pixels: its trails count double
        assert!(next(&good(), 4.0, 2.0).starts_with("Up to 6.0"));
    }

    /// All corners are measured where one of them is called worse than the others.
    #[test]
    fn one_soft_corner_is_told_with_the_others() {
        let mut report = with(Verdict::Lens, &[Cause::Decentred(Zone::TopLeft)]);
        let soft = report
            .zones
            .iter()
            .find(|it| it.zone == Zone::TopLeft)
            .expect("a corner")
            .clone();
        for (zone, width_px) in [
            (Zone::TopRight, 1.9),
            (Zone::BottomLeft, 2.1),
            (Zone::BottomRight, 1.8),
        ] {
            report.zones.retain(|it| it.zone != zone);
            let mut sharp = ZoneReport {
                zone,
                ..soft.clone()
            };
            let stars = sharp.measured.as_mut().expect("stars");
            stars.width_px = width_px;
            stars.stroke.length_px = 1.0;
            report.zones.push(sharp);
        }
        assert_eq!(
            spaced(&verdict(&report)),
            "One corner, top left: 3.3 px, others 2.1 px"
        );
        let next = spaced(&next(&report, 2.0, 1.0));
        assert!(next.contains("If the next frame shows it again"), "{next}");
    }

    #[test]
    fn a_knock_is_told_with_its_moment() {
        let knocked = |share: f64| FrameReport {
            moved_px: Some(7.04),
            knock: Some(Knock {
                dx_px: 7.0,
                dy_px: 0.8,
                share,
                pairs: 30,
            }),
            ..with(Verdict::Knocked, &[Cause::Knocked])
        };
        assert_eq!(
            spaced(&verdict(&knocked(0.5))),
            "The tripod moved by 7.0 px"
        );
        // half as much light there: a third of the time
        for (share, want) in [
            (
                0.5,
                "It moved a third of the exposure after its start or before its end. Hang",
            ),
            (0.25, "It moved a fifth of"),
            (0.05, "It moved a tenth of"),
            (0.9, "It moved half way through the exposure. Hang"),
        ] {
            let next = next(&knocked(share), 2.0, 1.0);
            assert!(next.starts_with(want), "{share}: {next}");
        }
    }

    #[test]
    fn a_second_cause_has_a_sentence_of_its_own() {
        let left = Cause::Tilted(SoftSide::Left);
        let table: [(&[Cause], &str); 4] = [
            (
                &[Cause::Knocked, Cause::Lens],
                "The lens too: at f/2.8 corner stars are half as wide.",
            ),
            (
                &[Cause::Knocked, Cause::Defocused],
                "Out of focus: discs of 2.0 px too; focus anew.",
            ),
            (
                &[Cause::Defocused, left],
                "Soft on the left too: see that lens and filter sit straight.",
            ),
            (&[Cause::Defocused, Cause::Tracked], "It was tracked too."),
        ];
        for (causes, want) in table {
            let report = with(Verdict::of(causes), causes);
            let next = spaced(&next(&report, 2.0, 1.0));
            assert!(next.ends_with(want), "{next}");
            assert!(next.len() > want.len() + 20, "the first's is there: {next}");
        }
    }
}
