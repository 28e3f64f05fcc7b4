//! What the view through the lens shows, in the parts that change together.
//!
//! Each part has its own inputs: a step of the minute leaves the land and the core's path as they
//! are while the frame stays.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::night_band::NightBand;
use super::selected_night::{SelectedNight, days_of};
use crate::camera::contours::Piece;
use crate::camera::view::View;
use crate::land::ridge::RidgeLine;
use crate::light::visibility_limit::{limiting_magnitude, milky_way_threshold};
use crate::outing::framing::scene::land::Land;
use crate::outing::framing::scene::{MoonInFrame, Place, Scene};
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::subject::Subject;
use crate::ui::state::State;

/// Time between the points of the core's path, days.
const PATH_STEP: f64 = 8.0 / 1440.0;

/// What the land in the frame depends on. Of site and moment there is only what they make of the
/// view.
#[derive(Debug, Clone, PartialEq)]
pub struct LandInputs {
    view: View,
    ridge: RidgeLine,
}

/// What a [`CorePath`] depends on. With a frame that was set, the minute does not matter.
#[derive(Debug, Clone, PartialEq)]
pub struct CorePathInputs {
    view: View,
    site: Site,
    subject: Subject,
    date: NaiveDate,
}

/// What a [`FramedSky`] depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct FramedSkyInputs {
    view: View,
    site: Site,
    subject: Subject,
    date: NaiveDate,
    minute: u16,
}

/// The view through the lens at the minute looked at, places in shares of the frame.
#[derive(Debug, Clone)]
pub struct FramedScene {
    /// The view.
    pub view: View,
    /// Ground and ridge.
    pub land: Rc<Land>,
    /// The core's path through the night.
    pub core_path: Rc<CorePath>,
    /// What stands in the sky.
    pub sky: Rc<FramedSky>,
}

/// The core's path through the frame.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CorePath {
    /// Where the core is above the ridge.
    pub clear: Vec<Piece>,
    /// Where it is behind it.
    pub hidden: Vec<Piece>,
    /// When it crosses the ridge, then the full hours at which it is above it: days since noon,
    /// and the place.
    pub marks: Vec<(f64, Place)>,
}

/// What stands in the sky of the frame at a minute.
#[derive(Debug, Clone, PartialEq)]
pub struct FramedSky {
    /// `None` in bright twilight and by day.
    pub stars: Option<FramedStars>,
    /// The Moon.
    pub moon: Option<MoonInFrame>,
    /// The core.
    pub core: Option<Place>,
}

/// What the light in the sky leaves of the stars.
#[derive(Debug, Clone, PartialEq)]
pub struct FramedStars {
    /// Dots for the Milky Way.
    pub milky_way: Vec<Place>,
    /// Stars with their magnitudes, bright ones first.
    pub stars: Vec<(Place, f64)>,
}

impl FramedScene {
    /// Width over height of the frame.
    pub fn aspect_ratio(&self) -> f64 {
        self.view.sensor.width_mm / self.view.sensor.height_mm
    }
}

impl CorePath {
    fn new(scene: &Scene<'_>, selected: &SelectedNight, band: &NightBand) -> Self {
        let span = band.span;
        let mut found = Self::default();
        let mut last: Option<(Place, bool)> = None;
        let steps = ((span.end - span.start) / PATH_STEP).ceil().max(1.0);
        for step in 0..=steps as usize {
            let at = span.start + (span.end - span.start) * step as f64 / steps;
            let place = scene.body(SkyBody::Subject, at);
            let point = place.map(|place| (place, scene.core_is_clear(at)));
            if let (Some((before, was_clear)), Some((place, is_clear))) = (last, point) {
                let pieces = if was_clear && is_clear {
                    &mut found.clear
                } else {
                    &mut found.hidden
                };
                pieces.push((before, place));
            }
            last = point;
        }
        let crossings = &selected.night.evening.core.crossings;
        let crossings = crossings.iter().map(|crossing| crossing.at);
        let hours = band.hours.iter().copied();
        let hours = hours.filter(|at| scene.core_is_clear(*at));
        let moments = crossings.chain(hours).filter(|at| span.contains(*at));
        found.marks = moments
            .filter_map(|at| Some((at, scene.body(SkyBody::Subject, at)?)))
            .collect();
        found
    }
}

