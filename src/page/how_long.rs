//! How long? – the shutter time, what it leaves, and why.

use std::rc::Rc;

use yew::prelude::*;

use super::care::care;
use super::choice::{Choice, choice};
use super::drift_map::map;
use super::focus_card::focus_card;
use super::loupe::loupes;
use super::rules_table::rules_table;
use super::state::{Action, Sheet, State};
use super::stepper::{Stepper, stepper};
use super::tap::{Send, tap};
use super::verdict::verdict;
use super::words;
use crate::outing::answer::{Answer, Trial};
use crate::outing::plan::{Held, Outing};

/// What the screen needs.
#[derive(Properties, PartialEq)]
pub struct HowLongProps {
    /// The page's state.
    pub state: State,
    /// Something happened.
    pub send: Send,
}

/// The screen.
#[component]
pub fn HowLong(props: &HowLongProps) -> Html {
    let HowLongProps { state, send } = props;
    let outing = &state.kept.outing;
    let answer: Rc<Answer> = use_memo(outing.clone(), Answer::to);
    let shutter = answer.shutter().stepped(state.tried_thirds);
    let trial = Trial::of(&answer, shutter);
    html! {
        <>
            <button type="button" class="line kit-line" onclick={tap(send, Action::SheetOpened(Sheet::Kit))}>
                { words::kit(&outing.kit, outing.f_number) }
            </button>
            { verdict(outing, &answer) }
            <button type="button" class="line" onclick={tap(send, Action::SheetOpened(Sheet::Site))}>
                { words::aim(outing) }
            </button>
            <section aria-label="the star, pixel by pixel">
                { loupes(outing, &answer, &trial) }
                { try_stepper(&trial, state.tried_thirds, send) }
            </section>
            <section class="card" aria-labelledby="map-title">
                <h2 id="map-title">
                    { format!("Trails over the frame, px, at {}", words::shutter(shutter)) }
                </h2>
                { map(&answer, &trial) }
                <p class="legend">
                    { format!("Heavy line: {}. Hatched: longer.", words::trail(answer.allowed_px)) }
                </p>
                { held_choice(outing, send) }
            </section>
            <section class="card" aria-labelledby="rules-title">
                <h2 id="rules-title">{ "The rules beside it, px left" }</h2>
                { rules_table(&answer, state.open_rule, send) }
            </section>
            { focus_card(outing, send) }
            { care() }
        </>
    }
}

fn try_stepper(trial: &Trial, thirds: i32, send: &Send) -> Html {
    let tried = Stepper {
        name: "shutter to try",
        value: format!("try {}", words::shutter(trial.shutter)),
        less: Action::ShutterTried(-1),
        more: Action::ShutterTried(1),
        // a tap goes back to the answer
        value_tapped: (thirds != 0).then_some(Action::ShutterTried(-thirds)),
    };
    html! { <div class="try">{ stepper(tried, send) }</div> }
}

fn held_choice(outing: &Outing, send: &Send) -> Html {
    let ways = Choice {
        name: "camera held",
        options: &[
            ("level", "", Action::HeldChosen(Held::Level)),
            ("upright", "", Action::HeldChosen(Held::Upright)),
        ],
        chosen: Some(usize::from(outing.held == Held::Upright)),
        tall: false,
    };
    choice(&ways, send)
}
