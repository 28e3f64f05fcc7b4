//! F-numbers: the marked third stops, and their exact values.
//!
//! Marks are the nominal series (common practice); exact values are 2^(n/6), as most bodies keep
//! them. Lenses are also sold with widest apertures outside the series, f/0.95, f/1.7 or f/2.4; such
//! an f-number is taken as exact.

use crate::camera::dial::{next_of, third_stops};

/// Marked f-numbers from 1 to 22, a third of a stop apart.
const F_MARKS: [f64; 28] = [
    1.0, 1.1, 1.2, 1.4, 1.6, 1.8, 2.0, 2.2, 2.5, 2.8, 3.2, 3.5, 4.0, 4.5, 5.0, 5.6, 6.3, 7.1, 8.0,
    9.0, 10.0, 11.0, 13.0, 14.0, 16.0, 18.0, 20.0, 22.0,
];

/// The one f-number of the series that is taken as exact. As a third-stop mark 1.2 means 1.26, but
/// only an f/1.2 lens or a faster one has it, and for the former it is the nominal aperture (common
/// practice: 1.2 to 1.24).
const SOLD_BY: f64 = 1.2;

/// Two f-numbers closer than this are equal up to rounding.
const SAME_F_NUMBER: f64 = 1e-6;

/// The next marked f-number above (`up`) or below the one in use; the same at
/// the ends of the dial.
pub fn next_f_number(f_number: f64, up: bool) -> f64 {
    next_of(&F_MARKS, f_number, up)
}

/// The exact f-number. For a mark of the third-stop series from 1 to 22 it is 2^(n/6); any other
/// f-number is taken as exact, as is 1.2, by which lenses are sold. `None` unless positive.
///
/// A lens faster than f/1.2 that is stopped down to the mark 1.2 transmits 0.14 stops less than
/// this.
///
/// ```
/// use tarnlight::camera::f_number::exact_f_number;
/// assert!((exact_f_number(3.5).unwrap() - 3.564).abs() < 5e-4);
/// assert_eq!(exact_f_number(3.3), Some(3.3));
/// ```
pub fn exact_f_number(f_number: f64) -> Option<f64> {
    let same = |other: f64| (f_number - other).abs() < SAME_F_NUMBER;
    let mark = F_MARKS.iter().zip(0..).find(|(mark, _)| same(**mark));
    let exact = match mark {
        // a third of a stop of light is a sixth of a doubling of the f-number
        Some((&mark, third)) if mark != SOLD_BY => third_stops(third).sqrt(),
        _ => f_number,
    };
    (exact > 0.0 && exact.is_finite()).then_some(exact)
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Exact f-numbers by 2^(n/6), computed independently; 1.2 by itself.
    #[test]
    fn f_numbers_are_what_they_are() {
        let table = [
            (1.0, 1.0),
            (1.1, 1.122),
            (1.2, 1.2),
            (1.4, 1.414),
            (1.6, 1.587),
            (1.8, 1.782),
            (2.0, 2.0),
            (2.2, 2.245),
            (2.5, 2.520),
            (2.8, 2.828),
            (3.2, 3.175),
            (3.5, 3.564),
            (4.0, 4.0),
            (4.5, 4.490),
            (5.0, 5.040),
            (5.6, 5.657),
            (22.0, 22.627),
        ];
        for (mark, want) in table {
            let got = exact_f_number(mark).expect("on the scale");
            assert!((got - want).abs() < 6e-4, "f/{mark}: {got}");
        }
        for none in [f64::NAN, f64::INFINITY, 0.0, -1.8] {
            assert_eq!(exact_f_number(none), None, "f/{none}");
        }
    }

    /// Lenses are sold with these (common practice); so is any typed value.
    #[test]
    fn f_numbers_outside_the_series_are_their_own() {
        for f_number in [0.95, 1.2, 1.7, 1.9, 2.4, 3.3, 1.05, 1.78, 2.83, 6.8, 27.0] {
            assert_eq!(exact_f_number(f_number), Some(f_number));
        }
        // 1/3, 1/10 and the like are parsed with an error in the last digit
        let read = exact_f_number(1.8 + 2e-16).expect("a number");
        assert!((read - 1.782).abs() < 6e-4, "{read}");
    }

    #[test]
    fn f_numbers_step_along_the_dial() {
        assert_eq!(next_f_number(1.8, true), 2.0);
        assert_eq!(next_f_number(1.8, false), 1.6);
        assert_eq!(next_f_number(1.7, true), 1.8);
        assert_eq!(next_f_number(22.0, true), 22.0);
        assert_eq!(next_f_number(0.95, false), 0.95);
        assert_eq!(next_f_number(0.95, true), 1.0);
        assert_eq!(next_f_number(2.4, true), 2.5);
        assert_eq!(next_f_number(3.3, false), 3.2);
    }
}
