//! Point spread of a star, and its elongation by a trail.
//!
//! In focus a star is a small Gaussian, of the measured width, or, without a measurement, of the
//! diffraction limit. Out of focus it is that Gaussian convolved with a disc. A trail makes it
//! longer but no wider, so that its elongation depends on both: two pixels of trail are a line
//! behind a sharp lens, and hardly visible behind a soft one.

use crate::camera::focus::{GREEN_UM, airy_fwhm_um};
use crate::camera::lens::StarWidth;
use crate::camera::sensor::Sensor;
use crate::camera::view::{SensorPoint, View};

/// Full width at half maximum of a Gaussian over its σ: 2 √(2 ln 2).
pub const FWHM_PER_SIGMA: f64 = 2.354_820_045_030_949_3;

/// Variance of light spread evenly over a pixel, along a side, square pixels: 1/12.
const PIXEL_VARIANCE: f64 = 1.0 / 12.0;

/// The point spread at one place of the frame, without a trail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PointSpread {
    /// σ of the star in focus, a Gaussian, pixels.
    pub sigma_px: f64,
    /// Diameter of the defocused disc, pixels.
    pub disc_px: f64,
}

/// The shape of a star's image.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Appearance {
    /// A spot elongated by its trail: length over width.
    Elongated(f64),
    /// A defocused disc of a diameter in pixels.
    Disc(f64),
}

impl View {
    /// The point spread at a point, with a defocused disc of `disc_um`.
    ///
    /// The width is the lens's measured one where known; that includes diffraction. Otherwise it is
    /// diffraction alone, as a Gaussian of the Airy disc's FWHM, which puts the sixth of the light
    /// in the rings into the disc; coma and seeing are neglected.
    pub fn point_spread_at(&self, point: SensorPoint, disc_um: f64) -> PointSpread {
        let pitch_um = self.sensor.pitch_um();
        let fwhm_px = match self.lens.star_width {
            Some(width) => width.at(point, self.sensor),
            None => airy_fwhm_um(self.lens.f_number, GREEN_UM) / pitch_um,
        };
        PointSpread {
            sigma_px: fwhm_px / FWHM_PER_SIGMA,
            disc_px: disc_um / pitch_um,
        }
    }
}

impl StarWidth {
    /// Full width at half maximum at a point, pixels: it grows with the square of the distance from
    /// the centre to the corners, and is constant beyond.
    ///
    /// By rotational symmetry the width is an even function of the distance, and the square is its
    /// first term: field curvature and astigmatism (standard optics). Higher terms cannot be fitted
    /// to two numbers.
    pub fn at(self, point: SensorPoint, sensor: Sensor) -> f64 {
        let radius = point.from_centre_mm() / (sensor.diagonal_mm() / 2.0);
        let share = (radius * radius).min(1.0);
        self.centre_px + (self.corner_px - self.centre_px) * share
    }
}

impl PointSpread {
    /// Variance of the star's light along any axis, square pixels: the Gaussian's plus the disc's,
    /// which for a uniform disc is the square of a quarter of its diameter.
    fn variance_px2(self) -> f64 {
        let disc = self.disc_px / 4.0;
        self.sigma_px * self.sigma_px + disc * disc
    }

    /// Length over width of a star with a trail, by the second moments of its light: √(1 + L²/(12
    /// σ²)); 1 without a trail.
    ///
    /// A star narrower than a pixel appears as wide as the pixel, so σ² is at least a pixel's,
    /// 1/12.
    ///
    /// Source: first principles; a uniform line of length L has the variance L²/12.
    ///
    /// ```
    /// use tarnlight::camera::point_spread::PointSpread;
    /// let fwhm_1_5 = PointSpread { sigma_px: 1.5 / 2.35482, disc_px: 0.0 };
    /// assert!((fwhm_1_5.elongation(2.0) - 1.35).abs() < 5e-3);
    /// ```
    pub fn elongation(self, trail_px: f64) -> f64 {
        let across = self.variance_px2().max(PIXEL_VARIANCE);
        (1.0 + trail_px * trail_px / (12.0 * across)).sqrt()
    }

