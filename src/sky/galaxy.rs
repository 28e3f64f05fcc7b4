//! The Milky Way: galactic coordinates, its surface brightness, and dots to draw it with.
//!
//! Galactic longitude runs along the Milky Way from the core, galactic latitude away from it.

use std::f64::consts::TAU;

use crate::angle::Angle;
use crate::sky::milky_way as map;
use crate::unit_hash::unit_hash;
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

/// Brightness of the Milky Way at a galactic longitude and latitude, relative to its maximum: 0.03
/// to 1.
///
/// From the map of [`map`]: dust and counts of stars in cells of 0.75° about the band, coarser
/// towards the poles; no single nebula, no Magellanic Cloud. `tests/galaxy.rs` compares it with counts
/// of stars to G 10.0, which the map is partly made from: over 384 cells the ranks correlate by 0.97;
/// away from the bulge the ratio of glow to counts stays within a factor 2 of its median. Such
/// stars are near ones: bulge and far clouds are not confirmed by them.
pub fn milky_way(longitude: Angle, latitude: Angle) -> f64 {
    map::at(longitude, latitude)
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
/// Points of a cube by a hash of their number, kept where the third is under the glow;
/// low-discrepancy sequences show as rows of dots.
pub fn stipple(count: usize) -> Vec<Dot> {
    let count = count.min(MOST_DOTS);
    let mut dots = Vec::with_capacity(count);
    for step in 1..=count * TRIES_A_DOT {
        if dots.len() == count {
            break;
        }
        let part = |which: u64| unit_hash(3 * step as u64 + which);
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
    /// *Astrophysical Quantities*, from memory): poles 1/21 of the brightest, the band away from the
    /// core a quarter of it. Its gap between Perseus and Auriga is fainter.
    #[test]
    fn band_and_poles_are_as_bright_as_handbooks_say() {
        let along = |longitude: i32| {
            let at = |latitude: i32| glow(longitude.into(), f64::from(latitude) / 4.0);
            (-80..=80).map(at).fold(0.0, f64::max)
        };
        let brightest = (0..360).map(along).fold(0.0, f64::max);
        assert!((0.95..=1.0).contains(&brightest), "{brightest}");
        let away = (170..=190).map(along).sum::<f64>() / 21.0;
        assert!((0.18..0.3).contains(&away), "{away}");
        let faintest = (0..360).map(along).fold(1.0, f64::min);
        assert!((0.1..0.25).contains(&faintest), "{faintest}");
        for pole in [-90.0, 90.0] {
            let got = glow(0.0, pole);
            assert!((0.03..0.08).contains(&got), "{pole}: {got}");
        }
    }

    /// Common knowledge: the rift divides the band from Cygnus to the Eagle, and lies north of the
    /// core.
    #[test]
    fn the_rift_parts_the_band() {
        for (longitude, south, dark, north) in [(30.0, -3.0, 5.0, 11.0), (60.0, -4.0, 1.0, 7.0)] {
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
