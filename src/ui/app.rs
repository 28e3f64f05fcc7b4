//! The page as a whole: its state, its effects at the edge, its screen.

use std::cell::RefCell;
use std::rc::Rc;

use chrono::NaiveDate;
use gloo_events::EventListener;
use gloo_timers::callback::Timeout;
use yew::prelude::*;

use crate::browser::current_time::{self, CurrentTime};
use crate::browser::orientation::{self, TiltSensor};
use crate::browser::persistence::Autosave;
use crate::browser::wake_lock::{self, WakeLock};
use crate::browser::{gazetteer, offline, persistence, time_zone, url_hash, worker_client};
use crate::light::patch::Patch;
use crate::outing::exposure::Answer;
use crate::outing::exposure::sample_images::patches;
use crate::outing::night::season::{NIGHTS, Season};
use crate::sky::tonight::tonight;
use crate::ui::screens::exposure::exposure_screen;
use crate::ui::screens::framing::controls::framing_controls;
use crate::ui::screens::framing::framing_screen;
use crate::ui::screens::night::controls::night_controls;
use crate::ui::screens::night::night_screen;
use crate::ui::screens::tracking::controls::tracking_controls;
use crate::ui::screens::tracking::sample_images;
use crate::ui::screens::tracking::tracking_screen;
use crate::ui::sheets::checklists::checklists_sheet;
use crate::ui::sheets::display::display_sheet;
use crate::ui::sheets::field_card::field_card_sheet;
use crate::ui::sheets::frames::frames_sheet;
use crate::ui::sheets::kit::kit_sheet;
use crate::ui::sheets::night::night_sheet;
use crate::ui::sheets::number_entry::number_entry_sheet;
use crate::ui::sheets::panorama::panorama_sheet;
use crate::ui::sheets::season::season_sheet;
use crate::ui::sheets::share::share_sheet;
use crate::ui::sheets::sharpness::sharpness_sheet;
use crate::ui::sheets::site::site_sheet;
use crate::ui::sheets::skyline::skyline_sheet;
use crate::ui::sheets::tracker::tracker_sheet;
use crate::ui::state::action::Action;
use crate::ui::state::derived::selected_night::{MoonSunCrossings, SelectedNight};
use crate::ui::state::derived::tracking_analysis::{LensTable, TrackingAnalysis};
use crate::ui::state::routes::{Screen, Sheet};
use crate::ui::state::share::request_code;
use crate::ui::state::{Notice, State};
use crate::ui::widgets::deck::{deck, exposure_controls};
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{all, el, nothing, say};
use crate::ui::widgets::notices::notices;

/// How long a change rests before it is written, ms. The browsers limit how
/// often an address may change; leaving the page writes at once.
const REST_MS: u32 = 200;

/// The page.
pub struct App {
    state: State,
    dispatch: Dispatch,
    /// Worked out from the outing, and again only when that changes.
    answer: Answer,
    /// The date of tonight at the site.
    tonight: NaiveDate,
    /// The night shown; worked out while When? is looked at.
    shown: Option<SelectedNight>,
    /// Moon and Sun over the ridge line; worked out while Where? is looked at.
    crossings: Option<MoonSunCrossings>,
    /// Four ways; worked out while Why track? is looked at.
    analysis: Option<TrackingAnalysis>,
    /// The part of it that does not hang on the lens looked at.
    rest_of_why: Option<Rc<LensTable>>,
    /// The patches that are being drawn, and those that were drawn last.
    drawing: Option<[Patch; 4]>,
    /// Whether pictures are to be put into their places after the next drawing.
    unpainted: bool,
    drawn: Option<[Patch; 4]>,
    /// The year; worked out while its sheet is open.
    season: Option<Season>,
    /// What changed and is not written yet, for the moment the page is left.
    ledger: Rc<RefCell<Autosave>>,
    /// The change that rests before it is written; dropped, it is not.
    resting: Option<Timeout>,
    /// The screen's lock while it is asked for.
    awake: Option<WakeLock>,
    /// The phone's orientation while it is asked.
    leaning: Option<TiltSensor>,
    /// Heard as long as the page lives.
    _heard: [Option<EventListener>; 2],
    /// The clock, followed while the page is looked at.
    _present: CurrentTime,
}

impl Component for App {
    type Message = Action;
    type Properties = ();

