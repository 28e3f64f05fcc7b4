//! Brightness of twilight, overhead and in any direction.
//!
//! After sunset the zenith fades until the Sun is 18° down. The part in which night photographs
//! begin was measured at a very clear site, including that site's night sky; here the night sky is
//! subtracted, so that twilight can be added to the sky of any site. Near the horizon, and on the
//! Sun's side, twilight is several times brighter than overhead.
//!
//! The Moon's twilight about its rise and set is the same, fourteen magnitudes fainter: see
//! [`crate::light::moonlight`].

use crate::angle::Angle;
use crate::light::air::air_mass;
use crate::light::brightness::{DARK_ZENITH_V, SurfaceBrightness, ten_to};
use crate::light::illuminance::measured_lx;

/// Sun's zenith distance that the fit counts from, degrees: 5° down (Patat et
/// al. 2006).
const FIT_START_DEG: f64 = 95.0;
/// Sun's zenith distance at which the fit ends, degrees: 15° down (same).
const FIT_END_DEG: f64 = 105.0;
/// Coefficients for V overhead (same, Table 1): mag/arcsec², per degree, per
/// degree².
const A0: f64 = 11.84;
const A1: f64 = 1.518;
const A2: f64 = -0.057;

/// The horizon's distance from the zenith, degrees.
const HORIZON_DEG: f64 = 90.0;
/// Depression of the Sun at the end of astronomical twilight, degrees.
const NIGHT_DEG: f64 = 18.0;
/// Lowest Sun of the fit, degrees of altitude, and its highest.
const FIT_LOW_DEG: f64 = HORIZON_DEG - FIT_END_DEG;
const FIT_HIGH_DEG: f64 = HORIZON_DEG - FIT_START_DEG;
/// Highest Sun of the model, degrees; used for the Moon only.
const HIGHEST_DEG: f64 = 5.0;

/// Light of one magnitude as a power of ten, by definition.
const POGSON: f64 = 0.4;

/// Least and greatest extinction in the ratio between directions, magnitudes per air mass: a high
/// mountain's and a hazy plain's; outside of them 1/k diverges (own choice).
const RATIO_EXTINCTION: (f64, f64) = (0.15, 0.6);
/// Least distance from the Sun for which the form is used, degrees.
const NEAREST_DEG: f64 = 10.0;
/// Degrees of zenith distance over which twilight brightens by 1/k magnitudes
/// (Schaefer 1993).
const BRIGHTENING_DEG: f64 = 360.0;

/// Twilight overhead without the night sky; no light when the Sun is 18° down or more, or for NaN.
///
/// From 5° to 15° down: F. Patat, O. S. Ugolnikov & O. V. Postylyakov, *A&A* 455 (2006) 385, Table
/// 1, V, minus the night sky of the site, 21.6 (F. Patat, *A&A* 400 (2003) 1183). Their spread is
/// 0.18 mag, for very clear air at 2600 m; lower sites are about 30 % brighter. From there to 18°
/// down it is extrapolated and tapered to zero. From 5° down to 5° up it follows the illuminance of
/// the ground, which is used for the Moon only. Higher altitudes count as 5°.
///
/// ```text
/// Sun 12° down  →  19.87 mag/arcsec²;  at the horizon  →  7.2
/// ```
pub fn zenith_twilight(sun_altitude: Angle) -> SurfaceBrightness {
    // false for NaN, too
    if !(-NIGHT_DEG..=HORIZON_DEG).contains(&sun_altitude.degrees()) {
        return SurfaceBrightness::NONE;
    }
    let altitude_deg = sun_altitude.degrees().min(HIGHEST_DEG);
    if altitude_deg > FIT_HIGH_DEG {
        let [there, last] = [altitude_deg, FIT_HIGH_DEG].map(measured_lx);
        let ratio = there / last;
        return fit_alone(FIT_HIGH_DEG).times(ratio);
    }
    if altitude_deg >= FIT_LOW_DEG {
        return fit_alone(altitude_deg);
    }
    // linear extrapolation of the logarithm, tapered to zero
    const STEP_DEG: f64 = 0.01;
    let last = fit_alone(FIT_LOW_DEG);
    let before = fit_alone(FIT_LOW_DEG + STEP_DEG).nanolamberts();
    let decay_per_deg = (before / last.nanolamberts()).ln() / STEP_DEG;
    let beyond_deg = FIT_LOW_DEG - altitude_deg;
    let left = 1.0 - smoothstep(beyond_deg / (NIGHT_DEG + FIT_LOW_DEG));
    last.times((-decay_per_deg * beyond_deg).exp() * left)
}

