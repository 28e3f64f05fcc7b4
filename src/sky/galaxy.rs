//! The Milky Way: galactic coordinates, and a model of its surface brightness.
//!
//! Galactic longitude runs along the Milky Way from the core, galactic latitude away from it.
//! [`milky_way`] is a smooth model of the glow for drawing the band through the lens: its shape is
//! meant to be right, not its photometry.

use std::f64::consts::TAU;

use crate::angle::Angle;
use crate::vector::Vector;

/// The galactic axes in ICRS: to the core, to longitude 90°, to the galactic north pole.
///
/// The pole is at right ascension 192.85948°, declination +27.12825°; the ascending node of the
/// galactic equator on the ICRS equator is at longitude 32.93192°. Source: *The Hipparcos and Tycho
/// Catalogues*, ESA SP-1200 (1997), vol. 1, 1.5.3; digits as in the IAU's routine `icrs2g`.
pub const GALACTIC_AXES: [Vector; 3] = [
    Vector::new(
        -0.054_875_560_416_215_37,
        -0.873_437_090_234_885,
        -0.483_835_015_548_713_2,
    ),
    Vector::new(
        0.494_109_427_875_583_65,
        -0.444_829_629_960_011_2,
        0.746_982_244_497_219,
    ),
    Vector::new(
        -0.867_666_149_019_004_7,
        -0.198_076_373_431_201_52,
        0.455_983_776_175_066_9,
    ),
];

/// Galactic longitude, 0 to under 360°, and latitude of an ICRS direction.
///
/// ```text
/// the core's direction  →  359.944°, −0.046°
/// ```
pub fn to_galactic(direction: Vector) -> (Angle, Angle) {
    let [x, y, z] = GALACTIC_AXES.map(|axis| axis.dot(direction));
    let longitude = y.atan2(x).rem_euclid(TAU);
    (
        // an angle just below zero would round to a whole turn
        Angle::from_radians(if longitude < TAU { longitude } else { 0.0 }),
        Angle::from_radians(z.atan2(x.hypot(y))),
    )
}

/// The ICRS unit vector at a galactic longitude and latitude.
pub fn from_galactic(longitude: Angle, latitude: Angle) -> Vector {
    to_icrs(Vector::from_spherical(longitude, latitude))
}

/// From galactic to ICRS components.
fn to_icrs(galactic: Vector) -> Vector {
    let [core, ahead, pole] = GALACTIC_AXES;
    let in_the_plane = core.times(galactic.x).plus(ahead.times(galactic.y));
    in_the_plane.plus(pole.times(galactic.z))
}

/// A Gaussian of light or of dust.
struct Gaussian {
    /// At the centre: light in units of the galactic poles', or the fraction of light that dust
    /// absorbs.
    strength: f64,
    /// Longitude and latitude of the centre, degrees.
    middle_deg: (f64, f64),
    /// Distances to 1/e along longitude and latitude, degrees.
    reach_deg: (f64, f64),
}

const fn gaussian(strength: f64, middle_deg: (f64, f64), reach_deg: (f64, f64)) -> Gaussian {
    Gaussian {
        strength,
        middle_deg,
        reach_deg,
    }
}

/// Light in addition to the smooth disc.
const LIGHT: [Gaussian; 5] = [
    gaussian(9.0, (0.0, -2.5), (15.0, 8.0)), // the bulge about the core
    gaussian(4.0, (27.0, -3.0), (6.0, 4.0)), // the cloud in Scutum
    gaussian(3.5, (75.0, 1.0), (10.0, 5.0)), // the clouds of Cygnus
    gaussian(5.0, (-70.0, -0.5), (14.0, 4.0)), // Carina to Crux
    gaussian(3.0, (-27.0, -2.0), (12.0, 5.0)), // Norma
];

/// Dust in front of it, besides the rift.
const DUST: [Gaussian; 3] = [
    gaussian(0.45, (170.0, -9.0), (25.0, 10.0)), // Taurus and Auriga
    gaussian(0.35, (128.0, 6.0), (32.0, 9.0)),   // Cepheus and Cassiopeia
    gaussian(0.5, (-57.0, -0.5), (4.0, 4.0)),    // the dark patch beside Crux
];

