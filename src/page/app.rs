//! The page as a whole: its state, its effects at the edge, its screen.

use std::cell::RefCell;
use std::rc::Rc;

use chrono::NaiveDate;
use gloo_events::EventListener;
use gloo_timers::callback::Timeout;
use yew::prelude::*;

use super::card_sheet::card_sheet;
use super::carry::ask_for_code;
use super::carry_sheet::carry_sheet;
use super::deck::{deck, how_long_inputs};
use super::element::{all, el, nothing, say};
use super::entry_sheet::entry_sheet;
use super::frames_sheet::frames_sheet;
use super::how_long::how_long;
use super::kit_sheet::kit_sheet;
use super::lamp_sheet::lamp_sheet;
use super::lists_sheet::lists_sheet;
use super::night_sheet::night_sheet;
use super::notices::notices;
use super::panorama_sheet::panorama_sheet;
use super::patch_view;
use super::season_sheet::season_sheet;
use super::sharp_sheet::sharp_sheet;
use super::shown::{Others, Shown};
use super::site_sheet::site_sheet;
use super::skyline_sheet::skyline_sheet;
use super::state::{Action, Notice, Screen, Sheet, State};
use super::tap::Send;
use super::tracker_sheet::tracker_sheet;
use super::when::when;
use super::when_deck::when_inputs;
use super::where_::where_;
use super::where_deck::where_inputs;
use super::why::why;
use super::why_deck::why_inputs;
use super::why_shown::{Rest, Whys};
use crate::device::keeping::Ledger;
use crate::device::lean::{self, Leaning};
use crate::device::present::{self, Present};
use crate::device::wake_lock::{self, WakeLock};
use crate::device::{address, clock, gazetteer, keeping, offline, worker_client};
use crate::light::patch::Patch;
use crate::outing::answer::Answer;
use crate::outing::pictures::patches;
use crate::outing::season::{NIGHTS, Season};
use crate::sky::tonight::tonight;

/// How long a change rests before it is written, ms. The browsers limit how
/// often an address may change; leaving the page writes at once.
const REST_MS: u32 = 200;

/// The page.
pub struct App {
    state: State,
    send: Send,
    /// Worked out from the outing, and again only when that changes.
    answer: Answer,
    /// The date of tonight at the site.
    tonight: NaiveDate,
    /// The night shown; worked out while When? is looked at.
    shown: Option<Shown>,
    /// Moon and Sun over the ridge line; worked out while Where? is looked at.
    others: Option<Others>,
    /// Four ways; worked out while Why track? is looked at.
    whys: Option<Whys>,
    /// The part of it that does not hang on the lens looked at.
    rest_of_why: Option<Rc<Rest>>,
    /// The patches that are being drawn, and those that were drawn last.
    drawing: Option<[Patch; 4]>,
    /// Whether pictures are to be put into their places after the next drawing.
    unpainted: bool,
    drawn: Option<[Patch; 4]>,
    /// The year; worked out while its sheet is open.
    season: Option<Season>,
    /// What changed and is not written yet, for the moment the page is left.
    ledger: Rc<RefCell<Ledger>>,
    /// The change that rests before it is written; dropped, it is not.
    resting: Option<Timeout>,
    /// The screen's lock while it is asked for.
    awake: Option<WakeLock>,
    /// The phone's orientation while it is asked.
    leaning: Option<Leaning>,
    /// Heard as long as the page lives.
    _heard: [Option<EventListener>; 2],
    /// The clock, followed while the page is looked at.
    _present: Present,
}

impl Component for App {
    type Message = Action;
    type Properties = ();

