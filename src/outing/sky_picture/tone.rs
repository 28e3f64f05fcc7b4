//! From surface brightness to a tone.

use std::sync::OnceLock;

/// Brightness of the darkest tone, V magnitudes per square arcsecond: that of the darkest sites.
const DARKEST_V: f32 = 21.9;
/// Brightness of the brightest tone: the zenith with the Sun 5° down (Patat et al. 2006).
const BRIGHTEST_V: f32 = 12.0;

/// Share of the tones for dark skies and the Milky Way, as an exposure for it would give them; the rest
/// is for Moon and twilight.
const MILKY_WAY_SHARE: f32 = 0.66;
/// Magnitudes over the darkest at which 1 − 1/e of that share is reached, and the power of the
/// rise: dark at first, so that a dark sky is nearly black.
const RISE_MAG: f32 = 0.85;
const RISE_POWER: f32 = 2.0;

/// Magnitudes in a factor of e of light.
const MAG_PER_E: f32 = 1.085_736;
/// ln of the nanolamberts at V 21.9 (K. Krisciunas & B. E. Schaefer, *PASP* 103 (1991) 1033, eq. 1).
const LN_NL_AT_DARKEST: f32 = 4.081_2;

/// Entries of the table for a magnitude, and of all.
const PER_MAG: f32 = 100.0;
const ENTRIES: usize = ((DARKEST_V - BRIGHTEST_V) * PER_MAG) as usize + 1;

static TABLE: OnceLock<[u8; ENTRIES]> = OnceLock::new();

/// The tone of a surface brightness in nanolamberts: 0 at 21.9 mag/arcsec² and darker, 255 at 12 and
/// brighter.
///
/// A function of the logarithm, never falling: steep between a dark sky and the clouds of the
/// Milky Way, so that they stand out as in an exposed photograph, and even beyond. Under a bright
/// sky the same clouds make a small change of the logarithm, and drown. In steps of 0.01 mag.
pub fn tone(nanolamberts: f32) -> u8 {
    let table =
        TABLE.get_or_init(|| std::array::from_fn(|entry| of_magnitudes(entry as f32 / PER_MAG)));
    let over_mag = MAG_PER_E * (nanolamberts.max(1e-3).ln() - LN_NL_AT_DARKEST);
    // a negative number or NaN counts as 0
    table[((over_mag * PER_MAG) as usize).min(ENTRIES - 1)]
}

/// The tone of a brightness in magnitudes over the darkest.
fn of_magnitudes(over_mag: f32) -> u8 {
    // a power by exp and ln, which the page contains anyway
    let rise = (RISE_POWER * (over_mag / RISE_MAG).ln()).exp();
    let exposed = 1.0 - (-rise).exp();
    let even = over_mag / (DARKEST_V - BRIGHTEST_V);
    (255.0 * (MILKY_WAY_SHARE * exposed + (1.0 - MILKY_WAY_SHARE) * even)).round() as u8
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::SurfaceBrightness;

    fn of(v: f64) -> u8 {
        tone(SurfaceBrightness::from_magnitude(v).nanolamberts() as f32)
    }

    #[test]
    fn never_falls_as_light_grows() {
        let tones: Vec<u8> = (0..2600)
            .map(|step| of(24.0 - f64::from(step) / 200.0))
            .collect();
        assert!(tones.is_sorted());
        assert_eq!((of(21.9), of(12.0)), (0, 255));
        assert_eq!((of(30.0), of(5.0)), (0, 255));
        for (odd, want) in [(f32::NAN, 0), (-1.0, 0), (0.0, 0), (f32::INFINITY, 255)] {
            assert_eq!(tone(odd), want, "{odd}");
        }
    }

    /// Common practice: on a dark night the brightest clouds stand out, and under a full Moon
    /// (18 mag/arcsec²) they are lost.
    #[test]
    fn clouds_stand_out_and_drown() {
        let added = |sky: f64| {
            let clouds = SurfaceBrightness::from_magnitude(21.0);
            let both = SurfaceBrightness::from_magnitude(sky) + clouds;
            tone(both.nanolamberts() as f32) - of(sky)
        };
        assert!(of(21.6) < 30, "{}", of(21.6));
        assert!(added(21.6) > 100, "{}", added(21.6));
        assert!(added(18.0) < 10, "{}", added(18.0));
    }
}
