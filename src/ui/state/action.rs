//! What can happen to the page.

use std::rc::Rc;

use chrono::{DateTime, Utc};

use super::deck::DeckAction;
use super::derived::frame_comparison::FrameComparison;
use super::display::DisplayAction;
use super::document::Edit;
use super::ground::GroundAction;
use super::notices::NoticesAction;
use super::offline::OfflineAction;
use super::panorama::PanoramaAction;
use super::routes::RouteAction;
use super::share::ShareAction;
use super::site_sheet::SiteAction;
use super::skyline::SkylineAction;
use super::views::{ExposureAction, FramingAction, SeasonAction, TrackingAction};
use super::weather::WeatherDraft;
use crate::browser::viewport::Viewport;
use crate::camera::photo::PhotoFacts;
use crate::outing::document::{OutingId, SavedLists};
use crate::outing::plan::Outing;
use crate::outing::share::query::DecodedPlan;
use crate::outing::test_frame::measured_stars::MeasuredStars;

/// What happened.
#[derive(Debug, Clone)]
pub enum Action {
    /// The document was edited.
    Edit(Edit),
    /// The last step is taken back.
    Undo,
    /// The step taken back last is brought back.
    Redo,
    /// The outing with this identifier is to be in use again, as it was last.
    ReturnTo(OutingId),
    /// An outing came with a link.
    Arrived(Box<DecodedPlan>),
    /// An outing of the recent ones is opened.
    OpenRecent(OutingId, Box<Outing>),
    /// Another tab changed the saved lists, which are these now.
    ListsStored(Box<SavedLists>),
    /// Another tab stores its outing under this identifier.
    OutingIdTaken(OutingId),
    /// Another tab changed the saved lists, which are to be read.
    StorageChanged,
    /// The phone's clock was read.
    Clock(DateTime<Utc>),
    /// Nothing was changed for a while.
    Rest,
    /// The present minute is to be looked at.
    LookAtNow,
    /// The part of the program with the sheets was loaded, or not.
    DeferredLoaded(Result<(), String>),
    /// Screens and sheets.
    Route(RouteAction),
    /// The window has another size.
    Resized(Viewport),
    /// The deck under the thumb.
    Deck(DeckAction),
    /// Theme and screen lock.
    Display(DisplayAction),
    /// Notices.
    Notices(NoticesAction),
    /// Working without a signal.
    Offline(OfflineAction),
    /// How long?
    Exposure(ExposureAction),
    /// Where?
    Framing(FramingAction),
    /// Why track?
    Tracking(TrackingAction),
    /// The season sheet.
    Season(SeasonAction),
    /// The Kit sheet: a photo was read, or not.
    PhotoRead(Result<PhotoFacts, String>),
    /// A frame was measured, with stars to compare or without; or it was put away.
    FrameMeasured(Option<Rc<MeasuredStars>>),
    /// Its stars are to be looked at beside the drawn ones.
    CompareFrame(Box<FrameComparison>),
    /// The Site sheet.
    Site(SiteAction),
    /// The Skyline sheet.
    Skyline(SkylineAction),
    /// The Panorama sheet.
    Panorama(PanoramaAction),
    /// The settings for the foreground.
    Ground(GroundAction),
    /// The air on the Checklists sheet, as far as it is typed.
    Weather(WeatherDraft),
    /// The Share sheet.
    Share(ShareAction),
}

/// Turns the actions of a part of the state into actions of the page.
macro_rules! from_part {
    ($($part:ident => $variant:ident),* $(,)?) => {
        $(impl From<$part> for Action {
            fn from(action: $part) -> Self {
                Self::$variant(action)
            }
        })*
    };
}

from_part! {
    Edit => Edit,
    RouteAction => Route,
    DeckAction => Deck,
    DisplayAction => Display,
    NoticesAction => Notices,
    OfflineAction => Offline,
    ExposureAction => Exposure,
    FramingAction => Framing,
    TrackingAction => Tracking,
    SeasonAction => Season,
    SiteAction => Site,
    SkylineAction => Skyline,
    PanoramaAction => Panorama,
    GroundAction => Ground,
    ShareAction => Share,
}

/// Turns the edits of a part of the document into actions of the page.
macro_rules! from_edit {
    ($($part:path => $variant:ident),* $(,)?) => {
        $(impl From<$part> for Action {
            fn from(edit: $part) -> Self {
                Self::Edit(Edit::$variant(edit))
            }
        })*
    };
}

from_edit! {
    super::document::kit::KitEdit => Kit,
    super::document::site::SiteEdit => Site,
    super::document::ridge::RidgeEdit => Ridge,
    super::document::exposure::ExposureEdit => Exposure,
    super::document::framing::FramingEdit => Framing,
    super::document::night::NightEdit => Night,
    super::document::mount::MountEdit => Mount,
    super::document::lists::ListsEdit => Lists,
}
