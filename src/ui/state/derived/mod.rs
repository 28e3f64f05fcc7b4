//! Values derived from the state, each computed again only when its inputs changed.
//!
//! Screens and sheets take from here whatever costs more than a line of arithmetic. Nothing is
//! invalidated by hand: a [`Memo`] compares its inputs.

pub mod compare_lenses;
pub mod core_frames;
pub mod core_path;
pub mod drift_map;
pub mod field_card;
pub mod frame_comparison;
pub mod frame_drawing;
pub mod ground;
pub mod horizon;
pub mod kept_nights;
pub mod memo;
pub mod night_band;
pub mod panorama;
pub mod places_found;
pub mod scene;
pub mod season;
pub mod selected_night;
pub mod sharp_pool;
pub mod shot_plan;
pub mod sky_images;
pub mod small_frame;
pub mod star_images;
pub mod tracking_analysis;

use std::rc::Rc;

use chrono::{DateTime, NaiveDate, Utc};

use super::State;
use super::panorama::PanoramaDraft;
use crate::browser::time_zone::BrowserTimeZones;
use crate::camera::drift_map::DriftMap;
use crate::land::ridge::RidgeLine;
use crate::outing::exposure::Answer;
use crate::outing::framing::arch::Arches;
use crate::outing::framing::scene::land::Land;
use crate::outing::ground::Ground;
use crate::outing::night::help::NoWindowHelp;
use crate::outing::night::season::NightSummary;
use crate::outing::night::subjects_up::{SubjectUp, subjects_up};
use crate::outing::plan::Outing;
use crate::outing::plan::limits::Limits;
use crate::outing::plan::site::Site;
use crate::outing::sky_picture::VisibleStar;
use crate::sky::observer::GeoPosition;
use crate::sky::subject::Subject;
use crate::sky::tonight::tonight;
use crate::ui::widgets::sky_canvas::SkyImage;
use compare_lenses::{CompareInputs, ComparedLens, LensPictures, LensPicturesInputs};
use core_frames::{CoreFrameInputs, CoreFrames};
use core_path::{CorePath, CorePathInputs};
use drift_map::DriftMapInputs;
use field_card::FieldAnalysis;
use ground::GroundInputs;
use horizon::{Horizon, HorizonInputs};
use memo::Memo;
use night_band::{NightBand, NightBandInputs};
use panorama::Panorama;
use places_found::FoundPlace;
use scene::{FramedSky, FramedSkyInputs, LandInputs};
use season::Season;
use selected_night::{MoonSunCrossings, Night, NightInputs, SelectedNight};
use sharp_pool::{DrawnPool, PoolInputs};
use shot_plan::ShotPlan;
use sky_images::{SkyImageInputs, VisibleStarInputs};
use small_frame::{BestFrameInputs, SmallFrame, SmallLandInputs};
use star_images::{StarImageInputs, StarImages};
use tracking_analysis::{LensTable, TrackingAnalysis};

