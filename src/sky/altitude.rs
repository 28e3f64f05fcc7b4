//! Altitudes above the horizon, true and apparent.
//!
//! Refraction raises a star at the horizon by half a degree. A [`TrueAltitude`] is without it, an
//! [`ApparentAltitude`] is what a camera sees; they are different types, and [`Air`] converts one
//! into the other.

use crate::angle::Angle;

/// Altitude above the flat horizon without refraction.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TrueAltitude(pub Angle);

/// Altitude above the flat horizon with refraction.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct ApparentAltitude(pub Angle);

/// The air over a site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Air {
    /// Pressure, hPa.
    pub pressure_hpa: f64,
    /// Temperature, °C.
    pub temperature_c: f64,
}

/// Sæmundsson's formula is used down to here, degrees of true altitude: a little below apparent
/// level.
const LOWEST_DEG: f64 = -1.0;

/// The formula's error there is faded out over this range, degrees, so that refraction is
/// continuous.
const FADE_DEG: f64 = 0.3;

/// Freezing point, K.
const FREEZING_K: f64 = 273.0;

/// Temperature lapse rate of the ICAO standard atmosphere (Doc 7488), K/m.
const LAPSE_K_PER_M: f64 = 0.0065;

/// Sea-level temperature of that atmosphere, K.
const SEA_LEVEL_K: f64 = 288.15;

/// Exponent of its pressure profile, g M / (R L).
const EXPONENT: f64 = 5.255_88;

/// Height over which its refractivity, which goes as pressure over temperature, falls to
/// 1/e near the sea, m: about 10 420.
const SCALE_HEIGHT_M: f64 = SEA_LEVEL_K / (LAPSE_K_PER_M * (EXPONENT - 1.0));

/// Radius of the path of a horizontal ray, m: the Earth's 6371 km over 1 − k, with C. F. Gauss's
/// refraction coefficient k = 0.13.
const LEVEL_LIGHT_M: f64 = 6_371_000.0 / (1.0 - 0.13);

/// G. G. Bennett's refraction in standard air by apparent altitude from 0° up, arcminutes
/// (*J. Navigation* 35 (1982) 255).
fn bennett_arcmin(apparent_deg: f64) -> f64 {
    let argument = Angle::from_degrees(apparent_deg + 7.31 / (apparent_deg + 4.4));
    (argument.cos() / argument.sin()).max(0.0)
}

impl Air {
    /// Reference air of the formulas: 1010 hPa and 10 °C.
    pub const STANDARD: Self = Self {
        pressure_hpa: 1010.0,
        temperature_c: 10.0,
    };

    /// Standard air at a height above the sea, m: pressure by the ICAO standard atmosphere (Doc
    /// 7488: 6.5 K for each km, 288.15 K and exponent 5.25588), scaled to [`Air::STANDARD`] at the
    /// sea.
    ///
    /// ```text
    /// 2400 m  →  754 hPa, −5.6 °C
    /// ```
    pub fn at_height(height_m: f64) -> Self {
        // the standard's lowest layer ends at 11 km
        let height_m = height_m.clamp(-500.0, 11_000.0);
        let share = 1.0 - LAPSE_K_PER_M * height_m / SEA_LEVEL_K;
        Self {
            pressure_hpa: Self::STANDARD.pressure_hpa * (share.ln() * EXPONENT).exp(),
            temperature_c: Self::STANDARD.temperature_c - LAPSE_K_PER_M * height_m,
        }
    }

    /// Its refractivity relative to [`Air::STANDARD`].
    fn density(self) -> f64 {
        self.pressure_hpa / 1010.0 * 283.0 / (FREEZING_K + self.temperature_c)
    }

    /// Þ. Sæmundsson's refraction by true altitude from −1° up, degrees.
    fn above_deg(self, true_deg: f64) -> f64 {
        let h = true_deg.max(LOWEST_DEG);
        let argument = Angle::from_degrees(h + 10.3 / (h + 5.11));
        let minutes = 1.02 * argument.cos() / argument.sin();
        (minutes * self.density()).max(0.0) / 60.0
    }

    /// True altitude, degrees, by apparent altitude, down to where Sæmundsson's formula ends.
    fn true_above_deg(self, apparent_deg: f64) -> f64 {
        // refraction changes by at most half of any change in altitude, so each round at least
        // halves the error
        const ROUNDS: usize = 40;
        let mut h = apparent_deg;
        for _ in 0..ROUNDS {
            let next = apparent_deg - self.above_deg(h);
            let miss = next - h;
            h = next;
            if miss.abs() < 1e-11 {
                break;
            }
        }
        h
    }

