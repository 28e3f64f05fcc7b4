//! Sharpness: how long a trail may be, from what the picture is for.
//!
//! The eye resolves two lines one minute of arc apart. A trail shorter than that on the print or
//! screen, at the viewing distance, is not visible.

/// Resolving power of a good eye: one minute of arc, in radians
/// (π / 180 / 60). Common practice of optometry: 20/20 or 6/6.
pub const ACUITY_RAD: f64 = std::f64::consts::PI / 180.0 / 60.0;

/// mm in a cm.
const MM_PER_CM: f64 = 10.0;

/// Least trail allowed, pixels: less gains nothing.
pub const LEAST_PIXELS: f64 = 1.0;

/// Greatest trail allowed, pixels: longer ones are intended.
pub const MOST_PIXELS: f64 = 100.0;

/// What the picture is for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Sharpness {
    /// No star longer than the pixel it falls on.
    EveryPixel,
    /// Viewing at 100 % on a screen: two pixels.
    CloseLook,
    /// A print of this width viewed from this distance.
    Print(Viewing),
    /// A whole picture filling a screen of this width, viewed from this distance.
    Screen(Viewing),
    /// A typed trail, pixels.
    Pixels(f64),
}

/// A picture's width and viewing distance.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Viewing {
    /// Width of the picture's long side, cm.
    pub width_cm: f64,
    /// Viewing distance, cm.
    pub distance_cm: f64,
}

impl Viewing {
    /// A usual print: 60 cm wide, viewed from 1 m.
    pub const USUAL_PRINT: Self = Self {
        width_cm: 60.0,
        distance_cm: 100.0,
    };

    /// A usual screen: a laptop's 34 cm, viewed from 60 cm.
    pub const USUAL_SCREEN: Self = Self {
        width_cm: 34.0,
        distance_cm: 60.0,
    };

    /// The shortest length the eye resolves there, mm: distance · acuity.
    pub fn resolved_mm(self) -> f64 {
        self.distance_cm * MM_PER_CM * ACUITY_RAD
    }
}

impl Sharpness {
    /// The trail allowed, in pixels, for a picture with `pixels_along` its long side.
    ///
    /// For prints and screens: the length the eye resolves over the width of a pixel there; from
    /// [`LEAST_PIXELS`] to [`MOST_PIXELS`]. Good to the 20 % by which eyes differ.
    ///
    /// ```
    /// use tarnlight::camera::sharpness::{Viewing, Sharpness};
    /// // 0.29 mm at one metre; 6000 pixels on 600 mm are 0.1 mm each
    /// let pixels = Sharpness::Print(Viewing::USUAL_PRINT).pixels(6000);
    /// assert!((pixels - 2.909).abs() < 1e-3);
    /// ```
    pub fn pixels(self, pixels_along: u32) -> f64 {
        match self {
            Self::EveryPixel => LEAST_PIXELS,
            Self::CloseLook => 2.0,
            Self::Print(seen) | Self::Screen(seen) => {
                let pixel_mm = seen.width_cm * MM_PER_CM / f64::from(pixels_along);
                (seen.resolved_mm() / pixel_mm).clamp(LEAST_PIXELS, MOST_PIXELS)
            }
            Self::Pixels(pixels) => pixels,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// One minute of arc at 25 cm is 0.0727 mm, computed independently.
    #[test]
    fn the_eye_parts_0_07_mm_at_reading_distance() {
        let seen = Viewing {
            width_cm: 30.0,
            distance_cm: 25.0,
        };
        assert!((seen.resolved_mm() - 0.0727).abs() < 5e-5);
    }

    #[test]
    fn nearer_is_stricter_until_the_pixel() {
        let at = |distance_cm| {
            let seen = Viewing {
                width_cm: 60.0,
                distance_cm,
            };
            Sharpness::Print(seen).pixels(6000)
        };
        assert!(at(200.0) > at(100.0));
        assert_eq!(at(10.0), LEAST_PIXELS);
        assert_eq!(at(10_000.0), MOST_PIXELS);
    }
}
