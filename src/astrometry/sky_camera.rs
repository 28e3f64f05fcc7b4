//! A camera among the stars: from directions on the sky to places in the picture and back.
//!
//! All lengths are in pixels, so that nothing depends on the size of the sensor; see
//! [`crate::camera::lens`] and [`crate::camera::distortion`] for lens and distortion.

use crate::astrometry::picture::PicturePoint;
use crate::camera::distortion::Distortion;
use crate::camera::lens::Projection;
use crate::vector::Vector;

/// Largest angle from the axis that is imaged, radians: 75° for a rectilinear lens, 105° for others.
const RECTILINEAR_EDGE: f64 = 1.309;
const FISHEYE_EDGE: f64 = 1.833;

/// A lens of a picture, and how it is turned among the stars.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SkyCamera {
    /// Projection.
    pub projection: Projection,
    /// Focal length, px.
    pub focal_px: f64,
    /// Departure from the projection, by radii in units of half the picture's diagonal.
    pub distortion: Distortion,
    /// Half the picture's diagonal, px.
    pub half_diagonal_px: f64,
    /// Where the optical axis is imaged.
    pub centre: PicturePoint,
    /// The picture's right and up and the direction towards the photographer, opposite to the
    /// optical axis, as unit vectors along the axes of the sky (right-handed ones, such as ICRS or
    /// east, north, up).
    pub axes: [Vector; 3],
}

impl SkyCamera {
    /// The place of a direction; `None` where the lens has no image.
    pub fn image(&self, direction: Vector) -> Option<PicturePoint> {
        let [x, y, back] = self.axes.map(|axis| axis.dot(direction));
        let theta = x.hypot(y).atan2(-back);
        let edge = match self.projection {
            Projection::Rectilinear => RECTILINEAR_EDGE,
            _ => FISHEYE_EDGE,
        };
        // false for a NaN too
        if theta < edge {
            let ideal_px = self.focal_px * self.projection.tangential_scale(theta);
            let (x, y) = (x * ideal_px, y * ideal_px);
            let radius = x.hypot(y) / self.half_diagonal_px;
            self.distortion.distorted(radius)?;
            let scale = self.distortion.tangential_scale(radius);
            Some(PicturePoint {
                x_px: self.centre.x_px + scale * x,
                y_px: self.centre.y_px - scale * y,
            })
        } else {
            None
        }
    }

    /// The unit vector along the sky's axes that is imaged at a place; `None` where there is no
    /// image.
    pub fn direction(&self, at: PicturePoint) -> Option<Vector> {
        let (x, y) = (at.x_px - self.centre.x_px, self.centre.y_px - at.y_px);
        let radius_px = x.hypot(y);
        let ideal = self.distortion.ideal(radius_px / self.half_diagonal_px)?;
        let radius = ideal * self.half_diagonal_px / self.focal_px;
        let theta = self.projection.off_axis(radius)?;
        let across = if radius_px > 0.0 {
            theta.sin() / radius_px
        } else {
            0.0
        };
        let [right, up, back] = self.axes;
        let level = right.times(across * x).plus(up.times(across * y));
        Some(level.plus(back.times(-theta.cos())))
    }

    /// The optical axis.
    pub fn forward(&self) -> Vector {
        self.axes[2].times(-1.0)
    }

    /// Cosine of the angle from the axis beyond which nothing is imaged inside a picture of this
    /// size, with some room.
    pub fn field_cosine(&self, width: usize, height: usize) -> f64 {
        let mut cosine: f64 = 1.0;
        for x_px in [0.0, width as f64] {
            for y_px in [0.0, height as f64] {
                let corner = self.direction(PicturePoint { x_px, y_px });
                let inside = corner.map_or(-0.3, |corner| corner.dot(self.forward()));
                cosine = cosine.min(inside);
            }
        }
        // room for a corner of an odd lens: a tenth of the angle
        (cosine.clamp(-1.0, 1.0).acos() * 1.1).min(2.0).cos()
    }

    /// Turned by a small rotation vector (radians) along the camera's own axes.
    pub fn turned(&self, [about_right, about_up, about_back]: [f64; 3]) -> Self {
        let [right, up, back] = self.axes;
        let turn = right
            .times(about_right)
            .plus(up.times(about_up))
            .plus(back.times(about_back));
        let angle = turn.length();
        if angle < 1e-300 {
            return *self;
        }
        let axis = turn.times(1.0 / angle);
        let turned = self.axes.map(|own| own.rotated_about(axis, angle));
        Self {
            axes: orthonormal(turned),
            ..*self
        }
    }
}

/// The nearest right-handed orthonormal axes to nearly orthonormal ones, keeping the third's
/// direction.
pub fn orthonormal([right, _, back]: [Vector; 3]) -> [Vector; 3] {
    let back = back.times(1.0 / back.length());
    let right = right.plus(back.times(-back.dot(right)));
    let right = right.times(1.0 / right.length());
    [right, back.cross(right), back]
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn image_and_direction_are_inverse() {
        for projection in Projection::ALL {
            let camera = SkyCamera {
                projection,
                focal_px: 1400.0,
                distortion: Distortion {
                    k1: -0.03,
                    k2: 0.004,
                },
                half_diagonal_px: 1442.0,
                centre: PicturePoint {
                    x_px: 1203.0,
                    y_px: 797.0,
                },
                axes: [
                    Vector::new(0.0, 0.6, 0.8),
                    Vector::new(1.0, 0.0, 0.0),
                    Vector::new(0.0, 0.8, -0.6),
                ],
            };
            let camera = camera.turned([0.3, -0.2, 1.0]);
            for (x_px, y_px) in [(1203.0, 797.0), (0.5, 0.5), (2399.5, 0.5), (700.0, 1599.0)] {
                let at = PicturePoint { x_px, y_px };
                let back = camera.direction(at).and_then(|seen| camera.image(seen));
                let miss = back.map_or(f64::NAN, |back| back.distance_px(at));
                assert!(miss < 1e-8, "{projection:?} {at:?}: {miss} px");
            }
        }
    }
}
