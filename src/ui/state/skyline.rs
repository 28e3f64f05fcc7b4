//! The skyline in the making: the line pulled by a thumb, and sightings typed or taken by the
//! phone's sensors.

pub mod pull;

pub use pull::{Pull, PullAction};

use chrono::{DateTime, Utc};

use super::document::Edit;
use super::document::ridge::RidgeEdit;
use crate::angle::Angle;
use crate::browser::orientation::DeviceTilt;
use crate::land::declination::Declination;
use crate::land::ridge::{LEAST_DEG, MOST_DEG, Sighting};
use crate::land::sighting::BEND;
use crate::land::survey::Surveyed;
use crate::outing::plan::site::Site;
use crate::sky::almanac::{Almanac, SkyBody};
use crate::sky::moment::Moment;
use crate::sky::observer::{GeoPosition, Observer};
use crate::ui::text::framing::survey_read;

/// After files were read for a site that is no longer in use.
const OTHER_SITE: &str =
    "The skyline was read for another site and is not used; open the files again.";

/// The sighting in the making.
#[derive(Debug, Clone, PartialEq)]
pub struct SkylineDraft {
    /// The bearing typed.
    pub bearing: Angle,
    /// The height typed.
    pub height: Angle,
    /// Whether bearings come from a compass.
    pub magnetic: bool,
    /// The declination typed; `None` = the model's.
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
    pub sensing: bool,
    /// What they measured last.
    pub tilt: Option<DeviceTilt>,
    /// What is added to the sensors' height, degrees: set against a level.
    pub level_deg: f64,
    /// What is added to the compass, degrees: set against Sun, Moon or core.
    pub turn_deg: Option<f64>,
    /// The position for which files are being read.
    pub reading_for: Option<GeoPosition>,
    /// What came of the last try.
    pub message: Option<String>,
    /// The line under the thumb.
    pub pull: Pull,
    /// The way in that is unfolded; `None` = the line itself.
    pub way_in: Option<WayIn>,
}

/// Ways to sightings besides pulling the line.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum WayIn {
    /// Bearings and heights typed.
    Numbers,
    /// A table of them.
    Table,
    /// Tiles of an elevation model.
    Tile,
    /// The phone's sensors.
    Tilt,
}

/// What changes it.
#[derive(Debug, Clone)]
pub enum SkylineAction {
    /// The line is pulled.
    Pull(PullAction),
    /// A way in is unfolded, or folded where it is.
    Unfold(WayIn),
    /// The bearing.
    Bearing(Angle),
    /// The height.
    Height(Angle),
    /// Whether bearings come from a compass.
    Magnetic(bool),
    /// The declination.
    Declination(Angle),
    /// Distance of a ridge on the map, m.
    Distance(f64),
    /// How much higher than the site it is there, m.
    Rise(f64),
    /// Bend of light along the ground.
    Bend(f64),
    /// The sensors are to be asked, or no longer.
    Sense(bool),
    /// The sensors measured.
    Tilted(DeviceTilt),
    /// The sensors measure nothing, and why.
    SensorFailed(String),
    /// The phone lies level now.
    SetLevel,
    /// The phone points at a body now.
    PointedAt(SkyBody),
    /// The model's declination at the site, `None` where it has none.
    DeclinationFound(Result<Option<Declination>, String>),
    /// A table or tiles of heights are being read.
    Reading,
    /// A skyline was read.
    Read(Result<Vec<Surveyed>, String>),
}

impl Default for SkylineDraft {
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
            sensing: false,
            tilt: None,
            level_deg: 0.0,
            turn_deg: None,
            reading_for: None,
            message: None,
            pull: Pull::default(),
            way_in: None,
        }
    }
}

impl SkylineDraft {
    /// Applies an action, with the edit of the document that follows from it. `site` and
    /// `now` tell where a body stands; `open` whether the sheet is.
    pub fn reduce(
        &mut self,
        action: SkylineAction,
        (site, now): (&Site, DateTime<Utc>),
        open: bool,
    ) -> Option<Edit> {
        match action {
            SkylineAction::Pull(action) => {
                self.message = None;
                return self.pull.reduce(action, &site.ridge).map(Edit::Ridge);
            }
            SkylineAction::Unfold(way_in) => {
                self.way_in = (self.way_in != Some(way_in)).then_some(way_in);
                self.sensing = self.way_in == Some(WayIn::Tilt);
                self.tilt = None;
            }
            SkylineAction::Bearing(angle) => self.bearing = angle,
            SkylineAction::Height(angle) => self.height = angle,
            SkylineAction::Magnetic(magnetic) => self.magnetic = magnetic,
            SkylineAction::Declination(angle) => self.declination = Some(angle),
            SkylineAction::Distance(metres) => self.distance_m = metres,
            SkylineAction::Rise(metres) => self.rise_m = metres,
            SkylineAction::Bend(share) => self.bend = share,
            SkylineAction::Sense(sensing) => {
                self.sensing = sensing;
                self.tilt = None;
            }
            SkylineAction::Tilted(mut tilt) if self.sensing => {
                // one of the phone's two events may lack the bearing
                let last = self.tilt.and_then(|tilt| tilt.compass_deg);
                tilt.compass_deg = tilt.compass_deg.or(last);
                self.tilt = Some(tilt);
            }
            SkylineAction::Tilted(_) => {}
            SkylineAction::SensorFailed(why) => {
                self.sensing = false;
                self.message = Some(why);
            }
            SkylineAction::SetLevel => {
                if let Some(tilt) = self.tilt {
                    self.level_deg = -tilt.height_deg;
                }
            }
            SkylineAction::PointedAt(body) => {
                if let Some(compass_deg) = self.tilt.and_then(|tilt| tilt.compass_deg) {
                    self.turn_deg = Some(bearing_of(body, site, now).degrees() - compass_deg);
                }
            }
            SkylineAction::DeclinationFound(Ok(modelled)) => self.modelled = modelled,
            SkylineAction::DeclinationFound(Err(why)) => {
                self.message = open.then_some(why).or(self.message.take());
            }
            SkylineAction::Reading => {
                self.reading_for = Some(site.on_earth());
                self.message = Some("Reading …".to_owned());
            }
            SkylineAction::Read(Ok(_))
                if self
                    .reading_for
                    .take()
                    .is_some_and(|position| position != site.on_earth()) =>
            {
                self.message = Some(OTHER_SITE.to_owned());
            }
            SkylineAction::Read(Ok(survey)) => {
                let edit = RidgeEdit::Survey(survey.clone());
                let mut ridge = site.ridge.clone();
                edit.clone().apply(&mut ridge);
                self.message = Some(survey_read(&survey, ridge.sightings().len()));
                self.message = self.message.take().filter(|_| open);
                return Some(Edit::Ridge(edit));
            }
            SkylineAction::Read(Err(why)) => {
                self.reading_for = None;
                self.message = open.then_some(why);
            }
        }
        None
    }

