//! The lens: angle from the axis to distance from the centre.
//!
//! A star at the angle θ from the optical axis is imaged at the distance r(θ) from the centre. This
//! function is the lens's projection: ordinary lenses are rectilinear and stretch the corners;
//! fisheyes are close to one of the other three. Real lenses differ from their projection by a few
//! per cent: see [`distortion`](crate::camera::distortion).

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::camera::distortion::Distortion;
use crate::listed::listed;

/// Largest angle from the axis considered: half the sky.
pub const FIELD_LIMIT: Angle = Angle::from_degrees(90.0);

/// Below this angle (radians) the equidistant bend is computed from its series, whose first dropped
/// term is then under 1e-11.
const SERIES_BELOW: f64 = 3e-3;

listed! {
    /// How a lens maps angles to distances, in units of its focal length.
    ///
    /// Source: the usual definitions, e.g. R. Kingslake & R. B. Johnson, *Lens
    /// Design Fundamentals*, 2nd ed. 2010 (from memory).
    #[derive(Debug, Clone, Copy, PartialEq, Eq, Serialize, Deserialize)]
    pub enum Projection {
        /// r = f tan θ: straight lines stay straight.
        Rectilinear,
        /// r = 2 f sin(θ/2): equal areas stay equal.
        Equisolid,
        /// r = f θ.
        Equidistant,
        /// r = 2 f tan(θ/2).
        Stereographic,
    }
}

impl Projection {
    /// Distance from the centre, in focal lengths, of a star `theta` radians
    /// from the axis. `None` where the projection has no image: from 90° for a
    /// rectilinear lens, from 180° for the others.
    pub fn radius(self, theta: f64) -> Option<f64> {
        use std::f64::consts::{FRAC_PI_2, PI};
        let edge = if self == Self::Rectilinear {
            FRAC_PI_2
        } else {
            PI
        };
        (0.0..edge).contains(&theta).then(|| match self {
            Self::Rectilinear => theta.sin() / theta.cos(),
            Self::Stereographic => 2.0 * (theta / 2.0).sin() / (theta / 2.0).cos(),
            Self::Equidistant => theta,
            Self::Equisolid => 2.0 * (theta / 2.0).sin(),
        })
    }

    /// Angle from the axis, radians, of the image `radius` focal lengths from the centre. `None`
    /// beyond the projection's range.
    pub fn off_axis(self, radius: f64) -> Option<f64> {
        let theta = match self {
            Self::Rectilinear => radius.atan2(1.0),
            Self::Stereographic => 2.0 * radius.atan2(2.0),
            Self::Equidistant => radius,
            Self::Equisolid => 2.0 * radius.atan2((4.0 - radius * radius).sqrt()),
        };
        (radius >= 0.0 && theta < std::f64::consts::PI).then_some(theta)
    }

    /// r/sin θ: the tangential scale relative to the centre.
    pub fn tangential_scale(self, theta: f64) -> f64 {
        match self {
            Self::Rectilinear => 1.0 / theta.cos(),
            Self::Stereographic => 1.0 / (theta / 2.0).cos().powi(2),
            Self::Equidistant if theta < SERIES_BELOW => 1.0 + theta * theta / 6.0,
            Self::Equidistant => theta / theta.sin(),
            Self::Equisolid => 1.0 / (theta / 2.0).cos(),
        }
    }

    /// (dr/dθ − cos θ · r/sin θ) / sin² θ: the rate at which the tangential scale changes outwards;
    /// see [`crate::camera::drift`].
    ///
    /// In a form that is exact on the axis for each projection.
    pub fn bend(self, theta: f64) -> f64 {
        match self {
            Self::Rectilinear => 1.0 / theta.cos().powi(2),
            Self::Stereographic => self.tangential_scale(theta) / (1.0 + theta.cos()),
            // 1/3 + 2θ²/15 is the start of the series of (1 − θ cot θ)/sin² θ
            Self::Equidistant if theta < SERIES_BELOW => 1.0 / 3.0 + 2.0 * theta * theta / 15.0,
            Self::Equidistant => (1.0 - theta * theta.cos() / theta.sin()) / theta.sin().powi(2),
            Self::Equisolid => 1.0 / (4.0 * (theta / 2.0).cos().powi(3)),
        }
    }