    fn create(context: &Context<Self>) -> Self {
        let state = keeping::restored();
        let send = context.link().callback(|action: Action| action);
        let ledger = Rc::new(RefCell::new(Ledger::of(&state.kept)));
        let leaving = {
            let ledger = ledger.clone();
            keeping::on_leaving(move || {
                // nobody is left to be told
                let _ = ledger.borrow_mut().write(true);
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
        let present = {
            let send = send.clone();
            present::follow(move |now| send.emit(Action::ClockRead(now)))
        };
        let mut app = Self {
            answer: Answer::to(&state.kept.outing),
            tonight: tonight(state.now, state.kept.outing.site.on_earth()),
            shown: None,
            season: None,
            others: None,
            whys: None,
            rest_of_why: None,
            drawing: None,
            unpainted: false,
            drawn: None,
            state,
            send,
            ledger,
            resting: None,
            awake: None,
            leaning: None,
            _heard: [leaving, arriving],
            _present: present,
        };
        app.light();
        app.rest();
        app
    }

    fn update(&mut self, _: &Context<Self>, action: Action) -> bool {
        if matches!(action, Action::NewVersionTaken) {
            offline::take_over();
        }
        // the phone's clock is read when somebody asks for the present; it is followed
        // while the page is looked at, but a minute may have gone by
        let reads_clock = matches!(
            action,
            Action::NowTapped
                | Action::ScreenChosen(_)
                | Action::TonightChosen
                | Action::SheetOpened(Sheet::Card)
                | Action::BodyPointed(_)
        );
        let by_clock = matches!(action, Action::ClockRead(_));
        if matches!(action, Action::SheetOpened(Sheet::Site)) {
            let send = self.send.clone();
            gazetteer::open(move |opened| send.emit(Action::TownsOpened(opened)));
        }
        if matches!(action, Action::SheetOpened(Sheet::Skyline)) {
            let (send, outing) = (self.send.clone(), &self.state.kept.outing);
            let date = outing.night.unwrap_or_else(|| clock::now().date_naive());
            worker_client::declination(&outing.site, date, move |told| {
                send.emit(Action::DeclinationTold(told));
            });
        }
        let patches_drawn = matches!(action, Action::PatchesDrawn(_));
        // what a newer page wrote is left in the address, to be read after an update
        let arrived = matches!(&action, Action::Arrived(reading) if !reading.refused);
        let next = if reads_clock {
            let present = self.state.after(Action::ClockRead(clock::now()));
            present.after(action)
        } else {
            self.state.after(action)
        };
        if patches_drawn {
            self.drawn = self.drawing.take();
            self.draw_patches();
        }
        if next == self.state {
            if arrived {
                self.rest();
            }
            return false;
        }
        let before = std::mem::replace(&mut self.state, next);
        let other_night = self.find_tonight(&before);
        // of the time of day the page shows nothing but which night is tonight
        if by_clock && !other_night {
            return false;
        }
        let now = &self.state;
        if now.kept.outing != before.kept.outing {
            // the shutter asks neither the ridge nor the Moon
            let mut but_for_the_night = now.kept.outing.clone();
            but_for_the_night.limits = before.kept.outing.limits;
            let ridge = &before.kept.outing.site.ridge;
            but_for_the_night.site.ridge.clone_from(ridge);
            if but_for_the_night != before.kept.outing {
                self.answer = Answer::to(&now.kept.outing);
            }
            (self.whys, self.rest_of_why) = (None, None);
            // nor does the night ask where the camera points
            let mut but_for_the_frame = now.kept.outing.clone();
            but_for_the_frame.frame = before.kept.outing.frame;
            if but_for_the_frame != before.kept.outing {
                (self.shown, self.season, self.others) = (None, None, None);
            }
        }
        if other_night {
            (self.shown, self.season, self.others) = (None, None, None);
            (self.whys, self.rest_of_why) = (None, None);
        }
        if now.tried_mm != before.tried_mm {
            self.whys = None;
        }
        // pictures that came, another light, or places that are new
        self.unpainted |= now.screen == Screen::Why
            && (patches_drawn || now.look != before.look || now.screen != before.screen);
        self.work_out();
        self.draw_patches();
        let now = &self.state;
        let (kept, look) = (now.kept != before.kept, now.look != before.look);
        let awake = now.stays_on() != before.stays_on();
        let leaning = now.draft.leaning != before.draft.leaning;
        let code = now.shows_code()
            && (now.sheet != before.sheet || now.kept.outing != before.kept.outing);
        // the address tells again what is in use, also when nothing of it was taken
        if kept || arrived {
            self.rest();
        }
        if look {
            self.light();
        }
        if awake {
            self.hold();
        }
        if leaning {
            self.lean();
        }
        if code {
            ask_for_code(&self.state.kept.outing, &self.send);
        }
        true
    }

    fn rendered(&mut self, _: &Context<Self>, _: bool) {
        if std::mem::take(&mut self.unpainted)
            && let Some(patches) = &self.state.patches
        {
            patch_view::draw(patches, self.state.look);
        }
    }

    fn view(&self, _: &Context<Self>) -> Html {
        let Self {
            state,
            send,
            answer,
            others,
            ..
        } = self;
        let outing = &state.kept.outing;
        let (title, screen, inputs) = match (state.screen, &self.shown) {
            (Screen::When, Some(shown)) => {
                ("When?", when(outing, shown, send), when_inputs(shown, send))
            }
            (Screen::Why, _) if self.whys.is_some() => {
                let whys = self.whys.as_ref();
                let tried_mm = whys.map_or(0.0, |whys| whys.ways.focal_mm);
                (
                    "Why track?",
                    whys.map_or_else(nothing, |whys| why(state, whys, send)),
                    why_inputs(outing, tried_mm, send),
                )
            }
            (Screen::Where, Some(shown)) => (
                "Where?",
                where_(state, answer, (shown, others.as_ref()), send),
                where_inputs(outing, shown, send),
            ),
            _ => (
                "How long?",
                how_long(state, answer, send),
                how_long_inputs(outing, send),
            ),
        };
        let main = vec![
            say("h1", &[("class", "unseen")], title),
            notices(&state.notices, send),
            screen,
        ];
        all(vec![
            el("main", &[], main),
            deck(inputs, state.screen, state.before.is_some(), send),
            self.open_sheet(),
        ])
    }
}

impl App {
    /// Finds which night is tonight, where time or site are others than before; whether that is
    /// another one.
    fn find_tonight(&mut self, before: &State) -> bool {
        let at = |state: &State| (state.now, state.kept.outing.site.on_earth());
        let (now, site) = at(&self.state);
        if (now, site) == at(before) {
            return false;
        }
        let last = std::mem::replace(&mut self.tonight, tonight(now, site));
        last != self.tonight
    }

    /// Works out what the screen shows beyond the answer.
    fn work_out(&mut self) {
        let State { kept, .. } = &self.state;
        let on_sheet = matches!(
            self.state.sheet,
            Some(
                Sheet::Night
                    | Sheet::Season
                    | Sheet::Skyline
                    | Sheet::Panorama
                    | Sheet::Card
                    | Sheet::Frames
            )
        );
        if self.shown.is_none() && (self.state.screen != Screen::HowLong || on_sheet) {
            self.shown = Some(Shown::of(&kept.outing, self.tonight, &clock::BrowserClocks));
        }
        if self.whys.is_none()
            && self.state.screen == Screen::Why
            && let Some(shown) = &self.shown
        {
            let rest = self.rest_of_why.clone();
            let whys = Whys::of(&kept.outing, shown, self.state.tried_mm, rest);
            self.rest_of_why = Some(whys.rest.clone());
            self.whys = Some(whys);
        }
        if self.others.is_none()
            && self.state.screen == Screen::Where
            && let Some(shown) = &self.shown
        {
            self.others = Some(Others::of(shown));
        }
        if self.season.is_none()
            && self.state.sheet == Some(Sheet::Season)
            && let Some(shown) = &self.shown
        {
            let tonight = self.tonight;
            // the year to come, or the one that begins with a night outside it
            let ahead = (shown.date - tonight).num_days();
            let coming = (0..i64::from(NIGHTS)).contains(&ahead);
            let from = if coming { tonight } else { shown.date };
            self.season = Some(Season::of(&kept.outing, from));
        }
    }

    /// Has the pictures of the four ways drawn, one set at a time: what is changed
    /// meanwhile is drawn when that is there.
    fn draw_patches(&mut self) {
        let Some(whys) = &self.whys else {
            return;
        };
        let patches = patches(&self.state.kept.outing, &whys.ways);
        if self.drawing.is_some() || self.drawn == Some(patches) {
            return;
        }
        self.drawing = Some(patches);
        let send = self.send.clone();
        worker_client::patches(&patches, move |told| send.emit(Action::PatchesDrawn(told)));
    }

    /// Writes what is kept, soon.
    fn rest(&mut self) {
        self.ledger.borrow_mut().note(&self.state.kept);
        let (ledger, send) = (self.ledger.clone(), self.send.clone());
        self.resting = Some(Timeout::new(REST_MS, move || {
            let written = ledger.borrow_mut().write(false);
            if let Err(sentence) = written {
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

    /// Asks the phone how it is held, or no longer.
    fn lean(&mut self) {
        self.leaning = None;
        if self.state.draft.leaning {
            let (told, failed) = (self.send.clone(), self.send.clone());
            self.leaning = lean::listen(
                move |lean| told.emit(Action::Leaned(lean)),
                move |why| failed.emit(Action::LeaningFailed(why)),
            );
        }
    }

    /// Asks for the screen's lock, or gives it back.
    fn hold(&mut self) {
        let send = self.send.clone();
        self.awake = self.state.stays_on().then(|| {
            wake_lock::hold(move |sentence| {
                send.emit(Action::AwakeChosen(false));
                send.emit(Action::Noticed(Notice::Said(sentence)));
            })
        });
    }
}

impl App {
    fn open_sheet(&self) -> Html {
        let Self { state, send, .. } = self;
        let outing = &state.kept.outing;
        match (state.sheet, &self.shown, &self.season) {
            (None, ..) => nothing(),
            (Some(Sheet::Kit), ..) => kit_sheet(&state.kept, state.photo_told.as_deref(), send),
            (Some(Sheet::Site), ..) => site_sheet(state, send),
            (Some(Sheet::Sharp), ..) => sharp_sheet(outing, send),
            (Some(Sheet::Lamp), ..) => lamp_sheet(state.look, state.awake, send),
            (Some(sheet @ (Sheet::Focal | Sheet::FNumber)), ..) => entry_sheet(outing, sheet, send),
            (Some(Sheet::Night), Some(shown), _) => night_sheet(outing, shown, send),
            (Some(Sheet::Season), Some(shown), Some(season)) => {
                season_sheet(outing, shown, (season, state.open_month), send)
            }
            (Some(Sheet::Carry), ..) => carry_sheet(&state.kept, &state.carry, send),
            (Some(Sheet::Skyline), ..) => skyline_sheet(state, send),
            (Some(Sheet::Tracker), ..) => tracker_sheet(outing, send),
            (Some(Sheet::Panorama), Some(shown), _) => {
                panorama_sheet(state, &self.answer, shown, send)
            }
            (Some(Sheet::Card), Some(shown), _) => card_sheet(state, &self.answer, shown, send),
            (Some(Sheet::Frames), Some(shown), _) => frames_sheet(outing, shown, send),
            (Some(Sheet::Lists), ..) => lists_sheet(state, send),
            // worked out before they are drawn
            (Some(_), ..) => nothing(),
        }
    }
}
