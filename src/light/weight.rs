//! The weight of a moment: extinction of an extended subject, against the brightness of the sky.
//!
//! For equal signal to noise a sky twice as bright needs twice the time, and half the transmission
//! four times. So the weight of a moment is the square of the transmission over the brightness of
//! the sky; an hour of weight 0.5 equals half an hour of weight 1.

use crate::light::brightness::{SurfaceBrightness, ten_to};

/// Light of one magnitude as a power of ten, by definition.
const POGSON: f64 = 0.4;

/// The weight of a moment: 1 for a subject without extinction on the dark sky of the zenith;
/// 10^(−0.8 k) at the zenith itself in full darkness.
///
/// w = (10^(−0.4 k X))² / (B / B₀), with `lost_mag` = k X the magnitudes lost in the air, B the sky
/// behind the subject and B₀ the dark sky overhead. 0 without any sky light. Source: first
/// principles, the noise of a subject much fainter than its sky.
///
/// ```text
/// 1 mag lost, sky twice as bright as the dark zenith  →  0.079
/// ```
pub fn weight(lost_mag: f64, sky: SurfaceBrightness, dark_zenith: SurfaceBrightness) -> f64 {
    let left = ten_to(-POGSON * lost_mag);
    let weight = left * left * dark_zenith.nanolamberts() / sky.nanolamberts();
    if weight.is_finite() { weight } else { 0.0 }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Computed by hand: 10^(−0.8) / 2.
    #[test]
    fn agrees_with_the_worked_value() {
        let dark = SurfaceBrightness::from_magnitude(21.6);
        let got = weight(1.0, dark + dark, dark);
        assert!((got - 0.079_244_7).abs() < 1e-6, "{got}");
        assert_eq!(weight(0.0, dark, dark), 1.0);
        assert_eq!(weight(0.0, SurfaceBrightness::NONE, dark), 0.0);
        assert_eq!(weight(f64::NAN, dark, dark), 0.0);
    }
}
