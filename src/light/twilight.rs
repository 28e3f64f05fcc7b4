//! How bright the sky overhead is while the Sun is not far below the horizon.
//!
//! After sunset the zenith fades until the Sun is 18° down and only the night
//! sky is left. The middle of that way, where night photographs begin, was
//! measured at a very clear site; brighter twilight is not answered here, and
//! the last of it is led into the night sky smoothly.

use super::brightness::Surface;
use crate::angle::Angle;

/// Sun's zenith distance that the fit counts from, degrees: 5° down (Patat et
/// al. 2006).
const START_DEG: f64 = 95.0;
/// Sun's zenith distance at which the fit ends, degrees: 15° down (same).
const END_DEG: f64 = 105.0;
/// Coefficients for V overhead (same, Table 1): mag/arcsec², per degree, per
/// degree².
const A0: f64 = 11.84;
const A1: f64 = 1.518;
const A2: f64 = -0.057;

/// The horizon's distance from the zenith, degrees.
const HORIZON_DEG: f64 = 90.0;
/// How far the Sun is down when the last twilight is gone, degrees: the end of
/// astronomical twilight.
const NIGHT_DEG: f64 = 18.0;
/// How far it is down where the fit ends, degrees.
const FIT_ENDS_DEG: f64 = END_DEG - HORIZON_DEG;

/// The sky overhead with the Sun 5° to 15° below the horizon, without a Moon;
/// `None` outside of that.
///
/// Source: F. Patat, O. S. Ugolnikov & O. V. Postylyakov, *A&A* 455 (2006) 385,
/// Table 1, V. Their spread is 0.18 mag, for very clear air at 2600 m; lower
/// sites are about 30 % brighter.
///
/// ```text
/// Sun 12° down  →  19.67 mag/arcsec²
/// ```
pub fn zenith_twilight(sun_depression: Angle) -> Option<Surface> {
    let zeta = HORIZON_DEG + sun_depression.degrees();
    (START_DEG..=END_DEG)
        .contains(&zeta)
        .then(|| Surface::from_magnitude(fit(zeta)))
}

/// The sky overhead without a Moon, from bright twilight into the night; `dark`
/// is what is left when all twilight is gone.
///
/// With the Sun 5° to 15° down the brighter of twilight and night sky, the two
/// joined smoothly; then twilight fades on as it did at 15°, and has gone for
/// good at 18°. `None` for bright twilight, the Sun less than 5° down, where no
/// answer is known, and for what is not a number. Never fainter than `dark`,
/// and never brighter the deeper the Sun is.
///
/// Source: [`zenith_twilight`]; the join and the end are our own. The
/// measurements hold some night sky already, so the two are not added. Where
/// they are equal the join is 0.19 mag brighter than either, as much as the
/// spread of the fit.
///
/// ```text
/// Sun 12° down, night sky 21.6  →  19.67 mag/arcsec²;  20° down  →  21.6
/// ```
pub fn night_sky(sun_depression: Angle, dark: Surface) -> Option<Surface> {
    let down_deg = sun_depression.degrees();
    let zeta = HORIZON_DEG + down_deg;
    if !(START_DEG..=2.0 * HORIZON_DEG).contains(&zeta) {
        return None;
    }
    if down_deg >= NIGHT_DEG {
        return Some(dark);
    }
    let twilight = if zeta <= END_DEG {
        fit(zeta)
    } else {
        // the parabola turns back at 108°, so it goes on straight
        let slope = A1 + 2.0 * A2 * (END_DEG - START_DEG);
        fit(END_DEG) + slope * (zeta - END_DEG)
    };
    let both = joined(Surface::from_magnitude(twilight), dark);
    let left = fading((down_deg - FIT_ENDS_DEG) / (NIGHT_DEG - FIT_ENDS_DEG));
    let (dark, both) = (dark.nanolamberts(), both.nanolamberts());
    Some(Surface::from_nanolamberts(dark + (both - dark) * left))
}

/// The fit itself, mag/arcsec², at so great a zenith distance of the Sun.
fn fit(zeta: f64) -> f64 {
    A0 + A1 * (zeta - START_DEG) + A2 * (zeta - START_DEG) * (zeta - START_DEG)
}