/// The fit minus the night sky it was measured with.
fn fit_alone(sun_altitude_deg: f64) -> SurfaceBrightness {
    let measured = SurfaceBrightness::from_magnitude(fit(HORIZON_DEG - sun_altitude_deg));
    let night = SurfaceBrightness::from_magnitude(DARK_ZENITH_V);
    SurfaceBrightness::from_nanolamberts(measured.nanolamberts() - night.nanolamberts())
}

/// The fit itself, mag/arcsec², by the Sun's zenith distance, degrees.
fn fit(zeta: f64) -> f64 {
    A0 + A1 * (zeta - FIT_START_DEG) + A2 * (zeta - FIT_START_DEG) * (zeta - FIT_START_DEG)
}

/// From 0 at 0 to 1 at 1, with zero slope at both ends; clamped outside.
pub(super) fn smoothstep(way: f64) -> f64 {
    let way = way.clamp(0.0, 1.0);
    way * way * (3.0 - 2.0 * way)
}

/// A direction in a twilight sky, of the Sun or of the Moon.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Direction {
    /// True altitude of the Sun's middle.
    pub sun_altitude: Angle,
    /// Apparent zenith distance of the direction; more than 90° counts as the horizon.
    pub zenith_distance: Angle,
    /// Angle between the Sun and the direction.
    pub separation: Angle,
    /// Magnitudes lost per air mass; see [`crate::light::air::extinction`].
    pub extinction: f64,
}

impl Direction {
    /// Twilight there, without the night sky; `None` in bright twilight, the Sun less than 5° down,
    /// where there is no model, and for NaN.
    ///
    /// [`zenith_twilight`] times [`Self::over_zenith`].
    pub fn twilight(&self) -> Option<SurfaceBrightness> {
        let known = self.sun_altitude.degrees() <= FIT_HIGH_DEG;
        known.then(|| match zenith_twilight(self.sun_altitude) {
            SurfaceBrightness::NONE => SurfaceBrightness::NONE,
            overhead => overhead.times(self.over_zenith()),
        })
    }

