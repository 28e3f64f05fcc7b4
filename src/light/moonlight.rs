//! Moonlight in the sky where the camera points.
//!
//! Moonlight is scattered by the air, evenly to all sides, and by haze, mostly close around the
//! Moon. So the sky gets brighter the fuller and higher the Moon, the nearer it is to the target,
//! and the more air there is in front of the target. About moonrise and moonset the Moon makes a
//! twilight like the Sun's, a million times weaker: the sky brightens before it is up, continuously
//! through the horizon. Valid for a clear sky.

use crate::angle::Angle;
use crate::light::brightness::{SurfaceBrightness, ten_to};
use crate::light::scattering::{full_moonlight, scattering_air_mass};
use crate::light::twilight::{Direction, smoothstep, zenith_twilight};
use crate::sky::positions::MEAN_LUNAR_DISTANCE_KM;
use std::f64::consts::LN_10;

/// Limits of the Moon's distance, km: somewhat beyond its orbit (from memory, 356 400 to 406 700).
const DISTANCES_KM: (f64, f64) = (350_000.0, 415_000.0);

/// Maximum extinction, magnitudes per air mass.
const MOST_EXTINCTION: f64 = 3.0;

/// Constants of eq. 20, magnitudes: per degree, per degree⁴.
const PER_DEGREE_MAG: f64 = 0.026;
const PER_FOURTH_MAG: f64 = 4e-9;
/// Light of one magnitude as a power of ten, by definition.
const POGSON: f64 = 0.4;

/// Brightness of a full Moon at its mean distance, V (eq. 9 at 0°), and of the Sun
/// (common value, from memory).
const FULL_MOON_V: f64 = -12.73;
const SUN_V: f64 = -26.74;

/// Within this phase angle, degrees, the Moon is brighter than by eq. 20, since its ground shows no
/// shadows then (Krisciunas & Schaefer 1991, p. 1035, at second hand: up to 35 %, which is 0.33
/// mag; a published sky calculator's full Moon requires 0.4 to 0.55).
const OPPOSITION_DEG: f64 = 7.0;
/// How much brighter it is at phase angle 0, magnitudes: between those.
const OPPOSITION_MAG: f64 = 0.45;

/// The horizon's distance from the zenith, degrees.
const HORIZON_DEG: f64 = 90.0;

/// From this altitude up eq. 15 is used, degrees.
const SCATTERED_FROM_DEG: f64 = 5.0;
/// Below this one twilight alone is used; between them the two are blended.
const TWILIGHT_TO_DEG: f64 = -6.0;
/// Largest blending correction, as a natural logarithm: three magnitudes, with which the light
/// still grows monotonically with the altitude.
const MOST_LED: f64 = -3.0 * POGSON * LN_10;

/// Positions of Moon and target, and the air between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonGeometry {
    /// Phase angle of the Moon for the observer, 0° full to 180° new; its sign is ignored.
    pub phase_angle: Angle,
    /// The Moon's true distance from the zenith, 0° to 180°; beyond 90° it is below the
    /// horizon.
    pub moon_zenith: Angle,
    /// The target's distance from the zenith; more than 90° counts as the horizon.
    pub target_zenith: Angle,
    /// Between Moon and target, 0° to 180°.
    pub separation: Angle,
    /// Magnitudes lost per air mass, 0 to 3; see [`crate::light::air::extinction`].
    pub extinction: f64,
    /// Distance of the Moon, km; [`MEAN_LUNAR_DISTANCE_KM`] if unknown.
    pub distance_km: f64,
}

