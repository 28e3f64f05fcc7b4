//! Where core, Sun and Moon stand among the stars at one moment.
//!
//! The routines of the IAU, in the crate `sofars`, give the Earth's path, the
//! Moon's and the slow turning of the Earth's axis. Sun and Moon are shown
//! where they were when their light left; the core is displaced by the Earth's
//! motion. All directions are given along axes that turn with nothing but the
//! Earth's axis, so that the Earth's rotation is one even angle.

use sofars::astro::ab;
use sofars::eph::{moon98, plan94};
use sofars::erst::{era00, gmst00};
use sofars::pnp::pn00b;

use crate::sky::core::{CORE_DECLINATION, CORE_RIGHT_ASCENSION};
use crate::sky::moment::{J2000_JD, Moment};
use crate::vector::Vector;

/// The astronomical unit, km; exact by definition (IAU 2012, B2).
pub const AU_KM: f64 = 149_597_870.7;

/// Light's time for an astronomical unit, days (499.004 784 s).
const LIGHT_DAYS_PER_AU: f64 = 499.004_784 / 86_400.0;

/// Mass of the Earth over that of the Moon (IAU 2009 system: 1/0.012 300 0371).
const EARTH_OVER_MOON: f64 = 81.300_568;

/// The number under which the routine knows the point that Earth and Moon
/// swing about.
const EARTH_MOON_BARYCENTRE: i32 = 3;

/// Directions at one moment along the axes of the intermediate system: the
/// third to the Earth's pole, the first to the origin from which the Earth's
/// rotation angle counts.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SolarSystemPositions {
    /// The core; a unit vector.
    pub core: Vector,
    /// The Sun, au from the Earth's middle.
    pub sun: Vector,
    /// The Moon, au from the Earth's middle.
    pub moon: Vector,
}

impl SolarSystemPositions {
    /// The places at a moment.
    ///
    /// Measured against a numerical ephemeris (`tests/sky.rs`): the core to
    /// 0.1″, the Sun to 7″, the Moon to 6″, from 2024 to 2040.
    pub fn at(moment: Moment) -> Self {
        let axes = Axes::at(moment);
        let moon = moon_at(moment);
        let (sun, core) = sun_and_core_at(moment, moon);
        Self {
            core: axes.turn(core),
            sun: axes.turn(sun),
            moon: axes.turn(moon),
        }
    }
}

/// A direction among the fixed stars (ICRS) along the axes of [`SolarSystemPositions`], without the up to 21″ by
/// which the Earth's motion displaces a star.
pub fn of_date(direction: Vector, moment: Moment) -> Vector {
    Axes::at(moment).turn(direction)
}

/// The Moon among the fixed stars, au, where it was when its light left.
pub(super) fn moon_at(moment: Moment) -> Vector {
    let [place, motion] = moon98(J2000_JD, moment.terrestrial_days()).map(vector);
    // in the second its light takes the Moon goes straight on
    let light_days = place.length() * LIGHT_DAYS_PER_AU;
    place.plus(motion.times(-light_days))
}

/// The Sun among the fixed stars, au, where it was when its light left, and
/// the direction in which the moving Earth sees the core. The Moon's place is
/// wanted for the Earth's swing about their common middle.
pub(super) fn sun_and_core_at(moment: Moment, moon: Vector) -> (Vector, Vector) {
    let [middle, motion] = earth_moon_middle(moment);
    let earth = middle.plus(moon.times(-1.0 / (1.0 + EARTH_OVER_MOON)));
    let distance = earth.length();
    let light_days = distance * LIGHT_DAYS_PER_AU;
    let sun = earth.plus(motion.times(-light_days)).times(-1.0);

    let core = Vector::towards(CORE_RIGHT_ASCENSION, CORE_DECLINATION);
    let speed = motion.times(LIGHT_DAYS_PER_AU);
    let slowing = (1.0 - speed.dot(speed)).sqrt();
    (
        sun,
        vector(ab(&array(core), &array(speed), distance, slowing)),
    )
}

/// The point that Earth and Moon swing about, au from the Sun, and its motion,
/// au a day.
fn earth_moon_middle(moment: Moment) -> [Vector; 2] {
    let state = plan94(J2000_JD, moment.terrestrial_days(), EARTH_MOON_BARYCENTRE);
    // it fails for a planet that is not in its list alone
    let state = state.map_or([[1.0, 0.0, 0.0], [0.0; 3]], |(state, _)| state);
    state.map(vector)
}

/// The Earth's speed among the fixed stars over that of light. The swing about
/// the Moon and the Sun's own motion, left out, add 0.01″ each to aberration.
pub(super) fn earth_speed(moment: Moment) -> Vector {
    let [_, motion] = earth_moon_middle(moment);
    motion.times(LIGHT_DAYS_PER_AU)
}

/// The Earth's axes at a moment, each by its components among the fixed stars.
pub(super) struct Axes(pub(super) [Vector; 3]);

impl Axes {
    /// True equator and equinox (IAU 2000B), turned about the pole so that the
    /// first axis points to where the rotation angle counts from.
    pub(super) fn at(moment: Moment) -> Self {
        let days = moment.terrestrial_days();
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

    /// A direction along these axes.
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
