//! The horizon of a frame: site and moment, by which stars become directions as a camera sees
//! them.

use crate::angle::Angle;
use crate::astrometry::catalogue::CatalogueStar;
use crate::astrometry::matching::SkyStar;
use crate::camera::drift::EARTH_RATE;
use crate::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use crate::sky::celestial_to_horizontal::{CelestialToHorizontal, horizontal, refract};
use crate::sky::moment::{DAY_S, Moment};
use crate::sky::observer::{GeoPosition, Observer};
use crate::vector::Vector;

/// Stars are used from this true altitude, degrees: refraction below is not known well.
const LOWEST_DEG: f64 = -1.0;

/// A site at the middle of an exposure.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Horizon {
    sky: CelestialToHorizontal,
    air: Air,
    pole: Vector,
}

impl Horizon {
    /// At a site, for an exposure that starts at a moment.
    ///
    /// Refraction is by the pressure of the standard atmosphere at the site's height, at 10 °C: the
    /// temperature is not known.
    pub fn new(site: GeoPosition, start: Moment, exposure_s: f64) -> Self {
        let middle = start.plus_days(exposure_s / 2.0 / DAY_S);
        Self {
            sky: Observer::at(site).celestial_to_horizontal(middle),
            air: Air {
                pressure_hpa: Air::at_height(site.height_m).pressure_hpa,
                ..Air::STANDARD
            },
            pole: Vector::new(0.0, site.latitude.cos(), site.latitude.sin()),
        }
    }

    /// Axes of a camera in ICRS (right, up and back) in east, north, up, such that the star in the
    /// middle stays there in spite of refraction.
    pub fn seen_axes(&self, axes: [Vector; 3]) -> [Vector; 3] {
        let axes = axes.map(|axis| self.sky.apply(axis));
        let forward = axes[2].times(-1.0 / axes[2].length());
        let lifted = refract(self.air, forward);
        let across = forward.cross(lifted);
        let sine = across.length();
        if sine < 1e-12 {
            return axes;
        }
        let axis = across.times(1.0 / sine);
        let angle = sine.atan2(forward.dot(lifted));
        axes.map(|own| own.rotated_about(axis, angle))
    }

    /// Stars above the horizon as they are seen, in east, north, up.
    pub fn seen(&self, catalogue: &[CatalogueStar]) -> Vec<SkyStar> {
        let lowest = Angle::from_degrees(LOWEST_DEG).sin();
        let stars = catalogue.iter().enumerate();
        stars
            .filter_map(|(row, star)| {
                let direction = self.sky.apply(star.direction);
                (direction.z > lowest).then(|| SkyStar {
                    direction: refract(self.air, direction),
                    magnitude: star.magnitude,
                    row,
                })
            })
            .collect()
    }

    /// A direction seen, without refraction.
    pub fn unrefracted(&self, seen: Vector) -> Vector {
        let at = horizontal(seen);
        let TrueAltitude(altitude) = self.air.to_true(ApparentAltitude(at.altitude.0));
        Vector::from_bearing(at.bearing, altitude)
    }

    /// The ICRS direction of a direction seen; aberration is taken back to the first order.
    pub fn to_icrs(&self, seen: Vector) -> Vector {
        let truth = self.unrefracted(seen);
        let unit = [
            Vector::new(1.0, 0.0, 0.0),
            Vector::new(0.0, 1.0, 0.0),
            Vector::new(0.0, 0.0, 1.0),
        ];
        // the rows of the rotation, without aberration: half the difference of opposite directions
        let columns = unit.map(|axis| {
            let ahead = self.sky.apply(axis);
            let behind = self.sky.apply(axis.times(-1.0));
            ahead.plus(behind.times(-1.0)).times(0.5)
        });
        let back = |direction: Vector| {
            let [x, y, z] = columns.map(|column| column.dot(direction));
            Vector::new(x, y, z)
        };
        let guess = back(truth);
        let miss = truth.plus(self.sky.apply(guess).times(-1.0));
        let better = guess.plus(back(miss));
        better.times(1.0 / better.length())
    }

    /// Where a star seen at a direction in the middle of the exposure is seen some seconds later.
    pub fn later(&self, seen: Vector, seconds: f64) -> Vector {
        // the sky turns from east to west, against the Earth
        let turned = self
            .unrefracted(seen)
            .rotated_about(self.pole, -EARTH_RATE * seconds);
        refract(self.air, turned)
    }
}
