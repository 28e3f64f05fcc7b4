//! The page's state, and what becomes of it when something happens.
//!
//! A tree: the [`history`] of the document, and a sub-state with its own actions and reducer
//! for each screen and sheet that has one. Nothing derived is stored here; see [`derived`].
//! [`State::reduce`] is pure; what the browser has to do is returned as effects.

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
pub mod routes;
pub mod share;
pub mod site_sheet;
pub mod skyline;
pub mod test_frame;
pub mod views;
pub mod weather;

#[cfg(test)]
mod tests;

use std::rc::Rc;

use chrono::{DateTime, NaiveDate, Utc};

use crate::browser::theme::{BRIGHTNESS, Theme};
use crate::camera::photo::PhotoFacts;
use crate::outing::document::{Document, ListsChange, MOST_KEPT_NIGHTS, OutingId};
use crate::outing::plan::Outing;
use crate::outing::share::query::{DecodedPlan, LINK_IGNORED};
use crate::outing::test_frame::measured_stars::MeasuredStars;
use crate::ui::layout::Layout;
use crate::ui::text::photo::kit_from_photo;
use crate::ui::text::share::{OUTING_IN_USE, outing_name};
use action::Action;
use deck::{DeckAction, DeckView};
use derived::frame_comparison::FrameComparison;
use display::Display;
use document::Edit;
use document::exposure::ExposureEdit;
use document::kit::KitEdit;
use document::lists::ListsEdit;
use document::night::{NightEdit, present_minute};
use effect::Effect;
use ground::GroundDraft;
use history::History;
use notices::{Notices, NoticesAction};
use offline::Offline;
use panorama::PanoramaDraft;
use routes::{RouteAction, Routes, Screen, Sheet};
use share::{Share, ShareAction};
use site_sheet::SiteSheet;
use skyline::SkylineDraft;
use views::{ExposureView, FramingView, NightView, SeasonAction, TrackingView};
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

    /// Applies an action; the effects that follow are to be performed.
    pub fn reduce(&mut self, action: Action) -> Vec<Effect> {
        let before = self.clone();
        let clock = matches!(action, Action::Clock(_));
        let elsewhere = matches!(action, Action::ListsStored(_));
        let quiet = clock
            || matches!(
                action,
                Action::Rest | Action::Offline(_) | Action::Deck(DeckAction::HideUndo)
            );
        let navigation = match action {
            Action::Route(RouteAction::Restore(_)) => None,
            Action::Route(RouteAction::Close) | Action::DeferredLoaded(_) => {
                Some(Effect::Retreat as fn(Routes) -> Effect)
            }
            _ => Some(Effect::Advance as fn(Routes) -> Effect),
        };
        let mut effects = Vec::new();
        if matches!(action, Action::Notices(NoticesAction::UseNewVersion)) {
            effects.push(Effect::ActivateNewVersion);
        }
        self.apply(action);
        if before.routes.screen != self.routes.screen {
            self.deck = DeckView {
                edits: self.deck.edits,
                ..DeckView::default()
            };
        }
        if before.routes != self.routes {
            // what is chosen on another screen or sheet is chosen anew
            self.history.end_run();
            self.sheets_changed(&before.routes.sheets);
            effects.extend(navigation.map(|navigate| navigate(self.routes.clone())));
        }
        effects.extend(effect::of_change(&before, self));
        if !quiet && *self != before {
            self.at_rest = false;
            effects.push(Effect::RestLater);
        }
        if clock {
            // a minute that goes by is stored with the next edit
            effects.retain(|effect| *effect != Effect::Save);
        }
        if elsewhere {
            // the tab that keeps it asks
            effects.retain(|effect| *effect != Effect::KeepForGood);
        }
        effects
    }

    fn apply(&mut self, action: Action) {
        match action {
            Action::Edit(edit) => self.edit(edit),
            Action::Undo => self.travel(History::undo),
            Action::Redo => self.travel(History::redo),
            Action::ReturnTo(id) => {
                if let Some(document) = self.history.last_of(id) {
                    let outing = Box::new(document.outing.clone());
                    self.edit(Edit::Open(id, outing));
                }
                self.notices.retire_arrivals();
            }
            Action::Arrived(plan) => self.arrive(*plan),
            Action::OpenRecent(id, outing) => {
                self.edit(Edit::Open(id, outing));
                if self.routes.sheet() == Some(Sheet::Share) {
                    self.share.message = Some(OUTING_IN_USE.to_owned());
                }
            }
            Action::ListsStored(stored) => {
                let change = ListsChange::between(self.document(), &stored);
                if !change.is_empty() {
                    self.history.rewrite(|document| change.apply(document));
                }
            }
            Action::OutingIdTaken(taken) => {
                let id = self.take_id();
                self.history.rename_outing(taken, id);
            }
            // answered with the lists, see `App::update`
            Action::StorageChanged => {}
            Action::Rest => self.at_rest = true,
            Action::Clock(now) => {
                self.now = now;
                self.follow_clock();
            }
            Action::LookAtNow => self.edit(Edit::Night(NightEdit::Now(self.now))),
            Action::DeferredLoaded(Ok(())) => self.deferred_loaded = true,
            Action::DeferredLoaded(Err(message)) => {
                // nobody misses it until a sheet is opened, which loads it again
                if self.routes.sheet().is_some() {
                    self.routes.sheets.clear();
                    self.notices.message(message);
                }
            }
            Action::Route(action) => self.routes.reduce(action),
            Action::Resized(viewport) => self.layout = Layout(viewport),
            Action::Deck(action) => self.deck.reduce(action),
            Action::Display(action) => self.display.reduce(action),
            Action::Notices(action) => self.notices.reduce(action),
            Action::Offline(action) => self.offline.reduce(action),
            Action::Exposure(action) => self.exposure.reduce(action),
            Action::Framing(action) => self.framing.reduce(action),
            Action::Tracking(action) => self.tracking.reduce(action),
            Action::Season(SeasonAction::Pick(date)) => {
                self.edit(Edit::Night(NightEdit::Date(date)));
                self.routes = Routes {
                    screen: Screen::Night,
                    sheets: Vec::new(),
                };
            }
            Action::PhotoRead(read) => self.read_photo(read),
            Action::FrameMeasured(stars) => self.measured_stars = stars,
            Action::CompareFrame(comparison) => {
                let FrameComparison {
                    taken,
                    lens,
                    thirds,
                } = *comparison;
                self.edit(Edit::FromTestFrame(taken, lens));
                self.exposure.tried_thirds = thirds;
                self.routes = Routes::default();
            }
            Action::Site(action) => {
                let open = self.routes.sheet() == Some(Sheet::Site);
                let edit = self.site.reduce(action, open);
                self.edit_if_any(edit);
            }
            Action::Skyline(action) => {
                let open = self.routes.sheet() == Some(Sheet::Skyline);
                let site = &self.history.document().outing.site;
                let edit = self.skyline.reduce(action, (site, self.now), open);
                self.edit_if_any(edit);
            }
            Action::Panorama(action) => self.panorama.reduce(action),
            Action::Ground(action) => self.ground.reduce(action),
            Action::Weather(typed) => {
                let edit = self.weather.reduce(typed);
                self.edit(edit);
            }
            // drawn for a sheet that was closed meanwhile
            Action::Share(ShareAction::CodeDrawn(_)) if !self.shows_code() => {}
            Action::Share(action) => {
                let id = self.take_id();
                let edit = self.share.reduce(action, self.history.document(), id);
                self.edit_if_any(edit);
                // shown only while the sheet that asked is open
                if !self.shows_code() {
                    self.share = Share::default();
                }
            }
        }
    }

    fn edit_if_any(&mut self, edit: Option<Edit>) {
        if let Some(edit) = edit {
            self.edit(edit);
        }
    }

    /// Edits the document: a step of the history, where something changes.
    fn edit(&mut self, edit: Edit) {
        let kind = edit.kind();
        let came = matches!(edit, Edit::Open(..) | Edit::Import(..));
        // a lens that is chosen is the one to look at, also where it was in use already
        if matches!(
            edit,
            Edit::Kit(KitEdit::FocalLength(_)) | Edit::Lists(ListsEdit::UseKit(_))
        ) {
            self.tracking.tried_mm = None;
        }
        // minutes are spent on a stack
        self.tracking.stacked |= matches!(
            edit,
            Edit::Exposure(ExposureEdit::TotalTime(_) | ExposureEdit::StepTotalTime(_))
        );
        let to_now = matches!(edit, Edit::Night(NightEdit::Now(_)));
        self.night.live |= to_now;
        let before = self.history.document().clone();
        let mut document = Document::clone(&before);
        edit.apply(&mut document);
        if !to_now {
            self.end_live(&before, &document);
        }
        if self.night.live {
            // the site may have moved
            let to = self.present(&document);
            set_minute(&mut document, to);
        }
        if document == *before {
            return;
        }
        if document.id != before.id {
            let name = outing_name(&document.outing);
            self.notices.outing_arrived(name, before.id);
        }
        self.history.record(document, kind);
        // what came by itself has a notice with its own way back
        if !came {
            self.deck.offers_undo = true;
            self.deck.edits = self.deck.edits.wrapping_add(1);
        }
        self.end_trials(&before);
    }

    /// Goes through the history.
    fn travel(&mut self, go: fn(&mut History)) {
        let before = self.history.document().clone();
        go(&mut self.history);
        self.deck.offers_undo = false;
        let document = self.history.document().clone();
        self.end_live(&before, &document);
        if self.document().id != before.id {
            self.notices.retire_arrivals();
        }
        self.end_trials(&before);
    }

    /// What was tried is over when the document changes.
    fn end_trials(&mut self, before: &Document) {
        self.exposure.tried_thirds = 0;
        if self.outing().site.on_earth() != before.outing.site.on_earth() {
            self.skyline.site_moved();
        }
        let focal_mm = |document: &Document| document.outing.kit.lens.focal_mm;
        if focal_mm(self.document()) != focal_mm(before) {
            self.tracking.tried_mm = None;
        }
    }

    /// Another outing, night or minute is looked at: the page no longer follows the clock.
    fn end_live(&mut self, before: &Document, after: &Document) {
        let looked_at = |document: &Document| (document.id, minute_of(document));
        self.night.live &= looked_at(before) == looked_at(after);
    }

    /// Moves the minute looked at to the present, in all steps since it was asked for.
    fn follow_clock(&mut self) {
        let (from, to) = (minute_of(self.document()), self.present(self.document()));
        if self.night.live && from != to {
            self.history.rewrite_where(
                |document| minute_of(document) == from,
                |document| set_minute(document, to),
            );
        }
    }

    /// The night and minute of the present at a document's site.
    fn present(&self, document: &Document) -> ChosenMinute {
        let (date, minute) = present_minute(self.now, document.outing.site.longitude);
        (Some(date), Some(minute))
    }

    fn take_id(&mut self) -> OutingId {
        let id = self.next_id;
        self.next_id = id.next();
        id
    }

    /// Takes in an outing that came with a link; what could not be read of it is shown.
    fn arrive(&mut self, plan: DecodedPlan) {
        if plan.invalid {
            let prefix = if plan.unsupported { "" } else { LINK_IGNORED };
            self.notices
                .message(prefix.to_owned() + &plan.errors.join("; "));
            return;
        }
        for error in plan.errors {
            self.notices.message(error);
        }
        if plan.outing != *self.outing() {
            let id = self.take_id();
            self.edit(Edit::Open(id, Box::new(plan.outing)));
            // what somebody sends is read first as a whole
            self.routes.sheets = vec![Sheet::FieldCard];
        }
    }

    fn read_photo(&mut self, read: Result<PhotoFacts, String>) {
        let message = match read {
            Ok(facts) => {
                let (_, message) = kit_from_photo(&self.outing().kit, facts);
                self.edit(Edit::Kit(KitEdit::FromPhoto(facts)));
                message
            }
            Err(why) => why,
        };
        // shown only while the sheet that asked is open
        self.photo = (self.routes.sheet() == Some(Sheet::Kit)).then_some(message);
    }

    /// Other sheets are shown: the state of those that were closed is reset.
    fn sheets_changed(&mut self, before: &[Sheet]) {
        let open = &self.routes.sheets;
        for closed in before.iter().filter(|sheet| !open.contains(sheet)) {
            match closed {
                Sheet::Kit => self.photo = None,
                Sheet::Site => self.site.close(),
                Sheet::Skyline => self.skyline.close(),
                Sheet::Share | Sheet::FieldCard => self.share = Share::default(),
                _ => {}
            }
        }
        if self.routes.sheet() == Some(Sheet::Panorama) {
            self.panorama.planned = true;
        }
    }
}

/// The night and the minute of an outing, as far as they are chosen.
type ChosenMinute = (Option<NaiveDate>, Option<u16>);

fn minute_of(document: &Document) -> ChosenMinute {
    (document.outing.night, document.outing.minute)
}

fn set_minute(document: &mut Document, to: ChosenMinute) {
    (document.outing.night, document.outing.minute) = to;
}