    /// Refraction below where Sæmundsson's formula ends.
    fn below(self) -> Below {
        let mut below = Below {
            level_deg: -self.true_above_deg(0.0),
            at_sea: (1.0 / self.density()).max(1.0),
            // in air far denser than any, that formula would end above level
            top_deg: (LOWEST_DEG + self.above_deg(LOWEST_DEG)).min(0.0),
            off_deg: 0.0,
        };
        below.off_deg = self.above_deg(LOWEST_DEG) - below.symmetric_deg(below.top_deg);
        below
    }

    /// Refraction at this true altitude; never negative.
    ///
    /// Down to −1°: Þ. Sæmundsson, *Sky & Telescope* 72 (1986) 70; J. Meeus, *Astronomical
    /// Algorithms*, 2nd ed. 1998, eq. 16.4. Within 0.16′ of ERFA above 10°
    /// (`tests/frame_stars.rs`). Below that, as from a height over a sea or a plain: first
    /// principles (the path is symmetric about its lowest point), with G. G. Bennett's formula for
    /// the upper half. From level down to the dip of the sea it agrees with ray tracing through a
    /// standard atmosphere within 2 % at the sea, 3 % for sites of 1000 m, 9 % of 3000 m and 12 %
    /// of 4200 m; kept constant below −1° it would err by half from 3000 m.
    ///
    /// ```text
    /// standard air, true altitude 0°                   →  29.0′
    /// 3000 m up, apparent altitude −1.64° (the dip)  →  50′
    /// ```
    pub fn refraction(self, true_altitude: TrueAltitude) -> Angle {
        let h = true_altitude.0.degrees();
        if h >= LOWEST_DEG {
            return Angle::from_degrees(self.above_deg(h));
        }
        let below = self.below();
        // the true altitude changes by between one and little more than two times the step, so each
        // round at least halves the error
        const ROUNDS: usize = 40;
        const STEP: f64 = 1.0 / 1.45;
        let mut apparent_deg = (h + below.level_deg).min(below.top_deg);
        for _ in 0..ROUNDS {
            let miss = h - (apparent_deg - below.refraction_deg(apparent_deg));
            apparent_deg = (apparent_deg + STEP * miss).min(below.top_deg);
            if miss.abs() < 1e-11 {
                break;
            }
        }
        Angle::from_degrees((apparent_deg - h).max(0.0))
    }

    /// Apparent from true altitude.
    pub fn to_apparent(self, true_altitude: TrueAltitude) -> ApparentAltitude {
        let lifted = true_altitude.0.degrees() + self.refraction(true_altitude).degrees();
        ApparentAltitude(Angle::from_degrees(lifted))
    }

    /// True from apparent altitude: the inverse of [`Air::to_apparent`], to a thousandth of an
    /// arcsecond.
    ///
    /// ```text
    /// standard air, apparent altitude 0°  →  −0.573875°
    /// ```
    pub fn to_true(self, apparent: ApparentAltitude) -> TrueAltitude {
        let apparent_deg = apparent.0.degrees();
        let below = (apparent_deg < 0.0).then(|| self.below());
        let h = match below.filter(|below| apparent_deg < below.top_deg) {
            Some(below) => apparent_deg - below.refraction_deg(apparent_deg),
            None => self.true_above_deg(apparent_deg),
        };
        TrueAltitude(Angle::from_degrees(h))
    }
}

/// Refraction at apparent altitudes below level.
///
/// A ray from below level descends to a lowest point and rises again to the camera. Down to the
/// lowest point it is refracted as a ray horizontal there; from there up, as much as on the same
/// path down: by the horizontal refraction at that point less the refraction at the same angle
/// above level at the camera. The air at the lowest point is denser by its depth, but nowhere
/// denser than at the sea: below the sea's horizon there is ground, and refraction there only has
/// to be monotonic.
struct Below {
    /// Refraction at apparent altitude 0°, degrees.
    level_deg: f64,
    /// Density of the air at the sea relative to the camera's.
    at_sea: f64,
    /// Used from this apparent altitude down, degrees.
    top_deg: f64,
    /// Excess of Sæmundsson's formula there, degrees.
    off_deg: f64,
}

