//! The page: its state, what is derived from it, and the screen and sheet shown.

use yew::prelude::*;

use crate::browser::time_zone;
use crate::outing::exposure::sample_images::sample_images;
use crate::ui::deferred;
use crate::ui::effects::{self, Effects};
use crate::ui::screens;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::Derived;
use crate::ui::state::document::Edit;
use crate::ui::state::document::night::NightEdit;
use crate::ui::state::routes::{RouteAction, Screen, Sheet};
use crate::ui::state::skyline::SkylineAction;
use crate::ui::state::views::TrackingAction;
use crate::ui::widgets::deck::deck;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::notices::notices;

/// The page.
pub struct App {
    state: State,
    derived: Derived,
    effects: Effects,
    dispatch: Dispatch,
}

impl Component for App {
    type Message = Action;
    type Properties = ();

    fn create(context: &Context<Self>) -> Self {
        let (state, stored) = effects::restored();
        let dispatch = context.link().callback(|action: Action| action);
        Self {
            effects: Effects::new(&state, &stored, &dispatch),
            derived: Derived::default(),
            state,
            dispatch,
        }
    }

    fn update(&mut self, _: &Context<Self>, action: Action) -> bool {
        let before = self.state.clone();
        let clock = matches!(action, Action::Clock(_));
        if reads_clock(&action) {
            self.state.reduce(Action::Clock(time_zone::now()));
        }
        if matches!(action, Action::Tracking(TrackingAction::SamplesDrawn(_))) {
            self.effects.samples_drawn();
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
        if self.state.routes.screen == Screen::Tracking {
            let analysis = self.derived.tracking(&self.state);
            let samples = sample_images(self.state.outing(), &analysis.strategies);
            self.effects.draw_samples(samples);
        }
        // of the time of day the page shows nothing but which night is tonight
        if clock {
            return self.derived.tonight(&before) != self.derived.tonight(&self.state);
        }
        before != self.state
    }

    fn view(&self, _: &Context<Self>) -> Html {
        let Self {
            state,
            derived,
            dispatch,
            ..
        } = self;
        let (title, screen, controls) = screens::view(state, derived, dispatch);
        // one child in any case: of a list whose length changes, siblings would be made anew
        let sheet = state.routes.sheet().filter(|_| state.deferred_loaded);
        let sheet = sheet.map_or_else(Html::default, |sheet| {
            deferred::sheet(sheet, state, derived, dispatch)
        });
        html! {
            <>
                <main>
                    <h1 class="unseen">{ title }</h1>
                    { notices(&state.notices, dispatch) }
                    { screen }
                </main>
                { deck(controls, state.routes.screen, &state.history, dispatch) }
                { sheet }
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
