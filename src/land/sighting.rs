//! Apparent altitude of a ridge from a map: its distance and its height above the camera.
//!
//! The Earth's curvature lowers a far ridge; refraction compensates a good tenth of that. The
//! refraction coefficient k (`bend`) is the curvature of light over the Earth's; the effect is that
//! of a larger Earth, of radius R/(1 − k).
//!
//! The result is apparent. A star clears the ridge when its apparent altitude, with all refraction,
//! is the same: neither is to be refracted twice.

use crate::angle::Angle;

/// Mean radius of the Earth, m (IUGG, rounded to the kilometre).
const EARTH_M: f64 = 6_371_000.0;

/// The refraction coefficient near the ground, by C. F. Gauss; usual in geodesy (W. Torge & J.
/// Müller, *Geodesy*, 4th ed. 2012, from memory). Over cold ground at night it can be larger: its
/// uncertainty is ±0.1, which moves a ridge 50 km away by 0.02°.
pub const BEND: f64 = 0.13;

/// Greatest distance, m.
const FARTHEST_M: f64 = 1_000_000.0;

/// Greatest difference of heights, m.
const HIGHEST_M: f64 = 20_000.0;

/// Limits of the refraction coefficient: from light that curves upwards over hot ground to light
/// curved more than the Earth.
const BENDS: (f64, f64) = (-3.0, 3.0);

/// Clamped to limits; the lower one for NaN.
fn within(value: f64, low: f64, high: f64) -> f64 {
    value.max(low).min(high)
}

/// Effective curvature of the Earth, 1/m.
fn curvature(bend: f64) -> f64 {
    (1.0 - within(bend, BENDS.0, BENDS.1)) / EARTH_M
}

/// sin x / x, which is 1 at 0.
fn sine_share(x: f64) -> f64 {
    if x.abs() < 1e-9 { 1.0 } else { x.sin() / x }
}

/// Apparent height above the level of a point that is `rise_m` higher than the
/// camera and `distance_m` away along the ground, −90° to 90°.
///
/// Distance 0 to 1000 km, rise ±20 km, `bend` (usually [`BEND`]) ±3; values outside are clamped.
/// The camera's own height above the sea changes the result by less than a thousandth and is
/// neglected.
///
/// β = atan2((R′ + h) cos θ − R′, (R′ + h) sin θ), with θ = d/R′; in a form that is accurate at
/// short distances and without curvature. Exact on a sphere with light of constant curvature. An
/// error of 0.1 in `bend` makes 0.0045° for each 10 km.
///
/// ```
/// use tarnlight::land::sighting::{BEND, height_of_ridge};
/// let ridge = height_of_ridge(1000.0, 20_000.0, BEND);
/// assert!((ridge.degrees() - 2.7840).abs() < 5e-5);
/// ```
pub fn height_of_ridge(rise_m: f64, distance_m: f64, bend: f64) -> Angle {
    let rise = within(rise_m, -HIGHEST_M, HIGHEST_M);
    let distance = within(distance_m, 0.0, FARTHEST_M);
    let theta = distance * curvature(bend);
    let half = sine_share(theta / 2.0);
    let drop = distance * theta / 2.0 * half * half;
    let up = rise * theta.cos() - drop;
    let along = distance * sine_share(theta) + rise * theta.sin();
    Angle::from_radians(up.atan2(along))
}

/// Apparent dip of the sea's horizon from `height_m` above it (0 to 20 km; values outside are
/// clamped).
///
/// cos dip = R′/(R′ + h): exact on a sphere with light of constant curvature; zero where light is
/// curved more than the Earth. A plain at the camera's own height has no dip.
///
/// ```
/// use tarnlight::land::sighting::{BEND, dip};
/// assert!((dip(100.0, BEND).degrees() * 60.0 - 17.97).abs() < 5e-3);
/// ```
pub fn dip(height_m: f64, bend: f64) -> Angle {
    let share = within(height_m, 0.0, HIGHEST_M) * curvature(bend).max(0.0);
    Angle::from_radians((share * (2.0 + share)).sqrt().atan2(1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed independently, from the exact form as printed, with k = 0.13.
    #[test]
    fn agrees_with_the_worked_ridges() {
        let table = [
            // rise m, distance m, height °
            (300.0, 3e3, 5.6987),
            (500.0, 5e3, 5.6908),
            (1000.0, 20e3, 2.7840),
            (2000.0, 50e3, 2.0947),
        ];
        for (rise, distance, want) in table {
            let got = height_of_ridge(rise, distance, BEND).degrees();
            let miss = (got - want).abs();
            assert!(miss < 5.1e-5, "{rise} over {distance}: {got}, {want}");
        }
    }

    /// The short form, (h − (1 − k) d²/2R)/d, leaves 0.0006° at 50 km; the drop of 27.31 m at 20
    /// km, computed independently, is what lowers a level ridge.
    #[test]
    fn a_level_ridge_sinks_by_the_drop() {
        let sunk = height_of_ridge(0.0, 20e3, BEND).radians() * 20e3;
        assert!((sunk + 27.31).abs() < 6e-3, "{sunk}");
        let flat = height_of_ridge(1000.0, 20e3, 1.0).degrees();
        let want = (1000.0_f64 / 20e3).atan().to_degrees();
        assert!((flat - want).abs() < 1e-12, "{flat}, {want}");
    }

    /// Dip in minutes for a height of 1 m: 1.926 by geometry and 1.797 with k = 0.13, computed
    /// independently; 1.758 in the Nautical Almanac, whose k is 0.167. It grows as the root of the
    /// height.
    #[test]
    fn agrees_with_the_dip_of_almanacs() {
        for (bend, want) in [(0.0, 1.926), (BEND, 1.797), (0.167, 1.758)] {
            for height in [1.0, 4.0, 100.0] {
                let got = dip(height, bend).degrees() * 60.0 / f64::sqrt(height);
                assert!((got - want).abs() < 6e-4, "{height} m, k {bend}: {got}");
            }
        }
    }

    /// The horizon is the highest of all points of a sea that lies below the camera.
    #[test]
    fn the_sea_ends_at_the_dip() {
        for (height, bend) in [(5.0, BEND), (300.0, BEND), (4000.0, 0.0), (4000.0, 0.9)] {
            let seen = |step: i32| height_of_ridge(-height, f64::from(step) * 50.0, bend);
            let top = (1..20_000).map(|step| seen(step).degrees());
            let top = top.fold(-90.0, f64::max);
            let want = -dip(height, bend).degrees();
            // the camera's height over the Earth's radius is neglected in the one
            let leave = 1e-6 + want.abs() * height / EARTH_M;
            assert!(
                (top - want).abs() < leave,
                "{height}, {bend}: {top}, {want}"
            );
        }
    }

    #[test]
    fn odd_input_is_taken_at_the_nearer_end() {
        let odd = [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, -1.0, 0.0, 1e300];
        for one in odd {
            for two in odd {
                for three in odd {
                    let got = height_of_ridge(one, two, three).degrees();
                    assert!(got.abs() <= 180.0, "{one} {two} {three}: {got}");
                }
                assert!(dip(one, two).degrees() >= 0.0);
            }
        }
        assert_eq!(height_of_ridge(100.0, 0.0, BEND).degrees(), 90.0);
        assert_eq!(dip(100.0, 1.5).degrees(), 0.0);
    }
}
