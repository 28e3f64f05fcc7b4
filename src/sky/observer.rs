//! Directions of bodies from a site.
//!
//! Diurnal parallax displaces the Moon by up to a degree and the Sun by nine arcseconds; diurnal
//! aberration displaces all bodies by a third of an arcsecond.

use std::f64::consts::TAU;

use serde::{Deserialize, Serialize};

use crate::angle::Angle;
use crate::sky::almanac::{Almanac, SkyBody};
use crate::sky::altitude::TrueAltitude;
use crate::sky::moment::{DAY_S, Moment};
use crate::sky::positions::AU_KM;
use crate::vector::Vector;

/// Equatorial radius of the Earth, km (WGS84).
const EARTH_RADIUS_KM: f64 = 6378.137;

/// Flattening of the Earth (WGS84).
const FLATTENING: f64 = 1.0 / 298.257_223_563;

/// Speed of the equator over that of light (465.10 m/s over 299 792 458 m/s).
pub(super) const EQUATOR_OVER_LIGHT: f64 = 1.5514e-6;

/// Radius of the Moon, km (IAU 2015 working group on cartographic coordinates).
pub const MOON_RADIUS_KM: f64 = 1737.4;

/// Earth rotation, turns: at J2000.0, and per day of UT1 beyond one.
///
/// Source: IAU 2000 resolution B1.8, as in the IAU's routine `era00`.
const TURN_AT_J2000: f64 = 0.779_057_273_264_0;
const TURN_BEYOND_ONE: f64 = 0.002_737_811_911_354_48;

/// A place on the Earth.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct GeoPosition {
    /// Geographic latitude (WGS84), north positive.
    pub latitude: Angle,
    /// Longitude, east positive.
    pub longitude: Angle,
    /// Height above the ellipsoid or the sea, a negligible difference here, m.
    pub height_m: f64,
}

/// Altitude, bearing and distance of a body from a site.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Horizontal {
    /// True altitude.
    pub altitude: TrueAltitude,
    /// True bearing, 0 to under 360°, from north through east.
    pub bearing: Angle,
    /// Distance, au; 1 for a subject.
    pub distance_au: f64,
}

impl Horizontal {
    /// The Moon's angular radius, if this is the Moon.
    pub fn moon_radius(self) -> Angle {
        Angle::from_radians((MOON_RADIUS_KM / AU_KM / self.distance_au).asin())
    }

    /// Angle to another body on the sky.
    pub fn angle_to(self, other: Self) -> Angle {
        self.direction().angle_to(other.direction())
    }

    /// The phase angle, if this is the Moon: 0 when full.
    pub fn phase_angle(self, sun: Self) -> Angle {
        let back = self.direction().times(-self.distance_au);
        let on = sun.direction().times(sun.distance_au).plus(back);
        back.angle_to(on)
    }

    /// The unit vector to it in north, east, up.
    fn direction(self) -> Vector {
        Vector::from_spherical(self.bearing, self.altitude.0)
    }
}

/// A site's geocentric position, km: distance from the axis, and north.
///
/// Position by the ellipsoid (IAU's routine `gd2gce`; P. K. Seidelmann,
/// *Explanatory Supplement*, 1992, eq. 4.22-7, from memory).
pub(crate) fn outward_north_km(latitude: Angle, height_m: f64) -> (f64, f64) {
    let (cos, sin) = (latitude.cos(), latitude.sin());
    let shape = (1.0 - FLATTENING) * (1.0 - FLATTENING);
    let radius_km = EARTH_RADIUS_KM / (cos * cos + shape * sin * sin).sqrt();
    let height_km = height_m / 1000.0;
    (
        (radius_km + height_km) * cos,
        (shape * radius_km + height_km) * sin,
    )
}

/// An observer at a site.
#[derive(Debug, Clone, Copy)]
pub struct Observer {
    /// Cosine and sine of the latitude.
    pub(super) cos_sin: (f64, f64),
    /// East longitude, turns.
    longitude_turns: f64,
    /// The site's geocentric position, au: distance from the axis, and north.
    outward_north_au: (f64, f64),
    /// UT1 − UTC, s.
    dut1_s: f64,
}

