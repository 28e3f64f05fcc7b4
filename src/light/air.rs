//! Air mass and extinction.
//!
//! At the zenith light passes one air mass, near the horizon up to 38. Each air mass absorbs and
//! scatters the same share of the light, less on a mountain. A core 10° high seen from the sea has
//! lost three quarters of its light.

use crate::angle::Angle;

/// Factor of Kasten & Young 1989.
const FACTOR: f64 = 0.505_72;
/// Degrees added to the altitude, Kasten & Young 1989.
const RAISED_DEG: f64 = 6.079_95;
/// Power of the raised altitude, Kasten & Young 1989.
const POWER: f64 = -1.636_4;

/// Least air mass.
const ONE: f64 = 1.0;

/// Air masses between the site and a star, 1 overhead and 37.92 at the
/// horizon.
///
/// Altitude is the apparent one, 0° to 90°. `None` below the horizon, above 90° and for NaN. The
/// formula gives 0.9997 overhead; that is returned as 1.
///
/// Source: F. Kasten & A. T. Young, *Applied Optics* 28 (1989) 4735. Agrees
/// with Pickering 2002 to 1.3 % from 1° up and to 2.2 % at the horizon.
///
/// ```text
/// 10° high  →  5.586 air masses
/// ```
pub fn air_mass(altitude: Angle) -> Option<f64> {
    let altitude_deg = altitude.degrees();
    if !(0.0..=90.0).contains(&altitude_deg) {
        return None;
    }
    // a power by exp and ln, which the page contains anyway
    let term = FACTOR * (POWER * (altitude_deg + RAISED_DEG).ln()).exp();
    Some((1.0 / (altitude.sin() + term)).max(ONE))
}

/// Rayleigh scattering at sea level, magnitudes per air mass (Green 1992).
const GAS_MAG: f64 = 0.145_1;
/// Scale height of the air, km (Green 1992).
const GAS_KM: f64 = 7.996;
/// Aerosols at sea level, magnitudes per air mass (Green 1992; an average night, and the term that
/// varies most).
const HAZE_MAG: f64 = 0.120;
/// Scale height of aerosols, km (Green 1992).
const HAZE_KM: f64 = 1.5;
/// Ozone, which lies above every site, magnitudes per air mass (Green 1992).
const OZONE_MAG: f64 = 0.016;

/// Metres in a kilometre.
const KM: f64 = 1000.0;
/// Lowest and highest site the formula is used for, m: the shore of the Dead Sea to the highest
/// peak.
const HEIGHTS_M: (f64, f64) = (-500.0, 9000.0);

/// Extinction on a clear night, magnitudes per air mass, by the height of the site above the sea in
/// metres.
///
/// Heights are clamped to −500 m to 9000 m; NaN counts as the sea. Never fails.
///
/// Source: D. W. E. Green, *International Comet Quarterly* 14 (1992) 55, for
/// the eye. Haze may double it or nearly vanish: good to about a third.
///
/// ```text
/// 0 m  →  0.281 mag per air mass;  2000 m  →  0.161
/// ```
pub fn extinction(height_m: f64) -> f64 {
    let height_km = if height_m.is_nan() {
        0.0
    } else {
        height_m.clamp(HEIGHTS_M.0, HEIGHTS_M.1) / KM
    };
    GAS_MAG * (-height_km / GAS_KM).exp() + HAZE_MAG * (-height_km / HAZE_KM).exp() + OZONE_MAG
}

#[cfg(test)]
mod tests {
    use super::*;

    fn at(altitude_deg: f64) -> f64 {
        air_mass(Angle::from_degrees(altitude_deg)).expect("above the horizon")
    }

    /// K. A. Pickering, *DIO* 12 (2002): another fit, to compare with.
    fn pickering(h: f64) -> f64 {
        1.0 / (h + 244.0 / (165.0 + 47.0 * h.powf(1.1)))
            .to_radians()
            .sin()
    }

    /// Both formulas computed independently, to the digits given.
    const TABLE: [(f64, f64, f64); 10] = [
        // altitude °, Kasten & Young, Pickering
        (0.0, 37.920, 38.749),
        (1.0, 26.311, 26.644),
        (2.0, 19.433, 19.643),
        (5.0, 10.306, 10.334),
        (10.0, 5.586, 5.581),
        (20.0, 2.903, 2.900),
        (30.0, 1.994, 1.993),
        (45.0, 1.412_6, 1.412_4),
        (60.0, 1.154_0, 1.154_1),
        // Kasten & Young give 0.99971 here, clamped to 1
        (90.0, 1.0, 1.0),
    ];

    #[test]
    fn agrees_with_the_worked_table() {
        // half of the last digit printed
        const TOLERANCE: f64 = 5.1e-4;
        for (h, want, other) in TABLE {
            let got = at(h);
            assert!((got - want).abs() < TOLERANCE, "{h}°: {got}, want {want}");
            let got = pickering(h);
            assert!((got - other).abs() < TOLERANCE, "{h}°: {got}, want {other}");
        }
    }

    /// Two fits to the same air. A misprint in circulation of Pickering's formula has the 47 inside
    /// the power; this test must fail for it.
    #[test]
    fn agrees_with_the_other_formula() {
        // the two fits differ most at the horizon; see the table
        let near =
            |h: f64, got: f64| (got / at(h) - 1.0).abs() < if h < 1.0 { 0.022 } else { 0.013 };
        let wrong = |h: f64| {
            1.0 / (h + 244.0 / (165.0 + (47.0 * h).powf(1.1)))
                .to_radians()
                .sin()
        };
        let mut told_apart = false;
        for tenths in 0..=900 {
            let h = f64::from(tenths) / 10.0;
            assert!(near(h, pickering(h)), "{h}°: {}, {}", at(h), pickering(h));
            told_apart |= !near(h, wrong(h));
        }
        assert!(told_apart, "the wrong copy would have passed");
    }

    #[test]
    fn more_air_the_lower_and_never_less_than_one() {
        let mut before = f64::INFINITY;
        for tenths in 0..=900 {
            let got = at(f64::from(tenths) / 10.0);
            assert!((1.0..=before).contains(&got), "{tenths}: {got}, {before}");
            before = got;
        }
    }

    #[test]
    fn nothing_is_seen_through_the_ground() {
        for degrees in [-0.01, -90.0, 90.01, f64::NAN, f64::INFINITY, f64::MIN] {
            assert_eq!(air_mass(Angle::from_degrees(degrees)), None, "{degrees}");
        }
    }

    /// Green's formula computed independently, to the digits given.
    #[test]
    fn less_is_lost_from_higher_sites() {
        for (height_m, want) in [(0.0, 0.281_1), (1000.0, 0.205_7), (2000.0, 0.160_6)] {
            let got = extinction(height_m);
            assert!(
                (got - want).abs() < 5.1e-5,
                "{height_m} m: {got}, want {want}"
            );
        }
        let lost = extinction(0.0) * at(10.0);
        assert!(
            (lost - 1.57).abs() < 5e-3,
            "10° high at sea: {lost}, want 1.57"
        );
    }

    #[test]
    fn any_height_gives_a_number() {
        for height_m in [f64::NAN, f64::INFINITY, f64::NEG_INFINITY, f64::MAX, -1e9] {
            let got = extinction(height_m);
            assert!((0.0..0.5).contains(&got), "{height_m}: {got}");
        }
    }
}
