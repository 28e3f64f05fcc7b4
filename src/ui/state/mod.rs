//! The page's state.
//!
//! A tree: the [`history`] of the document, and a sub-state with its own actions and reducer
//! for each screen and sheet that has one. Nothing derived is stored here; see [`derived`].
//! [`State::reduce`] (`reduce.rs`) is pure; what the browser has to do is returned as effects.

pub mod action;
pub mod deck;
pub mod derived;
pub mod display;
pub mod document;
pub mod effect;
pub mod ground;
pub mod history;
pub mod notices;
pub mod offline;
pub mod panorama;
mod reduce;
pub mod routes;
pub mod share;
pub mod site_sheet;
pub mod skyline;
mod steps;
pub mod test_frame;
pub mod views;
pub mod weather;

#[cfg(test)]
mod tests;

use std::rc::Rc;

use chrono::{DateTime, Utc};

use crate::browser::theme::{BRIGHTNESS, Theme};
use crate::outing::document::{Document, MOST_KEPT_NIGHTS, OutingId};
use crate::outing::plan::Outing;
use crate::outing::test_frame::measured_stars::MeasuredStars;
use crate::ui::layout::Layout;
use deck::DeckView;
use display::Display;
use ground::GroundDraft;
use history::History;
use notices::Notices;
use offline::Offline;
use panorama::PanoramaDraft;
use routes::{Routes, Sheet};
use share::Share;
use site_sheet::SiteSheet;
use skyline::SkylineDraft;
use views::{ExposureView, FramingView, NightView, TrackingView};
use weather::WeatherDraft;

/// Everything the page knows.
#[derive(Debug, Clone, PartialEq)]
pub struct State {
    /// The document, with what was before and after each edit.
    pub history: History,
    /// The identifier for the next outing that arrives.
    next_id: OutingId,
    /// The time as last read from the phone's clock.
    pub now: DateTime<Utc>,
    /// Whether the part of the program that draws sheets is loaded.
    pub deferred_loaded: bool,
    /// Whether nothing was changed for a while: pictures are then drawn finely.
    pub at_rest: bool,
    /// Whether something under the screen was unfolded at the last change.
    pub reads_folded: bool,
    /// Screen and sheets shown.
    pub routes: Routes,
    /// How the window is divided.
    pub layout: Layout,
    /// The deck under the thumb.
    pub deck: DeckView,
    /// Theme and screen lock.
    pub display: Display,
    /// Sentences to show.
    pub notices: Notices,
    /// Working without a signal.
    pub offline: Offline,
    /// How long?
    pub exposure: ExposureView,
    /// When?
    pub night: NightView,
    /// Where?
    pub framing: FramingView,
    /// Why track?
    pub tracking: TrackingView,
    /// The Kit sheet: what came of the photo opened last.
    pub photo: Option<String>,
    /// Stars of the frame measured last, for the loupes; not stored.
    pub measured_stars: Option<Rc<MeasuredStars>>,
    /// The Site sheet.
    pub site: SiteSheet,
    /// The Skyline sheet.
    pub skyline: SkylineDraft,
    /// The Panorama sheet.
    pub panorama: PanoramaDraft,
    /// The settings for the foreground.
    pub ground: GroundDraft,
    /// The air, while it is half typed.
    pub weather: WeatherDraft,
    /// The Share sheet.
    pub share: Share,
}

impl State {
    /// Whether what unfolds under the screen is to be drawn: at rest, and at once while it is read.
    pub const fn folded_due(&self) -> bool {
        self.at_rest || self.reads_folded
    }

    /// Whether all inputs of a screen are in sight: in a column, or in the deck drawn up.
    pub fn shows_drawer(&self) -> bool {
        self.layout.has_column() || self.deck.drawn_up
    }

    /// A page that starts with this document at this time. Identifiers of outings that
    /// arrive follow from `seed`, which is to be random.
    pub fn new(document: Document, theme: Theme, now: DateTime<Utc>, seed: u64) -> Self {
        Self {
            history: History::new(document),
            next_id: OutingId(seed).next(),
            now,
            deferred_loaded: false,
            at_rest: false,
            reads_folded: false,
            routes: Routes::default(),
            layout: Layout::default(),
            deck: DeckView::default(),
            display: Display {
                theme,
                brightness: BRIGHTNESS.1,
                keep_awake: false,
            },
            notices: Notices::default(),
            offline: Offline::default(),
            exposure: ExposureView::default(),
            night: NightView::default(),
            framing: FramingView::default(),
            tracking: TrackingView::default(),
            photo: None,
            measured_stars: None,
            site: SiteSheet::default(),
            skyline: SkylineDraft::default(),
            panorama: PanoramaDraft::default(),
            ground: GroundDraft::default(),
            weather: WeatherDraft::default(),
            share: Share::default(),
        }
    }

    /// The document in use.
    pub fn document(&self) -> &Document {
        self.history.document()
    }

    /// The outing in use.
    pub fn outing(&self) -> &Outing {
        &self.document().outing
    }

    /// Whether a code of the outing is wanted: to share it, or on the card in print.
    pub fn shows_code(&self) -> bool {
        matches!(self.routes.sheet(), Some(Sheet::Share | Sheet::FieldCard))
    }

    /// Whether the screen is to stay on: asked for, or while the card is read.
    pub fn stays_awake(&self) -> bool {
        self.display.keep_awake || self.routes.sheet() == Some(Sheet::FieldCard)
    }

    /// Whether the clock in use is the site's own, and not the phone's for want of a site.
    pub fn clock_is_the_sites(&self) -> bool {
        self.outing().site.is_set()
    }

    /// Whether there is room for another kept night.
    pub fn can_keep_night(&self) -> bool {
        self.document().kept_nights.len() < MOST_KEPT_NIGHTS
    }
}