/// Everything derived, as far as something asked for it.
#[derive(Default)]
pub struct Derived {
    answer: Memo<AnswerInputs, Answer>,
    star_images: Memo<StarImageInputs, StarImages>,
    drift_map: Memo<DriftMapInputs, DriftMap>,
    sharp_pool: Memo<PoolInputs, DrawnPool>,
    shot_plan: Memo<(Outing, NaiveDate, u16), ShotPlan>,
    compared_lenses: Memo<CompareInputs, Vec<ComparedLens>>,
    lens_pictures: Memo<LensPicturesInputs, LensPictures>,
    core_frames: Memo<CoreFrameInputs, CoreFrames>,
    land: Memo<LandInputs, Land>,
    turned_land: Memo<SmallLandInputs, Land>,
    core_path: Memo<CorePathInputs, CorePath>,
    framed_sky: Memo<FramedSkyInputs, FramedSky>,
    night_band: Memo<NightBandInputs, NightBand>,
    tonight: Memo<(DateTime<Utc>, GeoPosition), NaiveDate>,
    night: Memo<NightInputs, Night>,
    crossings: Memo<NightInputs, MoonSunCrossings>,
    horizon: Memo<HorizonInputs, Horizon>,
    sheet_horizon: Memo<HorizonInputs, Horizon>,
    strip_sky: Memo<SkyImageInputs, SkyImage>,
    sheet_sky: Memo<SkyImageInputs, SkyImage>,
    frame_sky: Memo<SkyImageInputs, SkyImage>,
    small_frame_sky: Memo<SkyImageInputs, SkyImage>,
    night_sky: Memo<SkyImageInputs, SkyImage>,
    stars: Memo<VisibleStarInputs, Vec<VisibleStar>>,
    bright_stars: Memo<VisibleStarInputs, Vec<VisibleStar>>,
    small_land: Memo<SmallLandInputs, Land>,
    best_frames: Memo<BestFrameInputs, Vec<SmallFrame>>,
    help: Memo<NightInputs, NoWindowHelp>,
    season: Memo<(Site, Subject, Limits, NaiveDate), Season>,
    subjects_up: Memo<(Site, Limits, NaiveDate), Vec<SubjectUp>>,
    best_nights: Memo<(Site, Subject, Limits, NaiveDate), Vec<NightSummary>>,
    kept_nights: Memo<(Site, Subject, Limits, Vec<NaiveDate>), Vec<NightSummary>>,
    lens_table: Memo<(Outing, NaiveDate, u16), LensTable>,
    tracking: Memo<(Outing, NaiveDate, u16, f64), TrackingAnalysis>,
    ground: Memo<GroundInputs, Ground>,
    field: Memo<(Outing, NaiveDate, u16), FieldAnalysis>,
    places_found: Memo<(String, bool), Vec<FoundPlace>>,
    arches: Memo<(GeoPosition, NaiveDate), Arches>,
    panorama: Memo<(Outing, NaiveDate, u16, PanoramaDraft), Panorama>,
}

/// What an [`Answer`] depends on: the outing without limits, and with a chosen frame without the
/// skyline, which the default frame holds.
#[derive(Debug, Clone, PartialEq)]
struct AnswerInputs(Outing);

impl AnswerInputs {
    fn new(outing: &Outing) -> Self {
        let ridge = match outing.frame {
            Some(_) => RidgeLine::default(),
            None => outing.site.ridge.clone(),
        };
        let site = Site {
            ridge,
            name: String::new(),
            ..outing.site.clone()
        };
        Self(Outing {
            site,
            limits: Limits::default(),
            ..outing.clone()
        })
    }
}

impl Derived {
    /// The shutter time and what belongs to it.
    pub fn answer(&self, state: &State) -> Rc<Answer> {
        let key = AnswerInputs::new(state.outing());
        self.answer.get(key, |inputs| Answer::compute(&inputs.0))
    }

    /// The date of the coming night at the site.
    pub fn tonight(&self, state: &State) -> NaiveDate {
        let key = (state.now, state.outing().site.on_earth());
        *self
            .tonight
            .get(key, |(now, position)| tonight(*now, *position))
    }

    /// The night selected, or else tonight, and the minute looked at.
    pub fn night(&self, state: &State) -> SelectedNight {
        let inputs = self.night_inputs(state);
        let night = self
            .night
            .get(inputs, |inputs| Night::new(inputs, &BrowserTimeZones));
        SelectedNight {
            live: state.night.live,
            ..SelectedNight::new(night, state.outing().minute)
        }
    }

    /// When Moon and Sun cross the skyline in that night.
    pub fn crossings(&self, state: &State) -> Rc<MoonSunCrossings> {
        let selected = self.night(state);
        self.crossings.get(self.night_inputs(state), |_| {
            MoonSunCrossings::new(&selected.night)
        })
    }

    /// What would give the night selected a window; `None` where it has one.
    pub fn no_window_help(&self, state: &State) -> Option<Rc<NoWindowHelp>> {
        let night = self.night(state).night;
        let windows = &night.evening.usable.windows;
        windows.is_empty().then(|| {
            self.help.get(self.night_inputs(state), |inputs| {
                NoWindowHelp::new(
                    (&inputs.site, inputs.subject),
                    &night.site_sky,
                    &inputs.limits,
                    inputs.date,
                )
            })
        })
    }

