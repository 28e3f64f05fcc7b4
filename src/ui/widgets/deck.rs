//! The deck under the thumb: the two values changed most on the screen, and what is drawn up
//! from under them.

use yew::prelude::*;

use crate::ui::state::State;
use crate::ui::state::action::Action;
use crate::ui::state::deck::DeckAction;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::symbol::{Symbol, symbol};

/// The two keys of a screen, in the order of their places.
pub type Keys = [Html; 2];

/// The deck of a phone. `drawer` holds the rest of the inputs.
pub fn deck(state: &State, [left, right]: Keys, drawer: Html, dispatch: &Dispatch) -> Html {
    let drawn_up = state.deck.drawn_up;
    let onclick = on_click(dispatch, DeckAction::DrawUp(!drawn_up));
    let sign = if drawn_up { Symbol::Down } else { Symbol::Up };
    let label = if drawn_up {
        "fewer inputs"
    } else {
        "all inputs"
    };
    html! {
        <section class={classes!("deck", drawn_up.then_some("drawn-up"))} aria-label="inputs">
            <div class="drawer" id="drawer" hidden={!drawn_up}>
                if drawn_up {
                    { drawer }
                }
            </div>
            <div class="undo-place">
                if state.deck.offers_undo && state.history.can_undo() {
                    { undo_key(dispatch) }
                }
            </div>
            <div class="keys">
                { left }
                <button
                    id="draw-up"
                    class="draw-up"
                    type="button"
                    aria-label={label}
                    aria-expanded={aria_bool(drawn_up)}
                    aria-controls="drawer"
                    {onclick}
                >
                    { symbol(sign) }
                </button>
                { right }
            </div>
        </section>
    }
}

/// The key that takes back the last edit.
pub fn undo_key(dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, Action::Undo);
    html! {
        <button id="undo-last" class="undo-last" type="button" {onclick}>
            { symbol(Symbol::Undo) }
            <span>{ "Undo" }</span>
        </button>
    }
}
