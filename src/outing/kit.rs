//! A kit: a body and a lens under a name.

use super::body::Body;
use crate::camera::dial::next_of;
use crate::camera::lens::Lens;
use crate::camera::sensor::{FORMATS, Sensor};

/// Most kits kept.
pub const MOST_KITS: usize = 30;

/// A body and a lens.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// What its owner calls it; may be empty.
    pub name: String,
    /// The body's sensor, held level.
    pub sensor: Sensor,
    /// The lens, at its widest aperture.
    pub lens: Lens,
    /// What is known of the body beyond its sensor's size.
    pub body: Body,
}

impl Default for Kit {
    /// The kit of a first start: a full-frame body of 24 megapixels and a
    /// rectilinear 20 mm f/1.8.
    fn default() -> Self {
        Self {
            name: String::new(),
            sensor: FORMATS[1].sensor(24.0),
            lens: Lens::default(),
            body: Body::default(),
        }
    }
}

/// Focal lengths that lenses are commonly sold in or set to, mm (common
/// practice); the steppers go through these.
const USUAL_FOCAL_MM: [f64; 32] = [
    8.0, 9.0, 10.0, 11.0, 12.0, 14.0, 15.0, 16.0, 18.0, 20.0, 21.0, 24.0, 28.0, 30.0, 35.0, 40.0,
    50.0, 55.0, 60.0, 70.0, 85.0, 100.0, 105.0, 135.0, 150.0, 180.0, 200.0, 250.0, 300.0, 400.0,
    500.0, 600.0,
];

/// The next usual focal length above (`up`) or below this one; the same at the
/// ends.
pub fn next_focal_mm(focal_mm: f64, up: bool) -> f64 {
    next_of(&USUAL_FOCAL_MM, focal_mm, up)
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn steps_through_usual_lengths() {
        assert_eq!(next_focal_mm(20.0, true), 21.0);
        assert_eq!(next_focal_mm(20.0, false), 18.0);
        assert_eq!(next_focal_mm(22.5, true), 24.0);
        assert_eq!(next_focal_mm(900.0, true), 900.0);
        assert_eq!(next_focal_mm(8.0, false), 8.0);
    }
}
