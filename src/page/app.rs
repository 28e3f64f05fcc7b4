//! The page as a whole: its state, its effects at the edge, its screen.

use std::cell::RefCell;
use std::rc::Rc;

use gloo_events::EventListener;
use gloo_timers::callback::Timeout;
use yew::prelude::*;

use super::deck::deck;
use super::element::{all, el, nothing, say};
use super::entry_sheet::entry_sheet;
use super::how_long::how_long;
use super::kit_sheet::kit_sheet;
use super::lamp_sheet::lamp_sheet;
use super::notices::notices;
use super::sharp_sheet::sharp_sheet;
use super::site_sheet::site_sheet;
use super::state::{Action, Kept, Notice, Sheet, State};
use super::tap::Send;
use crate::device::wake_lock::{self, WakeLock};
use crate::device::{address, keeping, offline};
use crate::outing::answer::Answer;

/// How long a change rests before it is written, ms. The browsers limit how
/// often an address may change; leaving the page writes at once.
const REST_MS: u32 = 200;

/// The page.
pub struct App {
    state: State,
    send: Send,
    /// Worked out from the outing, and again only when that changes.
    answer: Answer,
    /// What changed and is not written yet, for the moment the page is left. A
    /// page that changed nothing writes nothing over another one's changes.
    unwritten: Rc<RefCell<Option<Kept>>>,
    /// The change that rests before it is written; dropped, it is not.
    resting: Option<Timeout>,
    /// The screen's lock while it is asked for.
    awake: Option<WakeLock>,
    /// Heard as long as the page lives.
    _heard: [Option<EventListener>; 2],
}

impl Component for App {
    type Message = Action;
    type Properties = ();

    fn create(context: &Context<Self>) -> Self {
        let state = keeping::restored();
        let send = context.link().callback(|action: Action| action);
        let unwritten = Rc::new(RefCell::new(None::<Kept>));
        let leaving = {
            let unwritten = unwritten.clone();
            keeping::on_leaving(move || {
                if let Some(kept) = unwritten.take() {
                    // nobody is left to be told
                    let _ = keeping::store(&kept);
                }
            })
        };
        let arriving = {
            let send = send.clone();
            address::on_change(move |reading| send.emit(Action::Arrived(Box::new(reading))))
        };
        {
            let send = send.clone();
            offline::start(move || send.emit(Action::Noticed(Notice::NewVersion)));
        }
        let mut app = Self {
            answer: Answer::to(&state.kept.outing),
            state,
            send,
            unwritten,
            resting: None,
            awake: None,
            _heard: [leaving, arriving],
        };
        app.light();
        app.rest();
        app
    }

    fn update(&mut self, _: &Context<Self>, action: Action) -> bool {
        if matches!(action, Action::NewVersionTaken) {
            offline::take_over();
        }
        let next = self.state.after(action);
        if next == self.state {
            return false;
        }
        let before = std::mem::replace(&mut self.state, next);
        let now = &self.state;
        if now.kept.outing != before.kept.outing {
            self.answer = Answer::to(&now.kept.outing);
        }
        let (kept, look) = (now.kept != before.kept, now.look != before.look);
        let awake = now.awake != before.awake;
        if kept {
            self.rest();
        }
        if look {
            self.light();
        }
        if awake {
            self.hold();
        }
        true
    }

    fn view(&self, _: &Context<Self>) -> Html {
        let Self {
            state,
            send,
            answer,
            ..
        } = self;
        let main = vec![
            say("h1", &[("class", "unseen")], "How long?"),
            notices(&state.notices, send),
            how_long(state, answer, send),
        ];
        all(vec![
            el("main", &[], main),
            deck(&state.kept.outing, state.before.is_some(), send),
            open_sheet(state, send),
        ])
    }
}

impl App {
    /// Writes what is kept, soon.
    fn rest(&mut self) {
        self.unwritten.replace(Some(self.state.kept.clone()));
        let (unwritten, send) = (self.unwritten.clone(), self.send.clone());
        self.resting = Some(Timeout::new(REST_MS, move || {
            let kept = unwritten.take();
            if let Some(Err(sentence)) = kept.map(|kept| keeping::keep(&kept)) {
                send.emit(Action::Noticed(Notice::Said(sentence)));
            }
        }));
    }

    /// Lights the page.
    fn light(&self) {
        if let Err(sentence) = keeping::keep_look(self.state.look) {
            self.send.emit(Action::Noticed(Notice::Said(sentence)));
        }
    }

    /// Asks for the screen's lock, or gives it back.
    fn hold(&mut self) {
        let send = self.send.clone();
        self.awake = self.state.awake.then(|| {
            wake_lock::hold(move |sentence| {
                send.emit(Action::AwakeChosen(false));
                send.emit(Action::Noticed(Notice::Said(sentence)));
            })
        });
    }
}

fn open_sheet(state: &State, send: &Send) -> Html {
    let outing = &state.kept.outing;
    match state.sheet {
        None => nothing(),
        Some(Sheet::Kit) => kit_sheet(&state.kept, state.photo_told.as_deref(), send),
        Some(Sheet::Site) => site_sheet(outing, send),
        Some(Sheet::Sharp) => sharp_sheet(outing, send),
        Some(Sheet::Lamp) => lamp_sheet(state.look, state.awake, send),
        Some(sheet @ (Sheet::Focal | Sheet::FNumber)) => entry_sheet(outing, sheet, send),
        Some(Sheet::Night | Sheet::Season) => nothing(),
    }
}
