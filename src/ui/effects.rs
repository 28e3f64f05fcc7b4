//! Performs the effects that follow from a change of state, and listens to the browser.
//!
//! Requests that a tap makes for itself, such as to share a file or to find the phone, are made by
//! the sheet with the button.

use std::cell::RefCell;
use std::rc::Rc;

use gloo_events::EventListener;
use gloo_timers::callback::Timeout;

use crate::browser::current_time::{self, CurrentTime};
use crate::browser::orientation::{self, TiltSensor};
use crate::browser::persistence::{self, Autosave};
use crate::browser::session_history::SessionHistory;
use crate::browser::wake_lock::{self, WakeLock};
use crate::browser::{
    deferred_code, gazetteer, offline, page_load, persistent_storage, shared_picture, storage,
    theme, time_zone, url_hash, viewport, worker_client,
};
use crate::light::sample_image::SampleImage;
use crate::outing::document::{Document, OutingId};
use crate::outing::exposure::sample_images::SAMPLES;
use crate::outing::plan::Outing;
use crate::outing::share::qr;
use crate::outing::share::query;
use crate::outing::share::short_link::{LeftOut, shortened_to};
use crate::ui::layout::Layout;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::deck::DeckAction;
use crate::ui::state::display::DisplayAction;
use crate::ui::state::effect::Effect;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::state::offline::OfflineAction;
use crate::ui::state::panorama::PanoramaDraft;
use crate::ui::state::routes::{RouteAction, Routes, Screen, Sheet};
use crate::ui::state::share::{CodeImage, DrawnCode, ShareAction};
use crate::ui::state::site_sheet::SiteAction;
use crate::ui::state::skyline::SkylineAction;
use crate::ui::state::views::TrackingAction;
use crate::ui::text::offline::{ANOTHER_DID_NOT_START, RESTARTED};
use crate::ui::widgets::dispatch::Dispatch;

/// How long a change waits before it is stored, ms: a held stepper is stored once. Leaving
/// Where a tab keeps the panorama in the making.
const PANORAMA: &str = "tarnlight.panorama";

/// the page stores at once.
const SAVE_DELAY_MS: u32 = 200;

/// How long the key that takes back the last edit is shown, ms.
const UNDO_SHOWN_MS: u32 = 8000;

/// After how long without a change pictures are drawn finely, ms.
const REST_MS: u32 = 200;

/// What the page holds of the browser.
pub struct Effects {
    dispatch: Dispatch,
    autosave: Rc<RefCell<Autosave>>,
    /// Dropped, the change is not stored.
    save: Option<Timeout>,
    hide_undo: Option<Timeout>,
    rest: Option<Timeout>,
    wake_lock: Option<WakeLock>,
    tilt_sensor: Option<TiltSensor>,
    session_history: SessionHistory<Routes>,
    asked_to_keep: bool,
    /// The samples of sky that the worker draws, and those it drew last.
    drawing: Option<[SampleImage; SAMPLES]>,
    drawn: Option<[SampleImage; SAMPLES]>,
    _listeners: [Option<EventListener>; 7],
    _clock: CurrentTime,
}

/// The state of a page that starts, from what was stored and from the address; and the
/// document that was stored.
pub fn restored() -> (State, Document) {
    let seed = (js_sys::Math::random() * 2f64.powi(53)) as u64;
    let stored = persistence::restore(OutingId(seed));
    let theme = theme::stored().unwrap_or(theme::Theme::Dusk);
    let mut state = State::new(stored.document.clone(), theme, time_zone::now(), seed);
    state.layout = Layout(viewport::read());
    state.display.brightness = theme::stored_brightness();
    if offline::another_did_not_start() {
        state.notices.message(ANOTHER_DID_NOT_START);
    }
    if page_load::is_restart() {
        state.notices.message(RESTARTED);
    }
    for message in stored.messages {
        state.notices.message(message);
    }
    if let Some((id, outing)) = stored.tab_outing {
        state.reduce(Action::OpenRecent(id, Box::new(outing)));
    }
    if let Some(plan) = url_hash::take() {
        state.reduce(Action::Arrived(Box::new(plan)));
        if stored.first_start {
            state.notices.retire_arrivals();
        }
    }
    if shared_picture::arrived() {
        state.reduce(RouteAction::Open(Sheet::TestFrame).into());
    }
    if let Some(draft) = storage::tab_get(PANORAMA).and_then(|text| PanoramaDraft::read(&text)) {
        state.panorama = draft;
        // the phone dropped the page between two frames
        if draft.field.is_some() && state.routes.sheet().is_none() {
            state.reduce(RouteAction::Show(Screen::Framing).into());
            state.reduce(RouteAction::Open(Sheet::Panorama).into());
        }
    }
    (state, stored.document)
}

