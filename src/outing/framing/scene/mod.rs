//! The scene: sky and land in the frame at a moment.
//!
//! Positions are fractions of the frame: 0 to 1 from the left, 0 to 1 from the top. Altitudes are
//! apparent.

pub mod land;

use std::sync::OnceLock;

use crate::angle::Angle;
use crate::camera::view::{SensorPoint, View};
use crate::land::ridge::RidgeLine;
use crate::outing::night::site_sky::SiteSky;
use crate::outing::plan::Outing;
use crate::sky::almanac::SkyBody;
use crate::sky::celestial_to_horizontal::refract;
use crate::sky::galaxy::{Dot, stipple};
use crate::sky::night::Night;
use crate::sky::observer::Horizontal;
use crate::sky::stars::{Star, stars};
use crate::vector::Vector;

/// A place in the frame.
pub type Place = (f64, f64);

/// Dots of the Milky Way, over the whole sky.
const DOTS: usize = 9000;

/// The fixed stars and dots, computed on first use.
struct Fixed {
    stars: Vec<Star>,
    dots: Vec<Dot>,
}

static FIXED: OnceLock<Fixed> = OnceLock::new();

fn fixed() -> &'static Fixed {
    FIXED.get_or_init(|| Fixed {
        stars: stars().collect(),
        dots: stipple(DOTS),
    })
}

/// The Moon in the frame.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct MoonInFrame {
    /// Its middle.
    pub place: Place,
    /// Direction of its lit side in the picture, radians from the right, downwards positive.
    pub lit_towards: f64,
    /// Illuminated fraction, 0 to 1.
    pub lit: f64,
    /// Radius, in widths of the frame.
    pub radius: f64,
}

/// A lens over a night.
pub struct Scene<'a> {
    /// The view through it.
    pub view: View,
    site_sky: &'a SiteSky,
    night: Night<'a>,
    /// Cosine of the widest angle from the axis in the frame.
    widest_cos: f64,
    /// Lowest visible altitude: the flat horizon, or the lowest point of a ridge line below it.
    lowest: Angle,
}

impl<'a> Scene<'a> {
    /// The scene of an outing on a night, in the frame of its camera.
    pub fn new(outing: &Outing, site_sky: &'a SiteSky, night: Night<'a>) -> Self {
        Self::through(outing.view(), &outing.site.ridge, site_sky, night)
    }

    /// The scene through another view from the same place.
    pub fn through(view: View, ridge: &RidgeLine, site_sky: &'a SiteSky, night: Night<'a>) -> Self {
        let corner = SensorPoint {
            x_mm: view.sensor.width_mm / 2.0,
            y_mm: view.sensor.height_mm / 2.0,
        };
        // a fisheye may have no image in its corners; its field is half a sphere
        let widest_cos = view.off_axis_at(corner).map_or(-1.0, Angle::cos);
        let lowest = ridge.least_and_most().0;
        Self {
            view,
            site_sky,
            night,
            widest_cos,
            lowest: if lowest < Angle::ZERO {
                lowest
            } else {
                Angle::ZERO
            },
        }
    }

    /// Width over height of the frame.
    pub fn shape(&self) -> f64 {
        self.view.sensor.width_mm / self.view.sensor.height_mm
    }

    /// Position of an apparent direction in east, north, up; `None` outside the frame.
    fn place(&self, direction: Vector) -> Option<Place> {
        let point = self.view.image_of(self.view.to_camera(direction))?;
        let x = point.x_mm / self.view.sensor.width_mm + 0.5;
        let y = 0.5 - point.y_mm / self.view.sensor.height_mm;
        let inside = (0.0..=1.0).contains(&x) && (0.0..=1.0).contains(&y);
        inside.then_some((x, y))
    }

    /// Position of a true altitude and bearing, with refraction.
    pub fn place_of(&self, position: Horizontal) -> Option<Place> {
        self.place(refract(
            self.site_sky.air(),
            Vector::from_bearing(position.bearing, position.altitude.0),
        ))
    }

    /// A body, `at` days into the night.
    pub fn body(&self, body: SkyBody, at: f64) -> Option<Place> {
        self.place_of(self.night.topocentric(body, at).horizontal())
    }

    /// Whether the core is above the ridge line then.
    pub fn core_is_clear(&self, at: f64) -> bool {
        let core = self.night.topocentric(SkyBody::Subject, at).horizontal();
        let apparent = self.site_sky.apparent_altitude(core).0;
        apparent.degrees() > self.site_sky.ridge_under_core_deg(&self.night, at)
    }

