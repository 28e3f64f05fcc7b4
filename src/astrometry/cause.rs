//! What made the stars of a frame as they are: up to two causes, from their strokes and widths in the
//! middle and the corners against the strokes that the turning sky draws.

use serde::{Deserialize, Serialize};

use crate::astrometry::knock::Knock;
use crate::astrometry::predicted_stroke::PredictedStroke;
use crate::astrometry::strokes::{Profile, SHORT_PX, StrokeMeasure, Zone};
use crate::astrometry::tilt::{SoftSide, is_wider, tilt};

/// From this radius of a disc, or full width at half maximum of a Gaussian, in the middle of the
/// picture, px, the lens is out of focus. A sharp, demosaiced star is 2 to 4 px wide (common
/// practice).
const DEFOCUSED_RADIUS_PX: f64 = 2.0;
const DEFOCUSED_WIDTH_PX: f64 = 6.5;

/// A tracked frame's strokes are shorter than predicted by this factor and by this much, px.
const TRACKED_SHARE: f64 = 0.45;
const TRACKED_PX: f64 = 1.2;

/// By how much a stroke must differ from the predicted one to count, px, and as a share of it.
const DIFFERENT_PX: f64 = 1.0;
const DIFFERENT_SHARE: f64 = 0.25;

/// Out of focus it must differ by this share of a disc's radius more: neighbours' discs run into a
/// star's and lengthen it (on drawn frames by a seventh at most).
const DIFFERENT_DISC_SHARE: f64 = 0.2;

/// So many corners must be good for the one left to be told apart from the lens.
const OTHER_CORNERS: usize = 3;

/// Most causes told: of more the first two are worth a photographer's time.
const MOST_CAUSES: usize = 2;

/// What makes stars other than the turning sky does.
#[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
pub enum Cause {
    /// The camera was moved during the exposure.
    Knocked,
    /// The lens is out of focus.
    Defocused,
    /// The camera followed the sky.
    Tracked,
    /// A side of the picture is soft and the opposite one sharp: lens or sensor stands askew.
    Tilted(SoftSide),
    /// One corner has wider or longer stars, and the others do not: an element of the lens stands off its
    /// axis, or something else is wrong there.
    Decentred(Zone),
    /// The lens draws wider or longer stars in its corners.
    Lens,
}

/// A stroke that was measured, and the one predicted for its zone.
type Compared<'a> = (&'a StrokeMeasure, PredictedStroke);

/// The causes, the weightiest first; none where the turning sky explains the stars.
///
/// Without predicted strokes, where the exposure is not known, only those are found that the
/// picture alone shows. On drawn frames (`tests/frame_causes`) one cause is not taken for two.
pub fn causes(
    knock: Option<Knock>,
    measured: &[StrokeMeasure],
    predicted: &[PredictedStroke],
) -> Vec<Cause> {
    let middle = measured.iter().find(|stroke| stroke.zone == Zone::Middle);
    let tilt = tilt(measured);
    // a corner may stand in for a middle without stars, and the sharpest part for one that is askew
    let judged = match &tilt {
        Some(tilt) => Some(tilt.sharp),
        None => middle.or(measured.first()),
    };
    let defocused = judged.is_some_and(is_defocused);
    let compared = compared(measured, predicted);
    let tracked = is_tracked(&compared);
    // where the camera follows, the sky draws nothing
    let of_sky = |(stroke, predicted): &Compared<'_>| {
        let length_px = if tracked { 0.0 } else { predicted.length_px };
        differ(
            stroke,
            &PredictedStroke {
                length_px,
                ..*predicted
            },
        )
    };
    let differs_in_middle = compared
        .iter()
        .any(|pair| pair.0.zone == Zone::Middle && of_sky(pair));
    // a lens draws the middle well, a moved camera nothing
    let smeared = knock.is_none() && differs_in_middle && !defocused && !tracked;
    let is_corner = |stroke: &StrokeMeasure| {
        let soft = tilt.as_ref().is_some_and(|tilt| tilt.is_soft(stroke.zone));
        stroke.zone != Zone::Middle && !soft
    };
    // where the camera's way is in every stroke, only widths tell of the lens
    let long = |corner: &StrokeMeasure| {
        let mut pairs = compared.iter();
        !smeared && pairs.any(|pair| pair.0.zone == corner.zone && of_sky(pair))
    };
    let wide =
        |corner: &StrokeMeasure| middle.is_some_and(|middle| is_wider(corner, middle.width_px));
    let corners = measured.iter().filter(|stroke| is_corner(stroke));
    let (bad, good): (Vec<&StrokeMeasure>, Vec<&StrokeMeasure>) =
        corners.partition(|corner| long(corner) || wide(corner));
    let lens = match &bad[..] {
        [] => None,
        [one] if good.len() >= OTHER_CORNERS => Some(Cause::Decentred(one.zone)),
        _ => Some(Cause::Lens),
    };
    let all = [
        (knock.is_some() || smeared).then_some(Cause::Knocked),
        defocused.then_some(Cause::Defocused),
        tracked.then_some(Cause::Tracked),
        tilt.as_ref().map(|tilt| Cause::Tilted(tilt.side)),
        lens,
    ];
    all.into_iter().flatten().take(MOST_CAUSES).collect()
}