impl Effects {
    /// Starts to listen, and performs what the first state asks for.
    pub fn new(state: &State, stored: &Document, dispatch: &Dispatch) -> Self {
        let autosave = Rc::new(RefCell::new(Autosave::new(stored)));
        let [left, hidden] = {
            let autosave = autosave.clone();
            storage::on_page_hide(move || {
                // the page is unloading; there is nowhere to show the error
                let _ = autosave.borrow_mut().write();
            })
        };
        let link = {
            let dispatch = dispatch.clone();
            url_hash::on_link(move |plan| dispatch.emit(Action::Arrived(Box::new(plan))))
        };
        let other_tabs = {
            let dispatch = dispatch.clone();
            storage::on_change(move |key| {
                if persistence::is_list_key(key) {
                    dispatch.emit(Action::StorageChanged);
                } else if let Some(id) = persistence::recent_id_of_key(key) {
                    dispatch.emit(Action::OutingIdTaken(id));
                }
            })
        };
        let thaw = {
            let dispatch = dispatch.clone();
            storage::on_page_thaw(move || dispatch.emit(Action::StorageChanged))
        };
        let resized = {
            let dispatch = dispatch.clone();
            viewport::listen(move |viewport| dispatch.emit(Action::Resized(viewport)))
        };
        let session_history = {
            let dispatch = dispatch.clone();
            let screen = Routes {
                sheets: Vec::new(),
                ..state.routes.clone()
            };
            SessionHistory::new(screen, move |routes| {
                dispatch.emit(RouteAction::Restore(routes).into());
            })
        };
        let clock = {
            let dispatch = dispatch.clone();
            current_time::listen(move |now| dispatch.emit(Action::Clock(now)))
        };
        {
            let dispatch = dispatch.clone();
            offline::start(move |report| {
                dispatch.emit(match report {
                    offline::Report::Copy(copy) => OfflineAction::Copy(copy).into(),
                    offline::Report::NewVersion => NoticesAction::Show(Notice::NewVersion).into(),
                });
            });
        }
        persistent_storage::find_out(keeping(dispatch));
        // it came with the address, and is kept
        let arrived = state.routes.sheet() == Some(Sheet::FieldCard);
        let first_tap = arrived
            .then(|| persistent_storage::request_at_first_tap(keeping(dispatch)))
            .flatten();
        let mut effects = Self {
            dispatch: dispatch.clone(),
            autosave,
            save: None,
            hide_undo: None,
            rest: None,
            wake_lock: None,
            tilt_sensor: None,
            session_history,
            asked_to_keep: first_tap.is_some(),
            drawing: None,
            drawn: None,
            _listeners: [left, hidden, link, other_tabs, thaw, resized, first_tap],
            _clock: clock,
        };
        effects.perform(Effect::ApplyTheme(state.display.theme), state);
        let brightness = state.display.brightness;
        effects.perform(Effect::ApplyBrightness(brightness), state);
        effects.perform(Effect::Save, state);
        // an outing that came with the address lies open already
        if state.routes.sheet().is_some() {
            effects.perform(Effect::Advance(state.routes.clone()), state);
            effects.perform(Effect::WakeLock(state.stays_awake()), state);
        }
        if state.shows_code() {
            effects.perform(Effect::DrawCode, state);
        }
        effects.load_deferred();
        effects
    }

    /// Loads the part of the program with the sheets.
    pub fn load_deferred(&self) {
        let dispatch = self.dispatch.clone();
        deferred_code::load(move |loaded| dispatch.emit(Action::DeferredLoaded(loaded)));
    }

    /// Performs an effect of a reducer that led to this state.
    pub fn perform(&mut self, effect: Effect, state: &State) {
        match effect {
            Effect::Save => self.save(state),
            Effect::KeepPanorama => {
                let open = state.routes.sheet() == Some(Sheet::Panorama);
                storage::tab_set(PANORAMA, &state.panorama.written(open));
            }
            Effect::HideUndoLater => {
                let dispatch = self.dispatch.clone();
                self.hide_undo = Some(Timeout::new(UNDO_SHOWN_MS, move || {
                    dispatch.emit(DeckAction::HideUndo.into());
                }));
            }
            Effect::RestLater => {
                let dispatch = self.dispatch.clone();
                self.rest = Some(Timeout::new(REST_MS, move || dispatch.emit(Action::Rest)));
            }
            Effect::ApplyTheme(theme) => {
                if let Err(message) = theme::apply(theme) {
                    notify(&self.dispatch, message);
                }
            }
            Effect::ApplyBrightness(percent) => {
                if let Err(message) = theme::apply_brightness(percent) {
                    notify(&self.dispatch, message);
                }
            }
            Effect::WakeLock(on) => self.wake_lock = on.then(|| self.request_wake_lock()),
            Effect::TiltSensor(on) => {
                self.tilt_sensor = on.then(|| self.listen_to_tilt()).flatten();
            }
            Effect::LoadGazetteer => {
                let dispatch = self.dispatch.clone();
                gazetteer::open(move |loaded| {
                    dispatch.emit(SiteAction::GazetteerLoaded(loaded).into());
                });
            }
            Effect::FindDeclination => {
                let (dispatch, outing) = (self.dispatch.clone(), state.outing());
                let date = outing.night.unwrap_or_else(|| state.now.date_naive());
                worker_client::declination(&outing.site, date, move |found| {
                    dispatch.emit(SkylineAction::DeclinationFound(found).into());
                });
            }
            Effect::DrawCode => draw_code(state.outing(), &self.dispatch),
            Effect::Advance(routes) => self.session_history.advance(routes),
            Effect::Retreat(routes) => self.session_history.retreat(&routes),
            Effect::RequestPersistence => {
                // some browsers ask each time
                if !std::mem::replace(&mut self.asked_to_keep, true) {
                    persistent_storage::request(keeping(&self.dispatch));
                }
            }
            Effect::ActivateNewVersion => offline::take_over(),
        }
    }

