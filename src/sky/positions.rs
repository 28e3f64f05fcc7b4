//! Geocentric positions of core, Sun and Moon at one moment.
//!
//! The IAU's routines, in the crate `sofars`, give the orbits of Earth and Moon, precession and
//! nutation. Sun and Moon are corrected for light time, the core for aberration. All directions are
//! along the celestial intermediate axes, so that the Earth's rotation is one uniform angle.

use sofars::astro::ab;
use sofars::eph::{moon98, plan94};
use sofars::erst::{era00, gmst00};
use sofars::pnp::pn00b;

use crate::sky::moment::{J2000_JD, Moment};
use crate::sky::subject::Subject;
use crate::vector::Vector;

/// Mean distance of the Moon, km (common value of its orbit's semi-major axis, from memory).
pub const MEAN_LUNAR_DISTANCE_KM: f64 = 384_400.0;

/// The astronomical unit, km; exact by definition (IAU 2012, B2).
pub const AU_KM: f64 = 149_597_870.7;

/// Light's time for an astronomical unit, days (499.004 784 s).
const LIGHT_DAYS_PER_AU: f64 = 499.004_784 / 86_400.0;

/// Mass of the Earth over that of the Moon (IAU 2009 system: 1/0.012 300 0371).
const EARTH_OVER_MOON: f64 = 81.300_568;

/// The routine's number for the Earth–Moon barycentre.
const EARTH_MOON_BARYCENTRE: i32 = 3;

/// Directions at one moment along the celestial intermediate axes: the third to the celestial
/// intermediate pole, the first to the origin of the Earth rotation angle.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolarSystemPositions {
    /// The core; a unit vector.
    pub core: Vector,
    /// The Sun, geocentric, au.
    pub sun: Vector,
    /// The Moon, geocentric, au.
    pub moon: Vector,
}

impl SolarSystemPositions {
    /// The positions at a moment.
    ///
    /// Measured against a numerical ephemeris (`tests/sky.rs`): the core to
    /// 0.1″, the Sun to 7″, the Moon to 6″, from 2024 to 2040.
    pub fn at(moment: Moment) -> Self {
        let axes = Axes::at(moment);
        let moon = moon_at(moment);
        let (sun, core) = sun_and_star_at(moment, moon, Subject::Core.direction());
        Self {
            core: axes.turn(core),
            sun: axes.turn(sun),
            moon: axes.turn(moon),
        }
    }
}

/// An ICRS direction along the axes of [`SolarSystemPositions`], without annual aberration (up to
/// 21″).
pub fn of_date(direction: Vector, moment: Moment) -> Vector {
    Axes::at(moment).turn(direction)
}

/// The Moon in ICRS, au, corrected for light time.
pub(super) fn moon_at(moment: Moment) -> Vector {
    let [place, motion] = moon98(J2000_JD, moment.tt_days()).map(vector);
    // within the second of light time the Moon's motion is linear
    let light_days = place.length() * LIGHT_DAYS_PER_AU;
    place.plus(motion.times(-light_days))
}

/// The Sun in ICRS, au, corrected for light time, and an ICRS direction among the stars with
/// aberration. The Moon's position gives the Earth's offset from the barycentre.
pub(super) fn sun_and_star_at(moment: Moment, moon: Vector, star: Vector) -> (Vector, Vector) {
    let [middle, motion] = earth_moon_barycentre(moment);
    let earth = middle.plus(moon.times(-1.0 / (1.0 + EARTH_OVER_MOON)));
    let distance = earth.length();
    let light_days = distance * LIGHT_DAYS_PER_AU;
    let sun = earth.plus(motion.times(-light_days)).times(-1.0);

    let speed = motion.times(LIGHT_DAYS_PER_AU);
    let slowing = (1.0 - speed.dot(speed)).sqrt();
    (
        sun,
        vector(ab(&array(star), &array(speed), distance, slowing)),
    )
}

/// The Earth–Moon barycentre, au from the Sun, and its velocity, au a day.
fn earth_moon_barycentre(moment: Moment) -> [Vector; 2] {
    let state = plan94(J2000_JD, moment.tt_days(), EARTH_MOON_BARYCENTRE);
    // it fails only for a planet that is not in its list
    let state = state.map_or([[1.0, 0.0, 0.0], [0.0; 3]], |(state, _)| state);
    state.map(vector)
}

/// The Earth's velocity in ICRS over the speed of light. The motion about the Earth–Moon barycentre
/// and the Sun's own motion, neglected, add 0.01″ each to aberration.
pub(super) fn earth_velocity(moment: Moment) -> Vector {
    let [_, motion] = earth_moon_barycentre(moment);
    motion.times(LIGHT_DAYS_PER_AU)
}

/// The celestial intermediate axes at a moment, in ICRS.
pub(super) struct Axes(pub(super) [Vector; 3]);

impl Axes {
    /// True equator and equinox (IAU 2000B), rotated about the pole so that the first axis points
    /// to the origin of the Earth rotation angle.
    pub(super) fn at(moment: Moment) -> Self {
        let days = moment.tt_days();
        let (dpsi, _, obliquity, _, _, _, _, to_true) = pn00b(J2000_JD, days);
        let mean = gmst00(J2000_JD, moment.days(), J2000_JD, days);
        let rotation = era00(J2000_JD, moment.days());
        let (sin, cos) = (mean - rotation + dpsi * obliquity.cos()).sin_cos();
        let [equinox, east, pole] = to_true.map(vector);
        Self([
            equinox.times(cos).plus(east.times(sin)),
            east.times(cos).plus(equinox.times(-sin)),
            pole,
        ])
    }

    /// A direction's components along these axes.
    pub(super) fn turn(&self, v: Vector) -> Vector {
        let [x, y, z] = self.0.map(|axis| axis.dot(v));
        Vector::new(x, y, z)
    }
}

fn vector([x, y, z]: [f64; 3]) -> Vector {
    Vector::new(x, y, z)
}

fn array(v: Vector) -> [f64; 3] {
    [v.x, v.y, v.z]
}