/// The strokes that have a predicted one.
fn compared<'a>(measured: &'a [StrokeMeasure], predicted: &[PredictedStroke]) -> Vec<Compared<'a>> {
    let pair = |stroke: &'a StrokeMeasure| {
        let own = predicted.iter().find(|other| other.zone == stroke.zone)?;
        Some((stroke, *own))
    };
    measured.iter().filter_map(pair).collect()
}

/// Whether most strokes that could tell are much shorter than predicted.
fn is_tracked(compared: &[Compared<'_>]) -> bool {
    let drifting = compared
        .iter()
        .filter(|(_, predicted)| predicted.length_px > 2.0 * TRACKED_PX);
    let shorter = drifting.clone().filter(|(measured, predicted)| {
        measured.length_px < TRACKED_SHARE * predicted.length_px
            && predicted.length_px - measured.length_px > TRACKED_PX
    });
    2 * shorter.count() > drifting.count()
}

fn is_defocused(stroke: &StrokeMeasure) -> bool {
    match stroke.profile {
        Profile::Disc { radius_px } => radius_px >= DEFOCUSED_RADIUS_PX,
        Profile::Gaussian { .. } => stroke.width_px >= DEFOCUSED_WIDTH_PX,
    }
}

/// Whether a stroke is not the predicted one, as far as can be told: strokes lie along a line, so
/// that they add by twice their direction. What is short adds to a star's width in squares, so that
/// squares of lengths are compared.
fn differ(measured: &StrokeMeasure, predicted: &PredictedStroke) -> bool {
    let tensor = |length_px: f64, radians: f64| {
        let (sin, cos) = (2.0 * radians).sin_cos();
        (length_px * length_px * cos, length_px * length_px * sin)
    };
    let (x, y) = tensor(measured.length_px, measured.angle.radians());
    let (u, v) = tensor(predicted.length_px, predicted.angle.radians());
    let apart_px = (x - u).hypot(y - v).sqrt();
    let blurred_px = DIFFERENT_DISC_SHARE * measured.profile.disc_px().unwrap_or(0.0);
    let allowed = DIFFERENT_PX
        + DIFFERENT_SHARE * predicted.length_px
        + 3.0 * measured.length_error_px
        + blurred_px;
    // under a pixel and a half a stroke is not told from the star's own shape
    apart_px > allowed.max(SHORT_PX)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::astrometry::picture::PicturePoint;
    use Zone::{BottomLeft, BottomRight, Middle, TopLeft, TopRight};

    /// Stars of a zone that were measured well, in a picture of 300 × 200 px.
    fn stroke(zone: Zone, length_px: f64, angle_deg: f64, width_px: f64) -> StrokeMeasure {
        let (x_px, y_px) = match zone {
            Zone::Middle => (150.0, 100.0),
            Zone::TopLeft => (30.0, 20.0),
            Zone::TopRight => (270.0, 20.0),
            Zone::BottomLeft => (30.0, 180.0),
            Zone::BottomRight => (270.0, 180.0),
        };
        StrokeMeasure {
            zone,
            at: PicturePoint { x_px, y_px },
            stars: 20,
            length_px,
            length_error_px: 0.05,
            angle: Angle::from_degrees(angle_deg),
            angle_error: Angle::from_degrees(3.0),
            profile: Profile::Gaussian {
                sigma_px: width_px / 2.355,
            },
            width_px,
            width_error_px: 0.05,
        }
    }

    fn predicted(zone: Zone, length_px: f64, angle_deg: f64) -> PredictedStroke {
        let (sin, cos) = Angle::from_degrees(angle_deg).radians().sin_cos();
        let at = PicturePoint {
            x_px: 0.0,
            y_px: 0.0,
        };
        PredictedStroke::new(zone, at, (length_px * cos, -length_px * sin))
    }

    /// Length, direction and width of a zone's stars.
    type Stars = (Zone, f64, f64, f64);

    #[test]
    fn each_cause_is_told_and_no_other() {
        let sky = [
            predicted(Middle, 3.0, 20.0),
            predicted(TopLeft, 4.0, -150.0),
            predicted(TopRight, 4.0, 20.0),
            predicted(BottomLeft, 4.0, 20.0),
            predicted(BottomRight, 4.0, 20.0),
        ];
        assert!((sky[1].angle.degrees() - 30.0).abs() < 1e-9);
        let sharp = (Middle, 3.1, 22.0, 2.0);
        let discs = (Middle, 3.0, 22.0, 9.0);
        let table: [(&[Stars], &[Cause]); 14] = [
            (&[sharp, (TopLeft, 3.9, 29.0, 2.1)], &[]),
            (&[sharp, (TopLeft, 6.5, -45.0, 2.4)], &[Cause::Lens]),
            // one of four, and two of four
            (
                &[
                    sharp,
                    (TopLeft, 6.5, -45.0, 2.4),
                    (TopRight, 4.0, 20.0, 2.1),
                    (BottomLeft, 4.0, 20.0, 2.1),
                    (BottomRight, 4.0, 20.0, 2.1),
                ],
                &[Cause::Decentred(TopLeft)],
            ),
            (
                &[
                    sharp,
                    (TopLeft, 6.5, -45.0, 2.4),
                    (TopRight, 4.0, 20.0, 2.1),
                    (BottomLeft, 4.0, 20.0, 2.1),
                    (BottomRight, 7.0, -60.0, 2.1),
                ],
                &[Cause::Lens],
            ),
            (&[sharp, (TopLeft, 4.0, 30.0, 4.2)], &[Cause::Lens]),
            (
                &[sharp, (TopLeft, 4.0, 30.0, 4.2), (TopRight, 4.0, 20.0, 4.3)],
                &[Cause::Lens],
            ),
            (
                &[sharp, (TopLeft, 4.0, 30.0, 5.2), (TopRight, 4.0, 20.0, 2.1)],
                &[Cause::Tilted(SoftSide::Left)],
            ),
            (
                &[(Middle, 0.4, 22.0, 2.0), (TopLeft, 0.5, 30.0, 2.0)],
                &[Cause::Tracked],
            ),
            (
                &[
                    (Middle, 0.4, 22.0, 2.0),
                    (TopLeft, 3.5, 70.0, 2.0),
                    (TopRight, 0.5, 20.0, 2.0),
                ],
                &[Cause::Tracked, Cause::Lens],
            ),
            (
                &[(Middle, 7.0, 80.0, 2.0), (TopLeft, 8.0, 75.0, 2.0)],
                &[Cause::Knocked],
            ),
            (
                &[(Middle, 7.0, 80.0, 2.0), (TopLeft, 8.0, 75.0, 4.5)],
                &[Cause::Knocked, Cause::Lens],
            ),
            (&[discs, (TopLeft, 4.0, 30.0, 9.0)], &[Cause::Defocused]),
            (
                &[discs, (TopLeft, 7.0, -45.0, 9.0)],
                &[Cause::Defocused, Cause::Lens],
            ),
            (
                &[
                    (Middle, 3.0, 20.0, 7.0),
                    (TopLeft, 4.0, 30.0, 12.0),
                    (BottomRight, 4.0, 20.0, 2.5),
                ],
                &[Cause::Tilted(SoftSide::TopLeft)],
            ),
        ];
        for (stars, want) in table {
            let measured: Vec<_> = stars
                .iter()
                .map(|(zone, length_px, angle_deg, width_px)| {
                    stroke(*zone, *length_px, *angle_deg, *width_px)
                })
                .collect();
            assert_eq!(causes(None, &measured, &sky), want, "{stars:?}");
        }
    }
}