    /// Has samples of sky drawn, one set at a time: what is changed meanwhile is drawn when
    /// that is there.
    pub fn draw_samples(&mut self, samples: [SampleImage; SAMPLES]) {
        if self.drawing.is_some() || self.drawn == Some(samples) {
            return;
        }
        self.drawing = Some(samples);
        let dispatch = self.dispatch.clone();
        worker_client::sample_images(&samples, move |drawn| {
            dispatch.emit(TrackingAction::SamplesDrawn(drawn).into());
        });
    }

    /// The worker answered: the next set can be drawn.
    pub fn samples_drawn(&mut self) {
        self.drawn = self.drawing.take();
    }

    /// Has them drawn again after a failure.
    pub fn redraw_samples(&mut self) {
        self.drawn = None;
    }

    /// Reads the saved lists, which another tab changed, as an action. What is queued here is
    /// written first, so that it counts.
    pub fn changed_lists(&mut self) -> Vec<Action> {
        let mut autosave = self.autosave.borrow_mut();
        if let Err(message) = autosave.write() {
            notify(&self.dispatch, message);
        }
        let lists = persistence::load_lists();
        autosave.lists_changed_elsewhere(&lists);
        let mut actions = vec![Action::ListsStored(Box::new(lists))];
        if let Some(id) = autosave.outing_changed_elsewhere() {
            actions.push(Action::OutingIdTaken(id));
        }
        actions
    }

    /// Stores the document, soon.
    fn save(&mut self, state: &State) {
        let queued = self.autosave.borrow_mut().queue(state.document());
        if let Err(message) = queued {
            notify(&self.dispatch, message);
        }
        let (autosave, dispatch) = (self.autosave.clone(), self.dispatch.clone());
        self.save = Some(Timeout::new(SAVE_DELAY_MS, move || {
            let written = autosave.borrow_mut().write();
            if let Err(message) = written {
                notify(&dispatch, message);
            }
        }));
    }

    fn request_wake_lock(&self) -> WakeLock {
        let dispatch = self.dispatch.clone();
        wake_lock::acquire(move |message| {
            dispatch.emit(DisplayAction::KeepAwake(false).into());
            notify(&dispatch, message);
        })
    }

    fn listen_to_tilt(&self) -> Option<TiltSensor> {
        let (tilted, failed) = (self.dispatch.clone(), self.dispatch.clone());
        orientation::listen(
            move |tilt| tilted.emit(SkylineAction::Tilted(tilt).into()),
            move |why| failed.emit(SkylineAction::SensorFailed(why).into()),
        )
    }
}

/// Takes note of how long the browser keeps things.
fn keeping(dispatch: &Dispatch) -> impl FnOnce(persistent_storage::Keeping) + 'static {
    let dispatch = dispatch.clone();
    move |keeping| dispatch.emit(OfflineAction::Keeping(keeping).into())
}

/// Draws the code of an outing's link; as much of it as a code can hold.
fn draw_code(outing: &Outing, dispatch: &Dispatch) {
    let made_for = query::write(outing);
    let room = qr::MOST_BYTES.saturating_sub(url_hash::link("").len());
    let dispatch = dispatch.clone();
    let drawn = move |left_out, picture| {
        let code = DrawnCode {
            made_for,
            left_out,
            picture,
        };
        dispatch.emit(ShareAction::CodeDrawn(Rc::new(code)).into());
    };
    match shortened_to(outing, room) {
        Some(short) => worker_client::code(url_hash::link(&short.text), move |code| {
            drawn(short.left_out, code.map(|code| CodeImage::new(&code)));
        }),
        None => drawn(
            LeftOut::Names,
            Err("this page's address is too long for a code".to_owned()),
        ),
    }
}

fn notify(dispatch: &Dispatch, message: String) {
    dispatch.emit(NoticesAction::Show(Notice::Message(message)).into());
}