/// The disc's light towards the plane over that towards the poles is one over this: a
/// plane-parallel layer would have no limit.
const DISC_CLOSING: f64 = 0.13;

/// Relative brightening of the disc towards the core, and dimming away from it.
const DISC_TOWARDS_CORE: f64 = 0.3;

/// Sun and Earth lie north of the disc's middle, so it appears south of the equator, degrees.
const DISC_LATITUDE_DEG: f64 = -1.0;

/// The dark rift from Cygnus past the core: the fraction of light it absorbs,
const RIFT_TAKES: f64 = 0.6;
/// the longitude of its middle and its extent to either side, degrees,
const RIFT_LONGITUDE_DEG: f64 = 33.0;
const RIFT_REACH_DEG: f64 = 52.0;
/// the longitude where it is nearest to the equator, at this latitude and with this half width,
/// degrees,
const RIFT_LOW_LONGITUDE_DEG: f64 = 60.0;
const RIFT_LATITUDE_DEG: f64 = 1.0;
const RIFT_WIDTH_DEG: f64 = 2.5;
/// and by how much it is higher and wider at the core's longitude, degrees; both grow with the
/// square of the distance from there.
const RIFT_HIGHER_DEG: f64 = 8.0;
const RIFT_WIDER_DEG: f64 = 4.5;

/// Maximum brightness in units of the poles', a few degrees below the core.
const BRIGHTEST: f64 = 18.18;

/// Brightness of the Milky Way at a galactic longitude and latitude, relative to its maximum: 0 to
/// 1, about 0.05 at its poles.
///
/// A smooth model made for this: a disc by the cosecant law, a bulge, four bright clouds, and dust
/// in front of them, mainly the rift that divides the band from Cygnus to the core. No structure
/// below some degrees, no single nebula, no Magellanic Cloud.
///
/// Disc, rift and dust were fitted to counts of stars to G 10.0, and `tests/galaxy.rs` compares the
/// model with them: over 384 cells the ranks correlate by 0.94; away from the bulge the ratio of
/// glow to counts stays within a factor 2 of its median. Such stars are near ones: bulge and far
/// clouds are not confirmed by them, but follow their usual appearance.
///
/// ```text
/// longitude 0°, latitude −2.5°  →  1.00
/// longitude 180°, latitude −1°  →  0.23
/// ```
pub fn milky_way(longitude: Angle, latitude: Angle) -> f64 {
    let (longitude, latitude) = (longitude.degrees(), latitude.degrees());
    let above = Angle::from_degrees(latitude - DISC_LATITUDE_DEG).sin();
    let towards = 1.0 + DISC_TOWARDS_CORE * Angle::from_degrees(longitude).cos();
    let mut light = towards / (above * above + DISC_CLOSING * DISC_CLOSING).sqrt();
    for round in &LIGHT {
        light += round.at(longitude, latitude);
    }
    for round in &DUST {
        light *= 1.0 - round.at(longitude, latitude);
    }
    light * (1.0 - rift(longitude, latitude)) / BRIGHTEST
}

impl Gaussian {
    fn at(&self, longitude: f64, latitude: f64) -> f64 {
        let along = wrapped_difference(longitude, self.middle_deg.0) / self.reach_deg.0;
        let across = (latitude - self.middle_deg.1) / self.reach_deg.1;
        self.strength * bell(along * along + across * across)
    }
}

/// The fraction of light that the rift absorbs.
fn rift(longitude: f64, latitude: f64) -> f64 {
    let along = wrapped_difference(longitude, RIFT_LONGITUDE_DEG) / RIFT_REACH_DEG;
    let ends = along * along;
    let off = wrapped_difference(longitude, RIFT_LOW_LONGITUDE_DEG) / RIFT_LOW_LONGITUDE_DEG;
    let middle = RIFT_LATITUDE_DEG + RIFT_HIGHER_DEG * off * off;
    let across = (latitude - middle) / (RIFT_WIDTH_DEG + RIFT_WIDER_DEG * off * off);
    RIFT_TAKES * bell(ends * ends + across * across)
}

/// The difference of two longitudes, −180° to 180°.
fn wrapped_difference(longitude: f64, from: f64) -> f64 {
    (longitude - from + 180.0).rem_euclid(360.0) - 180.0
}

