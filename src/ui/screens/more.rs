//! More: what every screen leads to; where there is room, the field card beside it.

use yew::prelude::*;

use crate::ui::deferred;
use crate::ui::screens::ScreenParts;
use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::derived::Derived;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::kit;
use crate::ui::text::night;
use crate::ui::text::offline;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::symbol::{Symbol, symbol};

/// The rows: id, symbol, word, sheet.
const SHEETS: [(&str, Symbol, &str, Sheet); 6] = [
    ("open-kit", Symbol::Camera, "Kit", Sheet::Kit),
    ("open-site", Symbol::Ridge, "Site", Sheet::Site),
    ("open-frame", Symbol::Trail, "Test frame", Sheet::TestFrame),
    ("open-card", Symbol::Card, "Field card", Sheet::FieldCard),
    ("open-share", Symbol::Share, "Share", Sheet::Share),
    ("open-display", Symbol::Display, "Display", Sheet::Display),
];

/// The screen.
pub fn more_screen(state: &State, derived: &Derived, dispatch: &Dispatch) -> ScreenParts {
    let outing = state.outing();
    let line = |sheet| match sheet {
        Sheet::Kit => kit::summary(&outing.kit, outing.f_number),
        Sheet::Site => night::site(&outing.site),
        Sheet::TestFrame => "a picture of yours, measured".to_owned(),
        Sheet::FieldCard => "the outing on one page".to_owned(),
        Sheet::Share => "code, link or file".to_owned(),
        _ => "theme, brightness, screen lock".to_owned(),
    };
    let row = |(id, sign, word, sheet): (&'static str, Symbol, &'static str, Sheet)| {
        let onclick = on_click(dispatch, RouteAction::Open(sheet));
        html! {
            <button {id} class="more-row" type="button" {onclick}>
                { symbol(sign) }
                <span class="word">{ word }</span>
                <span class="quiet name">{ line(sheet) }</span>
            </button>
        }
    };
    let step = |id: &'static str, word: &'static str, sign, action: Action, possible: bool| {
        let onclick = on_click(dispatch, action);
        html! {
            <button {id} class="step-back" type="button" disabled={!possible} {onclick}>
                { symbol(sign) }
                <span>{ word }</span>
            </button>
        }
    };
    let history = &state.history;
    // a sheet covers it
    let bare = state.routes.sheets.is_empty();
    let beside = bare && state.layout.has_column() && state.deferred_loaded;
    let card = || deferred::card_beside(state, derived);
    let picture = html! {
        <div class="more-and-card">
            <div class="more">
                { for SHEETS.map(row) }
                <div class="row">
                    { step("undo", "Undo", Symbol::Undo, Action::Undo, history.can_undo()) }
                    { step("redo", "Redo", Symbol::Redo, Action::Redo, history.can_redo()) }
                </div>
                <p id="offline" class="quiet" role="status">{ offline::copy(&state.offline.copy) }</p>
            </div>
            { beside.then(card).unwrap_or_default() }
        </div>
    };
    ScreenParts {
        title: "More",
        picture,
        ..ScreenParts::default()
    }
}
