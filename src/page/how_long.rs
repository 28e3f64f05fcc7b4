//! How long? – the shutter time, what it leaves, and why.

use yew::prelude::*;

use super::aim_words;
use super::care::care;
use super::choice::{Choice, choice};
use super::drift_map::map;
use super::element::{all, button, el, say, text};
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

/// The screen.
pub fn how_long(state: &State, answer: &Answer, send: &Send) -> Html {
    let outing = &state.kept.outing;
    let shutter = answer.shutter().stepped(state.tried_thirds);
    let trial = Trial::of(answer, shutter);
    let line = |said: String, sheet: Sheet| {
        let opened = tap(send, Action::SheetOpened(sheet));
        button(&[("class", "line")], Vec::new(), opened, vec![text(said)])
    };
    let star = vec![
        loupes(outing, answer, &trial),
        try_stepper(&trial, state.tried_thirds, send),
    ];
    let allowed = words::trail(answer.allowed_px);
    let frame = vec![
        map(answer, &trial),
        say(
            "p",
            &[("class", "legend")],
            format!("Heavy line: {allowed}. Hatched: longer."),
        ),
        held_choice(outing, send),
    ];
    let rules = vec![rules_table(answer, state.open_rule, send)];
    let tried = words::shutter(shutter);
    all(vec![
        line(words::kit(&outing.kit, outing.f_number), Sheet::Kit),
        verdict(outing, answer),
        line(aim_words::aim(outing), Sheet::Site),
        el(
            "section",
            &[("aria-label", "the star, pixel by pixel")],
            star,
        ),
        card(format!("Trails over the frame, px, at {tried}"), frame),
        card("The rules beside it, trails in px".to_owned(), rules),
        focus_card(outing, send),
        care(),
    ])
}

fn card(title: String, parts: Vec<Html>) -> Html {
    let title = say("h2", &[], title);
    let parts = std::iter::once(title).chain(parts).collect();
    el("section", &[("class", "card")], parts)
}

fn try_stepper(trial: &Trial, thirds: i32, send: &Send) -> Html {
    // at the end of the dial a press counts for nothing
    let step = |by: i32| {
        let moves = trial.shutter.stepped(by) != trial.shutter;
        Action::ShutterTried(if moves { by } else { 0 })
    };
    let tried = Stepper {
        name: "shutter to try",
        value: format!("try {}", words::shutter(trial.shutter)),
        less: step(-1),
        more: step(1),
        // a tap goes back to the answer
        value_tapped: (thirds != 0).then_some(Action::ShutterTried(-thirds)),
    };
    el("div", &[("class", "try")], vec![stepper(tried, send)])
}

/// Level or upright.
pub fn held_choice(outing: &Outing, send: &Send) -> Html {
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
