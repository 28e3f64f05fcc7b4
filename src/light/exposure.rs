//! Suggested ISO, and the sky's position in the histogram.
//!
//! A meter would expose the night sky as middle grey, too bright. Two stops below it the sky is
//! clear of the left edge of the histogram and stars keep their colour.

use crate::camera::dial::iso_scale;
use std::f64::consts::LN_2;

/// Constant of a meter for reflected light, cd·s·ISO/m²: 12.5, in use with most
/// makers and within what ISO 2720:1974 allows, 10.6 to 13.4 (from memory).
const METER_K: f64 = 12.5;

/// How far below middle grey the sky is exposed, stops (common practice: the histogram's peak a
/// fifth to a third of the way from the left).
pub const SKY_BELOW_MIDDLE: f64 = 2.0;

/// Highest ISO suggested: beyond it read noise does not fall, and bright stars saturate (common
/// practice).
pub const MOST_ISO: f64 = 6400.0;

/// Lowest ISO suggested.
const LEAST_ISO: f64 = 100.0;

/// Middle grey as a share of white: exposures of 10/S and 78/S lx·s (ISO
/// 12232:2006, from memory).
const MIDDLE_OF_WHITE: f64 = 10.0 / 78.0;

/// The ISO at which a meter would expose this as middle grey; NaN without light.
///
/// N²/t = L S / K. Source: ISO 2720:1974, the equation for reflected light.
///
/// ```text
/// 2.47·10⁻⁴ cd/m², f/2.8, 20 s  →  19 800
/// ```
pub fn middle_iso(luminance_cd_m2: f64, f_number: f64, seconds: f64) -> f64 {
    METER_K * f_number * f_number / (luminance_cd_m2 * seconds)
}

/// The marked ISO suggested for a meter's `middle` ISO: the sky two stops below middle grey, from
/// 100 to 6400; the nearest mark in stops.
///
/// ```text
/// 19 800  →  5000
/// ```
pub fn suggested_iso(middle: f64) -> u32 {
    let wanted = middle / (SKY_BELOW_MIDDLE * LN_2).exp();
    // false for NaN
    let wanted = if wanted >= LEAST_ISO {
        wanted.min(MOST_ISO)
    } else {
        LEAST_ISO
    };
    let off = |exact: f64| (exact / wanted).ln().abs();
    let nearer = |one: (u32, f64), two: (u32, f64)| if off(two.1) < off(one.1) { two } else { one };
    iso_scale().reduce(nearer).map_or(0, |(mark, _)| mark)
}

/// The exposure level of a surface.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureLevel {
    /// Stops above middle grey; below it they are negative.
    pub stops: f64,
    /// Linear light over white, 0 to 1.
    pub of_white: f64,
    /// Position in the camera's histogram from left to right, 0 to 1.
    pub in_histogram: f64,
}

/// The exposure level at an ISO, for a meter's `middle` ISO.
///
/// In the histogram by the curve of IEC 61966-2-1 (sRGB); bodies add their own contrast, so it is
/// good to a tenth of the width.
///
/// ```text
/// two stops below middle grey  →  3 % of white, a fifth of the way
/// ```
pub fn exposure_level(middle: f64, iso: f64) -> ExposureLevel {
    let ratio = iso / middle;
    let of_white = (MIDDLE_OF_WHITE * ratio).clamp(0.0, 1.0);
    ExposureLevel {
        stops: ratio.ln() / LN_2,
        of_white,
        in_histogram: encoded(of_white),
    }
}

/// Transfer function from linear light over white to the encoded value, 0 to 1: IEC 61966-2-1:1999
/// (sRGB).
pub fn encoded(light: f64) -> f64 {
    if light <= 0.003_130_8 {
        12.92 * light
    } else {
        1.055 * (light.ln() / 2.4).exp() - 0.055
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::{DARK_ZENITH_V, SurfaceBrightness};

    fn middle(v: f64, f_number: f64, seconds: f64) -> f64 {
        middle_iso(
            SurfaceBrightness::from_magnitude(v).luminance_cd_m2(),
            f_number,
            seconds,
        )
    }

    /// The equation by itself: a grey card in full sun, 4000 cd/m², is exposed at
    /// f/16 for 1/ISO s (the sunny 16 rule, common practice).
    #[test]
    fn a_sunlit_card_follows_the_sunny_rule() {
        let got = middle_iso(4000.0, 16.0, 1.0 / 100.0);
        // a third of a stop
        assert!((got / 100.0).ln().abs() < LN_2 / 3.0, "ISO {got}");
    }

    /// Common practice: f/1.8 to f/2.8, 10 to 25 s and ISO 1600 to 6400 under a
    /// dark sky.
    #[test]
    fn suggests_what_is_common_practice() {
        for f_number in [1.8, 2.0, 2.5, 2.8] {
            for seconds in [10.079, 12.699, 16.0, 20.159, 25.398] {
                for v in [21.4, DARK_ZENITH_V, 21.9] {
                    let iso = suggested_iso(middle(v, f_number, seconds));
                    let usual = (1250..=6400).contains(&iso);
                    assert!(usual, "f/{f_number}, {seconds} s, {v}: ISO {iso}");
                }
            }
        }
        // in the middle of the ranges the cap has no effect
        let iso = suggested_iso(middle(DARK_ZENITH_V, 2.0, 16.0));
        assert!((2000..=4000).contains(&iso), "ISO {iso}");
    }

    #[test]
    fn two_stops_below_middle_grey_is_a_fifth_of_the_way() {
        let sky = exposure_level(4000.0, 1000.0);
        assert!((sky.stops + 2.0).abs() < 1e-12, "{sky:?}");
        assert!((sky.of_white - 0.032).abs() < 1e-3, "{sky:?}");
        assert!((sky.in_histogram - 0.2).abs() < 0.01, "{sky:?}");
        let white = exposure_level(100.0, 1e9);
        assert!((white.in_histogram - 1.0).abs() < 1e-12, "{white:?}");
    }

    /// IEC 61966-2-1: the two branches meet, and half of the light is 0.735.
    #[test]
    fn encodes_as_the_standard_does() {
        assert!((encoded(0.5) - 0.735_357).abs() < 1e-5);
        assert!((encoded(0.003_130_8) - encoded(0.003_130_9)).abs() < 1e-5);
        assert_eq!(encoded(0.0), 0.0);
        assert!((encoded(1.0) - 1.0).abs() < 1e-12);
    }

    #[test]
    fn light_that_is_none_or_all_has_a_mark() {
        assert_eq!(suggested_iso(f64::INFINITY), 6400);
        assert_eq!(suggested_iso(f64::NAN), 100);
        assert_eq!(suggested_iso(1.0), 100);
    }
}
