//! Moonlight scattered by clear air and haze, with the Moon well up.
//!
//! Source of it all: K. Krisciunas & B. E. Schaefer, *PASP* 103 (1991) 1033, eqs 3, 15 and 17
//! to 21. They give 8 to 23 % accuracy, for V and a clear sky.

use crate::angle::Angle;
use crate::light::brightness::{SurfaceBrightness, ten_to};

/// The Moon's angular radius, degrees, rounded: least separation.
const MOON_RADIUS_DEG: f64 = 0.26;

/// Constant of eq. 3: X is 5 at the horizon.
const LAYER: f64 = 0.96;
/// Constant of eq. 20, magnitudes: a full Moon's light in the source's own unit.
const FULL_MAG: f64 = 3.84;
/// Power of ten in front of eq. 17 as eq. 21 prints it; 229 087.
const AIR_POWER: f64 = 5.36;
/// Constant of eq. 17.
const AIR_EVEN: f64 = 1.06;
/// Constants of eq. 18, for haze far from the Moon: power of ten and degrees per
/// power of ten.
const HAZE_POWER: f64 = 6.15;
const HAZE_DEG: f64 = 40.0;
/// Constant of eq. 19, for haze near the Moon, degrees².
const NEAR_HAZE: f64 = 6.2e7;
/// Light of one magnitude as a power of ten, by definition.
const POGSON: f64 = 0.4;
/// The horizon's distance from the zenith, degrees.
const HORIZON_DEG: f64 = 90.0;

/// Light of a mean full Moon scattered towards a target (eq. 15, eq. 20 at full): by the zenith
/// distances of both, their separation, and the extinction in magnitudes per air mass.
///
/// Separations below the Moon's radius count as that radius; zenith distances beyond 90° as 90°.
///
/// ```text
/// Moon 30° high, target overhead 60° away, 0.172 mag  →  1089.9 nL
/// ```
pub fn full_moonlight(
    moon_zenith: Angle,
    target_zenith: Angle,
    separation: Angle,
    extinction: f64,
) -> SurfaceBrightness {
    SurfaceBrightness::from_nanolamberts(
        scattering(separation)
            * ten_to(-POGSON * FULL_MAG)
            * ten_to(-POGSON * extinction * scattering_air_mass(moon_zenith))
            * (1.0 - ten_to(-POGSON * extinction * scattering_air_mass(target_zenith))),
    )
}

/// Air masses for scattered light, 1 to 5 (eq. 3).
pub fn scattering_air_mass(zenith: Angle) -> f64 {
    let zenith_deg = zenith.degrees().abs().min(HORIZON_DEG);
    let sin = Angle::from_degrees(zenith_deg).sin();
    1.0 / (1.0 - LAYER * sin * sin).sqrt()
}

/// Scattering function of the angle, by air and haze (eq. 21).
fn scattering(separation: Angle) -> f64 {
    let rho = separation.degrees().abs().clamp(MOON_RADIUS_DEG, 180.0);
    let cos = Angle::from_degrees(rho).cos();
    ten_to(AIR_POWER) * (AIR_EVEN + cos * cos) + haze(rho)
}

/// The part of haze, `rho` degrees from the Moon: the brighter of eqs 18 and 19.
///
/// The authors switch at 10°, where the two differ by 28 %; they meet at 8.6°, and switching there
/// is continuous.
fn haze(rho: f64) -> f64 {
    ten_to(HAZE_POWER - rho / HAZE_DEG).max(NEAR_HAZE / (rho * rho))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The two formulas for haze: 794 328 at 10° by the one, 6.2·10⁷/ρ² close to the Moon by the
    /// other, both computed by hand; and no step where they meet. A misprint in circulation swaps
    /// them, which would give 620 000 at 10°.
    #[test]
    fn haze_is_either_formula_without_a_step() {
        for (rho, want) in [(10.0, 794_328.0), (50.0, 79_433.0), (5.0, 2_480_000.0)] {
            let got = haze(rho);
            assert!(
                (got / want - 1.0).abs() < 1e-5,
                "{rho}°: {got}, want {want}"
            );
        }
        for hundredth in 26..18_000 {
            let rho = f64::from(hundredth) / 100.0;
            let fall = haze(rho) / haze(rho + 0.001);
            assert!((1.0..1.009).contains(&fall), "{rho}°: {fall}");
        }
    }
}
