//! Surface brightness of the sky, in magnitudes and in linear units.
//!
//! The brightness of the sky is measured in magnitudes per square arcsecond: 22 is a perfectly dark
//! sky, 18 a city's, and one magnitude less is two and a half times as bright. Magnitudes cannot be
//! added; so a [`SurfaceBrightness`] holds nanolamberts and converts to magnitudes.

use std::f64::consts::LN_10;
use std::ops::Add;

/// V magnitude per square arcsecond of a dark sky overhead: F. Patat, *A&A* 400
/// (2003) 1183, Paranal near solar maximum. At solar minimum about 21.9 (C. R.
/// Benn & S. L. Ellison, La Palma Technical Note 115, 1998); airglow changes it
/// by some tenths within hours.
pub const DARK_ZENITH_V: f64 = 21.6;

/// Factor in nanolamberts: K. Krisciunas & B. E. Schaefer, *PASP*
/// 103 (1991) 1033, eq. 1.
const FACTOR_NL: f64 = 34.08;
/// Offset in the power of e, same equation.
const OFFSET: f64 = 20.723_3;
/// Per magnitude in the power of e, same equation; 0.4 ln 10, rounded there.
const PER_MAGNITUDE: f64 = 0.921_04;

/// Candelas per square metre in a nanolambert: 10⁻⁵/π, by definition.
const CD_M2_PER_NL: f64 = 1e-5 / std::f64::consts::PI;

/// Brightest surface represented, mag/arcsec²; the Sun's disc has about −10.6 (from memory).
const BRIGHTEST_V: f64 = -15.0;
/// Faintest surface represented, mag/arcsec²; far below anything a camera can detect.
const FAINTEST_V: f64 = 40.0;

/// Magnitudes in a factor of ten of light, by definition (Pogson 1856).
const PER_TEN: f64 = 2.5;

/// Surface brightness in the V band; never negative, never NaN.
#[derive(Debug, Clone, Copy, PartialEq, PartialOrd)]
pub struct SurfaceBrightness {
    nanolamberts: f64,
}

impl SurfaceBrightness {
    /// No light at all.
    pub const NONE: Self = Self { nanolamberts: 0.0 };

    /// From V magnitudes per square arcsecond, −15 to 40; brighter is clamped to −15, fainter and
    /// NaN are no light.
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 1.
    ///
    /// ```text
    /// 22.0 mag/arcsec²  →  54.01 nL
    /// ```
    pub fn from_magnitude(v: f64) -> Self {
        if v.is_nan() || v > FAINTEST_V {
            return Self::NONE;
        }
        Self {
            nanolamberts: FACTOR_NL * (OFFSET - PER_MAGNITUDE * v.max(BRIGHTEST_V)).exp(),
        }
    }

    /// From nanolamberts; negative values and NaN are no light, and nothing is brighter than −15
    /// mag/arcsec².
    pub fn from_nanolamberts(nanolamberts: f64) -> Self {
        let most = Self::from_magnitude(BRIGHTEST_V).nanolamberts;
        // max and min ignore NaN
        Self {
            nanolamberts: nanolamberts.max(0.0).min(most),
        }
    }

    /// In nanolamberts.
    pub const fn nanolamberts(self) -> f64 {
        self.nanolamberts
    }

    /// In V magnitudes per square arcsecond; `None` where it is fainter than 40.
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 1, solved for V.
    ///
    /// ```text
    /// 79.01 nL  →  21.587 mag/arcsec²
    /// ```
    pub fn magnitude(self) -> Option<f64> {
        if self.nanolamberts <= 0.0 {
            return None;
        }
        let v = (OFFSET - (self.nanolamberts / FACTOR_NL).ln()) / PER_MAGNITUDE;
        (v <= FAINTEST_V).then_some(v)
    }

    /// In candelas per square metre.
    ///
    /// From nanolamberts by definition. A meter's reading depends on the colour of the sky: V 22 is
    /// 176 to 227 µcd/m² (S. Bará et al. 2020), so it is good to two figures at most.
    ///
    /// ```text
    /// 22.0 mag/arcsec²  →  0.00017 cd/m²
    /// ```
    pub const fn luminance_cd_m2(self) -> f64 {
        self.nanolamberts * CD_M2_PER_NL
    }

    /// Magnitudes by which added light brightens this sky, 0 or more.
    ///
    /// A sky without light counts as 40 mag/arcsec² here, so that the result is finite.
    ///
    /// Source: Krisciunas & Schaefer 1991, eq. 22, with the opposite sign.
    pub fn brightened_by(self, added: Self) -> f64 {
        // most of a night has neither twilight nor Moon
        if added == Self::NONE {
            return 0.0;
        }
        let dark = self.max_of(Self::from_magnitude(FAINTEST_V)).nanolamberts;
        PER_TEN * ((added.nanolamberts + dark) / dark).ln() / LN_10
    }

