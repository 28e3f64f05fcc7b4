//! Why the stars of a frame are as they are: the strokes measured against those predicted.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::astrometry::knock::Knock;
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::solution::NoSolution;
use crate::astrometry::strokes::{Profile, StrokeMeasure, Zone};
use crate::listed::listed;

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

/// Stars in a corner this much wider than in the middle are the lens's, as a factor and px.
const WIDER: f64 = 1.4;
const WIDER_PX: f64 = 0.8;

listed! {
    /// What explains the stars of a frame.
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Verdict {
        /// The turning sky alone.
        AsPredicted,
        /// The camera was moved during the exposure.
        Knocked,
        /// The lens is out of focus.
        Defocused,
        /// The lens draws wider or longer stars in its corners.
        Lens,
        /// The camera followed the sky.
        Tracked,
        /// There are no stars.
        NoStars,
        /// The stars were not identified.
        NotIdentified,
    }
}

/// The stroke that the turning sky draws at a place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PredictedStroke {
    /// Part of the picture.
    pub zone: Zone,
    /// The place.
    pub at: PicturePoint,
    /// Length, px.
    pub length_px: f64,
    /// Direction from the picture's right, anticlockwise as seen; from −90° to 90°.
    pub angle: Angle,
}

impl PredictedStroke {
    /// From a stroke to the right and down.
    pub fn new(zone: Zone, at: PicturePoint, (right_px, down_px): (f64, f64)) -> Self {
        let (x, y) = if right_px < 0.0 {
            (-right_px, down_px)
        } else {
            (right_px, -down_px)
        };
        Self {
            zone,
            at,
            length_px: right_px.hypot(down_px),
            angle: Angle::from_radians(y.atan2(x)),
        }
    }
}

impl Verdict {
    /// Of a frame without a solution.
    pub fn unsolved(why: NoSolution) -> Self {
        match why {
            NoSolution::NoStars => Self::NoStars,
            NoSolution::NotIdentified | NoSolution::Mirrored => Self::NotIdentified,
        }
    }

    /// Of a solved frame: the first that fits of knocked, defocused, tracked, moved and lens; else as predicted.
    ///
    /// Without predicted strokes, where the exposure is not known, only those are found that the
    /// picture alone shows.
    pub fn new(
        knock: Option<Knock>,
        measured: &[StrokeMeasure],
        predicted: &[PredictedStroke],
    ) -> Self {
        if knock.is_some() {
            return Self::Knocked;
        }
        let middle = measured.iter().find(|stroke| stroke.zone == Zone::Middle);
        // a corner may stand in for a middle without stars
        if middle.or(measured.first()).is_some_and(is_defocused) {
            return Self::Defocused;
        }
        let compared: Vec<(&StrokeMeasure, &PredictedStroke)> = measured
            .iter()
            .filter_map(|stroke| {
                let own = predicted.iter().find(|other| other.zone == stroke.zone)?;
                Some((stroke, own))
            })
            .collect();
        let drifting: Vec<_> = compared
            .iter()
            .filter(|(_, predicted)| predicted.length_px > 2.0 * TRACKED_PX)
            .collect();
        let shorter = drifting.iter().filter(|(measured, predicted)| {
            measured.length_px < TRACKED_SHARE * predicted.length_px
                && predicted.length_px - measured.length_px > TRACKED_PX
        });
        if !drifting.is_empty() && 2 * shorter.count() > drifting.len() {
            return Self::Tracked;
        }
        let different = |zone_is_middle: bool| {
            compared
                .iter()
                .filter(|(stroke, _)| (stroke.zone == Zone::Middle) == zone_is_middle)
                .filter(|(measured, predicted)| differ(measured, predicted))
                .count()
        };
        // a lens draws the middle well, a moved camera nothing
        if different(true) > 0 {
            return Self::Knocked;
        }
        let wide = middle.map_or(0, |middle| {
            let corners = measured.iter().filter(|stroke| stroke.zone != Zone::Middle);
            corners
                .filter(|corner| {
                    corner.width_px > WIDER * middle.width_px
                        && corner.width_px > middle.width_px + WIDER_PX
                })
                .count()
        });
        if different(false) > 0 || wide > 0 {
            return Self::Lens;
        }
        Self::AsPredicted
    }
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
    let tensor = |length_px: f64, angle: Angle| {
        let twice = 2.0 * angle.radians();
        (
            length_px * length_px * twice.cos(),
            length_px * length_px * twice.sin(),
        )
    };
    let (x, y) = tensor(measured.length_px, measured.angle);
    let (u, v) = tensor(predicted.length_px, predicted.angle);
    let apart_px = (x - u).hypot(y - v).sqrt();
    let allowed =
        DIFFERENT_PX + DIFFERENT_SHARE * predicted.length_px + 3.0 * measured.length_error_px;
    // under a pixel and a half a stroke is not told from the star's own shape
    apart_px > allowed.max(crate::astrometry::strokes::SHORT_PX)
}

#[cfg(test)]
mod tests {
    use super::*;

    fn stroke(zone: Zone, length_px: f64, angle_deg: f64, width_px: f64) -> StrokeMeasure {
        StrokeMeasure {
            zone,
            at: PicturePoint {
                x_px: 0.0,
                y_px: 0.0,
            },
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

    #[test]
    fn each_cause_is_told() {
        use Zone::{Middle, TopLeft};
        let sky = [
            predicted(Middle, 3.0, 20.0),
            predicted(TopLeft, 4.0, -150.0),
        ];
        assert!((sky[1].angle.degrees() - 30.0).abs() < 1e-9);
        let table = [
            // middle: length, angle, width; corner
            ((3.1, 22.0, 2.0), (3.9, 29.0, 2.1), Verdict::AsPredicted),
            ((3.1, 22.0, 2.0), (6.5, -45.0, 2.4), Verdict::Lens),
            ((3.1, 22.0, 2.0), (4.0, 30.0, 4.2), Verdict::Lens),
            ((0.4, 22.0, 2.0), (0.5, 30.0, 2.0), Verdict::Tracked),
            ((7.0, 80.0, 2.0), (8.0, 75.0, 2.0), Verdict::Knocked),
            ((2.0, 22.0, 9.0), (2.0, 30.0, 9.0), Verdict::Defocused),
        ];
        for (middle, corner, want) in table {
            let measured = [
                stroke(Middle, middle.0, middle.1, middle.2),
                stroke(TopLeft, corner.0, corner.1, corner.2),
            ];
            assert_eq!(Verdict::new(None, &measured, &sky), want, "{measured:?}");
        }
    }
}
