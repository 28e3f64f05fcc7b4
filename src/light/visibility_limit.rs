//! Visibility limits by sky brightness, for the Milky Way and for stars.

use crate::light::brightness::{DARK_ZENITH_V, SurfaceBrightness};

/// Surface brightness of the Milky Way's brightest clouds by themselves, V magnitudes per square
/// arcsecond: with a dark sky behind them they are reported as 20.3 to 20.9 (from memory).
pub const BRIGHTEST_CLOUDS_V: f64 = 21.0;

/// A glow is invisible when it adds less than this share to the sky (common practice: a tenth is
/// about what processing can bring out).
const LEAST_SHARE: f64 = 0.1;

/// Least visible brightness of the Milky Way, in units of its maximum: 0 under the darkest sky, 1
/// and more when nothing of it is visible.
///
/// ```text
/// 21.6 mag  →  0      20 mag  →  0.19      18 mag  →  1.53
/// ```
pub fn milky_way_threshold(sky: SurfaceBrightness) -> f64 {
    let clouds = SurfaceBrightness::from_magnitude(BRIGHTEST_CLOUDS_V).nanolamberts();
    let dark = SurfaceBrightness::from_magnitude(DARK_ZENITH_V).nanolamberts();
    LEAST_SHARE * (sky.nanolamberts() - dark).max(0.0) / clouds
}

/// Naked-eye limiting magnitude under a sky.
///
/// Source: 7.93 − 5 log₁₀(10^(4.316 − B/5) + 1), credited to B. E. Schaefer,
/// *PASP* 102 (1990) 212; the form in general use, from memory.
///
/// ```text
/// 21.5 mag  →  6.38      18 mag  →  3.97
/// ```
pub fn limiting_magnitude(sky: SurfaceBrightness) -> f64 {
    let Some(magnitude) = sky.magnitude() else {
        return 7.93;
    };
    let ten = std::f64::consts::LN_10;
    let power = ((4.316 - magnitude / 5.0) * ten).exp();
    7.93 - 5.0 * power.ln_1p() / ten
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed from the formula as printed.
    #[test]
    fn agrees_with_the_worked_table() {
        for (sky, want) in [
            (18.0, 3.97),
            (19.0, 4.77),
            (20.0, 5.49),
            (21.0, 6.12),
            (22.0, 6.62),
        ] {
            let got = limiting_magnitude(SurfaceBrightness::from_magnitude(sky));
            assert!((got - want).abs() < 0.006, "{sky}: {got}");
        }
    }

    /// Common practice: a full Moon high up (a sky of some 18 mag) leaves nothing of the Milky Way
    /// visible, a sky of 21 nearly all.
    #[test]
    fn the_veil_thickens_with_light() {
        let at = |v: f64| milky_way_threshold(SurfaceBrightness::from_magnitude(v));
        assert_eq!(at(21.6), 0.0);
        assert_eq!(at(22.0), 0.0);
        assert!(at(21.0) < 0.06, "{}", at(21.0));
        assert!((at(20.0) - 0.19).abs() < 0.01, "{}", at(20.0));
        assert!(at(18.0) > 1.0);
    }
}