impl MoonGeometry {
    /// Moonlight scattered towards the camera from the sky at the target.
    ///
    /// Continuous in all inputs (to 0.004 mag at −0.8°), and monotonic while the Moon climbs to 5°.
    /// No light when the Moon is 18° below the horizon, or when an input is NaN. Separations below
    /// the Moon's radius count as that radius; distances are clamped to 350 000 to 415 000 km.
    ///
    /// Source, from 5° of altitude up: K. Krisciunas & B. E. Schaefer, *PASP* 103 (1991) 1033, eqs
    /// 3, 15 and 17 to 21; added are the inverse square of the Moon's distance and the brightening
    /// near full that they mention; haze 8.6° to 10° from the Moon is up to 28 % more than theirs,
    /// so that it is continuous. They give 8 to 23 % accuracy, for V and a clear sky.
    ///
    /// At 6° below the horizon and lower: twilight ([`zenith_twilight`], [`Direction`]), weaker by
    /// as many magnitudes as the Moon is fainter than the Sun (first principles). From there up to
    /// 5° it is blended into eq. 15 in the logarithm; where eq. 15 is fainter by more than three
    /// magnitudes, in very hazy air, all of the twilight is reduced by the excess. Agrees with a
    /// published sky calculator's full Moon, to which the brightening at full was fitted, within
    /// 0.1 mag; below the horizon there are no measurements.
    ///
    /// ```text
    /// half Moon 30° high, target overhead 60° away, 0.172 mag  →  99.2 nL
    /// full Moon 0.57° below the horizon, target overhead         →  21.2 mag/arcsec²
    /// ```
    pub fn moonlight(&self) -> SurfaceBrightness {
        if !self.is_sound() {
            return SurfaceBrightness::NONE;
        }
        let altitude_deg = HORIZON_DEG - self.moon_zenith.degrees().abs();
        if altitude_deg >= SCATTERED_FROM_DEG {
            return self.scattered(altitude_deg).times(self.lit());
        }
        let twilight = self.as_twilight(altitude_deg);
        if twilight == SurfaceBrightness::NONE {
            return SurfaceBrightness::NONE;
        }
        // the difference of the two where they meet, in logarithms; minus infinity without any air,
        // which is no light
        let apart = {
            let scattered = self.scattered(SCATTERED_FROM_DEG).nanolamberts();
            (scattered / self.as_twilight(SCATTERED_FROM_DEG).nanolamberts()).ln()
        };
        let led = apart.max(MOST_LED);
        let way = (altitude_deg - TWILIGHT_TO_DEG) / (SCATTERED_FROM_DEG - TWILIGHT_TO_DEG);
        let factor = (led * smoothstep(way) + apart - led).exp();
        let both = twilight.times(factor);
        both.times(self.lit())
    }

    /// The moonless sky at the target, from that overhead: more airglow along the line of sight
    /// towards the horizon, and more extinction.
    ///
    /// A target below the horizon, or NaN, counts as at the horizon.
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 2.
    pub fn dark_sky(&self, zenith: SurfaceBrightness) -> SurfaceBrightness {
        let x = scattering_air_mass(self.target_zenith);
        SurfaceBrightness::from_nanolamberts(
            zenith.nanolamberts() * ten_to(-POGSON * self.extinction() * (x - 1.0)) * x,
        )
    }

    /// Magnitudes by which the Moon brightens the sky at the target, 0 or more.
    ///
    /// `zenith` is the moonless sky overhead. Limits and accuracy as [`Self::moonlight`].
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 22, with the sign turned.
    ///
    /// ```text
    /// half Moon 30° high, target overhead 60° away, 21.6 sky  →  0.89 mag
    /// ```
    pub fn cost(&self, zenith: SurfaceBrightness) -> f64 {
        self.dark_sky(zenith).brightened_by(self.moonlight())
    }

    /// Light of a mean full Moon at an altitude, scattered towards the target.
    fn scattered(&self, altitude_deg: f64) -> SurfaceBrightness {
        let moon_zenith = Angle::from_degrees(HORIZON_DEG - altitude_deg);
        full_moonlight(
            moon_zenith,
            self.target_zenith,
            self.separation,
            self.extinction(),
        )
    }

    /// The twilight that a mean full Moon makes at an altitude.
    fn as_twilight(&self, altitude_deg: f64) -> SurfaceBrightness {
        let moon_altitude = Angle::from_degrees(altitude_deg);
        let there = Direction {
            sun_altitude: moon_altitude,
            zenith_distance: self.target_zenith,
            separation: self.separation,
            extinction: self.extinction(),
        };
        let weaker = ten_to(-POGSON * (FULL_MOON_V - SUN_V));
        zenith_twilight(moon_altitude).times(there.over_zenith() * weaker)
    }

    /// Magnitudes by which the Moon near full is brighter than by eq. 20.
    fn opposition_mag(&self) -> f64 {
        let alpha = self.phase_angle.degrees().abs();
        OPPOSITION_MAG * (1.0 - alpha / OPPOSITION_DEG).max(0.0)
    }

    /// The Moon's light over that of a full one at its mean distance, by eq. 20 less its
    /// constant, and the brightening at full on top.
    fn lit(&self) -> f64 {
        let alpha = self.phase_angle.degrees().abs().min(180.0);
        let fourth = alpha * alpha * alpha * alpha;
        let fainter_mag = PER_DEGREE_MAG * alpha + PER_FOURTH_MAG * fourth - self.opposition_mag();
        let nearness =
            MEAN_LUNAR_DISTANCE_KM / self.distance_km.clamp(DISTANCES_KM.0, DISTANCES_KM.1);
        ten_to(-POGSON * fainter_mag) * nearness * nearness
    }

