//! Why the stars of a frame are as they are, in a word.

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::astrometry::cause::Cause;
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::solution::NoSolution;
use crate::astrometry::strokes::Zone;
use crate::listed::listed;

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
        /// The lens draws wider or longer stars in its corners, or in some of them.
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

    /// Of a solved frame, by its first cause.
    pub fn of(causes: &[Cause]) -> Self {
        match causes.first() {
            None => Self::AsPredicted,
            Some(Cause::Knocked) => Self::Knocked,
            Some(Cause::Defocused) => Self::Defocused,
            Some(Cause::Tracked) => Self::Tracked,
            Some(Cause::Tilted(_) | Cause::Decentred(_) | Cause::Lens) => Self::Lens,
        }
    }
}
