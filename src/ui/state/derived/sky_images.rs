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
use crate::outing::sky_picture::{Projection, SkyPicture, SkyTones, Slit, Strip};
use crate::sky::spans::Span;
use crate::sky::subject::Subject;
use crate::ui::layout::Size;
use crate::ui::state::State;
use crate::ui::widgets::sky_canvas::SkyImage;

/// Faintest star on the horizon strip and in small frames, and in a frame.
const FAINT_SMALL: f64 = 4.0;
const FAINT: f64 = 5.0;

/// Pixels of a picture for each px on the screen: of frames and nights at rest, of the strip at rest,
/// and of both while something changes.
const FINE: f64 = 0.5;
const STRIP: f64 = 0.4;
const COARSE: f64 = 0.2;

/// How finely a picture is made.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Grain {
    /// At rest.
    Fine,
    /// While something changes.
    Coarse,
    /// In a small frame.
    Small,
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

    fn image(&self, selected: &SelectedNight) -> SkyImage {
        let night = &selected.night;
        let sky = night.site_sky.night(night.date);
        let picture = SkyPicture::new(&night.site_sky, &sky);
        let at = days_of(self.minute);
        match &self.shown {
            Shown::Still(projection) => SkyImage {
                tones: picture.tones(at, projection, self.pixels),
                stars: picture.stars(at, projection, self.faintest),
            },
            Shown::Night(slit) => SkyImage {
                tones: graded(picture.slit_tones(slit, self.pixels)),
                stars: Vec::new(),
            },
        }
    }
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
        progressive(state, memo, of(STRIP), || of(COARSE), &selected)
    }

    /// The sky in a frame at the minute looked at, of this size on the screen.
    pub fn frame_sky(&self, state: &State, view: View, size: Size, grain: Grain) -> Rc<SkyImage> {
        let selected = self.night(state);
        let of = |grain| frame_inputs(&state.outing().site, &selected, view, size, grain);
        // a small frame stands beside a large one
        match grain {
            Grain::Small => {
                let memo = &self.small_frame_sky;
                memo.get(of(grain), |inputs| inputs.image(&selected))
            }
            _ => progressive(
                state,
                &self.frame_sky,
                of(grain),
                || of(Grain::Coarse),
                &selected,
            ),
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
        progressive(state, &self.night_sky, of(FINE), || of(COARSE), &selected)
    }
}

/// A picture as it is to be at rest; while something changes, a coarse one, unless the other is
/// there.
fn progressive(
    state: &State,
    memo: &Memo<SkyImageInputs, SkyImage>,
    at_rest: SkyImageInputs,
    coarse: impl FnOnce() -> SkyImageInputs,
    selected: &SelectedNight,
) -> Rc<SkyImage> {
    let inputs = if state.at_rest || memo.holds(&at_rest) {
        at_rest
    } else {
        coarse()
    };
    memo.get(inputs, |inputs| inputs.image(selected))
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
    frame_inputs(site, selected, view, size, grain).image(selected)
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
