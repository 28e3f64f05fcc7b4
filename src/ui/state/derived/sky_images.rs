//! Pictures of the sky for the canvases: of the horizon strip, of the frame, of the night.
//!
//! Each has a size in pixels of its own, smaller than on the screen: tones change slowly, and a
//! canvas is enlarged smoothly.

use std::rc::Rc;

use chrono::NaiveDate;

use super::Derived;
use super::horizon::Horizon;
use super::memo::Memo;
use super::selected_night::{SelectedNight, days_of};
use crate::angle::Angle;
use crate::camera::view::View;
use crate::outing::plan::site::Site;
use crate::outing::sky_picture::{
    Projection, SkyPicture, SkyTones, Slit, Strip, VisibleStar, in_projection,
};
use crate::sky::spans::Span;
use crate::sky::subject::Subject;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::widgets::sky_canvas::SkyImage;

/// Faintest star on the horizon strip and in small frames, and in a frame.
const FAINT_SMALL: f64 = 4.0;
const FAINT: f64 = 5.0;

/// Pixels of a picture for each px on the screen: of frames and nights at rest, of the strip at rest,
/// of all of them while something changes, and of a small frame then.
const FINE: f64 = 0.5;
const STRIP: f64 = 0.4;
const COARSE: f64 = 0.08;
const SMALL_COARSE: f64 = 0.4;

/// How finely a picture is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// At rest.
    Fine,
    /// While something changes.
    Coarse,
    /// In a small frame, at rest.
    Small,
    /// In a small frame while something changes.
    SmallCoarse,
}

/// What a [`SkyImage`] depends on.
#[derive(Debug, Clone, PartialEq)]
pub struct SkyImageInputs {
    site: Site,
    subject: Subject,
    date: NaiveDate,
    minute: u16,
    shown: Shown,
    pixels: (usize, usize),
    faintest: f64,
}

/// What part of the sky it shows.
#[derive(Debug, Clone, Copy, PartialEq)]
enum Shown {
    Still(Projection),
    Night(Slit),
}

impl SkyImageInputs {
    fn new(
        (site, selected): (&Site, &SelectedNight),
        shown: Shown,
        (size, scale): (Size, f64),
        faintest: f64,
    ) -> Self {
        let pixels = |length: f64| (length * scale).round().max(1.0) as usize;
        Self {
            site: site.clone(),
            subject: selected.night.subject,
            date: selected.night.date,
            // a picture of the night is of all its minutes
            minute: match shown {
                Shown::Still(_) => selected.minute,
                Shown::Night(_) => 0,
            },
            shown,
            pixels: (pixels(size.width), pixels(size.height)),
            faintest,
        }
    }

    /// `stars` as that sky shows them, down to a magnitude.
    fn image(
        &self,
        selected: &SelectedNight,
        stars: impl FnOnce(f64) -> Rc<Vec<VisibleStar>>,
    ) -> SkyImage {
        let night = &selected.night;
        let sky = night.site_sky.night(night.date);
        let picture = SkyPicture::new(&night.site_sky, &sky);
        match &self.shown {
            Shown::Still(projection) => SkyImage {
                tones: picture.tones(days_of(self.minute), projection, self.pixels),
                stars: in_projection(&stars(self.faintest), projection, self.faintest),
            },
            Shown::Night(slit) => SkyImage {
                tones: graded(picture.slit_tones(slit, self.pixels)),
                stars: Vec::new(),
            },
        }
    }
}

/// What the stars that a sky shows depend on: site, date, and minute.
pub type VisibleStarInputs = (Site, NaiveDate, u16);

fn visible_stars(selected: &SelectedNight, faintest: f64) -> Vec<VisibleStar> {
    let night = &selected.night;
    let sky = night.site_sky.night(night.date);
    SkyPicture::new(&night.site_sky, &sky).visible_stars(days_of(selected.minute), faintest)
}

/// Darkest tone of a dark night, taken off as far as a night is that dark: the band stands out.
const FLOOR: u8 = 40;

/// From this tone on the picture of a night brightens more slowly: twilight fills much of it, and
/// is looked at with eyes used to the dark.
const KNEE: f32 = 120.0;
const SLOWER: f32 = 0.3;

/// The tones of a night from end to end of it, as they are shown.
fn graded(mut tones: SkyTones) -> SkyTones {
    let floor = tones.values.iter().copied().min().unwrap_or(0).min(FLOOR);
    let stretch = 255.0 / f32::from(255 - floor);
    for tone in &mut tones.values {
        let over = f32::from(*tone - floor) * stretch;
        *tone = (over.min(KNEE) + (over - KNEE).max(0.0) * SLOWER) as u8;
    }
    tones
}

impl Derived {
    /// The sky over the horizon strip, from the level horizon up, of this size on the screen.
    pub fn strip_sky(&self, state: &State, horizon: &Horizon, size: Size) -> Rc<SkyImage> {
        self.sky_over(state, &self.strip_sky, (horizon, horizon.top_deg), size)
    }

    /// The sky over the horizon of a sheet up to an altitude, of this size on the screen.
    pub fn sheet_sky(
        &self,
        state: &State,
        horizon: &Horizon,
        top_deg: f64,
        size: Size,
    ) -> Rc<SkyImage> {
        self.sky_over(state, &self.sheet_sky, (horizon, top_deg), size)
    }

