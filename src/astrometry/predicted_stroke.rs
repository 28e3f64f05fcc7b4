//! What the turning sky alone would draw.

use crate::angle::Angle;
use crate::astrometry::picture::PicturePoint;
use crate::astrometry::strokes::Zone;

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