impl Observer {
    /// An observer at a site, with UTC taken as UT1: star events are then late by UT1 − UTC, at
    /// most 0.9 s.
    pub fn at(site: GeoPosition) -> Self {
        Self::with_dut1(site, 0.0)
    }

    /// The same with a known difference UT1 − UTC, s.
    pub fn with_dut1(site: GeoPosition, dut1_s: f64) -> Self {
        let (outward, north) = outward_north_km(site.latitude, site.height_m);
        Self {
            cos_sin: (site.latitude.cos(), site.latitude.sin()),
            longitude_turns: site.longitude.radians() / TAU,
            outward_north_au: (outward / AU_KM, north / AU_KM),
            dut1_s,
        }
    }

    /// The topocentric position of a body.
    pub fn topocentric(&self, almanac: &Almanac, body: SkyBody, moment: Moment) -> Topocentric {
        self.apply_parallax_and_aberration(
            almanac.position(body, moment),
            body,
            self.rotation(moment),
        )
    }

    /// Subject, Sun and Moon, at little more cost than one of them.
    pub fn topocentric_all(&self, almanac: &Almanac, moment: Moment) -> [Topocentric; 3] {
        let turned = self.rotation(moment);
        [SkyBody::Subject, SkyBody::Sun, SkyBody::Moon].map(|body| {
            self.apply_parallax_and_aberration(almanac.position(body, moment), body, turned)
        })
    }

    /// Sine and cosine of the site's rotation angle.
    pub(super) fn rotation(&self, moment: Moment) -> (f64, f64) {
        let days = moment.days() + self.dut1_s / DAY_S;
        let turns = days.fract() + TURN_AT_J2000 + TURN_BEYOND_ONE * days + self.longitude_turns;
        (TAU * turns.fract()).sin_cos()
    }

    fn apply_parallax_and_aberration(
        &self,
        place: Vector,
        body: SkyBody,
        (sin, cos): (f64, f64),
    ) -> Topocentric {
        let (outward, north) = match body {
            SkyBody::Subject => (0.0, 0.0),
            SkyBody::Sun | SkyBody::Moon => self.outward_north_au,
        };
        let mut seen = Vector::new(
            cos * place.x + sin * place.y - outward,
            cos * place.y - sin * place.x,
            place.z - north,
        );
        // diurnal aberration: the site moves east
        let ahead = EQUATOR_OVER_LIGHT * self.cos_sin.0;
        let distance = seen.length();
        // to the first order, which leaves 1e-12
        let longer = ahead * seen.y;
        seen.y += ahead * distance;
        Topocentric {
            place: seen,
            distance: distance + longer,
            cos_sin: self.cos_sin,
        }
    }

    /// The topocentric position of a distant unit vector along the axes of
    /// [`SolarSystemPositions`](crate::sky::positions::SolarSystemPositions).
    pub fn topocentric_direction(&self, place: Vector, moment: Moment) -> Topocentric {
        self.apply_parallax_and_aberration(place, SkyBody::Subject, self.rotation(moment))
    }

    /// Altitude and bearing of a body.
    pub fn horizontal(&self, almanac: &Almanac, body: SkyBody, moment: Moment) -> Horizontal {
        self.topocentric(almanac, body, moment).horizontal()
    }
}

/// A topocentric position along equatorial axes of the site: outward from the Earth's axis on the
/// meridian, east, north along the axis.
#[derive(Debug, Clone, Copy)]
pub struct Topocentric {
    place: Vector,
    distance: f64,
    cos_sin: (f64, f64),
}

/// Rotation of the sky, radians a day.
const TURN_A_DAY: f64 = TAU * (1.0 + TURN_BEYOND_ONE);

impl Topocentric {
    /// Distance, au; 1 for a subject.
    pub const fn distance_au(self) -> f64 {
        self.distance
    }

