//! Electron rates of a pixel from surface brightness, and of stars.
//!
//! For extended sources, sky or nebula, only the f-number and the pixel size matter: a longer lens
//! of the same f-number collects more light and spreads it over more pixels.

use crate::light::brightness::{SurfaceBrightness, ten_to};
use std::f64::consts::PI;

/// Photons of V light from a star of magnitude 0, per second and square metre
/// outside the lens: 3640 Jy (M. S. Bessell, *PASP* 91 (1979) 589), a band of
/// 0.16 of its wavelength, 1.51·10⁷ photons/s/m² for each jansky and unit of
/// Δλ/λ: 3640 · 0.16 · 1.51e7.
const PHOTONS_V0: f64 = 3640.0 * 0.16 * 1.51e7;

/// Arcseconds in a radian.
const ARCSEC: f64 = 180.0 * 3600.0 / PI;

/// Metres in a micrometre.
const UM: f64 = 1e-6;

/// A pixel behind a lens.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pixel {
    /// Pixel pitch, µm.
    pub pitch_um: f64,
    /// f-number in use.
    pub f_number: f64,
    /// Transmission of the lens, 0 to 1.
    pub transmitted: f64,
    /// Quantum efficiency, 0 to 1.
    pub quantum: f64,
}

impl Pixel {
    /// Electrons per second from a surface that fills the pixel; its brightness is as seen from the
    /// ground, extinction included.
    ///
    /// E = F₀ · 10^(−0.4 μ) · π/4 · (p/N)² · 206 265² · T · Q. Focal length cancels. Source: first
    /// principles; the flux as at `PHOTONS_V0`. Good to a factor of 1.5 for an unknown body;
    /// corners get a half to a quarter of it.
    ///
    /// ```text
    /// 21.5 mag, f/2.8, 6 µm, T 0.9, Q 0.5  →  1.525 e⁻/s
    /// ```
    pub fn electrons_s(self, surface: SurfaceBrightness) -> f64 {
        let Some(magnitude) = surface.magnitude() else {
            return 0.0;
        };
        let Self {
            pitch_um,
            f_number,
            transmitted,
            quantum,
        } = self;
        let side = pitch_um * UM / f_number * ARCSEC;
        let rate =
            PHOTONS_V0 * ten_to(-0.4 * magnitude) * PI / 4.0 * side * side * transmitted * quantum;
        if rate.is_finite() { rate } else { 0.0 }
    }

    /// Total electrons per second from a star of a V magnitude as seen from the ground, at a focal
    /// length; here the entrance pupil counts.
    ///
    /// E = F₀ · 10^(−0.4 m) · π/4 · (f/N)² · T · Q, from first principles.
    ///
    /// ```text
    /// magnitude 10, 20 mm, f/2, T 0.9, Q 0.5  →  31 e⁻/s
    /// ```
    pub fn star_e_s(self, magnitude: f64, focal_mm: f64) -> f64 {
        let opening_m = focal_mm / 1000.0 / self.f_number;
        let area = PI / 4.0 * opening_m * opening_m;
        let rate = PHOTONS_V0 * ten_to(-0.4 * magnitude) * area * self.transmitted * self.quantum;
        if rate.is_finite() { rate } else { 0.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A course of the Center for Astrophysics: a star of V 23.90 sends 2.42
    /// photons a second through a square metre.
    #[test]
    fn photons_of_a_faint_star() {
        let got = PHOTONS_V0 * ten_to(-0.4 * 23.90);
        assert!((got - 2.42).abs() < 0.01, "{got}");
    }

    /// M. S. Bessell et al. 1998 (from memory): 995 photons/cm²/s/Å over 880 Å.
    #[test]
    fn the_flux_agrees_with_another_one() {
        let other = 995.0 * 1e4 * 880.0;
        assert!(
            (PHOTONS_V0 / other - 1.0).abs() < 0.01,
            "{PHOTONS_V0}, {other}"
        );
    }

    /// Computed independently from the formula; photons, and electrons with a lens
    /// of 0.9 and a quantum efficiency of 0.5.
    #[test]
    fn agrees_with_the_worked_table() {
        let table = [
            (21.5, 2.8, 6.0, 3.3894, 1.5252),
            (21.5, 2.0, 6.0, 6.6433, 2.9895),
            (21.5, 2.8, 4.35, 1.7816, 0.8017),
            (20.0, 2.8, 6.0, 13.4935, 6.0721),
            (18.0, 2.8, 6.0, 85.138, 38.312),
        ];
        for (magnitude, f_number, pitch_um, photons, electrons) in table {
            let all = Pixel {
                pitch_um,
                f_number,
                transmitted: 1.0,
                quantum: 1.0,
            };
            let surface = SurfaceBrightness::from_magnitude(magnitude);
            let got = all.electrons_s(surface);
            // the table was computed with the flux rounded to three figures
            assert!((got / photons - 1.0).abs() < 1e-3, "{got}, want {photons}");
            let some = Pixel {
                transmitted: 0.9,
                quantum: 0.5,
                ..all
            };
            let got = some.electrons_s(surface);
            assert!(
                (got / electrons - 1.0).abs() < 1e-3,
                "{got}, want {electrons}"
            );
        }
    }

    /// A star spread over a pixel's solid angle gives that pixel as much as a surface of the
    /// corresponding magnitude.
    #[test]
    fn a_star_spread_over_a_pixel_is_a_surface() {
        let pixel = Pixel {
            pitch_um: 6.0,
            f_number: 2.0,
            transmitted: 0.9,
            quantum: 0.5,
        };
        let focal_mm = 20.0;
        let side = 6e-3 / focal_mm * ARCSEC;
        let spread = 10.0 + 2.5 * (side * side).log10();
        let surface = pixel.electrons_s(SurfaceBrightness::from_magnitude(spread));
        let star = pixel.star_e_s(10.0, focal_mm);
        assert!((surface / star - 1.0).abs() < 1e-3, "{surface} and {star}");
        assert!((star - 31.1).abs() < 0.1, "{star}");
    }

    #[test]
    fn no_light_and_no_numbers_give_nothing() {
        let pixel = Pixel {
            pitch_um: 6.0,
            f_number: 2.8,
            transmitted: 0.9,
            quantum: 0.5,
        };
        assert_eq!(pixel.electrons_s(SurfaceBrightness::NONE), 0.0);
        let sky = SurfaceBrightness::from_magnitude(21.5);
        for f_number in [0.0, f64::NAN] {
            assert_eq!(Pixel { f_number, ..pixel }.electrons_s(sky), 0.0);
        }
    }
}
