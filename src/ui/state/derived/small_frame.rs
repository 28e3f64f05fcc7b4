//! Small frames: what the camera holds at a minute of a night, for pictures the size of a thumb.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::horizon::directions::along_band;
use super::memo::Memo;
use super::selected_night::{Night, NightInputs, SelectedNight, days_of};
use super::sky_images::{Grain, frame_image};
use crate::browser::time_zone::BrowserTimeZones;
use crate::camera::view::View;
use crate::land::ridge::RidgeLine;
use crate::outing::framing::scene::land::{Land, LandDetail};
use crate::outing::framing::scene::{Place, Scene};
use crate::outing::plan::Outing;
use crate::sky::almanac::SkyBody;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::widgets::sky_canvas::SkyImage;

/// Pixels of the picture for each px on the screen.
const SCALE: f64 = 0.6;

/// A small frame.
#[derive(Debug, Clone, PartialEq)]
pub struct SmallFrame {
    /// Width over height.
    pub aspect_ratio: f64,
    /// The sky.
    pub sky: Rc<SkyImage>,
    /// The land.
    pub land: Rc<Land>,
    /// The core, in shares of the frame from its upper left corner, where it is in the frame and
    /// above the skyline.
    pub core: Option<Place>,
    /// Direction of the band at the core, to the right and up.
    pub along_band: (f64, f64),
}

/// The land in a frame depends on these.
pub type SmallLandInputs = (View, RidgeLine);

/// The best nights' frames depend on these: an outing without night and minute, the nights, and the longer
/// side of a frame, px.
pub type BestFrameInputs = (Outing, Vec<NaiveDate>, f64);

/// A small frame of this height is so large, px.
pub fn fitted(aspect_ratio: f64, longest_px: f64) -> Size {
    Size {
        width: longest_px,
        height: longest_px,
    }
    .fitted(aspect_ratio)
}

fn shrunk(size: Size) -> Size {
    Size {
        width: size.width * SCALE,
        height: size.height * SCALE,
    }
}

fn aspect_ratio(view: &View) -> f64 {
    view.sensor.width_mm / view.sensor.height_mm
}

/// The core in the frame.
fn core_in(scene: &Scene<'_>, at: f64) -> Option<Place> {
    let clear = scene.core_is_clear(at);
    scene.body(SkyBody::Subject, at).filter(|_| clear)
}

impl Derived {
    /// The frame at the minute looked at, whose longer side is so long on the screen, px.
    pub fn small_frame(&self, state: &State, longest_px: f64) -> SmallFrame {
        let view = self.answer(state).view;
        self.small_frame_of(state, (view, &self.small_land), longest_px)
    }

    /// A frame that points elsewhere than the camera.
    pub fn turned_frame(&self, state: &State, view: View, longest_px: f64) -> SmallFrame {
        self.small_frame_of(state, (view, &self.turned_land), longest_px)
    }

    /// The frame of a view, whose land is kept in this memo.
    fn small_frame_of(
        &self,
        state: &State,
        (view, land): (View, &Memo<SmallLandInputs, Land>),
        longest_px: f64,
    ) -> SmallFrame {
        let outing = state.outing();
        let selected = self.night(state);
        let night = &selected.night;
        let site_sky = &night.site_sky;
        let sky = site_sky.night(night.date);
        let scene = Scene::through(view, &outing.site.ridge, site_sky, sky);
        let ratio = aspect_ratio(&view);
        let size = shrunk(fitted(ratio, longest_px));
        SmallFrame {
            aspect_ratio: ratio,
            sky: self.frame_sky(state, view, size, Grain::Small),
            land: land.get((view, outing.site.ridge.clone()), |(_, ridge)| {
                scene.land(ridge, LandDetail::Coarse)
            }),
            core: core_in(&scene, days_of(selected.minute)),
            along_band: along_band(&selected),
        }
    }

    /// The frames of the best nights to come, each at its best minute.
    pub fn best_frames(&self, state: &State, longest_px: f64) -> Rc<Vec<SmallFrame>> {
        let outing = Outing {
            night: None,
            minute: None,
            ..state.outing().clone()
        };
        let best = self.best_nights(state);
        let dates = best.iter().map(|night| night.date).collect();
        let key = (outing, dates, longest_px);
        self.best_frames.get(key, |(outing, dates, longest_px)| {
            let frame = |date: &NaiveDate| best_frame(outing, *date, *longest_px);
            dates.iter().map(frame).collect()
        })
    }
}

/// The frame of a night at its best minute.
fn best_frame(outing: &Outing, date: NaiveDate, longest_px: f64) -> SmallFrame {
    let inputs = NightInputs {
        site: outing.site.clone(),
        subject: outing.subject,
        limits: outing.limits,
        date,
        tonight: false,
    };
    let selected = SelectedNight::new(Rc::new(Night::new(&inputs, &BrowserTimeZones)), None);
    let outing = Outing {
        night: Some(date),
        minute: Some(selected.minute),
        ..outing.clone()
    };
    let (view, night) = (outing.view(), &selected.night);
    let scene = Scene::new(&outing, &night.site_sky, night.site_sky.night(date));
    let ratio = aspect_ratio(&view);
    let size = shrunk(fitted(ratio, longest_px));
    SmallFrame {
        aspect_ratio: ratio,
        sky: Rc::new(frame_image(
            &outing.site,
            &selected,
            view,
            size,
            Grain::Small,
        )),
        land: Rc::new(scene.land(&outing.site.ridge, LandDetail::Coarse)),
        core: core_in(&scene, days_of(selected.minute)),
        along_band: along_band(&selected),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::outing::plan::site::Zone;

    /// 46.5° N in June: at the best minute of a moonless night the core stands in the frame that
    /// is proposed, above the land, and left of the band's upper end, which leans to the left.
    #[test]
    fn the_best_frame_holds_the_core() {
        let mut outing = Outing::default();
        outing.site.latitude = Angle::from_degrees(46.5);
        outing.site.zone = Zone::Fixed(120);
        let date = NaiveDate::from_ymd_opt(2027, 6, 4).expect("a date");
        let frame = best_frame(&outing, date, 72.0);
        let (x, y) = frame.core.expect("the core");
        assert!((0.0..=1.0).contains(&x) && (0.0..=1.0).contains(&y));
        assert!(!frame.land.ground.is_empty() || !frame.land.ridge.is_empty());
        let (right, up) = frame.along_band;
        assert!((right.hypot(up) - 1.0).abs() < 1e-9);
        let size = fitted(frame.aspect_ratio, 72.0);
        assert!((size.width.max(size.height) - 72.0).abs() < 1e-9);
    }
}
