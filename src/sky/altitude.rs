//! Heights above the horizon, true and as they look.
//!
//! Air bends starlight down the lower it comes in: what stands at the horizon
//! looks half a degree higher than it is. A [`TrueAltitude`] is where a thing
//! is, an [`ApparentAltitude`] where a camera sees it; the one cannot be taken
//! for the other, and [`Air`] turns one into the other.

use crate::angle::Angle;

/// Height above the flat horizon without the air's bending.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct TrueAltitude(pub Angle);

/// Height above the flat horizon as seen through the air.
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

/// Below this true altitude, degrees, the formula means nothing; the bending
/// stays what it is there, so that order is kept.
const LOWEST_DEG: f64 = -1.0;

/// Freezing point, K.
const FREEZING_K: f64 = 273.0;

impl Air {
    /// Air for which the tables are made: 1010 hPa and 10 °C.
    pub const STANDARD: Self = Self {
        pressure_hpa: 1010.0,
        temperature_c: 10.0,
    };

    /// Usual air at a height above the sea, m: pressure by the ICAO standard
    /// atmosphere (Doc 7488: 6.5 K for each km, 288.15 K and exponent 5.25588),
    /// scaled to [`Air::STANDARD`] at the sea; a night of 10 °C there.
    ///
    /// ```text
    /// 2400 m  →  754 hPa, −5.6 °C
    /// ```
    pub fn at_height(height_m: f64) -> Self {
        const LAPSE_K_PER_M: f64 = 0.0065;
        const SEA_LEVEL_K: f64 = 288.15;
        const EXPONENT: f64 = 5.255_88;
        // the standard's lowest layer ends at 11 km
        let height_m = height_m.clamp(-500.0, 11_000.0);
        let share = 1.0 - LAPSE_K_PER_M * height_m / SEA_LEVEL_K;
        Self {
            pressure_hpa: Self::STANDARD.pressure_hpa * (share.ln() * EXPONENT).exp(),
            temperature_c: Self::STANDARD.temperature_c - LAPSE_K_PER_M * height_m,
        }
    }

    /// How far the air lifts what stands at this true altitude.
    ///
    /// Source: Þ. Sæmundsson, *Sky & Telescope* 72 (1986) 70; J. Meeus,
    /// *Astronomical Algorithms*, 2nd ed. 1998, eq. 16.4. Within 0.16′ of
    /// ERFA above 10° (`tests/frame_stars.rs`); never negative, and held at its value for
    /// −1° below that.
    ///
    /// ```text
    /// standard air, true altitude 0°  →  29.0′
    /// ```
    pub fn lift(self, true_altitude: TrueAltitude) -> Angle {
        let h = true_altitude.0.degrees().max(LOWEST_DEG);
        let argument = Angle::from_degrees(h + 10.3 / (h + 5.11));
        let minutes = 1.02 * argument.cos() / argument.sin();
        let air = self.pressure_hpa / 1010.0 * 283.0 / (FREEZING_K + self.temperature_c);
        Angle::from_degrees((minutes * air).max(0.0) / 60.0)
    }

    /// Where a thing looks to be.
    pub fn seen(self, true_altitude: TrueAltitude) -> ApparentAltitude {
        let lifted = true_altitude.0.degrees() + self.lift(true_altitude).degrees();
        ApparentAltitude(Angle::from_degrees(lifted))
    }

    /// Where a thing must be to look like this: the reverse of [`Air::seen`],
    /// to a thousandth of an arcsecond.
    ///
    /// ```text
    /// standard air, apparent altitude 0°  →  −0.573875°
    /// ```
    pub fn unseen(self, apparent: ApparentAltitude) -> TrueAltitude {
        let want = apparent.0.degrees();
        // the lift changes by at most half of any change in height, so each
        // round halves the miss at the least
        const ROUNDS: usize = 40;
        let mut h = want;
        for _ in 0..ROUNDS {
            let next = want - self.lift(TrueAltitude(Angle::from_degrees(h))).degrees();
            let miss = next - h;
            h = next;
            if miss.abs() < 1e-11 {
                break;
            }
        }
        TrueAltitude(Angle::from_degrees(h))
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lift_minutes(degrees: f64) -> f64 {
        let altitude = TrueAltitude(Angle::from_degrees(degrees));
        Air::STANDARD.lift(altitude).degrees() * 60.0
    }

    /// Meeus' example 16.a for 24.618′, the other rows worked from the formula
    /// as printed; the zenith is clamped.
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
            let got = (degrees - Air::STANDARD.unseen(apparent).0.degrees()) * 60.0;
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
                let back = air.unseen(air.seen(truth));
                let miss = (back.0.degrees() - truth.0.degrees()).abs();
                assert!(miss < 1e-9, "{truth:?}: {miss}°");
            }
            let seen = Air::STANDARD.seen(truth).0.degrees();
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
        assert!(air.lift(horizon) < Air::STANDARD.lift(horizon));
        assert!(Air::at_height(1e9).pressure_hpa > 0.0);
    }
}
