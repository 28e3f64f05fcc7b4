//! Light on the level ground at night, in lux, and the exposure it needs.
//!
//! What falls on the foreground comes from twilight, from the Moon, or, when both are gone, from
//! the sky's own glow: over five powers of ten between sunset and a dark night. A lightmeter held
//! at the ground would turn it into a shutter time; here it is computed. For a clear sky and an
//! open, level ground: trees, walls and slopes away from the light get less.

use crate::angle::Angle;
use crate::light::air::air_mass;
use crate::light::brightness::{SurfaceBrightness, ten_to};
use crate::sky::positions::MEAN_LUNAR_DISTANCE_KM;
use std::f64::consts::{LN_2, PI};

/// Illuminance on the level ground by the Sun's altitude h: its common logarithm, in lx, is a
/// cubic in h/90°. Lowest altitude of a range, degrees, and its coefficients.
///
/// Source: P. K. Seidelmann (ed.), *Explanatory Supplement to the Astronomical Almanac* (1992),
/// sec. 9.34, after P. J. M. van Bochove 1982 (from memory; the ranges meet within 1 %, −6° gives
/// 3.4 lx and −12° 0.008 lx, the usual figures for the ends of civil and nautical twilight).
const MEASURED: [(f64, [f64; 4]); 4] = [
    (-0.8, [2.88, 22.26, -207.64, 1034.30]),
    (-5.0, [2.88, 21.81, -258.11, -858.36]),
    (-12.0, [2.70, 12.17, -431.69, -1899.83]),
    (NIGHT_DEG, [13.84, 262.72, 1447.42, 2797.93]),
];
/// Lowest altitude of the Sun in that table, degrees. The light there is the night sky's.
const NIGHT_DEG: f64 = -18.0;
/// Highest altitude of the Sun that is used, degrees; the end of the table's range.
const HIGHEST_DEG: f64 = 5.0;

/// Illuminance by a star of V = 0 outside the air, lx (C. W. Allen, *Astrophysical Quantities*,
/// 3rd ed. 1973, from memory: 2.54e-6).
const ZERO_MAGNITUDE_LX: f64 = 2.54e-6;
/// Brightness of the Moon at its mean distance by the phase angle α in degrees, V: −12.73 +
/// 0.026 α + 4e-9 α⁴. K. Krisciunas & B. E. Schaefer, *PASP* 103 (1991) 1033, eq. 9.
const MOON_V: (f64, f64, f64) = (-12.73, 0.026, 4e-9);
/// Light of one magnitude as a power of ten, by definition.
const POGSON: f64 = 0.4;

/// Constant of a meter for incident light with a flat receptor, lx·s·ISO: 250, in use with most
/// makers and within what ISO 2720:1974 allows, 240 to 400 (from memory). With 12.5 for reflected
/// light it belongs to ground that reflects π · 12.5 / 250 = 16 %: grass, dry earth, weathered rock.
const METER_C: f64 = 250.0;

/// How far below a meter's reading the ground is exposed, stops, so that it still looks like night
/// (common practice: one to three).
pub const GROUND_BELOW_METER: f64 = 2.0;

/// Illuminance by the Sun's altitude as in the table, lx, with the night sky in it; above 5° that
/// of 5°, below −18° that of −18°.
pub(super) fn measured_lx(sun_altitude_deg: f64) -> f64 {
    let altitude_deg = sun_altitude_deg.clamp(NIGHT_DEG, HIGHEST_DEG);
    let row = MEASURED.iter().find(|(from, _)| altitude_deg >= *from);
    // NaN alone is in no range
    row.map_or(0.0, |(_, [l0, l1, l2, l3])| {
        let x = altitude_deg / 90.0;
        ten_to(l0 + l1 * x + l2 * x * x + l3 * x * x * x)
    })
}

/// Illuminance of the level ground by twilight alone, lx, by the Sun's true altitude; none from
/// 18° down. Above 5° it counts as at 5°.
///
/// Source: the table above, less its value at −18°, which is the night sky's. Clouds change it by
/// a factor of three; clear skies differ by a fifth (from memory).
///
/// ```text
/// Sun 6° down  →  3.4 lx;  12°  →  0.0075 lx
/// ```
pub fn twilight_lx(sun_altitude: Angle) -> f64 {
    (measured_lx(sun_altitude.degrees()) - measured_lx(NIGHT_DEG)).max(0.0)
}