    /// The shape of a star with a trail: a disc where defocus dominates the point spread and the
    /// trail is no longer than the disc is wide.
    pub fn appearance(self, trail_px: f64) -> Appearance {
        let wider_than_star = self.disc_px / 4.0 > self.sigma_px;
        let wider_than_pixel = self.disc_px > 1.0;
        if wider_than_star && wider_than_pixel && trail_px <= self.disc_px {
            Appearance::Disc(self.disc_px)
        } else {
            Appearance::Elongated(self.elongation(trail_px))
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::camera::frame::Frame;
    use crate::camera::lens::Lens;
    use crate::camera::sensor::FORMATS;

    fn view(star_width: Option<StarWidth>) -> View {
        let lens = Lens {
            focal_mm: 24.0,
            f_number: 2.8,
            star_width,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(25.0),
            roll: Angle::ZERO,
        };
        let sensor = FORMATS[1].sensor(24.0);
        View::new(sensor, lens, frame, Angle::from_degrees(36.0))
    }

    fn close(got: f64, want: f64) {
        assert!((got - want).abs() < 1e-3, "{got}, want {want}");
    }

    /// 1.029 · 0.55 µm · 2.8 = 1.585 µm, or 0.264 px of 6 µm; σ is that over 2.3548.
    #[test]
    fn a_lens_nobody_measured_is_as_sharp_as_diffraction_lets_it() {
        let spread = view(None).point_spread_at(SensorPoint::CENTRE, 30.0);
        close(spread.sigma_px, 0.264 / 2.3548);
        close(spread.disc_px, 5.0);
    }

    /// FWHM over 2.3548; half-way to the corner a quarter of the difference.
    #[test]
    fn a_measured_width_goes_by_the_square_of_the_radius() {
        let view = view(Some(StarWidth {
            centre_px: 1.5,
            corner_px: 3.5,
        }));
        let at = |x_mm, y_mm| {
            let spread = view.point_spread_at(SensorPoint { x_mm, y_mm }, 0.0);
            spread.sigma_px * 2.3548
        };
        close(at(0.0, 0.0), 1.5);
        close(at(9.0, 6.0), 2.0);
        close(at(-18.0, 12.0), 3.5);
        close(at(40.0, 30.0), 3.5);
    }

    /// Computed independently from √(1 + L²/(12 σ²)): 1.5 px FWHM is σ 0.637; a disc of 4 px has
    /// the variance 1; nothing is narrower than a pixel, of variance 1/12.
    #[test]
    fn trails_look_as_long_as_was_worked_out() {
        let star = |fwhm_px: f64, disc_px| PointSpread {
            sigma_px: fwhm_px / 2.3548,
            disc_px,
        };
        close(star(1.5, 0.0).elongation(2.0), 1.3496);
        close(star(3.0, 0.0).elongation(2.0), 1.0979);
        close(star(0.0, 4.0).elongation(6.0), 2.0);
        close(star(1.5, 4.0).elongation(6.0), 1.7703);
        close(star(0.26, 0.0).elongation(2.0), 5.0_f64.sqrt());
        close(star(1.5, 0.0).elongation(0.0), 1.0);
    }

    #[test]
    fn a_star_out_of_focus_is_a_disc_until_its_trail_is_longer() {
        let sharp = PointSpread {
            sigma_px: 0.1,
            disc_px: 0.0,
        };
        let soft = PointSpread {
            disc_px: 5.0,
            ..sharp
        };
        assert_eq!(soft.appearance(2.0), Appearance::Disc(5.0));
        for (spread, trail_px) in [(soft, 5.1), (sharp, 2.0), (sharp, 0.0)] {
            let want = Appearance::Elongated(spread.elongation(trail_px));
            assert_eq!(spread.appearance(trail_px), want);
        }
        let hidden = PointSpread {
            sigma_px: 1.5,
            disc_px: 5.0,
        };
        assert!(matches!(hidden.appearance(2.0), Appearance::Elongated(_)));
    }
}
