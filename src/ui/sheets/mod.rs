//! The sheets that slide over a screen, one file or folder each.

pub mod checklists;
pub mod compare_lenses;
pub mod display;
pub mod field_card;
pub mod frames;
pub mod ground;
pub mod kit;
pub mod night;
pub mod number_entry;
pub mod panorama;
pub mod season;
pub mod share;
pub mod sharpness;
pub mod site;
pub mod skyline;
pub mod test_frame;
pub mod tracker;

use yew::prelude::*;

use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::widgets::dispatch::Dispatch;

/// What the phone's file picker offers: pictures, and raw files by their usual endings.
pub const PICTURE_FILES: &str = "image/*,.dng,.tif,.tiff,.nef,.cr2,.arw,.orf,.pef,.rw2,.srw";

/// A sheet that slides over the screen.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Sheet {
    /// Bodies and lenses.
    Kit,
    /// Where the outing goes.
    Site,
    /// What must stay sharp, and how sharp.
    Sharpness,
    /// Theme and screen lock, sources and accuracy.
    Display,
    /// A focal length typed in.
    FocalLength,
    /// An f-number typed in.
    FNumber,
    /// The night, the skyline's height, the limits.
    Night,
    /// A year of nights.
    Season,
    /// The skyline and what it was made from.
    Skyline,
    /// The arch of the Milky Way and the panorama that covers it.
    Panorama,
    /// The same place through up to three lenses.
    CompareLenses,
    /// Settings for the foreground.
    Ground,
    /// The tracker and its errors.
    Tracker,
    /// A picture of the night sky, measured.
    TestFrame,
    /// The field card.
    FieldCard,
    /// Frames, ISO, and what is known of body, sky and subject.
    Frames,
    /// Lists to tick.
    Checklists,
    /// The outing, kits and sites on their way to another phone and from one.
    Share,
}

/// A sheet, from the state and what is derived from it.
pub fn view(sheet: Sheet, state: &State, derived: &Derived, dispatch: &Dispatch) -> Html {
    let outing = state.outing();
    match sheet {
        Sheet::Kit => kit::kit_sheet(state, dispatch),
        Sheet::Site => site::site_sheet(state, derived, dispatch),
        Sheet::Sharpness => sharpness::sharpness_sheet(outing, dispatch),
        Sheet::Display => display::display_sheet(state.display, &state.offline, dispatch),
        Sheet::FocalLength => number_entry::focal_length_sheet(state.document(), dispatch),
        Sheet::FNumber => number_entry::f_number_sheet(outing, dispatch),
        Sheet::Night => night::night_sheet(state, derived, dispatch),
        Sheet::Season => season::season_sheet(state, derived, dispatch),
        Sheet::Skyline => skyline::skyline_sheet(state, derived, dispatch),
        Sheet::Panorama => panorama::panorama_sheet(state, derived, dispatch),
        Sheet::CompareLenses => compare_lenses::compare_lenses_sheet(state, derived, dispatch),
        Sheet::Ground => ground::ground_sheet(state, derived, dispatch),
        Sheet::Tracker => tracker::tracker_sheet(outing, dispatch),
        Sheet::TestFrame => test_frame::test_frame_sheet(state, dispatch),
        Sheet::FieldCard => field_card::field_card_sheet(state, derived, dispatch),
        Sheet::Frames => frames::frames_sheet(outing, &derived.field(state), dispatch),
        Sheet::Checklists => checklists::checklists_sheet(state, dispatch),
        Sheet::Share => share::share_sheet(state, dispatch),
    }
}