    /// cos θ and r/sin θ of the image `radius` focal lengths from the centre: both are algebraic in
    /// the radius but for the equidistant lens. `None` beyond the projection's range.
    ///
    /// The same values as by [`Self::off_axis`] and [`Self::tangential_scale`], in a fraction of the
    /// time: a frame's fastest star and its land take thousands.
    pub fn cosine_and_scale(self, radius: f64) -> Option<(f64, f64)> {
        let quarter = radius * radius / 4.0;
        match self {
            Self::Rectilinear if radius.is_finite() => {
                let scale = (1.0 + radius * radius).sqrt();
                Some((1.0 / scale, scale))
            }
            Self::Stereographic if radius.is_finite() => {
                Some(((1.0 - quarter) / (1.0 + quarter), 1.0 + quarter))
            }
            Self::Equisolid if quarter < 1.0 => {
                Some((1.0 - 2.0 * quarter, 1.0 / (1.0 - quarter).sqrt()))
            }
            Self::Equidistant => {
                let theta = self.off_axis(radius)?;
                Some((theta.cos(), self.tangential_scale(theta)))
            }
            _ => None,
        }
    }

    /// r/sin θ and [`Self::bend`] of a direction whose unit vector has the components `sin` across
    /// the axis and `cos` along it. `None` where the projection has no image.
    ///
    /// The same values as by the angle.
    pub fn scale_and_bend(self, (sin, cos): (f64, f64)) -> Option<(f64, f64)> {
        match self {
            Self::Rectilinear if cos > 0.0 => Some((1.0 / cos, 1.0 / (cos * cos))),
            Self::Stereographic if cos > -1.0 => {
                let scale = 2.0 / (1.0 + cos);
                Some((scale, scale / (1.0 + cos)))
            }
            Self::Equisolid if cos > -1.0 => {
                let half = ((1.0 + cos) / 2.0).sqrt();
                Some((1.0 / half, 1.0 / (4.0 * half * half * half)))
            }
            Self::Equidistant => {
                let theta = sin.atan2(cos);
                self.radius(theta)?;
                Some((self.tangential_scale(theta), self.bend(theta)))
            }
            _ => None,
        }
    }
}

/// A lens and its settings.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Lens {
    /// True focal length, mm; never the "equivalent" one.
    pub focal_mm: f64,
    /// f-number in use.
    pub f_number: f64,
    /// Projection.
    pub projection: Projection,
    /// Departure of the real lens from its projection.
    pub distortion: Distortion,
    /// Width of a star image; `None` if unknown.
    pub star_width: Option<StarWidth>,
    /// Light loss in the corners at the widest aperture, stops; `None` if unknown.
    pub corner_falloff_stops: Option<f64>,
}

impl Lens {
    /// A lens of another focal length, with distortion, star width and corner light loss unknown:
    /// they belong to one lens at one focal length.
    pub fn with_focal_mm(self, focal_mm: f64) -> Self {
        if focal_mm == self.focal_mm {
            return self;
        }
        Self {
            focal_mm,
            distortion: Distortion::NONE,
            star_width: None,
            corner_falloff_stops: None,
            ..self
        }
    }
}

impl Default for Lens {
    /// An ideal rectilinear 20 mm f/1.8.
    fn default() -> Self {
        Self {
            focal_mm: 20.0,
            f_number: 1.8,
            projection: Projection::Rectilinear,
            distortion: Distortion::NONE,
            star_width: None,
            corner_falloff_stops: None,
        }
    }
}

