//! What is in the making: a sighting, by typing or by the phone's sensors, and a
//! panorama.

use chrono::{DateTime, Utc};

use crate::angle::Angle;
use crate::land::declination::Declination;
use crate::land::ridge::{LEAST_DEG, MOST_DEG, Sighting};
use crate::land::sighting::BEND;
use crate::outing::framing::panorama::OVERLAP;
use crate::outing::plan::site::Site;
use crate::sky::almanac::{Almanac, SkyBody};
use crate::sky::moment::Moment;
use crate::sky::observer::Observer;

/// How the phone is held, as its sensors say.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct DeviceTilt {
    /// Height to which its long edge points, degrees.
    pub height_deg: f64,
    /// Bearing to which it points by the compass, degrees; nothing without one.
    pub compass_deg: Option<f64>,
}

/// What is in the making.
#[derive(Debug, Clone, PartialEq)]
pub struct Drafts {
    /// The bearing typed.
    pub bearing: Angle,
    /// The height typed.
    pub height: Angle,
    /// Whether bearings come from a compass.
    pub magnetic: bool,
    /// The declination typed; nothing for the model's.
    pub declination: Option<Angle>,
    /// The model's, for the site and the night.
    pub modelled: Option<Declination>,
    /// Distance of a ridge on the map, m.
    pub distance_m: f64,
    /// How much higher than the site it is there, m.
    pub rise_m: f64,
    /// Bend of light along the ground: the share of the Earth's curve it follows.
    pub bend: f64,
    /// Whether the sensors are asked.
    pub leaning: bool,
    /// What they said last.
    pub lean: Option<DeviceTilt>,
    /// What is added to the sensors' height, degrees: set against a level.
    pub level_deg: f64,
    /// What is added to the compass, degrees: set against Sun, Moon or core.
    pub turn_deg: Option<f64>,
    /// Share of a panorama's frame that neighbours have in common.
    pub overlap_share: f64,
    /// Time between two of its frames, s.
    pub pause_s: f64,
    /// How its head turns, by place in a list.
    pub clicks: usize,
    /// Its lowest height.
    pub low: Angle,
    /// Whether it is of the sky about the core alone.
    pub about_core: bool,
    /// Whether somebody has looked at the panorama.
    pub planned: bool,
    /// Temperature and humidity, while only one is typed.
    pub air: [Option<f64>; 2],
    /// What is to be said of the last try.
    pub message: Option<String>,
}

impl Default for Drafts {
    fn default() -> Self {
        Self {
            bearing: Angle::from_degrees(180.0),
            height: Angle::from_degrees(10.0),
            magnetic: false,
            declination: None,
            modelled: None,
            distance_m: 3000.0,
            rise_m: 300.0,
            bend: BEND,
            leaning: false,
            lean: None,
            level_deg: 0.0,
            turn_deg: None,
            overlap_share: OVERLAP,
            pause_s: 2.0,
            clicks: 0,
            low: Angle::from_degrees(-5.0),
            about_core: false,
            planned: false,
            air: [None; 2],
            message: None,
        }
    }
}

impl Drafts {
    /// The sighting as typed, its bearing true.
    pub fn typed(&self, declination: Angle) -> Sighting {
        let turn_deg = if self.magnetic {
            declination.degrees()
        } else {
            0.0
        };
        Sighting {
            bearing: Angle::from_degrees((self.bearing.degrees() + turn_deg).rem_euclid(360.0)),
            height: self.height,
        }
    }

    /// The sighting along the phone, its bearing true; nothing without a compass.
    /// A compass set against the sky needs no declination.
    pub fn along_phone(&self, declination: Angle) -> Option<Sighting> {
        let lean = self.lean?;
        let turn_deg = self.turn_deg.unwrap_or(declination.degrees());
        let height_deg = lean.height_deg + self.level_deg;
        Some(Sighting {
            bearing: Angle::from_degrees((lean.compass_deg? + turn_deg).rem_euclid(360.0)),
            height: Angle::from_degrees(height_deg.clamp(LEAST_DEG, MOST_DEG)),
        })
    }

    /// Says that the phone lies level.
    pub fn set_level(&mut self) {
        if let Some(lean) = self.lean {
            self.level_deg = -lean.height_deg;
        }
    }

    /// Says that the phone points at a body now.
    pub fn set_against(&mut self, body: SkyBody, site: &Site, now: DateTime<Utc>) {
        if let Some(compass_deg) = self.lean.and_then(|lean| lean.compass_deg) {
            let bearing_deg = bearing_of(body, site, now).degrees();
            self.turn_deg = Some(bearing_deg - compass_deg);
        }
    }
}

/// Where a body stands now.
fn bearing_of(body: SkyBody, site: &Site, now: DateTime<Utc>) -> Angle {
    let moment = Moment::from_utc(now);
    let almanac = Almanac::over(moment.plus_days(-0.5), 1.0);
    let standing = Observer::at(site.on_earth()).find(&almanac, body, moment);
    standing.bearing
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bearings_are_made_true() {
        let mut draft = Drafts {
            bearing: Angle::from_degrees(358.0),
            ..Drafts::default()
        };
        let east = Angle::from_degrees(3.5);
        assert_eq!(draft.typed(east).bearing.degrees(), 358.0);
        draft.magnetic = true;
        assert!((draft.typed(east).bearing.degrees() - 1.5).abs() < 1e-9);
    }

    #[test]
    fn the_phone_is_set_against_a_level_and_the_sky() {
        let mut draft = Drafts::default();
        let east = Angle::from_degrees(3.5);
        assert_eq!(draft.along_phone(east), None);
        draft.lean = Some(DeviceTilt {
            height_deg: -1.5,
            compass_deg: Some(100.0),
        });
        draft.set_level();
        let taken = draft.along_phone(east).expect("a compass");
        assert_eq!(
            (taken.bearing.degrees(), taken.height.degrees()),
            (103.5, 0.0)
        );
        // the core from 36° N 112° W at 2025-06-21 07:16 UT: due south (worked with
        // the IAU's routines, ERFA)
        let site = Site {
            latitude: Angle::from_degrees(36.0),
            longitude: Angle::from_degrees(-112.0),
            ..Site::default()
        };
        let now = DateTime::parse_from_rfc3339("2025-06-21T07:16:00Z").expect("an instant");
        draft.set_against(SkyBody::Core, &site, now.to_utc());
        let taken = draft.along_phone(east).expect("a compass");
        assert!((taken.bearing.degrees() - 180.0).abs() < 0.3, "{taken:?}");
    }
}