    fn create(context: &Context<Self>) -> Self {
        let state = persistence::restored();
        let dispatch = context.link().callback(|action: Action| action);
        let ledger = Rc::new(RefCell::new(Autosave::new(&state.kept)));
        let leaving = {
            let ledger = ledger.clone();
            persistence::on_page_hide(move || {
                // nobody is left to be told
                let _ = ledger.borrow_mut().write(true);
            })
        };
        let arriving = {
            let dispatch = dispatch.clone();
            url_hash::on_change(move |reading| dispatch.emit(Action::Arrived(Box::new(reading))))
        };
        {
            let dispatch = dispatch.clone();
            offline::start(move || dispatch.emit(Action::Noticed(Notice::NewVersion)));
        }
        let present = {
            let dispatch = dispatch.clone();
            current_time::follow(move |now| dispatch.emit(Action::ClockRead(now)))
        };
        let mut app = Self {
            answer: Answer::compute(&state.kept.outing),
            tonight: tonight(state.now, state.kept.outing.site.on_earth()),
            shown: None,
            season: None,
            crossings: None,
            analysis: None,
            rest_of_why: None,
            drawing: None,
            unpainted: false,
            drawn: None,
            state,
            dispatch,
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
            let dispatch = self.dispatch.clone();
            gazetteer::open(move |opened| dispatch.emit(Action::TownsOpened(opened)));
        }
        if matches!(action, Action::SheetOpened(Sheet::Skyline)) {
            let (dispatch, outing) = (self.dispatch.clone(), &self.state.kept.outing);
            let date = outing
                .night
                .unwrap_or_else(|| time_zone::now().date_naive());
            worker_client::declination(&outing.site, date, move |message| {
                dispatch.emit(Action::DeclinationTold(message));
            });
        }
        let patches_drawn = matches!(action, Action::PatchesDrawn(_));
        // what a newer page wrote is left in the address, to be read after an update
        let arrived = matches!(&action, Action::Arrived(reading) if !reading.unsupported);
        let next = if reads_clock {
            let present = self.state.after(Action::ClockRead(time_zone::now()));
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
                self.answer = Answer::compute(&now.kept.outing);
            }
            (self.analysis, self.rest_of_why) = (None, None);
            // nor does the night ask where the camera points
            let mut but_for_the_frame = now.kept.outing.clone();
            but_for_the_frame.frame = before.kept.outing.frame;
            if but_for_the_frame != before.kept.outing {
                (self.shown, self.season, self.crossings) = (None, None, None);
            }
        }
        if other_night {
            (self.shown, self.season, self.crossings) = (None, None, None);
            (self.analysis, self.rest_of_why) = (None, None);
        }
        if now.tried_mm != before.tried_mm {
            self.analysis = None;
        }
        // pictures that came, another light, or places that are new
        self.unpainted |= now.screen == Screen::Why
            && (patches_drawn || now.theme != before.theme || now.screen != before.screen);
        self.work_out();
        self.draw_patches();
        let now = &self.state;
        let (kept, theme) = (now.kept != before.kept, now.theme != before.theme);
        let awake = now.stays_on() != before.stays_on();
        let leaning = now.draft.leaning != before.draft.leaning;
        let code = now.shows_code()
            && (now.sheet != before.sheet || now.kept.outing != before.kept.outing);
        // the address tells again what is in use, also when nothing of it was taken
        if kept || arrived {
            self.rest();
        }
        if theme {
            self.light();
        }
        if awake {
            self.hold();
        }
        if leaning {
            self.lean();
        }
        if code {
            request_code(&self.state.kept.outing, &self.dispatch);
        }
        true
    }

    fn rendered(&mut self, _: &Context<Self>, _: bool) {
        if std::mem::take(&mut self.unpainted)
            && let Some(patches) = &self.state.patches
        {
            sample_images::draw(patches, self.state.theme);
        }
    }

    fn view(&self, _: &Context<Self>) -> Html {
        let Self {
            state,
            dispatch,
            answer,
            crossings,
            ..
        } = self;
        let outing = &state.kept.outing;
        let (title, screen, inputs) = match (state.screen, &self.shown) {
            (Screen::When, Some(shown)) => (
                "When?",
                night_screen(outing, shown, dispatch),
                night_controls(shown, dispatch),
            ),
            (Screen::Why, _) if self.analysis.is_some() => {
                let analysis = self.analysis.as_ref();
                let tried_mm = analysis.map_or(0.0, |analysis| analysis.ways.focal_mm);
                (
                    "Why track?",
                    analysis.map_or_else(nothing, |analysis| {
                        tracking_screen(state, analysis, dispatch)
                    }),
                    tracking_controls(outing, tried_mm, dispatch),
                )
            }
            (Screen::Where, Some(shown)) => (
                "Where?",
                framing_screen(state, answer, (shown, crossings.as_ref()), dispatch),
                framing_controls(outing, shown, dispatch),
            ),
            _ => (
                "How long?",
                exposure_screen(state, answer, dispatch),
                exposure_controls(outing, dispatch),
            ),
        };
        let main = vec![
            say("h1", &[("class", "unseen")], title),
            notices(&state.notices, dispatch),
            screen,
        ];
        all(vec![
            el("main", &[], main),
            deck(inputs, state.screen, state.before.is_some(), dispatch),
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
        if self.shown.is_none() && (self.state.screen != Screen::Exposure || on_sheet) {
            self.shown = Some(SelectedNight::new(
                &kept.outing,
                self.tonight,
                &time_zone::BrowserTimeZones,
            ));
        }
        if self.analysis.is_none()
            && self.state.screen == Screen::Why
            && let Some(shown) = &self.shown
        {
            let rest = self.rest_of_why.clone();
            let analysis = TrackingAnalysis::new(&kept.outing, shown, self.state.tried_mm, rest);
            self.rest_of_why = Some(analysis.rest.clone());
            self.analysis = Some(analysis);
        }
        if self.crossings.is_none()
            && self.state.screen == Screen::Where
            && let Some(shown) = &self.shown
        {
            self.crossings = Some(MoonSunCrossings::new(shown));
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
            self.season = Some(Season::new(&kept.outing, from));
        }
    }

    /// Has the pictures of the four ways drawn, one set at a time: what is changed
    /// meanwhile is drawn when that is there.
    fn draw_patches(&mut self) {
        let Some(analysis) = &self.analysis else {
            return;
        };
        let patches = patches(&self.state.kept.outing, &analysis.ways);
        if self.drawing.is_some() || self.drawn == Some(patches) {
            return;
        }
        self.drawing = Some(patches);
        let dispatch = self.dispatch.clone();
        worker_client::patches(&patches, move |message| {
            dispatch.emit(Action::PatchesDrawn(message))
        });
    }

    /// Writes what is kept, soon.
    fn rest(&mut self) {
        self.ledger.borrow_mut().note(&self.state.kept);
        let (ledger, dispatch) = (self.ledger.clone(), self.dispatch.clone());
        self.resting = Some(Timeout::new(REST_MS, move || {
            let written = ledger.borrow_mut().write(false);
            if let Err(sentence) = written {
                dispatch.emit(Action::Noticed(Notice::Said(sentence)));
            }
        }));
    }

    /// Lights the page.
    fn light(&self) {
        if let Err(sentence) = persistence::apply_theme(self.state.theme) {
            self.dispatch.emit(Action::Noticed(Notice::Said(sentence)));
        }
    }

    /// Asks the phone how it is held, or no longer.
    fn lean(&mut self) {
        self.leaning = None;
        if self.state.draft.leaning {
            let (message, failed) = (self.dispatch.clone(), self.dispatch.clone());
            self.leaning = orientation::listen(
                move |lean| message.emit(Action::Leaned(lean)),
                move |why| failed.emit(Action::LeaningFailed(why)),
            );
        }
    }

    /// Asks for the screen's lock, or gives it back.
    fn hold(&mut self) {
        let dispatch = self.dispatch.clone();
        self.awake = self.state.stays_on().then(|| {
            wake_lock::hold(move |sentence| {
                dispatch.emit(Action::AwakeChosen(false));
                dispatch.emit(Action::Noticed(Notice::Said(sentence)));
            })
        });
    }
}

impl App {
    fn open_sheet(&self) -> Html {
        let Self {
            state, dispatch, ..
        } = self;
        let outing = &state.kept.outing;
        match (state.sheet, &self.shown, &self.season) {
            (None, ..) => nothing(),
            (Some(Sheet::Kit), ..) => {
                kit_sheet(&state.kept, state.photo_message.as_deref(), dispatch)
            }
            (Some(Sheet::Site), ..) => site_sheet(state, dispatch),
            (Some(Sheet::Sharp), ..) => sharpness_sheet(outing, dispatch),
            (Some(Sheet::Lamp), ..) => display_sheet(state.theme, state.awake, dispatch),
            (Some(sheet @ (Sheet::Focal | Sheet::FNumber)), ..) => {
                number_entry_sheet(outing, sheet, dispatch)
            }
            (Some(Sheet::Night), Some(shown), _) => night_sheet(outing, shown, dispatch),
            (Some(Sheet::Season), Some(shown), Some(season)) => {
                season_sheet(outing, shown, (season, state.open_month), dispatch)
            }
            (Some(Sheet::Share), ..) => share_sheet(&state.kept, &state.carry, dispatch),
            (Some(Sheet::Skyline), ..) => skyline_sheet(state, dispatch),
            (Some(Sheet::Tracker), ..) => tracker_sheet(outing, dispatch),
            (Some(Sheet::Panorama), Some(shown), _) => {
                panorama_sheet(state, &self.answer, shown, dispatch)
            }
            (Some(Sheet::Card), Some(shown), _) => {
                field_card_sheet(state, &self.answer, shown, dispatch)
            }
            (Some(Sheet::Frames), Some(shown), _) => frames_sheet(outing, shown, dispatch),
            (Some(Sheet::Lists), ..) => checklists_sheet(state, dispatch),
            // worked out before they are drawn
            (Some(_), ..) => nothing(),
        }
    }
}
