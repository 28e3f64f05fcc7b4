//! The page: its state, what is derived from it, and the screen and sheet shown.

use gloo_events::EventListener;
use yew::prelude::*;

use crate::browser::arrow_keys::{self, Arrow};
use crate::browser::paint;
use crate::browser::time_zone;
use crate::outing::exposure::sample_images::sample_images;
use crate::ui::deferred;
use crate::ui::effects::{self, Effects};
use crate::ui::screens::night::controls::minutes_later;
use crate::ui::screens::{self, ScreenParts};
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::Derived;
use crate::ui::state::document::Edit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Routes, Screen, Sheet};
use crate::ui::state::skyline::SkylineAction;
use crate::ui::state::views::TrackingAction;
use crate::ui::widgets::below_fold::BelowFold;
use crate::ui::widgets::deck::{deck, undo_key};
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::folded::{self, Folded};
use crate::ui::widgets::horizon_strip::horizon_strip;
use crate::ui::widgets::notices::notices;
use crate::ui::widgets::question_bar::question_bar;
use crate::ui::widgets::scroll_area::ScrollArea;

/// The page.
pub struct App {
    state: State,
    derived: Derived,
    effects: Effects,
    dispatch: Dispatch,
    scroll_area: ScrollArea,
    page: NodeRef,
    _arrows: Option<EventListener>,
}

/// Minutes by which an arrow steps the time, and with Shift.
const ARROW_MIN: i32 = 10;
const SHIFT_ARROW_MIN: i32 = 1;

/// The screens drawn once, unseen, when the deferred part of the program has come: a browser compiles a
/// function when it is first called, and the first opening would wait for that.
const WARMED_UP: [Screen; 3] = [Screen::Tracking, Screen::Night, Screen::Framing];

/// What the page is told.
pub enum Message {
    /// Something happened.
    Action(Action),
    /// The screen is to be shown from its top.
    ToTop,
    /// An arrow was pressed that nothing else takes.
    Arrow(Arrow),
    /// A screen is to be made ready, by its index in [`WARMED_UP`].
    WarmUp(usize),
}

impl Component for App {
    type Message = Message;
    type Properties = ();

    fn create(context: &Context<Self>) -> Self {
        let (state, stored) = effects::restored();
        let dispatch = context.link().callback(Message::Action);
        Self {
            effects: Effects::new(&state, &stored, &dispatch),
            derived: Derived::default(),
            scroll_area: ScrollArea::new(state.routes.screen),
            page: NodeRef::default(),
            state,
            dispatch,
            _arrows: arrow_keys::listen({
                let arrows = context.link().callback(Message::Arrow);
                move |arrow| arrows.emit(arrow)
            }),
        }
    }

    fn update(&mut self, context: &Context<Self>, message: Message) -> bool {
        let action = match message {
            Message::Action(action) => action,
            Message::WarmUp(place) => {
                self.warm_up(place, context);
                return false;
            }
            Message::ToTop => {
                self.scroll_area.scroll_to_top();
                return true;
            }
            Message::Arrow(arrow) => match self.stepped_by(arrow) {
                Some(action) => action,
                None => return false,
            },
        };
        self.state.reads_folded = folded::has_unfolded(&self.page);
        let before = self.state.clone();
        let clock = matches!(action, Action::Clock(_));
        if reads_clock(&action) {
            self.state.reduce(Action::Clock(time_zone::now()));
        }
        if matches!(action, Action::Tracking(TrackingAction::SamplesDrawn(_))) {
            self.effects.samples_drawn();
        }
        // a failed picture is tried again when it is asked for, or the screen is shown anew
        let again = matches!(
            action,
            Action::Tracking(TrackingAction::DrawAgain) | Action::Route(RouteAction::Show(_))
        );
        if again && self.state.tracking.failed() {
            self.effects.redraw_samples();
        }
        let actions = match action {
            Action::StorageChanged => self.effects.changed_lists(),
            action => vec![action],
        };
        for action in actions {
            for effect in self.state.reduce(action) {
                self.effects.perform(effect, &self.state);
            }
        }
        if self.state.routes.sheet().is_some() && !self.state.deferred_loaded {
            self.effects.load_deferred();
        }
        if self.state.deferred_loaded && !before.deferred_loaded {
            warm_up_after_paint(0, context);
        }
        if self.state.routes.screen == Screen::Tracking {
            let analysis = self.derived.tracking(&self.state);
            let samples = sample_images(self.state.outing(), &analysis.strategies);
            self.effects.draw_samples(samples);
        }
        // of the time of day the page shows which night is tonight, and the minute it follows
        if clock {
            return before.history != self.state.history
                || self.derived.tonight(&before) != self.derived.tonight(&self.state);
        }
        before != self.state
    }

    fn rendered(&mut self, _: &Context<Self>, _: bool) {
        self.scroll_area.rendered(self.state.routes.screen);
    }