impl FramedSky {
    fn new(scene: &Scene<'_>, selected: &SelectedNight) -> Self {
        let at = days_of(selected.minute);
        let stars = selected.reading.sky.map(|light| {
            let dots = scene.dots(at, milky_way_threshold(light)).into_iter();
            FramedStars {
                milky_way: dots.map(|(place, _)| place).collect(),
                stars: scene.stars(at, limiting_magnitude(light)),
            }
        });
        Self {
            stars,
            moon: scene.moon(at),
            core: scene.body(SkyBody::Subject, at),
        }
    }
}

impl Derived {
    /// The land in a small frame that points elsewhere than the camera.
    pub fn small_frame_land(&self, state: &State, view: View) -> Rc<Land> {
        let (outing, selected) = (state.outing(), self.night(state));
        let night = &selected.night;
        let ridge = outing.site.ridge.clone();
        self.small_land.get(LandInputs { view, ridge }, |inputs| {
            let sky = night.site_sky.night(night.date);
            let mut scene = Scene::new(outing, &night.site_sky, sky);
            scene.view = inputs.view;
            scene.land(&inputs.ridge)
        })
    }

    /// The view through the lens at the minute looked at.
    pub fn scene(&self, state: &State) -> FramedScene {
        let (outing, view) = (state.outing(), self.answer(state).view);
        let selected = self.night(state);
        let night = &selected.night;
        let scene = || {
            let sky = night.site_sky.night(night.date);
            Scene::new(outing, &night.site_sky, sky)
        };
        let ridge = outing.site.ridge.clone();
        let (site, subject, date) = (outing.site.clone(), night.subject, night.date);
        let land = self.land.get(LandInputs { view, ridge }, |inputs| {
            scene().land(&inputs.ridge)
        });
        let inputs = CorePathInputs {
            view,
            site: site.clone(),
            subject,
            date,
        };
        let core_path = self.core_path.get(inputs, |_| {
            CorePath::new(&scene(), &selected, &self.night_band(state))
        });
        let inputs = FramedSkyInputs {
            view,
            site,
            subject,
            date,
            minute: selected.minute,
        };
        let sky = self
            .framed_sky
            .get(inputs, |_| FramedSky::new(&scene(), &selected));
        FramedScene {
            view,
            land,
            core_path,
            sky,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::browser::theme::Theme;
    use crate::camera::frame::Frame;
    use crate::outing::document::Document;
    use crate::outing::exposure::Answer;
    use crate::outing::plan::Outing;
    use crate::outing::plan::site::Zone;

    /// 46.5° N, 4 June 2027: the core is up and the Moon down at midnight.
    fn outing(minute: u16, bearing_deg: f64) -> Outing {
        let mut outing = Outing {
            night: NaiveDate::from_ymd_opt(2027, 6, 4),
            minute: Some(minute),
            frame: Some(Frame {
                bearing: Angle::from_degrees(bearing_deg),
                tilt: Angle::from_degrees(15.0),
                roll: Angle::ZERO,
            }),
            ..Outing::default()
        };
        outing.site.zone = Zone::Fixed(120);
        outing.site.latitude = Angle::from_degrees(46.52);
        outing.site.longitude = Angle::from_degrees(9.91);
        outing
    }

    fn state(minute: u16, bearing_deg: f64) -> State {
        state_of(outing(minute, bearing_deg))
    }

    fn state_of(outing: Outing) -> State {
        let document = Document {
            outing,
            ..Document::default()
        };
        State::new(document, Theme::Dusk, chrono::DateTime::UNIX_EPOCH, 1)
    }

    #[test]
    fn only_what_depends_on_minute_or_frame_is_computed_again() {
        let derived = Derived::default();
        let all = |minute, bearing_deg| {
            let state = state(minute, bearing_deg);
            let shutter = derived.answer(&state).shutter();
            (
                derived.scene(&state),
                derived.night_band(&state),
                derived.core_frames(&state),
                derived.drift_map(&state, shutter),
            )
        };
        let (scene, band, frames, drift) = all(735, 170.0);
        let (later, later_band, later_frames, later_drift) = all(745, 170.0);
        assert!(Rc::ptr_eq(&scene.land, &later.land));
        assert!(Rc::ptr_eq(&scene.core_path, &later.core_path));
        assert!(Rc::ptr_eq(&band, &later_band));
        assert!(Rc::ptr_eq(&drift, &later_drift));
        assert_ne!(scene.sky, later.sky);
        assert_ne!(frames, later_frames);
        let (turned, turned_band, turned_frames, turned_drift) = all(745, 171.0);
        assert!(Rc::ptr_eq(&band, &turned_band));
        assert!(Rc::ptr_eq(&later_frames, &turned_frames));
        assert_ne!(scene.land, turned.land);
        assert_ne!(scene.core_path, turned.core_path);
        assert_ne!(later.sky, turned.sky);
        assert_ne!(drift, turned_drift);
    }

    /// From 46.5° N in early June the core and the summer band are up in the same dark hours, on
    /// different sides of the sky: whatever depends on the subject is computed for the new one.
    #[test]
    fn another_subject_changes_night_path_and_frame() {
        let derived = Derived::default();
        let all = |subject| {
            let state = state_of(Outing {
                subject,
                frame: None,
                ..outing(735, 170.0)
            });
            let seen = (
                derived.night(&state),
                derived.night_band(&state),
                derived.scene(&state),
                derived.answer(&state),
                derived.season(&state),
                derived.core_frames(&state),
                derived.field(&state).card.camera.towards,
                derived.crossings(&state),
            );
            let up = derived.subjects_up(&state);
            (seen, up)
        };
        let (core, up) = all(Subject::Core);
        let (band, same_up) = all(Subject::SummerBand);
        assert!(
            Rc::ptr_eq(&up, &same_up),
            "they do not depend on the one chosen"
        );
        assert!(up.iter().any(|one| one.subject == Subject::SummerBand));
        let height = |night: &SelectedNight| night.reading.core.altitude.0.degrees();
        assert!(height(&core.0) < 15.0 && height(&band.0) > 50.0);
        assert_ne!(core.0.night.evening.usable, band.0.night.evening.usable);
        assert_ne!(core.1.core, band.1.core);
        assert_ne!(core.2.core_path, band.2.core_path);
        assert_ne!(core.2.sky, band.2.sky);
        assert_ne!(core.2.view, band.2.view);
        // stars at declination 37° are slower than at −29°: cos δ, 0.797 and 0.875
        let seconds = |answer: &Answer| answer.clean_core.seconds().expect("a limit");
        let slower = seconds(&band.3) / seconds(&core.3);
        assert!((slower - 0.8746 / 0.7969).abs() < 0.002, "{slower}");
        assert_ne!(core.4, band.4);
        assert_ne!(core.5, band.5);
        assert_ne!(core.6, band.6);
        // with a frame that is kept, the path in it is another all the same
        let framed = |subject| {
            let state = state_of(Outing {
                subject,
                ..outing(735, 170.0)
            });
            derived.scene(&state)
        };
        let [core, scutum] = [Subject::Core, Subject::ScutumCloud].map(framed);
        assert_eq!(core.view, scutum.view);
        assert_ne!(core.core_path, scutum.core_path);
        assert_ne!(core.sky.core, scutum.sky.core);
    }

    /// Between its crossings the core is above the ridge, and the hours marked lie there.
    #[test]
    fn the_hours_marked_lie_where_the_core_is_clear() {
        let derived = Derived::default();
        let state = state(735, 170.0);
        let scene = derived.scene(&state);
        let night = derived.night(&state).night;
        let up = crate::sky::spans::Spans::new(&night.evening.core, true);
        let marks = &scene.core_path.marks;
        assert!(marks.len() > 2, "{marks:?}");
        for (at, (x, y)) in marks {
            let inside = (0.0..=1.0).contains(x) && (0.0..=1.0).contains(y);
            let near =
                |span: &crate::sky::spans::Span| (span.start - 1e-4..=span.end + 1e-4).contains(at);
            assert!(inside && up.0.iter().any(near), "{at}: {x} {y}");
        }
    }
}
