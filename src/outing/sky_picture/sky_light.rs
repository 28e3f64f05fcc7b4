//! The light of the sky by direction at one moment.

use crate::angle::Angle;
use crate::light::air::air_mass;
use crate::light::brightness::SurfaceBrightness;
use crate::outing::exposure::sky_brightness::SkyBrightnessModel;
use crate::outing::night::site_sky::SiteSky;
use crate::sky::altitude::ApparentAltitude;
use crate::sky::celestial_to_horizontal::CelestialToHorizontal;
use crate::sky::galaxy::GALACTIC_AXES;
use crate::sky::night::Night;
use crate::vector::Vector;

/// Light of one magnitude as a power of e, by definition.
const PER_MAG: f64 = 0.4 * std::f64::consts::LN_10;

/// What the sky sends from a direction, but for the Milky Way's own detail.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LightThere {
    /// Galactic components of the true direction: to the core, to longitude 90°, to the pole.
    pub galactic: [f32; 3],
    /// The dark sky as it is overhead, brightened by as many magnitudes as twilight and moonlight
    /// brighten it here: nanolamberts, 1 or more.
    pub background: f32,
    /// Share of the Milky Way's light that the air lets through.
    pub passed: f32,
}

/// The sky of a site at a moment.
#[derive(Debug)]
pub struct SkyLight<'a> {
    site_sky: &'a SiteSky,
    model: SkyBrightnessModel<'a>,
    /// From catalogue directions to east, north, up.
    pub to_horizontal: CelestialToHorizontal,
    /// The galactic axes in east, north, up.
    galactic_axes: [Vector; 3],
}

impl<'a> SkyLight<'a> {
    /// The sky `at` days into the night.
    pub fn new(site_sky: &'a SiteSky, night: &Night<'_>, at: f64) -> Self {
        let moment = night.start().plus_days(at);
        let to_horizontal = night.observer().celestial_to_horizontal(moment);
        Self {
            site_sky,
            model: SkyBrightnessModel::of(site_sky, night, at),
            to_horizontal,
            galactic_axes: GALACTIC_AXES.map(|axis| to_horizontal.apply(axis)),
        }
    }

    /// The light from an apparent direction in east, north, up.
    ///
    /// Below the horizon air and background are those of the horizon; as bright as can be in bright
    /// twilight and by day.
    pub fn towards(&self, apparent: Vector) -> LightThere {
        let Vector { x, y, z } = apparent;
        let level = x.hypot(y);
        let altitude = Angle::from_radians(z.atan2(level));
        let lifted = self.site_sky.air().to_true(ApparentAltitude(altitude)).0;
        // at the zenith any bearing will do
        let (east, north) = if level > 0.0 {
            (x / level, y / level)
        } else {
            (0.0, 1.0)
        };
        let (sin, cos) = lifted.radians().sin_cos();
        let there = Vector::new(east * cos, north * cos, sin);
        let bearing = Angle::from_radians(x.atan2(y));
        let sky = self.model.towards((bearing, lifted));
        let flattened = self.site_sky.dark().nanolamberts() / sky.dark.nanolamberts();
        LightThere {
            galactic: self.galactic_axes.map(|axis| axis.dot(there) as f32),
            background: sky.whole.map_or(DAYLIGHT_NL, |whole| {
                ((whole.nanolamberts() * flattened) as f32).clamp(LEAST_NL, DAYLIGHT_NL)
            }),
            passed: (-PER_MAG * self.lost_mag(altitude)).exp() as f32,
        }
    }

    /// Extinction at an apparent altitude, magnitudes; below the horizon that of the horizon.
    pub fn lost_mag(&self, altitude: Angle) -> f64 {
        let altitude = altitude
            .radians()
            .clamp(0.0, Angle::from_degrees(90.0).radians());
        let masses = air_mass(Angle::from_radians(altitude)).unwrap_or(1.0);
        self.site_sky.extinction() * masses
    }

    /// The background in an apparent direction; `None` in bright twilight and by day.
    pub fn background(&self, apparent: Vector) -> Option<SurfaceBrightness> {
        let Vector { x, y, z } = apparent;
        let bearing = Angle::from_radians(x.atan2(y));
        let altitude = Angle::from_radians(z.atan2(x.hypot(y)));
        self.model.towards((bearing, altitude)).whole
    }
}

/// Under the darkest tone, nanolamberts.
const LEAST_NL: f32 = 1.0;
/// More than the brightest tone, nanolamberts.
const DAYLIGHT_NL: f32 = 1e7;
