//! How much the Moon lights up the sky where the camera points.
//!
//! Moonlight is scattered by the air itself, evenly to all sides, and by haze,
//! mostly close around the Moon. So the sky gets brighter the fuller and higher
//! the Moon, the nearer it stands to the target, and the more air lies in front
//! of the target. This holds for a clear sky; cloud and ground are left out.

use super::brightness::{Surface, ten_to};
use crate::angle::Angle;

/// Mean distance of the Moon, km (common value of its orbit's semi-major axis,
/// from memory).
pub const MEAN_DISTANCE_KM: f64 = 384_400.0;

/// Nearest and farthest the Moon is taken to be, km: somewhat beyond what its
/// orbit reaches (from memory, 356 400 to 406 700).
const DISTANCES_KM: (f64, f64) = (350_000.0, 415_000.0);

/// Nearer to the Moon's middle than this is the Moon itself, degrees: its
/// radius in the sky, rounded.
const MOON_RADIUS_DEG: f64 = 0.26;

/// Haze is taken to weigh no more than this, magnitudes per air mass.
const MOST_EXTINCTION: f64 = 3.0;

/// Share of eq. 3 that bends the air's layer: X is 5 at the horizon.
const LAYER: f64 = 0.96;
/// Constants of eq. 20, magnitudes: full Moon, per degree, per degree⁴.
const FULL_MAG: f64 = 3.84;
const PER_DEGREE_MAG: f64 = 0.026;
const PER_FOURTH_MAG: f64 = 4e-9;
/// Power of ten in front of eq. 17 as eq. 21 prints it; 229 087.
const AIR_POWER: f64 = 5.36;
/// Constant of eq. 17.
const AIR_EVEN: f64 = 1.06;
/// Constants of eq. 18, for haze from 10° on: power of ten and degrees per
/// power of ten.
const HAZE_POWER: f64 = 6.15;
const HAZE_DEG: f64 = 40.0;
/// Constant of eq. 19, for haze nearer than 10°, degrees².
const NEAR_HAZE: f64 = 6.2e7;
/// Where eq. 19 gives way to eq. 18, degrees.
const NEAR_DEG: f64 = 10.0;
/// Light of one magnitude as a power of ten, by definition.
const POGSON: f64 = 0.4;

/// The horizon's distance from the zenith, degrees.
const HORIZON_DEG: f64 = 90.0;

/// Where Moon and target stand, and the air between.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Moonlit {
    /// Phase angle of the Moon, 0° full to 180° new; its sign does not count.
    pub phase_angle: Angle,
    /// The Moon's distance from the zenith; beyond 90° it has set.
    pub moon_zenith: Angle,
    /// The target's distance from the zenith, 0° to 90°.
    pub target_zenith: Angle,
    /// Between Moon and target, 0° to 180°.
    pub separation: Angle,
    /// Magnitudes lost per air mass, 0 to 3; see [`super::air::extinction`].
    pub extinction: f64,
    /// How far the Moon is, km; [`MEAN_DISTANCE_KM`] when it is not known.
    pub distance_km: f64,
}

impl Moonlit {
    /// Moonlight scattered towards the camera from the target's patch of sky.
    ///
    /// No light when the Moon or the target is below the horizon, or when an
    /// input is not a number. Nearer to the Moon than its own radius counts as
    /// at its edge; distances count as 350 000 to 415 000 km.
    ///
    /// Source: K. Krisciunas & B. E. Schaefer, *PASP* 103 (1991) 1033, eqs 3,
    /// 15 and 17 to 21; the Moon's distance, which they leave out, goes in as
    /// the square. They give 8 to 23 % accuracy, for V and a clear sky. Within
    /// 7° of full the Moon is up to 35 % brighter than this (said of their p.
    /// 1035, at second hand). At 10° from the Moon haze steps up by 28 %, as
    /// their two formulas do; a Moon about to set still lights the sky.
    ///
    /// ```text
    /// half Moon 30° high, target overhead 60° away, 0.172 mag  →  99.2 nL
    /// ```
    pub fn moonlight(&self) -> Surface {
        let moon_deg = self.moon_zenith.degrees().abs();
        let target_deg = self.target_zenith.degrees().abs();
        let up = moon_deg <= HORIZON_DEG && target_deg <= HORIZON_DEG;
        if !up || !self.is_sound() {
            return Surface::NONE;
        }
        let k = self.extinction();
        let nearness = MEAN_DISTANCE_KM / self.distance_km.clamp(DISTANCES_KM.0, DISTANCES_KM.1);
        let lit = moon_light(self.phase_angle) * nearness * nearness;
        Surface::from_nanolamberts(
            scattering(self.separation)
                * lit
                * ten_to(-POGSON * k * layer(self.moon_zenith))
                * (1.0 - ten_to(-POGSON * k * layer(self.target_zenith))),
        )
    }

    /// The moonless sky at the target, from the moonless sky overhead: more
    /// glowing air in view towards the horizon, and more of it dimmed.
    ///
    /// A target below the horizon, or one that is not a number, is taken to be
    /// at the horizon.
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 2.
    pub fn dark_sky(&self, zenith: Surface) -> Surface {
        let x = layer(self.target_zenith);
        Surface::from_nanolamberts(
            zenith.nanolamberts() * ten_to(-POGSON * self.extinction() * (x - 1.0)) * x,
        )
    }

