//! The search for a town and for the phone's own place.

use super::document::Edit;
use super::document::site::SiteEdit;
use crate::outing::gazetteer::parse::Coordinates;
use crate::outing::plan::site::Site;

/// The search, while the Site sheet is open.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SiteSheet {
    /// The town looked for, as typed.
    pub query: String,
    /// The list of towns.
    pub gazetteer: GazetteerState,
    /// What came of the last request for the phone's place.
    pub location: Option<String>,
}

/// The list of towns, which is loaded when the sheet is opened.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub enum GazetteerState {
    /// Not asked for yet, or on its way.
    #[default]
    Loading,
    /// There.
    Loaded,
    /// Not to be had, and why.
    Failed(String),
}

/// What changes it.
#[derive(Debug, Clone)]
pub enum SiteAction {
    /// The phone's position, or why there is none.
    Located(Result<Coordinates, String>),
    /// A town is looked for.
    Search(String),
    /// A town is chosen.
    ChooseTown(Box<Site>),
    /// The list of towns was loaded, or not.
    GazetteerLoaded(Result<(), String>),
}

impl SiteSheet {
    /// Applies an action, with the edit of the document that follows from it. `open` tells
    /// whether the sheet is.
    pub fn reduce(&mut self, action: SiteAction, open: bool) -> Option<Edit> {
        match action {
            SiteAction::Located(found) => {
                let (edit, message) = match found {
                    Ok(place) => (
                        Some(Edit::Site(SiteEdit::Located(place))),
                        "The phone's place is in use now.".to_owned(),
                    ),
                    Err(why) => (None, why),
                };
                // shown only while the sheet that asked is open
                self.location = open.then_some(message);
                return edit;
            }
            SiteAction::Search(query) => self.query = query,
            SiteAction::ChooseTown(site) => {
                self.query.clear();
                return Some(Edit::Site(SiteEdit::Use(site)));
            }
            SiteAction::GazetteerLoaded(loaded) => {
                self.gazetteer = match loaded {
                    Ok(()) => GazetteerState::Loaded,
                    Err(why) => GazetteerState::Failed(why),
                };
            }
        }
        None
    }

    /// The sheet was closed: what was asked is over, the list stays.
    pub fn close(&mut self) {
        self.query.clear();
        self.location = None;
    }
}