/// exp(−x), or 0 where that is under a millionth: most points are far from most Gaussians.
fn bell(x: f64) -> f64 {
    if x < 14.0 { (-x).exp() } else { 0.0 }
}

/// A dot with which the Milky Way is drawn.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Dot {
    /// Its ICRS unit vector.
    pub direction: Vector,
    /// It is drawn while the veil is below this, in units of the Milky Way's maximum: 0 to 1.
    pub veil_limit: f64,
}

/// Below this glow there are no dots: the background away from the Milky Way.
const BARE: f64 = 0.08;

/// Maximum number of dots, and of tries for each.
const MOST_DOTS: usize = 50_000;
const TRIES_A_DOT: usize = 40;

/// `count` dots over the whole sky, with the density of the Milky Way's glow.
///
/// The density of those that show under a veil is that of the glow above the veil and above 0.08.
/// Deterministic on every machine, up to rounding at a dot's threshold. At most 50 000. Takes some
/// milliseconds; call once.
///
/// Source: points of a cube by a hash of their number (S. Vigna's finisher of SplitMix64, public
/// domain, from memory), kept where the third is under the glow; low-discrepancy sequences show as
/// rows of dots.
pub fn stipple(count: usize) -> Vec<Dot> {
    let count = count.min(MOST_DOTS);
    let mut dots = Vec::with_capacity(count);
    for step in 1..=count * TRIES_A_DOT {
        if dots.len() == count {
            break;
        }
        let part = |which: u64| share(3 * step as u64 + which);
        let longitude = Angle::from_degrees(360.0 * part(0));
        let height = 2.0 * part(1) - 1.0;
        let level = (1.0 - height * height).sqrt();
        let latitude = Angle::from_radians(height.atan2(level));
        let chance = BARE + (1.0 - BARE) * part(2);
        let veil_limit = milky_way(longitude, latitude) - chance;
        if veil_limit > 0.0 {
            dots.push(Dot {
                direction: from_galactic(longitude, latitude),
                veil_limit,
            });
        }
    }
    dots
}