/// Illuminance of the level ground by the Moon alone, lx; zero where the Moon is down.
///
/// `phase_angle` is 0° when full; its sign is ignored. `altitude` is the apparent one, `extinction`
/// in magnitudes per air mass, `distance_km` the Moon's. Direct light only: what the air scatters
/// adds a tenth to a fifth, and within 7° of full the Moon is up to a third brighter than by this
/// formula, so that a shutter time for it is half a stop long at most.
///
/// Source: eq. 9 of Krisciunas & Schaefer 1991, in lux by Allen's constant, times the sine of the
/// altitude. Within a quarter of the Explanatory Supplement's table for the Moon from 10° up.
///
/// ```text
/// full Moon overhead, 0.2 mag  →  0.26 lx;  30° up  →  0.11 lx
/// ```
pub fn moonlight_lx(phase_angle: Angle, altitude: Angle, extinction: f64, distance_km: f64) -> f64 {
    let Some(air_masses) = air_mass(altitude) else {
        return 0.0;
    };
    let alpha = phase_angle.degrees().abs().min(180.0);
    let (full_v, per_degree, per_fourth) = MOON_V;
    let v = full_v
        + per_degree * alpha
        + per_fourth * alpha * alpha * alpha * alpha
        + extinction * air_masses;
    let nearness = MEAN_LUNAR_DISTANCE_KM / distance_km;
    let lx = ZERO_MAGNITUDE_LX * ten_to(-POGSON * v) * nearness * nearness * altitude.sin();
    if lx.is_finite() { lx } else { 0.0 }
}

/// Light of a natural night sky on the level ground over that of one which is everywhere as bright
/// as overhead: airglow is brighter low down. The sum over the sky by Krisciunas & Schaefer 1991,
/// eq. 2, with 0.2 mag of extinction; see the test. 1.33 with 0.3 mag.
const SKY_OVER_ZENITH: f64 = 1.4;

/// Illuminance of the level ground by the moonless night sky, lx, from its brightness overhead:
/// E = 1.4 π L; π L is that of an equally bright sky (first principles).
///
/// Airglow changes it by a third from night to night; near towns it is more, by their light domes.
///
/// ```text
/// 22.0 mag/arcsec²  →  0.00076 lx;  21.6  →  0.0011 lx
/// ```
pub fn night_sky_lx(zenith: SurfaceBrightness) -> f64 {
    SKY_OVER_ZENITH * PI * zenith.luminance_cd_m2()
}

/// Shutter time for ground in this light, s: `stops` below what a meter for incident light reads.
/// Infinite or NaN without light or for invalid inputs.
///
/// N²/t = E S / C. Source: ISO 2720:1974, the equation for incident light.
///
/// ```text
/// 0.25 lx, ISO 1600, f/2.8, two stops below  →  1.2 s
/// ```
pub fn ground_seconds(illuminance_lx: f64, iso: f64, f_number: f64, stops: f64) -> f64 {
    METER_C * f_number * f_number / (illuminance_lx * iso) * (-stops * LN_2).exp()
}

