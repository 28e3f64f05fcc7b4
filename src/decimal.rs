//! Plain decimal numbers, as people type them.
//!
//! Only digits with at most one point are read: no exponents, no words for
//! what is not a number. Fifteen digits are exact, which is more than any
//! input here means; leaving the rest out also spares the page the large
//! tables that reading every possible number takes.

/// Digits that surely fit a double without loss.
const EXACT_DIGITS: usize = 15;

/// Reads digits with at most one point, such as `36`, `0.5` or `.5`.
///
/// `None` for anything else, signs included. The result is the double nearest
/// to what is written, for up to fifteen digits; digits after those are
/// dropped behind the point and refused before it.
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
    let part = &part[..part.len().min(room)];
    let mut value = 0_u64;
    for digit in whole.bytes().chain(part.bytes()) {
        value = value * 10 + u64::from(digit - b'0');
    }
    // both are whole numbers a double holds exactly, so their ratio is rounded once
    Some(value as f64 / 10_u64.pow(part.len() as u32) as f64)
}

#[cfg(test)]
mod tests {
    use super::read;

    /// Against the standard library, which reads correctly rounded.
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
}
