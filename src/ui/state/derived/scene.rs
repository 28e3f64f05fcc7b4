//! What the view through the lens shows, in the parts that change together.
//!
//! Each part has its own inputs: a step of the minute leaves the land and the core's path as they
//! are while the frame stays.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::core_path::{CorePath, CorePathInputs, windows};
use super::horizon::directions::core_and_ahead;
use super::night_band::NightBand;
use super::selected_night::{SelectedNight, days_of};
use crate::camera::view::View;
use crate::land::ridge::RidgeLine;
use crate::outing::framing::scene::land::{Land, LandDetail};
use crate::outing::framing::scene::{MoonInFrame, Place, Scene};
use crate::outing::plan::Outing;
use crate::outing::plan::site::Site;
use crate::sky::almanac::SkyBody;
use crate::sky::subject::Subject;
use crate::ui::state::State;

/// What the land in the frame depends on. Of site and moment there is only what they make of the
/// view.
#[derive(Debug, Clone, PartialEq)]
pub struct LandInputs {
    view: View,
    ridge: RidgeLine,
    detail: LandDetail,
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

/// A view at the minute looked at, places in shares of its picture.
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

/// What stands in the sky of the picture at a minute.
#[derive(Debug, Clone, Copy, PartialEq, Default)]
pub struct FramedSky {
    /// The Moon, where it is above the skyline.
    pub moon: Option<MoonInFrame>,
    /// The core, in front of the ridge or behind it.
    pub core: Option<Place>,
    /// Whether it is above the ridge.
    pub core_is_clear: bool,
    /// A place a little way along the band from the core.
    pub ahead: Option<Place>,
}

impl FramedSky {
    fn new(scene: &Scene<'_>, selected: &SelectedNight) -> Self {
        let at = days_of(selected.minute);
        let (_, ahead) = core_and_ahead(selected);
        let (site_sky, moon) = (&selected.night.site_sky, selected.reading.moon);
        let over_ridge = site_sky.apparent_altitude(moon).0 > site_sky.ridge().height(moon.bearing);
        Self {
            moon: scene.moon(at).filter(|_| over_ridge),
            core: scene.body(SkyBody::Subject, at),
            core_is_clear: scene.core_is_clear(at),
            ahead: scene.place_of(ahead),
        }
    }
}

/// A night's scene through another view.
fn scene_through<'a>((outing, view): (&Outing, View), selected: &'a SelectedNight) -> Scene<'a> {
    let night = &selected.night;
    let sky = night.site_sky.night(night.date);
    Scene::through(view, &outing.site.ridge, &night.site_sky, sky)
}

impl FramedScene {
    /// All of it, not memoised: for pictures that are memoised together.
    pub fn new(
        (outing, view): (&Outing, View),
        selected: &SelectedNight,
        band: &NightBand,
    ) -> Self {
        let scene = scene_through((outing, view), selected);
        let windows = windows(selected);
        Self {
            view,
            land: Rc::new(scene.land(&outing.site.ridge, LandDetail::Coarse)),
            core_path: Rc::new(CorePath::new(&scene, selected, band, &windows)),
            sky: Rc::new(FramedSky::new(&scene, selected)),
        }
    }
}

impl Derived {
    /// The land in the frame.
    pub fn land_in_frame(&self, state: &State) -> Rc<Land> {
        self.land_through(state, self.answer(state).view)
    }

    /// The land through a view: while something changes followed coarsely, unless the other is
    /// there.
    fn land_through(&self, state: &State, view: View) -> Rc<Land> {
        let outing = state.outing();
        let of = |detail| LandInputs {
            view,
            ridge: outing.site.ridge.clone(),
            detail,
        };
        let mut inputs = of(LandDetail::Fine);
        if !state.at_rest && !self.land.holds(&inputs) {
            inputs.detail = LandDetail::Coarse;
        }
        self.land.get(inputs, |inputs| {
            let selected = self.night(state);
            scene_through((outing, view), &selected).land(&inputs.ridge, inputs.detail)
        })
    }

    /// What a view shows at the minute looked at.
    pub fn scene(&self, state: &State, view: View) -> FramedScene {
        let outing = state.outing();
        let selected = &self.night(state);
        let scene = || scene_through((outing, view), selected);
        let land = self.land_through(state, view);
        let inputs = CorePathInputs::new(outing, view, selected);
        let sky_inputs = FramedSkyInputs {
            view,
            site: inputs.site.clone(),
            subject: inputs.subject,
            date: inputs.date,
            minute: selected.minute,
        };
        let core_path = self.core_path.get(inputs, |inputs| {
            CorePath::new(&scene(), selected, &self.night_band(state), &inputs.windows)
        });
        let sky = self
            .framed_sky
            .get(sky_inputs, |_| FramedSky::new(&scene(), selected));
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
    use crate::outing::plan::pointing::Pointing;
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
            let answer = derived.answer(&state);
            let shutter = answer.shutter();
            (
                derived.scene(&state, answer.view),
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
                derived.scene(&state, derived.answer(&state).view),
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
        // in the middle of the frame, where no place of the lens counts
        let centred = |subject| {
            let outing = Outing {
                subject,
                ..outing(735, 170.0)
            };
            let frame = Pointing::at(subject, outing.site.latitude).frame;
            let state = state_of(Outing {
                frame: Some(frame),
                minute: None,
                night: None,
                ..outing
            });
            derived.answer(&state)
        };
        assert_ne!(core.3, band.3);
        let slower = seconds(&centred(Subject::SummerBand)) / seconds(&centred(Subject::Core));
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
            derived.scene(&state, derived.answer(&state).view)
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
        let scene = derived.scene(&state, derived.answer(&state).view);
        let night = derived.night(&state).night;
        let up = crate::sky::spans::Spans::new(&night.evening.core, true);
        let marks = &scene.core_path.hours;
        assert!(marks.len() > 2, "{marks:?}");
        for (at, (x, y)) in marks {
            let inside = (0.0..=1.0).contains(x) && (0.0..=1.0).contains(y);
            let near =
                |span: &crate::sky::spans::Span| (span.start - 1e-4..=span.end + 1e-4).contains(at);
            assert!(inside && up.0.iter().any(near), "{at}: {x} {y}");
        }
    }
}