    /// The site moved: what was measured there does not hold here.
    pub fn site_moved(&mut self) {
        self.declination = None;
        self.modelled = None;
        self.turn_deg = None;
    }

    /// The sheet was closed: the sensors are let go.
    pub fn close(&mut self) {
        self.message = None;
        self.sensing = false;
        self.tilt = None;
        self.way_in = None;
        self.pull = Pull {
            count: self.pull.count,
            ..Pull::default()
        };
    }

    /// The declination typed, or by the model, as far as it is at hand.
    pub fn known_declination(&self) -> Option<Angle> {
        self.declination
            .or(self.modelled.and_then(Declination::east))
    }

    /// The declination in force: zero where none is known.
    pub fn declination(&self) -> Angle {
        self.known_declination().unwrap_or(Angle::ZERO)
    }

    /// The sighting as typed, its bearing true.
    pub fn typed(&self) -> Sighting {
        let turn_deg = if self.magnetic {
            self.declination().degrees()
        } else {
            0.0
        };
        Sighting {
            bearing: Angle::from_degrees((self.bearing.degrees() + turn_deg).rem_euclid(360.0)),
            height: self.height,
        }
    }

    /// The sighting along the phone, its bearing true; `None` without a compass.
    /// A compass set against the sky needs no declination.
    pub fn along_phone(&self) -> Option<Sighting> {
        let tilt = self.tilt?;
        let turn_deg = self.turn_deg.unwrap_or(self.declination().degrees());
        let height_deg = tilt.height_deg + self.level_deg;
        Some(Sighting {
            bearing: Angle::from_degrees((tilt.compass_deg? + turn_deg).rem_euclid(360.0)),
            height: Angle::from_degrees(height_deg.clamp(LEAST_DEG, MOST_DEG)),
        })
    }
}

/// Where a body stands now.
fn bearing_of(body: SkyBody, site: &Site, now: DateTime<Utc>) -> Angle {
    let moment = Moment::from_utc(now);
    let almanac = Almanac::over(moment.plus_days(-0.5), 1.0);
    let standing = Observer::at(site.on_earth()).horizontal(&almanac, body, moment);
    standing.bearing
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn bearings_are_made_true() {
        let mut draft = SkylineDraft {
            bearing: Angle::from_degrees(358.0),
            declination: Some(Angle::from_degrees(3.5)),
            ..SkylineDraft::default()
        };
        assert_eq!(draft.typed().bearing.degrees(), 358.0);
        draft.magnetic = true;
        assert!((draft.typed().bearing.degrees() - 1.5).abs() < 1e-9);
    }

    #[test]
    fn the_phone_is_set_against_a_level_and_the_sky() {
        let mut draft = SkylineDraft {
            declination: Some(Angle::from_degrees(3.5)),
            sensing: true,
            ..SkylineDraft::default()
        };
        assert_eq!(draft.along_phone(), None);
        // the core from 36° N 112° W at 2025-06-21 07:16 UT: due south (worked with
        // the IAU's routines, ERFA)
        let site = Site {
            latitude: Angle::from_degrees(36.0),
            longitude: Angle::from_degrees(-112.0),
            ..Site::default()
        };
        let now = DateTime::parse_from_rfc3339("2025-06-21T07:16:00Z").expect("an instant");
        let there = (&site, now.to_utc());
        let tilt = DeviceTilt {
            height_deg: -1.5,
            compass_deg: Some(100.0),
        };
        draft.reduce(SkylineAction::Tilted(tilt), there, true);
        draft.reduce(SkylineAction::SetLevel, there, true);
        let sighted = draft.along_phone().expect("a compass");
        assert_eq!(
            (sighted.bearing.degrees(), sighted.height.degrees()),
            (103.5, 0.0)
        );
        draft.reduce(SkylineAction::PointedAt(SkyBody::Subject), there, true);
        let sighted = draft.along_phone().expect("a compass");
        assert!(
            (sighted.bearing.degrees() - 180.0).abs() < 0.3,
            "{sighted:?}"
        );
    }
}
