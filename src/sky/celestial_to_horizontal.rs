//! Directions among the stars to east, north, up, for one site and moment.
//!
//! At one moment a catalogue direction becomes east, north, up by a rotation and by aberration, a
//! small shift along the observer's velocity. Both are computed once; each star then costs a few
//! products, so that thousands can be drawn.

use std::f64::consts::TAU;

use crate::angle::Angle;
use crate::sky::altitude::{Air, TrueAltitude};
use crate::sky::moment::Moment;
use crate::sky::observer::{EQUATOR_OVER_LIGHT, Horizontal, Observer};
use crate::sky::positions::{Axes, earth_velocity};
use crate::vector::Vector;

/// The transformation for a site at a moment.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CelestialToHorizontal {
    /// The output axes in ICRS: east, north, up unless set otherwise.
    axes: [Vector; 3],
    /// The site's velocity in ICRS over the speed of light.
    speed: Vector,
}

impl Observer {
    /// The transformation at a moment.
    pub fn celestial_to_horizontal(&self, moment: Moment) -> CelestialToHorizontal {
        let (sin, cos) = self.rotation(moment);
        let (cos_latitude, sin_latitude) = self.cos_sin;
        let Axes([first, second, pole]) = Axes::at(moment);
        let outward = first.times(cos).plus(second.times(sin));
        let east = second.times(cos).plus(first.times(-sin));
        let ahead = EQUATOR_OVER_LIGHT * cos_latitude;
        CelestialToHorizontal {
            axes: [
                east,
                pole.times(cos_latitude).plus(outward.times(-sin_latitude)),
                outward.times(cos_latitude).plus(pole.times(sin_latitude)),
            ],
            speed: earth_velocity(moment).plus(east.times(ahead)),
        }
    }

    /// Altitude and bearing of a star, from its ICRS unit vector. Accurate as
    /// [`CelestialToHorizontal::apply`].
    pub fn star_horizontal(&self, direction: Vector, moment: Moment) -> Horizontal {
        horizontal(self.celestial_to_horizontal(moment).apply(direction))
    }
}

impl CelestialToHorizontal {
    /// A star's direction in east, north, up, without refraction, from its ICRS unit vector. A unit
    /// vector again, to 1e-8.
    ///
    /// Precession and nutation (IAU 2000B), Earth rotation, and aberration by the motion of Earth
    /// and site, to the first order, which leaves 0.002″. Neglected are the star's parallax (0.8″
    /// for the nearest), light deflection by the Sun (0.02″ at 20° from it) and polar motion
    /// (0.3″).
    ///
    /// Measured against an independent library (`tests/frame_stars.rs`).
    ///
    /// ```
    /// use tarnlight::{angle::Angle, vector::Vector};
    /// use tarnlight::sky::{moment::Moment, observer::{GeoPosition, Observer}};
    /// let (latitude, longitude) = (Angle::from_degrees(46.5), Angle::from_degrees(9.9));
    /// let site = GeoPosition { latitude, longitude, height_m: 0.0 };
    /// let sky = Observer::at(site).celestial_to_horizontal(Moment::from_days(10_000.0));
    /// let near_the_pole = sky.apply(Vector::new(0.0, 0.0, 1.0));
    /// assert!((near_the_pole.z - latitude.sin()).abs() < 0.004);
    /// ```
    pub fn apply(&self, direction: Vector) -> Vector {
        let pushed = direction.times(1.0 - self.speed.dot(direction));
        let pushed = pushed.plus(self.speed);
        let [x, y, z] = self.axes.map(|axis| axis.dot(pushed));
        Vector::new(x, y, z)
    }

    /// The same onto other axes, such as a camera's, each given in east, north, up: one rotation
    /// instead of two for each star.
    pub fn with_axes(&self, axes: [Vector; 3]) -> Self {
        let [east, north, up] = self.axes;
        let to_icrs = |axis: Vector| {
            let level = east.times(axis.x).plus(north.times(axis.y));
            level.plus(up.times(axis.z))
        };
        Self {
            axes: axes.map(to_icrs),
            speed: self.speed,
        }
    }
}