/// Least illuminance, lx, with which ground needs at most `seconds`: [`ground_seconds`] solved for
/// it.
pub fn least_lx(seconds: f64, iso: f64, f_number: f64, stops: f64) -> f64 {
    ground_seconds(seconds, iso, f_number, stops)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::DARK_ZENITH_V;
    use crate::light::moonlight::MoonGeometry;

    fn degrees(degrees: f64) -> Angle {
        Angle::from_degrees(degrees)
    }

    /// Common figures for a clear sky (*RCA Electro-Optics Handbook*, 1974, from memory): the Sun
    /// at the horizon some 400 to 800 lx, the end of civil twilight 3.4, of nautical 0.008, of
    /// astronomical 0.0006 with the night sky.
    #[test]
    fn agrees_with_the_usual_figures_of_twilight() {
        for (altitude, least, most) in [
            (0.0, 400.0, 800.0),
            (-6.0, 3.3, 3.5),
            (-12.0, 0.0075, 0.0085),
            (-18.0, 0.0006, 0.0007),
        ] {
            let lx = measured_lx(altitude);
            assert!((least..most).contains(&lx), "{altitude}°: {lx} lx");
        }
        assert_eq!(twilight_lx(degrees(-18.0)), 0.0);
        assert_eq!(twilight_lx(degrees(-40.0)), 0.0);
        assert_eq!(twilight_lx(degrees(f64::NAN)), 0.0);
        let mut before = 0.0;
        for step in -1800..=500 {
            let lx = twilight_lx(degrees(f64::from(step) / 100.0));
            // the ranges meet within 1 %
            assert!(lx >= before * 0.985, "{step}: {lx}, {before}");
            before = lx;
        }
    }

    /// The Explanatory Supplement's own table for the full Moon at mean distance (1992, sec. 9.34,
    /// from memory): the logarithm is a cubic in h/90° as for the Sun. And published figures for
    /// the full Moon: 0.25 to 0.32 lx at most (C. C. M. Kyba, A. Mohar & T. Posch, *Astronomy &
    /// Geophysics* 58 (2017) 1.31, from memory: 0.05 to 0.1 lx in a temperate summer, where it
    /// stays low).
    #[test]
    fn agrees_with_another_table_for_the_moon() {
        let table = [
            (20.0, [-1.95, 4.06, -4.24, 1.56]),
            (5.0, [-2.58, 12.58, -42.58, 59.06]),
        ];
        for altitude in [90.0, 60.0, 45.0, 30.0, 20.0, 10.0] {
            let (_, [l0, l1, l2, l3]) = table[usize::from(altitude < 20.0)];
            let x: f64 = altitude / 90.0;
            let want = ten_to(l0 + l1 * x + l2 * x * x + l3 * x * x * x);
            let got = moonlight_lx(Angle::ZERO, degrees(altitude), 0.2, MEAN_LUNAR_DISTANCE_KM);
            assert!((got / want - 1.0).abs() < 0.25, "{altitude}: {got}, {want}");
        }
        let overhead = moonlight_lx(Angle::ZERO, degrees(90.0), 0.2, MEAN_LUNAR_DISTANCE_KM);
        assert!((0.25..0.32).contains(&overhead), "{overhead} lx");
        let summer = moonlight_lx(degrees(3.0), degrees(25.0), 0.28, MEAN_LUNAR_DISTANCE_KM);
        assert!((0.05..0.1).contains(&summer), "{summer} lx");
        // a quarter Moon gives a ninth to a twelfth of it (common figure)
        let half = moonlight_lx(degrees(-90.0), degrees(90.0), 0.2, MEAN_LUNAR_DISTANCE_KM);
        assert!((9.0..12.0).contains(&(overhead / half)), "{half} lx");
    }

    #[test]
    fn a_moon_that_is_down_gives_nothing() {
        let at =
            |altitude| moonlight_lx(Angle::ZERO, degrees(altitude), 0.2, MEAN_LUNAR_DISTANCE_KM);
        assert_eq!(at(-0.1), 0.0);
        assert_eq!(at(f64::NAN), 0.0);
        assert!(at(0.5) < 1e-3);
        assert_eq!(moonlight_lx(Angle::ZERO, degrees(45.0), 0.2, 0.0), 0.0);
    }

    /// Two methods: the sky's brightness by direction (Krisciunas & Schaefer 1991, eq. 2), summed
    /// over the hemisphere times the cosine. And the measured light of a natural night, 0.6 to 0.9
    /// mlx where the zenith is 22.0 (A. Hänel et al., *JQSRT* 205 (2018) 278, from memory: 0.8).
    #[test]
    fn agrees_with_the_sum_over_the_sky() {
        let zenith = SurfaceBrightness::from_magnitude(DARK_ZENITH_V);
        let plain = night_sky_lx(zenith);
        let mut sum = 0.0;
        for step in 0..900 {
            let z = degrees((f64::from(step) + 0.5) / 10.0);
            let sky = MoonGeometry {
                phase_angle: Angle::ZERO,
                moon_zenith: degrees(180.0),
                target_zenith: z,
                separation: degrees(90.0),
                extinction: 0.2,
                distance_km: MEAN_LUNAR_DISTANCE_KM,
            };
            let luminance = sky.dark_sky(zenith).luminance_cd_m2();
            sum += 2.0 * PI * luminance * z.cos() * z.sin() * degrees(0.1).radians();
        }
        assert!((sum / plain - 1.0).abs() < 0.01, "{sum} lx, {plain} lx");
        let natural = night_sky_lx(SurfaceBrightness::from_magnitude(22.0));
        assert!((0.6e-3..0.9e-3).contains(&natural), "{natural} lx");
    }

    /// The meter's equation by hand: 250 · 7.84 / (0.25 · 1600) = 4.9 s, a quarter of it two stops
    /// below. And the rule that a full sun of 81 000 lx is exposed by f/16 and 1/ISO (common
    /// practice, "sunny 16": 1/100 s at ISO 100) within half a stop.
    #[test]
    fn agrees_with_the_meters_equation() {
        assert!((ground_seconds(0.25, 1600.0, 2.8, 2.0) - 1.225).abs() < 1e-9);
        let sunny = ground_seconds(81_000.0, 100.0, 16.0, 0.0);
        assert!(((sunny * 100.0).ln() / LN_2).abs() < 0.5, "{sunny} s");
        let lx = least_lx(30.0, 3200.0, 2.0, 2.0);
        assert!((ground_seconds(lx, 3200.0, 2.0, 2.0) - 30.0).abs() < 1e-9);
        assert!(!ground_seconds(0.0, 1600.0, 2.8, 0.0).is_finite());
    }
}
