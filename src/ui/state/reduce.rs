//! What becomes of the state when something happens.

use crate::camera::photo::PhotoFacts;
use crate::outing::document::{ListsChange, OutingId, SavedLists};
use crate::outing::plan::Outing;
use crate::outing::share::query::{DecodedPlan, LINK_IGNORED};
use crate::ui::layout::Layout;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::deck::{DeckAction, DeckView};
use crate::ui::state::derived::frame_comparison::FrameComparison;
use crate::ui::state::document::Edit;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::effect::{self, Effect};
use crate::ui::state::history::History;
use crate::ui::state::notices::NoticesAction;
use crate::ui::state::routes::{RouteAction, Routes, Screen, Sheet};
use crate::ui::state::share::{Share, ShareAction};
use crate::ui::state::views::SeasonAction;
use crate::ui::text::photo::kit_from_photo;
use crate::ui::text::share::OUTING_IN_USE;

impl State {
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
            effects.retain(|effect| *effect != Effect::RequestPersistence);
        }
        effects
    }

    fn apply(&mut self, action: Action) {
        match action {
            Action::Edit(edit) => self.edit(edit),
            Action::Undo => self.travel(History::undo),
            Action::Redo => self.travel(History::redo),
            Action::ReturnTo(id) => self.return_to(id),
            Action::Arrived(plan) => self.arrive(*plan),
            Action::OpenRecent(id, outing) => self.open_recent(id, outing),
            Action::ListsStored(stored) => self.merge_lists(&stored),
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
            Action::DeferredLoaded(loaded) => self.deferred_loaded(loaded),
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
            Action::Share(action) => self.reduce_share(action),
        }
    }

    /// Back to an outing in use before, as it last was.
    fn return_to(&mut self, id: OutingId) {
        if let Some(document) = self.history.last_of(id) {
            let outing = Box::new(document.outing.clone());
            self.edit(Edit::Open(id, outing));
        }
        self.notices.retire_arrivals();
    }

    fn open_recent(&mut self, id: OutingId, outing: Box<Outing>) {
        self.edit(Edit::Open(id, outing));
        if self.routes.sheet() == Some(Sheet::Share) {
            self.share.message = Some(OUTING_IN_USE.to_owned());
        }
    }

    /// Takes over what another tab changed in the lists, in all steps of the history.
    fn merge_lists(&mut self, stored: &SavedLists) {
        let change = ListsChange::between(self.document(), stored);
        if !change.is_empty() {
            self.history.rewrite(|document| change.apply(document));
        }
    }

    fn deferred_loaded(&mut self, loaded: Result<(), String>) {
        match loaded {
            Ok(()) => self.deferred_loaded = true,
            // without a sheet the failure shows nowhere, and the next sheet loads it again
            Err(message) if self.routes.sheet().is_some() => {
                self.routes.sheets.clear();
                self.notices.message(message);
            }
            Err(_) => {}
        }
    }

    fn reduce_share(&mut self, action: ShareAction) {
        // drawn for a sheet that was closed meanwhile
        if matches!(action, ShareAction::CodeDrawn(_)) && !self.shows_code() {
            return;
        }
        let id = self.take_id();
        let edit = self.share.reduce(action, self.history.document(), id);
        self.edit_if_any(edit);
        // shown only while the sheet that asked is open
        if !self.shows_code() {
            self.share = Share::default();
        }
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

    fn take_id(&mut self) -> OutingId {
        let id = self.next_id;
        self.next_id = id.next();
        id
    }
}