/// Altitude and bearing of a direction in east, north, up; at the distance of a star.
pub fn horizontal(direction: Vector) -> Horizontal {
    let Vector { x, y, z } = direction;
    let bearing = x.atan2(y).rem_euclid(TAU);
    Horizontal {
        altitude: TrueAltitude(Angle::from_radians(z.atan2(x.hypot(y)))),
        // an angle just below zero would round to a whole turn
        bearing: Angle::from_radians(if bearing < TAU { bearing } else { 0.0 }),
        distance_au: 1.0,
    }
}

/// A direction in east, north, up with refraction: raised by [`Air::refraction`] at the same
/// bearing. Zenith and nadir do not change.
pub fn refract(air: Air, direction: Vector) -> Vector {
    let level = direction.x.hypot(direction.y);
    let altitude = Angle::from_radians(direction.z.atan2(level));
    let (sin, cos) = air.refraction(TrueAltitude(altitude)).radians().sin_cos();
    let shrunk = cos - direction.z * sin / level;
    // at zenith and nadir there is no bearing
    if level > 1e-12 && shrunk > 0.0 {
        let raised = direction.z * cos + level * sin;
        Vector::new(direction.x * shrunk, direction.y * shrunk, raised)
    } else {
        direction
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::galactic_core::{CORE_DECLINATION, CORE_RIGHT_ASCENSION};
    use crate::sky::observer::GeoPosition;
    use crate::sky::positions::SolarSystemPositions;

    fn observer(latitude_deg: f64) -> Observer {
        Observer::with_dut1(
            GeoPosition {
                latitude: Angle::from_degrees(latitude_deg),
                longitude: Angle::from_degrees(-17.3),
                height_m: 500.0,
            },
            0.12,
        )
    }

    /// Against the positions of the almanac, which are compared with a numerical ephemeris (`tests/sky.rs`).
    #[test]
    fn finds_the_core_where_the_almanac_does() {
        let core = Vector::from_spherical(CORE_RIGHT_ASCENSION, CORE_DECLINATION);
        for latitude in [-90.0, -33.0, 0.0, 46.5, 78.2] {
            for days in [-15_000.3, 0.0, 9_876.543, 36_000.8] {
                let (observer, moment) = (observer(latitude), Moment::from_days(days));
                let got = observer.star_horizontal(core, moment);
                let want = SolarSystemPositions::at(moment).core;
                let want = observer.topocentric_direction(want, moment).horizontal();
                let miss = got.angle_to(want).degrees() * 3600.0;
                assert!(miss < 0.003, "{latitude}°, {days}: {miss}″");
            }
        }
    }

    #[test]
    fn other_axes_show_the_same_sky() {
        let sky = observer(46.5).celestial_to_horizontal(Moment::from_days(9_000.4));
        let star = Vector::from_spherical(Angle::from_degrees(77.0), Angle::from_degrees(-8.0));
        let [x, y, z] = [
            Vector::new(0.0, 0.6, 0.8),
            Vector::new(1.0, 0.0, 0.0),
            Vector::new(0.0, 0.8, -0.6),
        ];
        let (plain, got) = (sky.apply(star), sky.with_axes([x, y, z]).apply(star));
        for (got, axis) in [(got.x, x), (got.y, y), (got.z, z)] {
            assert!((got - plain.dot(axis)).abs() < 1e-14, "{got}");
        }
    }

    /// Refraction of the vector and of the angle agree at every altitude.
    #[test]
    fn air_lifts_a_direction_as_it_lifts_an_angle() {
        for altitude in [-89.9, -30.0, -0.4, 0.0, 0.3, 7.0, 45.0, 89.0, 89.95, 90.0] {
            for air in [Air::STANDARD, Air::at_height(3000.0)] {
                let (truth, bearing) = (Angle::from_degrees(altitude), Angle::from_degrees(303.0));
                // bearings run from north to east, the vector's angle from east to north
                let turn = Angle::from_degrees(90.0 - bearing.degrees());
                let got = horizontal(refract(air, Vector::from_spherical(turn, truth)));
                let want = air.to_apparent(TrueAltitude(truth)).0.degrees();
                let miss = (got.altitude.0.degrees() - want).abs();
                assert!(miss < 1e-9, "{altitude}°: {got:?}, want {want}°");
                let turned = (got.bearing.degrees() - bearing.degrees()).abs();
                assert!(turned < 1e-9 || altitude == 90.0, "{got:?}");
            }
        }
        let down = Vector::new(0.0, 0.0, -1.0);
        assert_eq!(refract(Air::STANDARD, down), down);
    }
}