/// A pseudo-random number from 0 to 1, a function of `number`.
fn share(number: u64) -> f64 {
    let mut mixed = number.wrapping_mul(0x9e37_79b9_7f4a_7c15);
    mixed = (mixed ^ (mixed >> 30)).wrapping_mul(0xbf58_476d_1ce4_e5b9);
    mixed = (mixed ^ (mixed >> 27)).wrapping_mul(0x94d0_49bb_1331_11eb);
    // 53 bits are all a double holds
    ((mixed ^ (mixed >> 31)) >> 11) as f64 / (1_u64 << 53) as f64
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::galactic_core::{CORE_DECLINATION, CORE_RIGHT_ASCENSION};

    fn glow(longitude_deg: f64, latitude_deg: f64) -> f64 {
        milky_way(
            Angle::from_degrees(longitude_deg),
            Angle::from_degrees(latitude_deg),
        )
    }

    /// The IAU's routine, all over the sky, and its test value
    /// (5.5850536063818546461558, −0.7853981633974483096157) rad from
    /// (5.9338074302227188048671, −1.1784870613579944551541) (ERFA, `t_icrs2g`).
    #[test]
    fn agrees_with_the_routine() {
        for right_ascension in [0.0, 0.7, 2.0, 3.5, 5.1, 5.933_807_430_222_719] {
            for declination in [-1.57, -1.178_487_061_357_994_5, -0.3, 0.0, 1.1] {
                let (longitude, latitude) = sofars::coords::icrs2g(right_ascension, declination);
                let direction = Vector::from_spherical(
                    Angle::from_radians(right_ascension),
                    Angle::from_radians(declination),
                );
                let got = to_galactic(direction);
                let miss = [got.0.radians() - longitude, got.1.radians() - latitude];
                assert!(miss.iter().all(|miss| miss.abs() < 1e-12), "{miss:?}");
                let back = from_galactic(got.0, got.1).angle_to(direction);
                assert!(back.radians() < 1e-14, "{back:?}");
            }
        }
        let published = sofars::coords::icrs2g(5.933_807_430_222_719, -1.178_487_061_357_994_5);
        assert!((published.0 - 5.585_053_606_381_855).abs() < 1e-14);
        assert!((published.1 + std::f64::consts::FRAC_PI_4).abs() < 1e-14);
    }

    /// Sagittarius A* is at longitude 359.944°, latitude −0.046° (M. J. Reid & A. Brunthaler, *ApJ*
    /// 616 (2004) 872).
    #[test]
    fn the_core_is_nearly_where_longitude_begins() {
        let core = Vector::from_spherical(CORE_RIGHT_ASCENSION, CORE_DECLINATION);
        let (longitude, latitude) = to_galactic(core);
        assert!(
            (longitude.degrees() - 359.944).abs() < 1e-3,
            "{longitude:?}"
        );
        assert!((latitude.degrees() + 0.046).abs() < 1e-3, "{latitude:?}");
    }

    /// Starlight from the poles is about 30 stars of the tenth magnitude a square
    /// degree, along the equator 160 to 640 (after C. W. Allen's
    /// *Astrophysical Quantities*, from memory): poles 1/21 of the brightest, the
    /// faintest part of the band a quarter of it.
    #[test]
    fn band_and_poles_are_as_bright_as_handbooks_say() {
        let mut brightest = 0.0_f64;
        let mut faintest = 1.0_f64;
        for longitude in 0..360 {
            let along = |latitude: i32| glow(longitude.into(), f64::from(latitude) / 4.0);
            let here = (-80..=80).map(along).fold(0.0, f64::max);
            brightest = brightest.max(here);
            faintest = faintest.min(here);
        }
        assert!((brightest - 1.0).abs() < 2e-3, "{brightest}");
        assert!((0.18..0.3).contains(&faintest), "{faintest}");
        for pole in [-90.0, 90.0] {
            let got = glow(0.0, pole);
            assert!((0.03..0.08).contains(&got), "{pole}: {got}");
        }
    }

    /// Common knowledge: the rift divides the band from Cygnus to the Eagle, and lies north of the
    /// core.
    #[test]
    fn the_rift_parts_the_band() {
        for (longitude, south, dark, north) in [(30.0, -3.0, 3.0, 11.0), (60.0, -4.0, 1.0, 5.0)] {
            let [south, dark, north] = [south, dark, north].map(|at| glow(longitude, at));
            assert!(dark < 0.8 * south && dark < 0.9 * north, "at {longitude}");
        }
        assert!(glow(0.0, 8.0) < 0.5 * glow(0.0, -8.0));
    }

    #[test]
    fn dots_lie_as_the_glow_does() {
        let dots = stipple(3000);
        assert_eq!(dots.len(), 3000);
        assert_eq!(dots, stipple(3000));
        assert_eq!(stipple(0), []);
        assert!(stipple(usize::MAX).len() <= MOST_DOTS);
        // the fraction of what shows under a veil within 30° of the core, by counting dots and by
        // integrating the glow
        for veil in [0.0, 0.1, 0.3] {
            let (mut near, mut all) = (0_u32, 0_u32);
            for dot in dots.iter().filter(|dot| dot.veil_limit > veil) {
                assert!((dot.direction.length() - 1.0).abs() < 1e-12);
                all += 1;
                near +=
                    u32::from(dot.direction.dot(GALACTIC_AXES[0]) > 30.0_f64.to_radians().cos());
            }
            let (mut glow_near, mut glow_all) = (0.0, 0.0);
            for latitude in -89..=89 {
                let latitude = Angle::from_degrees(f64::from(latitude));
                for longitude in 0..360 {
                    let longitude = Angle::from_degrees(f64::from(longitude));
                    let light = milky_way(longitude, latitude) - BARE - veil;
                    let light = light.max(0.0) * latitude.cos();
                    glow_all += light;
                    if latitude.cos() * longitude.cos() > 30.0_f64.to_radians().cos() {
                        glow_near += light;
                    }
                }
            }
            let (got, want) = (f64::from(near) / f64::from(all), glow_near / glow_all);
            // two standard deviations
            let chance = 2.0 * (want * (1.0 - want) / f64::from(all)).sqrt();
            assert!(
                all > 100 && (got - want).abs() < chance,
                "veil {veil}: {got}, want {want}"
            );
        }
    }
}
