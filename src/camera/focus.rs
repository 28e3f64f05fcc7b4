//! Blur that is not trailing: focus and diffraction.
//!
//! A lens focused on the hyperfocal distance of some circle of confusion shows every star as a disc
//! of exactly that circle. For a landscape by day the circle is small enough to be a point; on
//! stars it is several pixels wide. So stars need focus on the stars, and the ground its own frame.

use crate::camera::lens::Lens;

/// µm in a mm, and mm in a m.
const THOUSAND: f64 = 1000.0;

/// Wavelength near the peak sensitivity of eye and sensor, µm.
pub const GREEN_UM: f64 = 0.55;

/// Usual circle of confusion as a share of the diagonal, 1/1500: common
/// practice of depth-of-field scales.
pub const USUAL_CIRCLE: f64 = 1.0 / 1500.0;

/// Where the lens is focused.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum Focus {
    /// On the stars.
    Stars,
    /// On the hyperfocal distance of the usual circle of confusion.
    Hyperfocal,
    /// On something this far away, m.
    At(f64),
}

/// Hyperfocal distance, mm: f²/(N c) + f, for a circle of confusion of `circle_mm`.
///
/// Source: the standard definition; exact for a thin lens.
///
/// ```
/// use tarnlight::camera::focus::hyperfocal_mm;
/// assert!((hyperfocal_mm(24.0, 2.8, 0.030) / 1000.0 - 6.881).abs() < 1e-3);
/// ```
pub fn hyperfocal_mm(focal_mm: f64, f_number: f64, circle_mm: f64) -> f64 {
    focal_mm * focal_mm / (f_number * circle_mm) + focal_mm
}

/// Diameter, µm, of the disc a star becomes with the lens focused at `focused_mm`: f²/(N (s − f)).
/// `None` when that is within the focal length.
///
/// Thin lens; good to a few per cent of a real one beyond a metre.
///
/// ```text
/// 24 mm, f/2.8, focused at 10 m  →  20.6 µm
/// ```
pub fn star_disc_um(lens: Lens, focused_mm: f64) -> Option<f64> {
    let behind = focused_mm - lens.focal_mm;
    (behind > 0.0).then(|| THOUSAND * lens.focal_mm * lens.focal_mm / (lens.f_number * behind))
}

/// Diameter, µm, of the disc that a point at `distance_mm` becomes with the
/// lens focused on the stars: f²/(N D).
///
/// ```text
/// 24 mm, f/2.8, a rock at 5 m  →  41.1 µm
/// ```
pub fn ground_disc_um(lens: Lens, distance_mm: f64) -> Option<f64> {
    let disc = THOUSAND * lens.focal_mm * lens.focal_mm / (lens.f_number * distance_mm);
    (distance_mm > 0.0 && disc.is_finite()).then_some(disc)
}

/// Diameter of the Airy disc to its first dark ring, µm: 2.44 λ N.
///
/// Source: G. B. Airy (1835); standard optics.
pub fn airy_um(f_number: f64, wavelength_um: f64) -> f64 {
    2.44 * wavelength_um * f_number
}

/// Full width at half maximum of the Airy disc, µm: 1.029 λ N.
///
/// Source: standard optics (from memory).
pub fn airy_fwhm_um(f_number: f64, wavelength_um: f64) -> f64 {
    1.029 * wavelength_um * f_number
}

impl Focus {
    /// How far away the lens is focused, mm; `None` on the stars.
    pub fn distance_mm(self, lens: Lens, diagonal_mm: f64) -> Option<f64> {
        match self {
            Self::Stars => None,
            Self::Hyperfocal => {
                let circle_mm = diagonal_mm * USUAL_CIRCLE;
                Some(hyperfocal_mm(lens.focal_mm, lens.f_number, circle_mm))
            }
            Self::At(metres) => Some(metres * THOUSAND),
        }
    }

    /// Diameter of a star's disc with this focus, µm; zero on the stars, `None` within the focal
    /// length.
    pub fn disc_um(self, lens: Lens, diagonal_mm: f64) -> Option<f64> {
        match self.distance_mm(lens, diagonal_mm) {
            None => Some(0.0),
            Some(distance) => star_disc_um(lens, distance),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::lens::Projection;

    fn lens(focal_mm: f64, f_number: f64) -> Lens {
        Lens {
            focal_mm,
            f_number,
            projection: Projection::Rectilinear,
            ..Lens::default()
        }
    }

    /// From the definition, computed independently.
    #[test]
    fn agrees_with_the_worked_hyperfocal_distances() {
        let table = [
            (24.0, 2.8, 0.030, 6.881),
            (24.0, 2.8, 0.012, 17.167),
            (14.0, 2.8, 0.030, 2.347),
            (24.0, 1.4, 0.012, 34.310),
        ];
        for (focal, f_number, circle, want) in table {
            let got = hyperfocal_mm(focal, f_number, circle) / 1000.0;
            assert!(
                (got - want).abs() < 1e-3,
                "f {focal}: {got} m, want {want} m"
            );
        }
    }

    /// By definition a star is as wide as the circle of confusion.
    #[test]
    fn hyperfocal_stars_are_as_wide_as_the_circle() {
        let distance = hyperfocal_mm(24.0, 2.8, 0.030);
        let disc = star_disc_um(lens(24.0, 2.8), distance).expect("beyond the focal length");
        assert!((disc - 30.0).abs() < 1e-9, "{disc} µm");
        let disc = Focus::Hyperfocal
            .disc_um(lens(20.0, 1.8), 43.27)
            .expect("a disc");
        assert!((disc - 28.8).abs() < 0.1, "{disc} µm");
    }

    /// Computed independently from f²/(N (s − f)) and f²/(N D).
    #[test]
    fn agrees_with_the_worked_discs() {
        for (metres, want) in [(10.0, 20.6), (20.0, 10.3)] {
            let got = Focus::At(metres)
                .disc_um(lens(24.0, 2.8), 43.27)
                .expect("a disc");
            assert!((got - want).abs() < 0.05, "{metres} m: {got} µm");
        }
        for (metres, want) in [(5.0, 41.1), (3.0, 68.6)] {
            let got = ground_disc_um(lens(24.0, 2.8), metres * 1000.0).expect("a disc");
            assert!((got - want).abs() < 0.05, "{metres} m: {got} µm");
        }
    }

    /// Diameters at 0.55 µm from 2.44 λ N, computed independently.
    #[test]
    fn agrees_with_the_worked_airy_discs() {
        for (f_number, want) in [(1.4, 1.88), (2.8, 3.76), (5.6, 7.52)] {
            let got = airy_um(f_number, GREEN_UM);
            assert!((got - want).abs() < 5e-3, "f/{f_number}: {got} µm");
        }
    }

    #[test]
    fn nothing_focuses_inside_its_focal_length() {
        assert_eq!(star_disc_um(lens(24.0, 2.8), 20.0), None);
        assert_eq!(ground_disc_um(lens(24.0, 2.8), 0.0), None);
        assert_eq!(Focus::Stars.disc_um(lens(24.0, 2.8), 43.27), Some(0.0));
    }
}
