//! Plain decimal numbers, as people type and read them.
//!
//! Only digits with at most one point are read: no exponents, no NaN or infinity. Fifteen digits
//! are exact, more than any input here needs; the general conversion needs large tables, a tenth of
//! the page's size.

/// Digits that fit a double without loss.
const EXACT_DIGITS: usize = 15;

/// Reads digits with at most one point, such as `36`, `0.5` or `.5`.
///
/// `None` for anything else, signs included. The result is the nearest double for up to fifteen
/// digits; further digits are dropped behind the point and are an error before it.
///
/// ```
/// use tarnlight::decimal;
/// assert_eq!(decimal::read("36.5"), Some(36.5));
/// assert_eq!(decimal::read("1e3"), None);
/// ```
pub fn read(text: &str) -> Option<f64> {
    let (whole, part) = text.split_once('.').unwrap_or((text, ""));
    let digits = |text: &str| text.bytes().all(|byte| byte.is_ascii_digit());
    if !digits(whole) || !digits(part) || (whole.is_empty() && part.is_empty()) {
        return None;
    }
    let whole = whole.trim_start_matches('0');
    let room = EXACT_DIGITS.checked_sub(whole.len())?;
    let places = part.len().min(room);
    let mut value = 0_u64;
    for digit in whole.bytes().chain(part.bytes().take(places)) {
        value = value * 10 + u64::from(digit - b'0');
    }
    // both are whole numbers a double holds exactly, so their ratio is rounded once
    Some(value as f64 / 10_u64.pow(places as u32) as f64)
}

/// Maximum decimal places.
const MOST_PLACES: usize = 6;

/// Written in place of NaN.
const NOTHING: &str = "–";

/// Appends a number to a text, rounded to `places` decimal places (at most six), halves away from
/// zero.
///
/// Exact for numbers below 2⁵³ over ten to the places, which is 9 · 10⁹ for six; NaN becomes a
/// dash.
pub fn put(text: &mut String, value: f64, places: usize) {
    let places = places.min(MOST_PLACES);
    if !value.is_finite() {
        text.push_str(NOTHING);
        return;
    }
    let scaled = (value.abs() * 10_u64.pow(places as u32) as f64).round() as u64;
    if value < 0.0 && scaled > 0 {
        text.push('-');
    }
    // digits from the last to the first, at least one before the point
    let mut digits = [b'0'; 24];
    let mut rest = scaled;
    let mut count = 0;
    while rest > 0 || count <= places {
        digits[count] = b'0' + (rest % 10) as u8;
        rest /= 10;
        count += 1;
    }
    for place in (0..count).rev() {
        text.push(char::from(digits[place]));
        if place == places && places > 0 {
            text.push('.');
        }
    }
}

/// A number rounded to `places` decimal places; see [`put`].
///
/// ```
/// use tarnlight::decimal;
/// assert_eq!(decimal::fixed(1.25, 1), "1.3");
/// assert_eq!(decimal::fixed(-0.04, 1), "0.0");
/// ```
pub fn fixed(value: f64, places: usize) -> String {
    let mut text = String::new();
    put(&mut text, value, places);
    text
}

/// A number to at most four places, without trailing zeros.
///
/// ```
/// use tarnlight::decimal;
/// assert_eq!(decimal::plain(36.0), "36");
/// assert_eq!(decimal::plain(-33.8694), "-33.8694");
/// ```
pub fn plain(value: f64) -> String {
    let text = fixed(value, 4);
    let trimmed = text.trim_end_matches('0').trim_end_matches('.');
    trimmed.to_owned()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Against the standard library, whose parsing is correctly rounded.
    #[test]
    fn reads_what_the_standard_library_reads() {
        for text in [
            "0",
            "36",
            "0.1",
            "1.8",
            "23.5",
            "000.5",
            ".5",
            "5.",
            "3.14159265358979",
            "99999999999999.9",
            "123456789012345",
            "0.000000000000001",
        ] {
            assert_eq!(read(text), text.parse().ok(), "{text}");
        }
        let mut tenth = 0.0_f64;
        while tenth < 100.0 {
            let text = format!("{tenth:.3}");
            assert_eq!(read(&text), text.parse().ok(), "{text}");
            tenth += 0.037;
        }
    }

    #[test]
    fn refuses_the_rest() {
        for text in [
            "",
            ".",
            "-1",
            "+1",
            "1e3",
            "inf",
            "NaN",
            "1.2.3",
            "1 2",
            "1234567890123456",
            "½",
        ] {
            assert_eq!(read(text), None, "{text:?}");
        }
    }

    /// Against the standard library, whose formatting is correctly rounded; the two differ only on
    /// exact halves, which these are not.
    #[test]
    fn prints_what_the_standard_library_prints() {
        let mut value = -50.013_7_f64;
        while value < 2000.0 {
            assert_eq!(
                fixed(value, 0),
                format!("{value:.0}").replace("-0", "0"),
                "{value}"
            );
            assert_eq!(fixed(value, 1), format!("{value:.1}"), "{value}");
            assert_eq!(fixed(value, 4), format!("{value:.4}"), "{value}");
            value += 1.733_7;
        }
        assert_eq!(fixed(0.0, 2), "0.00");
        assert_eq!(fixed(f64::NAN, 2), "–");
        assert_eq!(fixed(f64::INFINITY, 2), "–");
        assert_eq!(fixed(f64::MAX, 6).len(), 21);
        assert_eq!(plain(0.5), "0.5");
        assert_eq!(plain(0.0), "0");
        assert_eq!(plain(120.0), "120");
    }
}
