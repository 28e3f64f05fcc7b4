//! The page as a whole: its state, its effects at the edge, its screen.

use gloo_timers::callback::Timeout;
use yew::prelude::*;

use super::deck::deck;
use super::element::{all, el, nothing, say};
use super::entry_sheet::entry_sheet;
use super::how_long::HowLong;
use super::kit_sheet::kit_sheet;
use super::lamp_sheet::lamp_sheet;
use super::notices::notices;
use super::sharp_sheet::sharp_sheet;
use super::site_sheet::site_sheet;
use super::state::{Action, Notice, Sheet, State};
use super::tap::Send;
use crate::device::{address, keeping, offline, wake_lock};

/// How long a change rests before it is written, ms. The browsers limit how
/// often an address may change; leaving the page writes at once.
const REST_MS: u32 = 200;

/// The page.
#[component]
pub fn App() -> Html {
    let state = use_reducer(keeping::restored);
    let send = {
        let dispatcher = state.dispatcher();
        use_callback((), move |action: Action, ()| dispatcher.dispatch(action))
    };
    use_keeping(&state, &send);
    use_device(&state, &send);
    let screen = html! { <HowLong state={(*state).clone()} send={send.clone()} /> };
    let main = vec![
        say("h1", &[("class", "unseen")], "How long?"),
        notices(&state.notices, &send),
        screen,
    ];
    all(vec![
        el("main", &[], main),
        deck(&state.kept.outing, state.before.is_some(), &send),
        open_sheet(&state, &send),
    ])
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
    }
}

/// Writes what is kept: soon after a change, and at once when the page goes.
#[hook]
fn use_keeping(state: &UseReducerHandle<State>, send: &Send) {
    let newest = use_mut_ref(|| state.kept.clone());
    newest.replace(state.kept.clone());
    let waiting = use_mut_ref(|| None::<Timeout>);
    {
        let (newest, waiting, send) = (newest.clone(), waiting.clone(), send.clone());
        use_effect_with(state.kept.clone(), move |_| {
            let rest = Timeout::new(REST_MS, move || {
                if let Err(sentence) = keeping::keep(&newest.borrow()) {
                    send.emit(Action::Noticed(Notice::Said(sentence)));
                }
            });
            waiting.replace(Some(rest));
        });
    }
    {
        let send = send.clone();
        use_effect_with((), move |()| {
            let leaving = keeping::on_leaving(move || {
                // nobody is left to be told
                let _ = keeping::keep(&newest.borrow());
            });
            let arriving = address::on_change(move |reading| send.emit(Action::Arrived(reading)));
            move || drop((leaving, arriving))
        });
    }
    {
        let send = send.clone();
        use_effect_with(state.look, move |look| {
            if let Err(sentence) = keeping::keep_look(*look) {
                send.emit(Action::Noticed(Notice::Said(sentence)));
            }
        });
    }
}

/// The screen's lock and the offline copy.
#[hook]
fn use_device(state: &UseReducerHandle<State>, send: &Send) {
    {
        let send = send.clone();
        use_effect_with(state.awake, move |awake| {
            let lock = awake.then(|| {
                wake_lock::hold(move |sentence| {
                    send.emit(Action::AwakeChosen(false));
                    send.emit(Action::Noticed(Notice::Said(sentence)));
                })
            });
            move || drop(lock)
        });
    }
    use_effect_with(state.version_taken, |taken| {
        if *taken {
            offline::take_over();
        }
    });
    let send = send.clone();
    use_effect_with((), move |()| {
        offline::start(move || send.emit(Action::Noticed(Notice::NewVersion)));
    });
}