    fn view(&self, context: &Context<Self>) -> Html {
        let Self {
            state,
            derived,
            dispatch,
            ..
        } = self;
        let parts = screens::view(state, derived, dispatch);
        let layout = state.layout;
        let screen = state.routes.screen;
        // one child in any case: of a list whose length changes, siblings would be made anew
        let sheet = state.routes.sheet().filter(|_| state.deferred_loaded);
        let sheet = sheet.map_or_else(Html::default, |sheet| {
            deferred::sheet(sheet, state, derived, dispatch)
        });
        // the deferred part of the program is there
        let whole = state.deferred_loaded.then_some("whole");
        // pictures are fine, and what unfolds is there
        let resting = state.at_rest.then_some("resting");
        let to_top = context.link().callback(|()| Message::ToTop);
        html! {
            <div
                ref={self.page.clone()}
                class={classes!("page", layout.class(), screen.class(), whole, resting)}
            >
                { horizon_strip(state, derived, dispatch) }
                { self.parts(parts) }
                { question_bar(screen, state.offline.failed(), &to_top, dispatch) }
                { sheet }
            </div>
        }
    }
}

/// Has a screen made ready once what was drawn is seen.
fn warm_up_after_paint(place: usize, context: &Context<App>) {
    let link = context.link().clone();
    paint::after_next(move || link.send_message(Message::WarmUp(place)));
}

impl App {
    /// Makes a screen ready: draws it and throws that away; what was worked out for it is kept.
    fn warm_up(&self, place: usize, context: &Context<Self>) {
        let Some(screen) = WARMED_UP.get(place) else {
            return;
        };
        let mut state = self.state.clone();
        state.routes.screen = *screen;
        drop(screens::view(&state, &self.derived, &self.dispatch));
        warm_up_after_paint(place + 1, context);
    }

    /// The step of time that an arrow makes at a desk, where night or frame is looked at.
    fn stepped_by(&self, arrow: Arrow) -> Option<Action> {
        let Routes { screen, sheets } = &self.state.routes;
        let timed = matches!(screen, Screen::Night | Screen::Framing) && sheets.is_empty();
        let minutes = if arrow.shift {
            SHIFT_ARROW_MIN
        } else {
            ARROW_MIN
        };
        let minutes = if arrow.right { minutes } else { -minutes };
        (timed && self.state.layout.is_desk())
            .then(|| minutes_later(&self.derived.night(&self.state), minutes))
    }

    /// The parts of a screen in their places.
    fn parts(&self, parts: ScreenParts) -> Html {
        let Self {
            state, dispatch, ..
        } = self;
        let ScreenParts {
            title,
            headline,
            picture,
            below,
            keys,
            drawer,
            card,
            folded,
        } = parts;
        let screen = state.routes.screen;
        let notes = html! {
            <div class="notes">
                <BelowFold key={["card", screen.class()].concat()}>{ card }</BelowFold>
                <Folded key={screen.class()} due={state.folded_due()}>{ folded }</Folded>
            </div>
        };
        let notices = notices(&state.notices, dispatch);
        let heading = html! { <h1 class="unseen">{ title }</h1> };
        if state.layout.has_column() {
            let keys = keys.map_or_else(Html::default, |[left, right]| {
                html! { <div class="keys">{ left }{ right }</div> }
            });
            let undo = state.deck.offers_undo && state.history.can_undo();
            let stage = html! {
                <>
                    { heading }
                    { notices }
                    <div class="picture">{ picture }</div>
                </>
            };
            return html! {
                <>
                    { self.scroll_area.view(screen, "stage", stage) }
                    <aside class="column" aria-label="words and inputs">
                        <div class="headline">{ headline }</div>
                        { keys }
                        <div class="below">{ below }</div>
                        <div class="drawer">{ drawer }</div>
                        <div class="undo-row">
                            if undo {
                                { undo_key(dispatch) }
                            }
                        </div>
                        { notes }
                    </aside>
                </>
            };
        }
        let deck = keys.map_or_else(Html::default, |keys| deck(state, keys, drawer, dispatch));
        let content = html! {
            <>
                { heading }
                { notices }
                <div class="headline">{ headline }</div>
                <div class="picture">{ picture }</div>
                <div class="below">{ below }</div>
                { notes }
            </>
        };
        html! {
            <>
                { self.scroll_area.view(screen, "screen", content) }
                { deck }
            </>
        }
    }
}

/// Whether an action asks for the present. The clock is followed while the page is looked
/// at, but a minute may have gone by.
fn reads_clock(action: &Action) -> bool {
    matches!(
        action,
        Action::LookAtNow
            | Action::Edit(Edit::Night(NightEdit::Tonight))
            | Action::Route(RouteAction::Show(_) | RouteAction::Open(Sheet::FieldCard))
            | Action::Skyline(SkylineAction::PointedAt(_))
    )
}
