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
use super::stepper::stepper;
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
    pub send: Callback<Action>,
}

/// The screen.
#[component]
pub fn HowLong(props: &HowLongProps) -> Html {
    let HowLongProps { state, send } = props;
    let outing = &state.kept.outing;
    let answer: Rc<Answer> = use_memo(outing.clone(), Answer::to);
    let shutter = answer.shutter().stepped(state.tried_thirds);
    let trial = Trial::of(&answer, shutter);
    let door = |sheet: Sheet| send.reform(move |_: MouseEvent| Action::SheetOpened(sheet));
    html! {
        <>
            <button type="button" class="line kit-line" onclick={door(Sheet::Kit)}>
                { words::kit(&outing.kit, outing.f_number) }
            </button>
            { verdict(outing, &answer) }
            <button type="button" class="line" onclick={door(Sheet::Site)}>
                { words::aim(outing) }
            </button>
            <section aria-label="the star, pixel by pixel">
                { loupes(outing, &answer, &trial) }
                { try_stepper(&trial, state.tried_thirds, send) }
            </section>
            <section class="card" aria-labelledby="map-title">
                <h2 id="map-title">
                    { format!("Trails over the frame at {}, px", words::shutter(shutter)) }
                </h2>
                { map(&answer, &trial) }
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

fn try_stepper(trial: &Trial, thirds: i32, send: &Callback<Action>) -> Html {
    let value = format!("try {}", words::shutter(trial.shutter));
    let onstep = send.reform(|up: bool| Action::ShutterTried(if up { 1 } else { -1 }));
    let back = send.reform(move |()| Action::ShutterTried(-thirds));
    let onvalue = (thirds != 0).then_some(back);
    html! {
        <div class="try">
            { stepper("shutter to try", &value, &onstep, onvalue.as_ref()) }
        </div>
    }
}

fn held_choice(outing: &Outing, send: &Callback<Action>) -> Html {
    let ways = Choice {
        name: "camera held",
        options: &[("level", ""), ("upright", "")],
        chosen: Some(usize::from(outing.held == Held::Upright)),
        tall: false,
    };
    let onchoose = send.reform(|place| {
        Action::HeldChosen(if place == 1 {
            Held::Upright
        } else {
            Held::Level
        })
    });
    choice(&ways, &onchoose)
}