    /// The stars in the frame down to a magnitude, bright ones first.
    pub fn stars(&self, at: f64, faintest: f64) -> Vec<(Place, f64)> {
        let shown = fixed().stars.iter();
        let shown = shown.take_while(|star| star.magnitude <= faintest);
        self.fallen(shown.map(|star| (star.direction, star.magnitude)), at)
    }

    /// Dots for the Milky Way that show through a veil of light over the sky.
    pub fn dots(&self, at: f64, veil: f64) -> Vec<(Place, f64)> {
        let shown = fixed().dots.iter().filter(|dot| dot.veil_limit > veil);
        self.fallen(shown.map(|dot| (dot.direction, dot.veil_limit)), at)
    }

    /// Positions of ICRS directions in the frame.
    fn fallen(&self, to_icrs: impl Iterator<Item = (Vector, f64)>, at: f64) -> Vec<(Place, f64)> {
        // margin for refraction across the edge of the frame
        const MARGIN: f64 = 0.03;
        let moment = self.night.start().plus_days(at);
        let sky = self.night.observer().celestial_to_horizontal(moment);
        let forward = self.view.to_enu(Vector::new(0.0, 0.0, 1.0));
        let lowest_z = self.lowest.sin();
        let mut found = Vec::new();
        for (direction, about) in to_icrs {
            let enu = sky.apply(direction);
            if enu.z < lowest_z - MARGIN || enu.dot(forward) < self.widest_cos - MARGIN {
                continue;
            }
            if let Some(place) = self.place(refract(self.site_sky.air(), enu)) {
                found.push((place, about));
            }
        }
        found
    }