    /// Twelve months from tonight's on; of another year where the night selected is not among them.
    pub fn season(&self, state: &State) -> Rc<Season> {
        let outing = state.outing();
        let tonight = self.tonight(state);
        let first = season::first_month(tonight, outing.night.unwrap_or(tonight));
        let key = (outing.site.clone(), outing.subject, outing.limits, first);
        self.season.get(key, |(site, subject, limits, first)| {
            Season::new(site, *subject, limits, *first)
        })
    }

    /// The subjects that the night selected has a shot window for.
    pub fn subjects_up(&self, state: &State) -> Rc<Vec<SubjectUp>> {
        let (outing, tonight) = (state.outing(), self.tonight(state));
        let date = outing.night.unwrap_or(tonight);
        let key = (outing.site.clone(), outing.limits, date);
        self.subjects_up
            .get(key, |(site, limits, date)| subjects_up(site, limits, *date))
    }

    /// The best three nights within a year from tonight on, of three Moons; the best first.
    pub fn best_nights(&self, state: &State) -> Rc<Vec<NightSummary>> {
        let (tonight, outing) = (self.tonight(state), state.outing());
        let key = (outing.site.clone(), outing.subject, outing.limits, tonight);
        // which year is known changes the cost, not the nights
        self.best_nights
            .get(key, |(site, subject, limits, tonight)| {
                season::best_coming((site, *subject), limits, *tonight, &self.season(state))
            })
    }

    /// The kept nights, in order, at the outing's site and within its limits.
    pub fn kept_nights(&self, state: &State) -> Rc<Vec<NightSummary>> {
        let (document, outing) = (state.document(), state.outing());
        let dates = document.kept_nights.clone();
        let key = (outing.site.clone(), outing.subject, outing.limits, dates);
        self.kept_nights.get(key, |(site, subject, limits, dates)| {
            kept_nights::summaries((site, *subject), limits, dates)
        })
    }

    /// What a tracker and a stack gain, with the lens looked at.
    pub fn tracking(&self, state: &State) -> Rc<TrackingAnalysis> {
        let (selected, outing) = (self.night(state), state.outing());
        let focal_mm = state.tracking.tried_mm.unwrap_or(outing.kit.lens.focal_mm);
        let date = selected.night.date;
        let table = self
            .lens_table
            .get((outing.clone(), date, selected.minute), |_| {
                LensTable::new(outing, &selected)
            });
        let key = (outing.clone(), date, selected.minute, focal_mm);
        self.tracking
            .get(key, |_| TrackingAnalysis::new(outing, table, focal_mm))
    }

    /// The field card, and the corners with its settings. The outing, the night's date and
    /// the minute looked at determine it; tonight and the best minute are resolved in them.
    pub fn field(&self, state: &State) -> Rc<FieldAnalysis> {
        let (selected, outing) = (self.night(state), state.outing());
        let key = (outing.clone(), selected.night.date, selected.minute);
        self.field
            .get(key, |_| FieldAnalysis::new(outing, &selected))
    }

    /// The arch of the Milky Way and the panorama that covers it. The arches of a night
    /// depend on position and date alone; a plan of hundreds of frames is not laid again
    /// while outing, minute and draft stay as they are.
    pub fn panorama(&self, state: &State) -> Rc<Panorama> {
        let (selected, outing) = (self.night(state), state.outing());
        let (date, draft) = (selected.night.date, state.panorama.to_plan());
        let key = (outing.clone(), date, selected.minute, draft);
        self.panorama.get(key, |_| {
            let arches = self
                .arches
                .get((outing.site.on_earth(), date), |(position, _)| {
                    Arches::over(*position, selected.night.evening.start)
                });
            let answer = self.answer(state);
            Panorama::new(outing, &answer, (&arches, &selected), &draft)
        })
    }

    fn night_inputs(&self, state: &State) -> NightInputs {
        let (tonight, outing) = (self.tonight(state), state.outing());
        let date = outing.night.unwrap_or(tonight);
        NightInputs {
            site: outing.site.clone(),
            subject: outing.subject,
            limits: outing.limits,
            date,
            tonight: date == tonight,
        }
    }
}
