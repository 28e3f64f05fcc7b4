//! A kit: a body and a lens under a name.

use crate::camera::dial::next_of;
use crate::camera::distortion::Distortion;
use crate::camera::lens::{Lens, StarWidth};
use crate::camera::sensor::{FORMATS, Sensor};
use crate::outing::plan::bounds::{STAR_PX, distortion};
use crate::outing::plan::camera_body::CameraBody;

/// Most kits kept.
pub const MOST_KITS: usize = 30;

/// A body and a lens.
#[derive(Debug, Clone, PartialEq)]
pub struct Kit {
    /// Its name; may be empty.
    pub name: String,
    /// The body's sensor, held level.
    pub sensor: Sensor,
    /// The lens, at its widest aperture.
    pub lens: Lens,
    /// Properties of the body beyond its sensor's size.
    pub body: CameraBody,
}

impl Default for Kit {
    /// The default kit: a full-frame body of 24 megapixels and a rectilinear 20 mm f/1.8.
    fn default() -> Self {
        Self {
            name: String::new(),
            sensor: FORMATS[1].sensor(24.0),
            lens: Lens::default(),
            body: CameraBody::default(),
        }
    }
}

impl Kit {
    /// The kit with another sensor.
    ///
    /// Distortion is in half diagonals and star width in pixels, so both are converted; the light
    /// loss of the new corners is unknown. Distortion that does not reach the new corners is
    /// dropped.
    pub fn with_sensor(&self, sensor: Sensor) -> Self {
        let mut kit = Self {
            sensor,
            ..self.clone()
        };
        if sensor == self.sensor {
            return kit;
        }
        let wider = sensor.diagonal_mm() / self.sensor.diagonal_mm();
        let finer = self.sensor.pitch_um() / sensor.pitch_um();
        let lens = &mut kit.lens;
        let Distortion { k1, k2 } = lens.distortion;
        lens.distortion =
            distortion(k1 * wider.powi(2), k2 * wider.powi(4)).unwrap_or(Distortion::NONE);
        lens.star_width = lens.star_width.map(|width| {
            let clamped = |px: f64| (px * finer).clamp(STAR_PX.least, STAR_PX.most);
            StarWidth {
                centre_px: clamped(width.centre_px),
                corner_px: clamped(width.corner_px),
            }
        });
        lens.corner_falloff_stops = None;
        kit
    }
}

/// Focal lengths that lenses are commonly sold in or set to, mm (common practice); the values of
/// the steppers.
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

    /// First principles: at one place in mm distortion is the same on either sensor, and a star as
    /// wide in µm; 36 × 24 mm of 24 MP against 23.5 × 15.6 mm of as many.
    #[test]
    fn another_sensor_sees_the_same_lens() {
        let mut kit = Kit::default();
        kit.lens.distortion = Distortion {
            k1: -0.05,
            k2: 0.01,
        };
        kit.lens.star_width = Some(StarWidth {
            centre_px: 1.5,
            corner_px: 3.0,
        });
        kit.lens.corner_falloff_stops = Some(2.0);
        let cropped = kit.with_sensor(FORMATS[2].sensor(24.0));
        let scale = |kit: &Kit| {
            let q = (10.0 / (kit.sensor.diagonal_mm() / 2.0)).powi(2);
            let Distortion { k1, k2 } = kit.lens.distortion;
            1.0 + k1 * q + k2 * q * q
        };
        // the written form has four decimals
        assert!((scale(&kit) - scale(&cropped)).abs() < 2e-4);
        let um = |kit: &Kit| {
            kit.lens.star_width.map_or(0.0, |width| width.centre_px) * kit.sensor.pitch_um()
        };
        assert!((um(&kit) - um(&cropped)).abs() < 1e-9);
        assert_eq!(cropped.lens.corner_falloff_stops, None);
        assert_eq!(kit.with_sensor(kit.sensor), kit);
    }

    #[test]
    fn steps_through_usual_lengths() {
        assert_eq!(next_focal_mm(20.0, true), 21.0);
        assert_eq!(next_focal_mm(20.0, false), 18.0);
        assert_eq!(next_focal_mm(22.5, true), 24.0);
        assert_eq!(next_focal_mm(900.0, true), 900.0);
        assert_eq!(next_focal_mm(8.0, false), 8.0);
    }
}
