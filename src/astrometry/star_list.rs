//! The stars detected in a picture.

use crate::angle::Angle;
use crate::astrometry::picture::PicturePoint;

/// One image of a star in the picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DetectedStar {
    /// Centroid of its light above the background.
    pub at: PicturePoint,
    /// Sum of the picture's values above the background: by a window of a typical star's shape, of a
    /// saturated star in an aperture.
    pub flux: f64,
    /// Highest value above the background, of one pixel.
    pub peak: f32,
    /// Whether a pixel is at the end of the file's range, so that flux, peak and widths are too
    /// small.
    pub saturated: bool,
    /// Standard deviation of its light along the longer axis, px.
    pub long_px: f64,
    /// Standard deviation of its light along the shorter axis, px.
    pub wide_px: f64,
    /// Direction of the longer axis, from the picture's right, anticlockwise as seen; from -90° to
    /// 90°.
    pub angle: Angle,
}

/// All stars detected in a picture.
#[derive(Debug, Clone, PartialEq)]
pub struct StarList {
    /// The stars, brightest first by flux.
    pub stars: Vec<DetectedStar>,
    /// Standard deviation of the noise of one pixel, median over the picture, in the picture's
    /// values.
    pub noise: f32,
    /// Pixels across of the picture they are from.
    pub width: usize,
    /// Pixels down.
    pub height: usize,
}
