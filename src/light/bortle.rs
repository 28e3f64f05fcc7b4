//! Bortle's classes of sky and approximate brightnesses.

/// Sky overhead in V magnitudes per square arcsecond for the classes 1 to 9.
///
/// J. E. Bortle, *Sky & Telescope*, February 2001, describes the classes by visual appearance and
/// gives no brightness. Published tables add one, and differ by a third of a magnitude and more in
/// a class; these are their means (from memory). A meter's reading is always better.
const CLASSES_V: [f64; 9] = [21.9, 21.7, 21.5, 21.1, 20.2, 19.2, 18.5, 18.0, 17.5];

/// The zenith brightness of a class, 1 to 9; `None` for another.
///
/// ```text
/// class 4  →  21.1 mag/arcsec², give or take 0.3
/// ```
pub fn brightness_of_class(class: u32) -> Option<f64> {
    let place = usize::try_from(class.checked_sub(1)?).ok()?;
    CLASSES_V.get(place).copied()
}

/// The class nearest to a brightness.
pub fn class_of(sky_brightness: f64) -> u32 {
    let off = |class: u32| (brightness_of_class(class).unwrap_or(0.0) - sky_brightness).abs();
    (2..=9).fold(
        1,
        |best, class| if off(class) < off(best) { class } else { best },
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Class 3 is 21.3 to 21.5 in one table in circulation and 21.69 to 21.89 in another: a mean
    /// may not lie outside both by more than their own spread.
    #[test]
    fn a_class_is_a_loose_word() {
        let v = brightness_of_class(3).expect("a class");
        assert!((21.3..=21.89).contains(&v), "{v}");
        assert_eq!(
            (brightness_of_class(0), brightness_of_class(10)),
            (None, None)
        );
    }

    #[test]
    fn darker_skies_have_lower_classes() {
        for class in 1..9 {
            assert!(
                brightness_of_class(class) > brightness_of_class(class + 1),
                "{class}"
            );
            assert_eq!(
                class_of(brightness_of_class(class).expect("a class")),
                class
            );
        }
        assert_eq!(
            (class_of(22.5), class_of(15.0), class_of(f64::NAN)),
            (1, 9, 1)
        );
    }
}