/// The brighter of two lights, without a corner where they are equal: the
/// fourth root of the sum of fourth powers.
fn joined(one: Surface, other: Surface) -> Surface {
    let (one, other) = (one.nanolamberts(), other.nanolamberts());
    let (most, least) = (one.max(other), one.min(other));
    if most <= 0.0 {
        return Surface::NONE;
    }
    let ratio = least / most;
    let sum = 1.0 + ratio * ratio * ratio * ratio;
    Surface::from_nanolamberts(most * sum.sqrt().sqrt())
}

/// From 1 at 0 down to 0 at 1, level at both ends.
fn fading(way: f64) -> f64 {
    let way = way.clamp(0.0, 1.0);
    1.0 - way * way * (3.0 - 2.0 * way)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::brightness::DARK_ZENITH_V;

    fn v(sky: Option<Surface>) -> f64 {
        sky.and_then(Surface::magnitude).expect("some light")
    }

    fn down(degrees: f64) -> Angle {
        Angle::from_degrees(degrees)
    }

    fn dark() -> Surface {
        Surface::from_magnitude(DARK_ZENITH_V)
    }

    /// Table 1 of the source worked independently.
    const TABLE: [(f64, f64); 6] = [
        // Sun down °, mag/arcsec²
        (5.0, 11.840),
        (6.0, 13.301),
        (8.0, 15.881),
        (10.0, 18.005),
        (12.0, 19.673),
        (15.0, 21.320),
    ];

    #[test]
    fn agrees_with_the_worked_table() {
        for (degrees, want) in TABLE {
            let got = v(zenith_twilight(down(degrees)));
            // half of the last digit given
            assert!((got - want).abs() < 6e-4, "{degrees}°: {got}, want {want}");
        }
    }

    #[test]
    fn nothing_is_claimed_outside_the_fit() {
        for degrees in [
            4.99,
            0.0,
            -30.0,
            15.01,
            18.32,
            90.0,
            f64::NAN,
            f64::INFINITY,
        ] {
            assert_eq!(zenith_twilight(down(degrees)), None, "{degrees}°");
        }
        for degrees in [4.99, 0.0, -30.0, 90.01, f64::NAN, f64::INFINITY] {
            assert_eq!(night_sky(down(degrees), dark()), None, "{degrees}°");
        }
    }

    /// Close to the fit where it is far from the night sky, and nowhere
    /// brighter than both by more than the join's 2.5 log10 2^¼.
    #[test]
    fn the_join_keeps_to_the_brighter() {
        for tenths in 50..=150 {
            let degrees = f64::from(tenths) / 10.0;
            let got = v(night_sky(down(degrees), dark()));
            let brighter = v(zenith_twilight(down(degrees))).min(DARK_ZENITH_V);
            let most = if degrees <= 12.0 { 1e-3 } else { 0.189 };
            let over = brighter - got;
            assert!(
                (-1e-9..=most).contains(&over),
                "{degrees}°: {over} mag over"
            );
        }
    }

    #[test]
    fn fades_steadily_into_the_night() {
        for dark_v in [16.0, 19.0, 21.0, DARK_ZENITH_V, 22.0, 25.0] {
            let dark = Surface::from_magnitude(dark_v);
            let mut before: Option<Surface> = None;
            for hundredths in 500..=2500 {
                let degrees = f64::from(hundredths) / 100.0;
                let got = night_sky(down(degrees), dark).expect("dark enough");
                assert!(got >= dark, "{degrees}°: fainter than {dark_v}");
                if let Some(before) = before {
                    let step = v(Some(got)) - v(Some(before));
                    // twilight fades by 1.52 mag a degree at most; for a sky
                    // darker than any the end is squeezed into three degrees
                    let most = if dark_v > 22.0 { 0.1 } else { 0.016 };
                    assert!((-1e-9..most).contains(&step), "{degrees}°: {step} mag");
                }
                before = Some(got);
            }
            for degrees in [18.0, 20.0, 90.0] {
                assert_eq!(night_sky(down(degrees), dark), Some(dark), "{degrees}°");
            }
        }
    }

    #[test]
    fn a_sky_without_night_light_fades_to_nothing() {
        for hundredths in 500..=2000 {
            let degrees = f64::from(hundredths) / 100.0;
            let got = night_sky(down(degrees), Surface::NONE).expect("dark enough");
            assert!(got.nanolamberts().is_finite(), "{degrees}°");
        }
    }
}