    /// Sine of the true altitude.
    pub fn sin_altitude(self) -> f64 {
        let (cos, sin) = self.cos_sin;
        (cos * self.place.x + sin * self.place.z) / self.distance
    }

    /// True altitude.
    pub fn altitude(self) -> TrueAltitude {
        TrueAltitude(Angle::from_radians(
            self.sin_altitude().clamp(-1.0, 1.0).asin(),
        ))
    }

    /// Angle to another body on the sky.
    pub fn angle_to(self, other: Self) -> Angle {
        self.place.angle_to(other.place)
    }

    /// The phase angle, if this is the Moon: 0 when full.
    pub fn phase_angle(self, sun: Self) -> Angle {
        let back = self.place.times(-1.0);
        back.angle_to(sun.place.plus(back))
    }

    /// Rate of that sine per day, by the sky's rotation alone: the Moon's own motion reduces it by
    /// a thirtieth.
    pub fn sin_altitude_per_day(self) -> f64 {
        TURN_A_DAY * self.cos_sin.0 * self.place.y / self.distance
    }

    /// East component, −1 to 1: zero at a transit.
    pub fn east(self) -> f64 {
        self.place.y / self.distance
    }

    /// Its rate per day; as [`Topocentric::sin_altitude_per_day`].
    pub fn east_per_day(self) -> f64 {
        -TURN_A_DAY * self.place.x / self.distance
    }

    /// The Moon's angular radius, if this is the Moon.
    pub fn moon_radius(self) -> Angle {
        Angle::from_radians((MOON_RADIUS_KM / AU_KM / self.distance).asin())
    }

    /// Altitude and bearing.
    pub fn horizontal(self) -> Horizontal {
        let (cos, sin) = self.cos_sin;
        let Vector { x, y, z } = self.place;
        let (up, north) = (cos * x + sin * z, cos * z - sin * x);
        let bearing = y.atan2(north).rem_euclid(TAU);
        Horizontal {
            altitude: TrueAltitude(Angle::from_radians(up.atan2(north.hypot(y)))),
            // an angle just below zero would round to a whole turn
            bearing: Angle::from_radians(if bearing < TAU { bearing } else { 0.0 }),
            distance_au: self.distance,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The IAU's own routine for the ellipsoid, over the globe.
    #[test]
    fn stands_where_the_ellipsoid_says() {
        for latitude in [-90.0, -66.6, -31.9, 0.0, 36.0, 46.52, 89.999, 90.0_f64] {
            for height_m in [0.0, 4200.0] {
                let site = GeoPosition {
                    latitude: Angle::from_degrees(latitude),
                    longitude: Angle::ZERO,
                    height_m,
                };
                let got = Observer::at(site).outward_north_au;
                let want = sofars::coords::gd2gc(1, 0.0, latitude.to_radians(), height_m);
                let [x, _, z] = want.expect("a known ellipsoid");
                for (got, want) in [(got.0, x), (got.1, z)] {
                    let miss_m = (got * AU_KM * 1000.0 - want).abs();
                    assert!(miss_m < 1e-6, "{latitude}°: {miss_m} m");
                }
            }
        }
    }

    /// The IAU's routine for the Earth's rotation, and its test value
    /// 0.402 283 724 0 rad at UT1 2007-10-15 0h (ERFA, `t_era00`).
    #[test]
    fn turns_with_the_earth() {
        for days in [-18_262.5, -0.25, 0.0, 2843.5, 9_500.123, 36_524.9] {
            let turns = f64::fract(days) + TURN_AT_J2000 + TURN_BEYOND_ONE * days;
            let got = (TAU * turns).rem_euclid(TAU);
            let want = sofars::erst::era00(2_451_545.0, days);
            assert!((got - want).abs() < 1e-9, "{days}: {got}, want {want}");
        }
        let published = sofars::erst::era00(2_451_545.0, 2843.5);
        assert!((published - 0.402_283_724_002_815_8).abs() < 1e-12);
    }
}