    /// Magnitudes by which the Moon brightens the sky at the target, 0 or more;
    /// 0 while it is down.
    ///
    /// `zenith` is the moonless sky overhead. Fails and is as accurate as
    /// [`Self::moonlight`].
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 22, with the sign turned.
    ///
    /// ```text
    /// half Moon 30° high, target overhead 60° away, 21.6 sky  →  0.89 mag
    /// ```
    pub fn cost(&self, zenith: Surface) -> f64 {
        self.dark_sky(zenith).brightened_by(self.moonlight())
    }

    fn is_sound(&self) -> bool {
        self.phase_angle.degrees().is_finite()
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

/// Air masses for scattered light, 1 to 5 (eq. 3).
fn layer(zenith: Angle) -> f64 {
    let zenith_deg = zenith.degrees().abs().min(HORIZON_DEG);
    let sin = Angle::from_degrees(zenith_deg).sin();
    1.0 / (1.0 - LAYER * sin * sin).sqrt()
}

/// Light of the Moon outside the air, in the source's own unit (eq. 20).
fn moon_light(phase_angle: Angle) -> f64 {
    let alpha = phase_angle.degrees().abs().min(180.0);
    let fourth = alpha * alpha * alpha * alpha;
    ten_to(-POGSON * (FULL_MAG + PER_DEGREE_MAG * alpha + PER_FOURTH_MAG * fourth))
}

/// How much is scattered by so great an angle, by air and haze (eq. 21).
fn scattering(separation: Angle) -> f64 {
    let rho = separation.degrees().abs().clamp(MOON_RADIUS_DEG, 180.0);
    let cos = Angle::from_degrees(rho).cos();
    ten_to(AIR_POWER) * (AIR_EVEN + cos * cos) + haze(rho)
}

/// The part of haze alone, `rho` degrees from the Moon (eqs 18 and 19).
fn haze(rho: f64) -> f64 {
    if rho >= NEAR_DEG {
        ten_to(HAZE_POWER - rho / HAZE_DEG)
    } else {
        NEAR_HAZE / (rho * rho)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::DARK_ZENITH_V;

    fn moonlit(alpha: f64, rho: f64, moon: f64, target: f64, k: f64) -> Moonlit {
        Moonlit {
            phase_angle: Angle::from_degrees(alpha),
            moon_zenith: Angle::from_degrees(moon),
            target_zenith: Angle::from_degrees(target),
            separation: Angle::from_degrees(rho),
            extinction: k,
            distance_km: MEAN_DISTANCE_KM,
        }
    }

    fn dark() -> Surface {
        Surface::from_magnitude(DARK_ZENITH_V)
    }

    /// The equations worked independently. The first row is also an example in
    /// the documentation of the specsim library, which prints 19.855.
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
            // 0.06 nL and 0.0006 mag are half of the last digit printed
            let got = lit.moonlight();
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
            let got = lit.cost(dark());
            assert!(
                (got - cost).abs() < 6e-4,
                "α {alpha}: {got} mag, want {cost}"
            );
        }
    }

    /// The two formulas for haze do not meet at 10°: 620 000 just inside and
    /// 794 328 at it, both worked by hand. A copy in circulation swaps them,
    /// which would swap these numbers.
    #[test]
    fn haze_steps_at_ten_degrees_as_its_source_does() {
        for (rho, want) in [(10.0 - 1e-9, 620_000.0), (10.0, 794_328.0)] {
            let got = haze(rho);
            assert!((got - want).abs() < 1.0, "{rho}°: {got}, want {want}");
        }
        let inside = moonlit(0.0, 10.0 - 1e-9, 60.0, 50.0, 0.172).cost(dark());
        let at = moonlit(0.0, 10.0, 60.0, 50.0, 0.172).cost(dark());
        // 10^5.36 (1.06 + cos² 10°) = 465 009 of air goes with either
        assert!((at - inside - 0.160).abs() < 2e-3, "{inside} then {at} mag");
    }

    #[test]
    fn a_moon_that_is_down_costs_nothing() {
        assert!(
            moonlit(0.0, 60.0, 90.0, 30.0, 0.2).cost(dark()) > 1.0,
            "setting"
        );
        let down = moonlit(0.0, 60.0, 90.001, 30.0, 0.2);
        assert_eq!(down.moonlight(), Surface::NONE);
        assert_eq!(down.cost(dark()), 0.0);
    }

    #[test]
    fn a_fuller_nearer_higher_moon_costs_more() {
        let cost = |change: &dyn Fn(&mut Moonlit)| {
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
        lit.distance_km = MEAN_DISTANCE_KM / 1.05;
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
                        for sky in [dark(), Surface::NONE] {
                            let got = lit.cost(sky);
                            assert!(got.is_finite() && got >= 0.0, "{lit:?}: {got}");
                        }
                    }
                }
            }
        }
    }
}