    /// Brightness of twilight here over that overhead.
    ///
    /// Source: B. E. Schaefer, *Vistas in Astronomy* 36 (1993) 311 (form from memory): brightness
    /// goes as (100/ρ) 10^(0.4 (h + Z/(360 k))) (1 − 10^(−0.4 k X)), ρ the angle to the Sun, h its
    /// altitude and Z the zenith distance in degrees, k the extinction and X the air mass. Only the
    /// ratio to the zenith is used, with k clamped to 0.15 to 0.6, and ρ to at least 10°. The
    /// accuracy is unknown; half a magnitude is likely.
    ///
    /// ```text
    /// 20° high, k 0.28, Sun 10° down  →  opposite 1.0 mag, at right angles 1.7, towards it 2.9
    /// ```
    pub fn over_zenith(&self) -> f64 {
        let zenith_deg = self.zenith_distance.degrees().abs().min(HORIZON_DEG);
        let rho = self.separation.degrees().abs().clamp(NEAREST_DEG, 180.0);
        let zenith_rho = (HORIZON_DEG - self.sun_altitude.degrees()).max(NEAREST_DEG);
        // max and min ignore NaN
        let k = self
            .extinction
            .max(RATIO_EXTINCTION.0)
            .min(RATIO_EXTINCTION.1);
        let air = air_mass(Angle::from_degrees(HORIZON_DEG - zenith_deg)).unwrap_or(1.0);
        let scattered = |air: f64| 1.0 - ten_to(-POGSON * k * air);
        let ratio =
            zenith_rho / rho * ten_to(POGSON * zenith_deg / (BRIGHTENING_DEG * k)) * scattered(air)
                / scattered(1.0);
        if ratio.is_finite() { ratio } else { 1.0 }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn v(sky: SurfaceBrightness) -> f64 {
        sky.magnitude().expect("some light")
    }

    fn at(sun_altitude_deg: f64) -> SurfaceBrightness {
        zenith_twilight(Angle::from_degrees(sun_altitude_deg))
    }

    /// Table 1 of the source computed independently: the measurement at Paranal is twilight and the
    /// night sky of 21.6 together.
    const TABLE: [(f64, f64); 6] = [
        // Sun down °, mag/arcsec²
        (5.0, 11.840),
        (6.0, 13.301),
        (8.0, 15.881),
        (10.0, 18.005),
        (12.0, 19.673),
        (15.0, 21.320),
    ];

    #[test]
    fn with_its_own_night_it_is_what_was_measured() {
        for (down, want) in TABLE {
            let got = v(at(-down) + SurfaceBrightness::from_magnitude(DARK_ZENITH_V));
            // half of the last digit given
            assert!((got - want).abs() < 6e-4, "{down}°: {got}, want {want}");
        }
    }

    /// Usual figures of illuminance (common practice): 400 lx or so at sunset, 3.4 lx at
    /// the end of civil twilight; and the zenith is some 7 mag/arcsec² at sunset.
    #[test]
    fn about_sunset_it_follows_the_ground() {
        let sunset = measured_lx(-50.0 / 60.0);
        assert!((350.0..550.0).contains(&sunset), "{sunset} lx");
        let [above, below] = [1e-9, -1e-9].map(|off| measured_lx(off - 0.8));
        assert!((above / below - 1.0).abs() < 4e-3, "{above}, {below} lx");
        let got = v(at(-50.0 / 60.0));
        assert!((7.0..8.0).contains(&got), "{got}");
    }

    #[test]
    fn fades_steadily_to_nothing() {
        let mut before = at(5.0);
        for hundredths in -500..1800 {
            let down = f64::from(hundredths) / 100.0;
            let got = at(-down);
            let step = v(got) - v(before);
            // 1.52 mag a degree is the fit's steepest slope, and its last three degrees are tapered
            // to zero
            let most = if down < 14.0 { 0.017 } else { 0.08 };
            let near_end = down > 17.0;
            assert!(
                step >= -1e-9 && (step < most || near_end),
                "{down}°: {step}"
            );
            before = got;
        }
        for down in [18.0, 18.01, 90.0, f64::NAN, f64::INFINITY] {
            assert_eq!(at(-down), SurfaceBrightness::NONE, "{down}°");
        }
        assert_eq!(at(60.0), at(5.0));
    }

    fn towards(altitude: f64, bearing: f64, down: f64, extinction: f64) -> Direction {
        let [sun, there] = [(-down, 0.0), (altitude, bearing)].map(|(altitude, bearing)| {
            crate::vector::Vector::from_spherical(
                Angle::from_degrees(bearing),
                Angle::from_degrees(altitude),
            )
        });
        Direction {
            sun_altitude: Angle::from_degrees(-down),
            zenith_distance: Angle::from_degrees(90.0 - altitude),
            separation: sun.angle_to(there),
            extinction,
        }
    }

    /// The form computed by hand for sea level: 20° high and the Sun 6° to 15° down, 1.0 mag more
    /// than overhead opposite the Sun, 1.7 at right angles, 2.9 towards it.
    #[test]
    fn agrees_with_the_worked_directions() {
        for (bearing, want) in [(180.0, 1.0), (90.0, 1.7), (0.0, 2.9)] {
            for down in [8.0, 10.0, 12.0] {
                let ratio = towards(20.0, bearing, down, 0.28).over_zenith();
                let got = 2.5 * ratio.log10();
                assert!((got - want).abs() < 0.12, "{bearing}°, {down}°: {got}");
            }
        }
        let overhead = towards(90.0, 0.0, 10.0, 0.2).over_zenith();
        assert!((overhead - 1.0).abs() < 1e-12, "{overhead}");
    }

    #[test]
    fn nothing_is_claimed_in_bright_twilight() {
        for down in [4.99, 0.0, -30.0] {
            assert_eq!(towards(40.0, 90.0, down, 0.2).twilight(), None, "{down}°");
        }
        assert!(towards(40.0, 90.0, 5.0, 0.2).twilight().is_some());
        let night = towards(40.0, 90.0, 18.5, 0.2).twilight();
        assert_eq!(night, Some(SurfaceBrightness::NONE));
    }

    #[test]
    fn any_input_gives_light_that_is_a_number() {
        let numbers = [f64::NAN, f64::INFINITY, -1e300, -0.0, 1e300, 45.0, -7.0];
        for a in numbers {
            for b in numbers {
                for c in numbers {
                    let [sun_altitude, zenith_distance, separation] =
                        [a, b, c].map(Angle::from_degrees);
                    let there = Direction {
                        sun_altitude,
                        zenith_distance,
                        separation,
                        extinction: b,
                    };
                    let ratio = there.over_zenith();
                    assert!(ratio.is_finite() && ratio > 0.0, "{there:?}: {ratio}");
                    let light = there.twilight().unwrap_or(SurfaceBrightness::NONE);
                    assert!(light.nanolamberts().is_finite(), "{there:?}");
                }
            }
        }
    }
}