    fn is_sound(&self) -> bool {
        self.phase_angle.degrees().is_finite()
            && self.moon_zenith.degrees().is_finite()
            && self.separation.degrees().is_finite()
            && self.extinction.is_finite()
            && self.distance_km.is_finite()
    }

    fn extinction(&self) -> f64 {
        if self.extinction.is_nan() {
            return 0.0;
        }
        self.extinction.clamp(0.0, MOST_EXTINCTION)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::DARK_ZENITH_V;

    fn moonlit(alpha: f64, rho: f64, moon: f64, target: f64, k: f64) -> MoonGeometry {
        MoonGeometry {
            phase_angle: Angle::from_degrees(alpha),
            moon_zenith: Angle::from_degrees(moon),
            target_zenith: Angle::from_degrees(target),
            separation: Angle::from_degrees(rho),
            extinction: k,
            distance_km: MEAN_LUNAR_DISTANCE_KM,
        }
    }

    fn dark() -> SurfaceBrightness {
        SurfaceBrightness::from_magnitude(DARK_ZENITH_V)
    }

    /// The equations computed independently. The first row is also an example in the documentation
    /// of the specsim library, which prints 19.855.
    #[test]
    fn agrees_with_the_worked_table() {
        // phase °, separation °, Moon's and target's zenith distance °, k mag,
        // moonlight nL, its V, V with a 21.6 sky, cost mag
        let table = [
            (45.0, 50.0, 70.0, 20.0, 0.15, 389.516, 19.855, None),
            (
                0.0,
                60.0,
                60.0,
                0.0,
                0.172,
                1089.9,
                18.738,
                Some((18.663, 2.937)),
            ),
            (
                0.0,
                90.0,
                45.0,
                45.0,
                0.172,
                1155.7,
                18.674,
                Some((18.582, 2.729)),
            ),
            (
                90.0,
                60.0,
                60.0,
                0.0,
                0.172,
                99.2,
                21.340,
                Some((20.710, 0.890)),
            ),
            (
                120.0,
                60.0,
                60.0,
                0.0,
                0.172,
                28.7,
                22.687,
                Some((21.260, 0.340)),
            ),
        ];
        for (alpha, rho, moon, target, k, nl, v, sky) in table {
            let lit = moonlit(alpha, rho, moon, target, k);
            // the equations do not have the brightening at full, which is removed exactly here
            let alone = ten_to(-POGSON * lit.opposition_mag());
            // 0.06 nL and 0.0006 mag are half of the last digit printed
            let got = lit.moonlight().times(alone);
            let off = (got.nanolamberts() - nl).abs();
            assert!(
                off < 0.06,
                "α {alpha}: {} nL, want {nl}",
                got.nanolamberts()
            );
            let got_v = got.magnitude().expect("some light");
            assert!((got_v - v).abs() < 6e-4, "α {alpha}: V {got_v}, want {v}");
            let Some((sum, cost)) = sky else { continue };
            let got_v = (got + lit.dark_sky(dark())).magnitude().expect("light");
            assert!(
                (got_v - sum).abs() < 6e-4,
                "α {alpha}: V {got_v}, want {sum}"
            );
            let cost_alone = lit.dark_sky(dark()).brightened_by(got);
            assert!(
                (cost_alone - cost).abs() < 6e-4,
                "α {alpha}: {cost_alone} mag, want {cost}"
            );
        }
    }

    /// A published sky calculator's example (at second hand): full Moon 45° up, the zenith
    /// 45° from it, a new-Moon sky of 21.83 there and k about 0.125 to 0.14: 18.01. The
    /// equations alone give 18.5.
    #[test]
    fn agrees_with_a_published_full_moon() {
        for k in [0.125, 0.14] {
            let lit = moonlit(0.0, 45.0, 45.0, 0.0, k);
            let sky = SurfaceBrightness::from_magnitude(21.83) + lit.moonlight();
            let got = sky.magnitude().expect("light");
            println!("k {k}: {got}");
            assert!((got - 18.01).abs() < 0.1, "k {k}: {got}");
        }
    }

    /// First principles: a full Moon is 14.0 mag fainter than the Sun, whose twilight at −0.57° is
    /// 7.5 overhead; so it costs a 21.7 sky about 0.9 mag there, 0.2 mag at −3°, nothing at −6°; at
    /// +1° less than the 2.1 mag of the equations without a horizon.
    #[test]
    fn about_the_horizon_it_is_twilight() {
        let sky = SurfaceBrightness::from_magnitude(21.7);
        let cost = |altitude: f64| {
            let rho = 90.0 - altitude;
            moonlit(0.0, rho, 90.0 - altitude, 0.0, 0.172).cost(sky)
        };
        for (altitude, want, near) in [
            (-0.57, 0.9, 0.15),
            (-3.0, 0.2, 0.05),
            (-6.0, 0.0, 0.01),
            (-18.0, 0.0, 1e-12),
        ] {
            let got = cost(altitude);
            assert!((got - want).abs() < near, "{altitude}°: {got}, want {want}");
        }
        assert!((1.0..1.8).contains(&cost(1.0)), "{}", cost(1.0));
    }

    /// Near the horizon it is that direction's twilight: at −6° exactly 14.0 mag less than the
    /// Sun's, a degree and more higher nearly so.
    #[test]
    fn low_down_it_is_that_directions_twilight() {
        for (altitude_deg, near) in [(-6.0, 1e-4), (-7.5, 1e-4), (-4.5, 0.2_f64)] {
            for (target_deg, rho) in [(25.0, 30.0), (25.0, 90.0), (15.0, 120.0)] {
                let lit = moonlit(30.0, rho, 90.0 - altitude_deg, 90.0 - target_deg, 0.172);
                let sun = Direction {
                    sun_altitude: Angle::from_degrees(altitude_deg),
                    zenith_distance: lit.target_zenith,
                    separation: lit.separation,
                    extinction: lit.extinction,
                };
                let twilight = sun.twilight().unwrap_or(SurfaceBrightness::NONE);
                let twilight = match altitude_deg > -5.0 {
                    // there is no twilight model for the Sun there
                    true => zenith_twilight(sun.sun_altitude).times(sun.over_zenith()),
                    false => twilight,
                };
                let fainter_mag = 14.01 + 0.026 * 30.0 + 4e-9 * 30.0_f64.powi(4);
                let want = twilight.magnitude().expect("light") + fainter_mag;
                let got = lit.moonlight().magnitude().expect("light");
                assert!((got - want).abs() < near, "{altitude_deg}°: {got}, {want}");
            }
        }
    }

    #[test]
    fn a_fuller_nearer_higher_moon_costs_more() {
        let cost = |change: &dyn Fn(&mut MoonGeometry)| {
            let mut lit = moonlit(60.0, 60.0, 50.0, 40.0, 0.2);
            change(&mut lit);
            lit.cost(dark())
        };
        let usual = cost(&|_| {});
        assert!(
            cost(&|lit| lit.phase_angle = Angle::from_degrees(50.0)) > usual,
            "fuller"
        );
        assert!(
            cost(&|lit| lit.phase_angle = Angle::from_degrees(-60.0)) == usual,
            "waxing"
        );
        assert!(
            cost(&|lit| lit.separation = Angle::from_degrees(40.0)) > usual,
            "closer"
        );
        assert!(
            cost(&|lit| lit.moon_zenith = Angle::from_degrees(30.0)) > usual,
            "higher"
        );
        assert!(cost(&|lit| lit.distance_km = 357_000.0) > usual, "nearer");
    }

    /// Light falls with the square of the distance: 10 % nearer, 23 % more.
    #[test]
    fn distance_goes_in_as_its_square() {
        let mut lit = moonlit(0.0, 60.0, 60.0, 0.0, 0.172);
        let mean = lit.moonlight().nanolamberts();
        lit.distance_km = MEAN_LUNAR_DISTANCE_KM / 1.05;
        let got = lit.moonlight().nanolamberts() / mean;
        assert!((got - 1.1025).abs() < 1e-9, "{got}");
    }

    #[test]
    fn any_input_gives_a_cost_that_is_a_number() {
        let numbers = [
            0.0,
            -1.0,
            1e-300,
            89.0,
            179.0,
            1e300,
            f64::NAN,
            f64::INFINITY,
        ];
        for a in numbers {
            for b in numbers {
                for c in numbers {
                    for mut lit in [moonlit(a, b, c, 10.0, 0.2), moonlit(10.0, c, 20.0, a, b)] {
                        lit.distance_km = c;
                        for sky in [dark(), SurfaceBrightness::NONE] {
                            let got = lit.cost(sky);
                            assert!(got.is_finite() && got >= 0.0, "{lit:?}: {got}");
                        }
                    }
                }
            }
        }
    }
}