    /// The Moon, if it is in the frame above the flat horizon, or above the lowest point of the
    /// ridge line.
    pub fn moon(&self, at: f64) -> Option<MoonInFrame> {
        let see = |body| self.night.topocentric(body, at).horizontal();
        let (moon, sun) = (see(SkyBody::Moon), see(SkyBody::Sun));
        let upper_limb_deg =
            self.site_sky.apparent_altitude(moon).0.degrees() + moon.moon_radius().degrees();
        if upper_limb_deg < self.lowest.degrees() {
            return None;
        }
        let place = self.place_of(moon)?;
        let (towards, from) = (
            Vector::from_bearing(sun.bearing, sun.altitude.0),
            Vector::from_bearing(moon.bearing, moon.altitude.0),
        );
        // a little way along the great circle to the Sun
        let across = towards.plus(from.times(-from.dot(towards)));
        let length = across.length().max(1e-9);
        let beside = from.plus(across.times(0.01 / length));
        let [seen, lit] = [from, beside].map(|direction| self.view.to_camera(direction));
        let point = |seen: Vector| self.view.image_of(seen).unwrap_or(SensorPoint::CENTRE);
        let (here, there) = (point(seen), point(lit));
        let phase = moon.phase_angle(sun);
        Some(MoonInFrame {
            place,
            lit_towards: (here.y_mm - there.y_mm).atan2(there.x_mm - here.x_mm),
            lit: (1.0 + phase.cos()) / 2.0,
            radius: (here.x_mm - there.x_mm).hypot(here.y_mm - there.y_mm)
                * (moon.moon_radius().radians() / 0.01)
                / self.view.sensor.width_mm,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::outing::plan::Orientation;

    fn outing() -> Outing {
        let mut outing = Outing::default();
        outing.site.latitude = Angle::from_degrees(46.52);
        outing.site.longitude = Angle::from_degrees(9.91);
        outing.night = chrono::NaiveDate::from_ymd_opt(2027, 6, 4);
        outing.minute = Some(735);
        let (bearing, tilt) = outing.pointing().target_position;
        outing.frame = Some(Frame {
            bearing,
            tilt,
            roll: Angle::ZERO,
        });
        outing
    }

    fn with<T>(outing: &Outing, ask: impl FnOnce(&Scene<'_>, f64) -> T) -> T {
        let date = outing.night.expect("a night");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        let scene = Scene::new(outing, &site_sky, site_sky.night(date));
        ask(&scene, f64::from(outing.minute.expect("a minute")) / 1440.0)
    }

    #[test]
    fn the_core_stands_where_the_camera_points_at_it() {
        for orientation in [Orientation::Landscape, Orientation::Portrait] {
            let place = with(
                &Outing {
                    orientation,
                    ..outing()
                },
                |scene, at| scene.body(SkyBody::Subject, at).expect("in the frame"),
            );
            // but for refraction, which raises it by a twentieth of a degree
            assert!((place.0 - 0.5).abs() < 1e-6 && place.1 < 0.5 && place.1 > 0.49);
        }
    }

    /// Antares, α Scorpii, is 14° west and 3° north of the core (ICRS 16h29m24.5s −26°25′55″, the
    /// Hipparcos catalogue); the brightest star of a frame on them both.
    #[test]
    fn the_brightest_star_beside_the_core_is_in_its_place() {
        with(&outing(), |scene, at| {
            let stars = scene.stars(at, 3.0);
            let (place, magnitude) = stars[0];
            assert!((magnitude - 1.1).abs() < 0.2, "{magnitude}");
            let antares =
                Vector::from_spherical(Angle::from_degrees(247.352), Angle::from_degrees(-26.432));
            let moment = scene.night.start().plus_days(at);
            let position = scene.night.observer().star_horizontal(antares, moment);
            let want = scene.place_of(position).expect("in the frame");
            let miss = (place.0 - want.0).hypot(place.1 - want.1);
            assert!(miss < 2e-4, "{place:?}, want {want:?}");
            assert!(place.0 > 0.5, "west is on the right when facing south");
            let all = scene.stars(at, 9.0).len();
            assert!(all > stars.len() && all < 400, "{all}");
        });
    }

    #[test]
    fn the_milky_way_is_densest_at_the_core_and_thins_under_a_veil() {
        with(&outing(), |scene, at| {
            let count = |veil: f64, near: f64| {
                let dots = scene.dots(at, veil);
                let core = scene.body(SkyBody::Subject, at).expect("in the frame");
                let close = |((x, y), _): &&(Place, f64)| {
                    (x - core.0).abs() < near && (y - core.1).abs() < near
                };
                dots.iter().filter(close).count()
            };
            assert!(
                count(0.0, 0.15) * 4 > count(0.0, 1.0),
                "a ninth of the frame"
            );
            assert!(count(0.5, 1.0) < count(0.0, 1.0) / 2);
            assert_eq!(count(1.0, 1.0), 0);
        });
    }

    /// For any frame, positions are numbers inside it.
    #[test]
    fn places_lie_in_the_frame() {
        for (bearing, tilt, roll) in [(0.0, 90.0, 0.0), (90.0, -90.0, 10.0), (271.0, 5.0, -90.0)] {
            let angle = Angle::from_degrees;
            let frame = Some(Frame {
                bearing: angle(bearing),
                tilt: angle(tilt),
                roll: angle(roll),
            });
            with(&Outing { frame, ..outing() }, |scene, at| {
                let all = scene.stars(at, 9.0).into_iter().chain(scene.dots(at, 0.0));
                for ((x, y), _) in all {
                    assert!((0.0..=1.0).contains(&x) && (0.0..=1.0).contains(&y));
                }
                if let Some(moon) = scene.moon(at) {
                    assert!(moon.lit_towards.is_finite() && moon.radius.is_finite());
                }
            });
        }
    }

    /// Facing south before dawn a waning Moon is lit from the left, the east,
    /// where the Sun will rise (common practice). 2027-05-28, last quarter.
    #[test]
    fn a_waning_moon_is_lit_from_the_east() {
        let mut outing = outing();
        outing.night = chrono::NaiveDate::from_ymd_opt(2027, 5, 27);
        outing.minute = Some(960);
        let date = outing.night.expect("a night");
        let site_sky = SiteSky::over(&outing.site, outing.subject, date, 1);
        let moon = site_sky
            .night(date)
            .topocentric(SkyBody::Moon, 960.0 / 1440.0)
            .horizontal();
        outing.frame = Some(Frame {
            bearing: moon.bearing,
            tilt: moon.altitude.0,
            roll: Angle::ZERO,
        });
        with(&outing, |scene, at| {
            let moon = scene.moon(at).expect("in the frame");
            assert!(moon.lit_towards.cos() < -0.5, "{moon:?}");
            assert!((moon.lit - 0.5).abs() < 0.2, "{moon:?}");
            // 20 mm: a quarter of a degree is 0.09 mm of 36
            assert!((moon.radius - 0.0025).abs() < 0.0003, "{moon:?}");
        });
    }
}
