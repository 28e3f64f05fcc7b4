//! Directions as unit vectors, with the operations drift and sky need.

use crate::angle::Angle;

/// Three components along right-handed axes.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Vector {
    /// Along the first axis.
    pub x: f64,
    /// Along the second axis.
    pub y: f64,
    /// Along the third axis.
    pub z: f64,
}

impl Vector {
    /// From components.
    pub const fn new(x: f64, y: f64, z: f64) -> Self {
        Self { x, y, z }
    }

    /// The unit vector at this longitude and latitude, or right ascension and
    /// declination.
    pub fn from_spherical(longitude: Angle, latitude: Angle) -> Self {
        let (cos, sin) = (latitude.cos(), latitude.sin());
        Self::new(cos * longitude.cos(), cos * longitude.sin(), sin)
    }

    /// The unit vector in east, north, up at this true bearing, from north through east,
    /// and height.
    pub fn from_bearing(bearing: Angle, height: Angle) -> Self {
        let Self { x, y, z } = Self::from_spherical(bearing, height);
        Self::new(y, x, z)
    }

    /// Length.
    pub fn length(self) -> f64 {
        self.dot(self).sqrt()
    }

    /// Angle to another vector, 0 to 180°; accurate for small angles too.
    pub fn angle_to(self, other: Self) -> Angle {
        Angle::from_radians(self.cross(other).length().atan2(self.dot(other)))
    }

    /// Scalar product.
    pub fn dot(self, other: Self) -> f64 {
        self.x * other.x + self.y * other.y + self.z * other.z
    }

    /// Vector product.
    pub fn cross(self, other: Self) -> Self {
        Self::new(
            self.y * other.z - self.z * other.y,
            self.z * other.x - self.x * other.z,
            self.x * other.y - self.y * other.x,
        )
    }

    /// Scaled by a factor.
    pub fn times(self, factor: f64) -> Self {
        Self::new(self.x * factor, self.y * factor, self.z * factor)
    }

    /// Sum.
    pub fn plus(self, other: Self) -> Self {
        Self::new(self.x + other.x, self.y + other.y, self.z + other.z)
    }

    /// Turned by `radians` about the unit vector `axis`, counter-clockwise when
    /// the axis points at the observer.
    ///
    /// Source: the rotation formula of O. Rodrigues (1840).
    pub fn rotated_about(self, axis: Self, radians: f64) -> Self {
        let (sin, cos) = radians.sin_cos();
        self.times(cos)
            .plus(axis.cross(self).times(sin))
            .plus(axis.times(axis.dot(self) * (1.0 - cos)))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use std::f64::consts::FRAC_PI_2;

    #[test]
    fn a_quarter_turn_about_z_takes_x_to_y() {
        let got = Vector::new(1.0, 0.0, 0.0).rotated_about(Vector::new(0.0, 0.0, 1.0), FRAC_PI_2);
        let miss = got.plus(Vector::new(0.0, -1.0, 0.0));
        assert!(miss.dot(miss) < 1e-30, "{got:?}");
    }
}
