//! Numbers with their units as the page shows them.
//!
//! Rounding of what is worked out happens here, and goes the safe way: times down, trails up.

use crate::angle::Angle;
use crate::camera::dial::Shutter;
use crate::decimal::{fixed, plain};
use crate::outing::exposure::sequence::MIN_S;

/// Between a number and its unit: a space at which no line breaks.
pub const GAP: &str = "\u{a0}";

/// Tolerance of rounding: a number this little beyond a step counts as on it.
pub const ROUNDING_TOLERANCE: f64 = 1e-6;

/// A trail, rounded up: `1.7 px`, from ten on without decimals.
pub fn trail(pixels: f64) -> String {
    if pixels < 9.95 {
        fixed((pixels * 10.0 - ROUNDING_TOLERANCE).ceil() / 10.0, 1) + GAP + "px"
    } else {
        fixed((pixels - ROUNDING_TOLERANCE).ceil(), 0) + GAP + "px"
    }
}

/// A trail that may not be there.
pub fn trail_or_dash(pixels: Option<f64>) -> String {
    pixels.map_or_else(|| "–".to_owned(), trail)
}

/// The same without its unit, which a heading gives.
pub fn bare_trail(pixels: Option<f64>) -> String {
    bare(&trail_or_dash(pixels))
}

/// A value without its unit, which a heading gives.
pub fn bare(value: &str) -> String {
    value.split('\u{a0}').next().unwrap_or_default().to_owned()
}

/// Seconds, rounded down: three digits below a second, two decimals below three, one
/// below a minute. A mark of 1.3 s lasts 1.25 s, and one sees it.
pub fn seconds(seconds: f64) -> String {
    if seconds < 1.0 {
        fixed((seconds * 1000.0 + ROUNDING_TOLERANCE).floor() / 1000.0, 3) + GAP + "s"
    } else if seconds < 3.0 {
        fixed((seconds * 100.0 + ROUNDING_TOLERANCE).floor() / 100.0, 2) + GAP + "s"
    } else if seconds < 60.0 {
        fixed((seconds * 10.0 + ROUNDING_TOLERANCE).floor() / 10.0, 1) + GAP + "s"
    } else {
        fixed((seconds + ROUNDING_TOLERANCE).floor(), 0) + GAP + "s"
    }
}

/// A distance as a key has room for: from a kilometre on in whole kilometres.
pub fn distance(metres: f64) -> String {
    const KM_M: f64 = 1000.0;
    if metres < KM_M {
        plain(metres) + GAP + "m"
    } else {
        fixed((metres / KM_M).round(), 0) + GAP + "km"
    }
}

/// A stretch of time, rounded up: seconds, from two minutes on minutes, from an hour and
/// a half on hours; below ten of those with a decimal.
pub fn up_to(seconds: f64) -> String {
    const HOUR_S: f64 = 60.0 * MIN_S;
    let (value, unit) = match seconds {
        short if short < 2.0 * MIN_S => (short, "s"),
        middle if middle < 1.5 * HOUR_S => (middle / MIN_S, "min"),
        long => (long / HOUR_S, "h"),
    };
    let steps = if unit == "s" || value >= 10.0 {
        1.0
    } else {
        10.0
    };
    plain((value * steps - ROUNDING_TOLERANCE).ceil() / steps) + GAP + unit
}

/// A shutter setting as the camera shows it.
pub fn shutter(shutter: Shutter) -> String {
    shutter.mark() + GAP + "s"
}

/// A focal length.
pub fn focal(focal_mm: f64) -> String {
    plain((focal_mm * 10.0).round() / 10.0) + GAP + "mm"
}

/// An f-number.
pub fn f_stop(f_number: f64) -> String {
    format!("f/{}", plain((f_number * 100.0).round() / 100.0))
}

/// Degrees to one decimal.
pub fn degrees(angle: Angle) -> String {
    degrees_to(angle, 1)
}

/// Degrees to so many decimals, with a true minus.
pub fn degrees_to(angle: Angle, decimals: usize) -> String {
    fixed(angle.degrees(), decimals).replace('-', "−") + "°"
}

/// A latitude with its side of the equator.
pub fn latitude(angle: Angle) -> String {
    let side = if angle < Angle::ZERO { "S" } else { "N" };
    format!(
        "{}° {side}",
        plain((angle.degrees().abs() * 100.0).round() / 100.0)
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With ordinary spaces, as one reads it.
    fn spaced(text: &str) -> String {
        text.replace(GAP, " ")
    }

    #[test]
    fn trails_round_up_and_times_down() {
        let trails = [
            (1.61, "1.7 px"),
            (1.7, "1.7 px"),
            (2.000_000_01, "2.0 px"),
            (0.0, "0.0 px"),
            (9.96, "10 px"),
            (12.1, "13 px"),
        ];
        for (pixels, want) in trails {
            assert_eq!(spaced(&trail(pixels)), want, "{pixels}");
        }
        let times = [
            (9.49, "9.4 s"),
            (0.2399, "0.239 s"),
            (1.2599, "1.25 s"),
            (61.9, "61 s"),
            (16.0, "16.0 s"),
        ];
        for (exact, want) in times {
            assert_eq!(spaced(&seconds(exact)), want, "{exact}");
        }
    }

    #[test]
    fn far_distances_are_told_in_kilometres() {
        for (metres, want) in [
            (0.7, "0.7 m"),
            (999.0, "999 m"),
            (1499.0, "1 km"),
            (99_999.9, "100 km"),
        ] {
            assert_eq!(spaced(&distance(metres)), want, "{metres}");
        }
    }

    #[test]
    fn stretches_of_time_round_up() {
        for (stretch_s, want) in [
            (7.3, "8 s"),
            (90.0, "90 s"),
            (119.5, "120 s"),
            (120.0, "2 min"),
            (149.0, "2.5 min"),
            (593.1, "9.9 min"),
            (600.0, "10 min"),
            (601.0, "11 min"),
            (5400.0, "1.5 h"),
            (10_800.0, "3 h"),
        ] {
            assert_eq!(spaced(&up_to(stretch_s)), want);
        }
    }
}