/// Full width at half maximum of a star without a trail, pixels.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct StarWidth {
    /// In the middle of the frame.
    pub centre_px: f64,
    /// In its corners.
    pub corner_px: f64,
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Radii at θ = 45°, f = 15 mm, from the definitions, computed independently.
    #[test]
    fn agrees_with_the_worked_radii() {
        let table = [
            (Projection::Rectilinear, 15.0),
            (Projection::Stereographic, 12.426),
            (Projection::Equidistant, 11.781),
            (Projection::Equisolid, 11.481),
        ];
        for (projection, want) in table {
            let got = 15.0 * projection.radius(45_f64.to_radians()).unwrap_or(f64::NAN);
            assert!(
                (got - want).abs() < 5e-4,
                "{projection:?}: {got}, want {want}"
            );
        }
    }

    /// Corner stretch of rectilinear lenses on 36 × 24 mm, computed independently.
    #[test]
    fn agrees_with_the_worked_corner_stretch() {
        let table = [
            // f mm, θ °, sec θ (across), sec² θ (along)
            (14.0, 57.091, 1.841, 3.388),
            (20.0, 47.246, 1.473, 2.170),
            (24.0, 42.031, 1.346, 1.812),
            (35.0, 31.720, 1.176, 1.382),
            (50.0, 23.396, 1.090, 1.187),
        ];
        for (focal, theta_deg, across, along) in table {
            let lens = Projection::Rectilinear;
            let theta = lens.off_axis(21.633 / focal).unwrap_or(f64::NAN);
            assert!((theta.to_degrees() - theta_deg).abs() < 2e-3, "f {focal}");
            assert!(
                (lens.tangential_scale(theta) - across).abs() < 1e-3,
                "f {focal}"
            );
            assert!((slope(lens, theta) - along).abs() < 1e-3, "f {focal}");
        }
    }

    #[test]
    fn angle_and_radius_are_inverse() {
        for projection in Projection::ALL {
            for tenth in 0..890 {
                let theta = f64::from(tenth).to_radians() / 10.0;
                let radius = projection.radius(theta).unwrap_or(f64::NAN);
                let back = projection.off_axis(radius).unwrap_or(f64::NAN);
                assert!((back - theta).abs() < 1e-12, "{projection:?} at {theta}");
            }
        }
    }

    /// Without angles the same values as with them, out to 89.5°.
    #[test]
    fn forms_without_angles_are_those_with_them() {
        for projection in Projection::ALL {
            for step in 0..180 {
                let theta = f64::from(step).to_radians() / 2.0;
                let (scale, bend) = (projection.tangential_scale(theta), projection.bend(theta));
                let radius = projection.radius(theta).expect("an image");
                let (cos, by_radius) = projection.cosine_and_scale(radius).expect("an image");
                assert!(
                    (cos - theta.cos()).abs() < 1e-14,
                    "{projection:?} at {theta}"
                );
                let (by_direction, bent) = projection
                    .scale_and_bend(theta.sin_cos())
                    .expect("an image");
                for (got, want) in [(by_radius, scale), (by_direction, scale), (bent, bend)] {
                    assert!((got / want - 1.0).abs() < 1e-9, "{projection:?} at {theta}");
                }
            }
        }
        let none = [
            (Projection::Equisolid, 2.0),
            (Projection::Equidistant, 3.2),
            (Projection::Rectilinear, f64::INFINITY),
            (Projection::Stereographic, f64::NAN),
        ];
        for (projection, radius) in none {
            assert_eq!(projection.cosine_and_scale(radius), None, "{projection:?}");
        }
        for projection in Projection::ALL {
            let behind = projection.scale_and_bend((0.0, -1.0));
            assert_eq!(behind, None, "{projection:?}");
            assert_eq!(projection.scale_and_bend((0.0, f64::NAN)), None);
        }
        assert_eq!(Projection::Rectilinear.scale_and_bend((1.0, 0.0)), None);
    }

    /// The two closed forms against finite differences.
    #[test]
    fn scale_and_bend_are_what_they_say() {
        for projection in Projection::ALL {
            for theta in [1e-4_f64, 2.9e-3, 3.1e-3, 0.02, 0.5, 1.0, 1.5] {
                let across = projection.radius(theta).unwrap_or(f64::NAN) / theta.sin();
                let got = projection.tangential_scale(theta);
                assert!(
                    (got / across - 1.0).abs() < 1e-11,
                    "{projection:?} at {theta}"
                );
                if theta > 0.01 {
                    let bend =
                        (slope(projection, theta) - theta.cos() * across) / theta.sin().powi(2);
                    let got = projection.bend(theta);
                    assert!((got / bend - 1.0).abs() < 1e-4, "{projection:?} at {theta}");
                }
            }
        }
    }

    #[test]
    fn the_series_joins_the_closed_form() {
        let (below, above) = (SERIES_BELOW * (1.0 - 1e-9), SERIES_BELOW);
        let jump = Projection::Equidistant.bend(above) - Projection::Equidistant.bend(below);
        assert!(jump.abs() < 2e-10, "{jump}");
    }

    #[test]
    fn no_image_where_there_is_none() {
        assert_eq!(Projection::Rectilinear.radius(FIELD_LIMIT.radians()), None);
        assert_eq!(Projection::Equisolid.off_axis(2.1), None);
        assert_eq!(Projection::Equidistant.off_axis(3.2), None);
        assert_eq!(Projection::Equidistant.off_axis(f64::NAN), None);
    }

    /// dr/dθ by central differences.
    fn slope(projection: Projection, theta: f64) -> f64 {
        let step = 1e-6;
        let at = |theta| projection.radius(theta).unwrap_or(f64::NAN);
        (at(theta + step) - at(theta - step)) / (2.0 * step)
    }
}