impl Below {
    fn symmetric_deg(&self, apparent_deg: f64) -> f64 {
        let depth_m = LEVEL_LIGHT_M * (1.0 - Angle::from_degrees(apparent_deg).cos());
        let denser = (depth_m / SCALE_HEIGHT_M).exp().min(self.at_sea);
        let upwards = bennett_arcmin(-apparent_deg) / bennett_arcmin(0.0);
        self.level_deg * (2.0 * denser - upwards)
    }

    /// The refraction, degrees.
    fn refraction_deg(&self, apparent_deg: f64) -> f64 {
        let fade = ((apparent_deg - self.top_deg) / FADE_DEG).exp();
        self.symmetric_deg(apparent_deg) + self.off_deg * fade
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lift_minutes(degrees: f64) -> f64 {
        let altitude = TrueAltitude(Angle::from_degrees(degrees));
        Air::STANDARD.refraction(altitude).degrees() * 60.0
    }

    /// Meeus' example 16.a for 24.618′, the other rows computed from the formula as printed; the
    /// zenith is clamped.
    #[test]
    fn agrees_with_the_worked_table() {
        let table = [
            (33.246 / 60.0, 24.618),
            (0.0, 28.9819),
            (0.5, 25.0039),
            (1.0, 21.7439),
            (5.0, 9.6741),
            (10.0, 5.4077),
            (20.0, 2.7412),
            (45.0, 1.0127),
            (90.0, 0.0),
        ];
        for (degrees, want) in table {
            let got = lift_minutes(degrees);
            assert!(
                (got - want).abs() < 1e-3,
                "{degrees}°: {got}′, want {want}′"
            );
        }
    }

    /// The other way round, against Bennett's formula for apparent altitudes
    /// (*J. Navigation* 35 (1982) 255), which agrees within 4″ above 10° and,
    /// at the horizon itself, within a tenth of a minute.
    #[test]
    fn agrees_with_the_formula_for_the_other_way() {
        for degrees in [0.0_f64, 0.5, 1.0, 5.0, 10.0, 20.0, 45.0] {
            let apparent = ApparentAltitude(Angle::from_degrees(degrees));
            let got = (degrees - Air::STANDARD.to_true(apparent).0.degrees()) * 60.0;
            let bennett = 1.0 / (degrees + 7.31 / (degrees + 4.4)).to_radians().tan();
            assert!(
                (got - bennett).abs() < 0.11,
                "{degrees}°: {got}′, {bennett}′"
            );
        }
    }

    #[test]
    fn what_is_unseen_is_seen_again_and_order_is_kept() {
        let mut last = -91.0;
        for step in -900..=900 {
            let truth = TrueAltitude(Angle::from_degrees(f64::from(step) / 10.0));
            for air in [Air::STANDARD, Air::at_height(4200.0)] {
                let back = air.to_true(air.to_apparent(truth));
                let miss = (back.0.degrees() - truth.0.degrees()).abs();
                assert!(miss < 1e-9, "{truth:?}: {miss}°");
            }
            let seen = Air::STANDARD.to_apparent(truth).0.degrees();
            assert!(seen > last, "{truth:?}");
            last = seen;
        }
    }

    /// ICAO's standard atmosphere at 2400 m has 0.7471 of the sea's pressure
    /// (from memory).
    #[test]
    fn thin_air_bends_less() {
        let air = Air::at_height(2400.0);
        assert!((air.pressure_hpa / 1010.0 - 0.747).abs() < 2e-3, "{air:?}");
        let horizon = TrueAltitude(Angle::ZERO);
        assert!(air.refraction(horizon) < Air::STANDARD.refraction(horizon));
        assert!(Air::at_height(1e9).pressure_hpa > 0.0);
    }
    /// Refractivity of an atmosphere that is 10 °C warm at the sea and cools by 6.5 K for each
    /// km up to 11 km, from hydrostatic balance; light of 0.57 µm (J. C. Owens, *Applied
    /// Optics* 6 (1967) 51; from memory).
    fn refractivity(height_m: f64) -> f64 {
        const SEA_K: f64 = 283.15;
        const TOP_M: f64 = 11_000.0;
        /// g M / R, K/m.
        const SLOPE: f64 = 9.806_65 * 0.028_964_4 / 8.314_46;
        let low = height_m.min(TOP_M);
        let kelvin = SEA_K - LAPSE_K_PER_M * low;
        let hpa = 1010.0
            * (kelvin / SEA_K).powf(SLOPE / LAPSE_K_PER_M)
            * (-SLOPE * (height_m - low) / kelvin).exp();
        79.4e-6 * hpa / kelvin
    }

    /// Refraction by ray tracing from the camera outwards through that atmosphere (Runge-Kutta),
    /// arcminutes; `None` where the ray meets the sea.
    fn followed_arcmin(height_m: f64, apparent_deg: f64) -> Option<f64> {
        const EARTH_M: f64 = 6_371_000.0;
        // distance from the Earth's middle, zenith distance, bent so far; per metre
        let change = |[r, zenith, _]: [f64; 3]| {
            let h = r - EARTH_M;
            let slope = (refractivity(h + 1.0) - refractivity(h - 1.0)) / 2.0;
            let bend = -slope / (1.0 + refractivity(h)) * zenith.sin();
            [zenith.cos(), -zenith.sin() / r + bend, bend]
        };
        let plus = |state: [f64; 3], by: [f64; 3], step: f64| {
            [0, 1, 2].map(|place| state[place] + step * by[place])
        };
        let zenith = (90.0 - apparent_deg).to_radians();
        let mut state = [EARTH_M + height_m, zenith, 0.0];
        while state[0] < EARTH_M + 80e3 {
            if state[0] < EARTH_M - 1.0 {
                return None;
            }
            let step = if state[0] < EARTH_M + 12e3 {
                100.0
            } else {
                500.0
            };
            let one = change(state);
            let two = change(plus(state, one, step / 2.0));
            let three = change(plus(state, two, step / 2.0));
            let four = change(plus(state, three, step));
            for (of, by) in [(one, 1.0), (two, 2.0), (three, 2.0), (four, 1.0)] {
                state = plus(state, of, step * by / 6.0);
            }
        }
        Some(state[2].to_degrees() * 60.0)
    }

    /// Below level against ray tracing, from elevated sites, almost down to the dip; by geometry,
    /// cos dip = R′/(R′ + h).
    #[test]
    fn below_the_level_light_bends_as_if_followed() {
        for (height_m, within) in [
            (0.0, 0.02),
            (100.0, 0.02),
            (1000.0, 0.03),
            (3000.0, 0.09),
            (4200.0, 0.12),
        ] {
            let dip_deg = (LEVEL_LIGHT_M / (LEVEL_LIGHT_M + height_m))
                .acos()
                .to_degrees();
            for share in [0.0, 0.3, 0.6, 0.9] {
                let apparent_deg = -share * dip_deg;
                let want = followed_arcmin(height_m, apparent_deg).expect("no sea in the way");
                let apparent = ApparentAltitude(Angle::from_degrees(apparent_deg));
                let truth = Air::at_height(height_m).to_true(apparent).0.degrees();
                let got = (apparent_deg - truth) * 60.0;
                assert!(
                    (got / want - 1.0).abs() < within,
                    "{height_m} m, {apparent_deg}°: {got}′, want {want}′"
                );
            }
        }
        // the method itself, against the horizon's usual 34′ and the computed 5.4′ at 10°
        let level = followed_arcmin(0.0, 0.0).expect("no sea in the way");
        assert!((level - 34.0).abs() < 0.5, "{level}′");
        let high = followed_arcmin(0.0, 10.0).expect("no sea in the way");
        assert!((high - 5.4).abs() < 0.1, "{high}′");
    }

    /// Refraction is continuous through level and grows downwards, to −10°.
    #[test]
    fn refraction_goes_on_below_the_level() {
        for height_m in [0.0, 800.0, 3000.0, 9000.0] {
            let air = Air::at_height(height_m);
            let mut before = f64::INFINITY;
            for step in 0..=2400 {
                let apparent_deg = -10.0 + f64::from(step) * 0.005;
                let truth = air.to_true(ApparentAltitude(Angle::from_degrees(apparent_deg)));
                let lift = apparent_deg - truth.0.degrees();
                assert!(
                    (0.05..1.3).contains(&lift),
                    "{height_m} m, {apparent_deg}°: {lift}°"
                );
                assert!(
                    lift <= before + 1e-12,
                    "{height_m} m, {apparent_deg}°: {lift}°"
                );
                let jump = if step == 0 { 0.0 } else { before - lift };
                assert!(jump < 0.0075, "{height_m} m, {apparent_deg}°: {jump}°");
                before = lift;
            }
        }
    }
}