    fn sky_over(
        &self,
        state: &State,
        memo: &Memo<SkyImageInputs, SkyImage>,
        (horizon, top_deg): (&Horizon, f64),
        size: Size,
    ) -> Rc<SkyImage> {
        let selected = self.night(state);
        let degrees = Angle::from_degrees;
        let strip = Strip {
            from: degrees(horizon.left_deg),
            to: degrees(horizon.left_deg + horizon.span_deg),
            low: Angle::ZERO,
            high: degrees(top_deg),
        };
        let shown = Shown::Still(Projection::Strip(strip));
        let site = &state.outing().site;
        let of = |scale| SkyImageInputs::new((site, &selected), shown, (size, scale), FAINT_SMALL);
        self.progressive(state, memo, (of(STRIP), of(COARSE)))
    }

    /// The sky in a frame at the minute looked at, of this size on the screen.
    pub fn frame_sky(&self, state: &State, view: View, size: Size, grain: Grain) -> Rc<SkyImage> {
        let selected = self.night(state);
        let of = |grain| frame_inputs(&state.outing().site, &selected, view, size, grain);
        // a small frame stands beside a large one
        match grain {
            Grain::Small => self.progressive(
                state,
                &self.small_frame_sky,
                (of(grain), of(Grain::SmallCoarse)),
            ),
            _ => self.progressive(state, &self.frame_sky, (of(grain), of(Grain::Coarse))),
        }
    }

    /// The night through a slit: a span of it, up to an altitude, of this size on the screen.
    pub fn night_sky(&self, state: &State, span: Span, top_deg: f64, size: Size) -> Rc<SkyImage> {
        let selected = self.night(state);
        let shown = Shown::Night(Slit {
            span,
            low: Angle::ZERO,
            high: Angle::from_degrees(top_deg),
        });
        let site = &state.outing().site;
        let of = |scale| SkyImageInputs::new((site, &selected), shown, (size, scale), FAINT);
        self.progressive(state, &self.night_sky, (of(FINE), of(COARSE)))
    }

    /// A picture as it is to be at rest; while something changes, a coarse one, unless the other is
    /// there.
    fn progressive(
        &self,
        state: &State,
        memo: &Memo<SkyImageInputs, SkyImage>,
        (at_rest, coarse): (SkyImageInputs, SkyImageInputs),
    ) -> Rc<SkyImage> {
        let inputs = if state.at_rest || memo.holds(&at_rest) {
            at_rest
        } else {
            coarse
        };
        memo.get(inputs, |inputs| {
            let selected = self.night(state);
            inputs.image(&selected, |faintest| {
                self.visible_stars(state, &selected, faintest)
            })
        })
    }

    /// The stars that the sky of a minute shows: the same for all that is in the picture.
    fn visible_stars(
        &self,
        state: &State,
        selected: &SelectedNight,
        faintest: f64,
    ) -> Rc<Vec<VisibleStar>> {
        let site = state.outing().site.clone();
        let inputs = (site, selected.night.date, selected.minute);
        // small pictures ask for few stars, and for those at every move of the time
        let memo = if faintest > FAINT_SMALL {
            &self.stars
        } else {
            &self.bright_stars
        };
        memo.get(inputs, |_| visible_stars(selected, faintest))
    }
}

/// What the sky in a frame depends on.
pub fn frame_inputs(
    site: &Site,
    selected: &SelectedNight,
    view: View,
    size: Size,
    grain: Grain,
) -> SkyImageInputs {
    let shown = Shown::Still(Projection::Frame(view));
    let (scale, faintest) = match grain {
        Grain::Fine => (FINE, FAINT),
        Grain::Coarse => (COARSE, FAINT),
        Grain::Small => (1.0, FAINT_SMALL),
        Grain::SmallCoarse => (SMALL_COARSE, FAINT_SMALL),
    };
    SkyImageInputs::new((site, selected), shown, (size, scale), faintest)
}

/// The sky in a frame of any night, not memoised: for pictures of several nights or lenses, which
/// are memoised together.
pub fn frame_image(
    site: &Site,
    selected: &SelectedNight,
    view: View,
    size: Size,
    grain: Grain,
) -> SkyImage {
    let inputs = frame_inputs(site, selected, view, size, grain);
    inputs.image(selected, |faintest| {
        Rc::new(visible_stars(selected, faintest))
    })
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A brighter sky stays brighter; black stays black, and full daylight does not glare.
    #[test]
    fn graded_tones_keep_their_order() {
        let tones = |values: Vec<u8>| SkyTones {
            width: values.len(),
            height: 1,
            values,
        };
        let all = graded(tones((0..=255).collect())).values;
        assert!(all.windows(2).all(|pair| pair[0] <= pair[1]));
        assert_eq!((all[0], all[100]), (0, 100));
        assert!((150..=170).contains(&all[255]), "{}", all[255]);
        let night = graded(tones(vec![60, 90, 255])).values;
        assert!(night[0] < 30 && night[1] - night[0] > 30, "{night:?}");
        assert_eq!(graded(SkyTones::default()), SkyTones::default());
    }
}