    /// Scaled by a factor.
    pub fn times(self, factor: f64) -> Self {
        Self::from_nanolamberts(self.nanolamberts * factor)
    }

    /// The brighter of the two.
    pub const fn max_of(self, other: Self) -> Self {
        Self {
            nanolamberts: self.nanolamberts.max(other.nanolamberts),
        }
    }
}

impl Add for SurfaceBrightness {
    type Output = Self;

    /// The sum of the light.
    fn add(self, other: Self) -> Self {
        Self::from_nanolamberts(self.nanolamberts + other.nanolamberts)
    }
}

/// Ten to a power, by exp, which the page contains anyway.
pub(super) fn ten_to(power: f64) -> f64 {
    (power * LN_10).exp()
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Krisciunas & Schaefer's eq. 1 computed independently: V, nL, and cd/m² by the definition of
    /// the lambert.
    const TABLE: [(f64, f64, f64); 2] = [(22.0, 54.01, 1.719e-4), (21.587, 79.01, 2.515e-4)];

    #[test]
    fn agrees_with_the_worked_table() {
        for (v, nl, cd) in TABLE {
            let got = SurfaceBrightness::from_magnitude(v);
            // half of the last digit given
            let off = (got.nanolamberts() - nl).abs();
            assert!(off < 6e-3, "{v}: {} nL, want {nl}", got.nanolamberts());
            let off = (got.luminance_cd_m2() - cd).abs();
            assert!(
                off < 6e-8,
                "{v}: {} cd/m², want {cd}",
                got.luminance_cd_m2()
            );
        }
    }

    /// A light-meter maker's rule of 2005, L = 1.08·10⁵ · 10^(−0.4 V) cd/m²; its zero point is for
    /// another spectrum, hence 1 %.
    #[test]
    fn agrees_with_the_light_meters_rule() {
        for v in [16.0, 19.5, 22.0] {
            let (got, want) = (
                SurfaceBrightness::from_magnitude(v).luminance_cd_m2(),
                1.08e5 * 10_f64.powf(-0.4 * v),
            );
            assert!((got / want - 1.0).abs() < 0.01, "{v}: {got}, want {want}");
        }
    }

    #[test]
    fn there_and_back_is_the_same() {
        for tenths in -150..=399 {
            let v = f64::from(tenths) / 10.0;
            let got = SurfaceBrightness::from_magnitude(v)
                .magnitude()
                .expect("some light");
            assert!((got - v).abs() < 1e-9, "{got}, want {v}");
        }
    }

    #[test]
    fn twice_the_light_is_three_quarters_of_a_magnitude() {
        let dark = SurfaceBrightness::from_magnitude(DARK_ZENITH_V);
        let got = dark.brightened_by(dark);
        // 2.5 log10 2
        assert!((got - 0.752_575).abs() < 1e-6, "{got}");
        let twice = (dark + dark).magnitude().expect("some light");
        // eq. 1 rounds 0.4 ln 10 in its fifth digit
        assert!((twice - (DARK_ZENITH_V - got)).abs() < 1e-5, "{twice}");
        assert_eq!(
            dark.brightened_by(SurfaceBrightness::NONE),
            0.0,
            "by nothing"
        );
    }

    #[test]
    fn any_number_gives_light_that_is_a_number() {
        let numbers = [
            f64::NAN,
            f64::INFINITY,
            f64::NEG_INFINITY,
            f64::MAX,
            f64::MIN,
            -0.0,
            f64::MIN_POSITIVE,
        ];
        for number in numbers {
            for light in [
                SurfaceBrightness::from_magnitude(number),
                SurfaceBrightness::from_nanolamberts(number),
            ] {
                for sum in [light, light + light] {
                    let nl = sum.nanolamberts();
                    assert!(nl.is_finite() && nl >= 0.0, "{number}: {nl}");
                    let v = sum.magnitude().unwrap_or(0.0);
                    assert!(v.is_finite(), "{number}: {v}");
                    let more = SurfaceBrightness::NONE.brightened_by(sum);
                    assert!(more.is_finite() && more >= 0.0, "{number}: {more}");
                }
            }
        }
        assert_eq!(
            SurfaceBrightness::from_magnitude(f64::NAN),
            SurfaceBrightness::NONE
        );
        assert_eq!(SurfaceBrightness::NONE.magnitude(), None);
    }
}
