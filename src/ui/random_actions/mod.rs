//! Any sequence of actions leaves a page that can be shown, stored and undone: no arithmetic
//! overflows (these tests are compiled with checks), nothing panics, and what was chosen is written
//! and read back.
//!
//! The values are those that fields let through, their ends above all; what comes from sensors, files
//! and clocks is drawn wider. `ACTION_SEQUENCES` is how many sequences are tried, and `ACTION_SEED`
//! the seed of the first; each has the next one, and a failure names it.

mod actions;
mod draw;
mod edits;

use std::env;
use std::panic::{AssertUnwindSafe, catch_unwind};

use chrono::DateTime;
use draw::Draw;
use yew::Callback;

use super::screens;
use super::sheets;
use super::state::State;
use super::state::action::Action;
use super::state::derived::Derived;
use super::state::routes::{RouteAction, Screen, Sheet};
use super::widgets::horizon_strip::horizon_strip;
use crate::browser::theme::Theme;
use crate::outing::document::Document;
use crate::outing::share::query;

/// Sequences without `ACTION_SEQUENCES`.
const SEQUENCES: u64 = 150;

/// Seed of the first sequence without `ACTION_SEED`.
const SEED: u64 = 1;

/// Most actions of a sequence.
const MOST_ACTIONS: usize = 40;

/// The page is drawn after one action in so many, and after the last.
const DRAWN: usize = 8;

/// The screens.
const SCREENS: [Screen; 5] = [
    Screen::Exposure,
    Screen::Night,
    Screen::Framing,
    Screen::Tracking,
    Screen::More,
];

/// The sheets.
const SHEETS: [Sheet; 18] = [
    Sheet::Kit,
    Sheet::Site,
    Sheet::Sharpness,
    Sheet::Display,
    Sheet::FocalLength,
    Sheet::FNumber,
    Sheet::Night,
    Sheet::Season,
    Sheet::Skyline,
    Sheet::Panorama,
    Sheet::CompareLenses,
    Sheet::Ground,
    Sheet::Tracker,
    Sheet::TestFrame,
    Sheet::FieldCard,
    Sheet::Frames,
    Sheet::Checklists,
    Sheet::Share,
];

fn number(name: &str, usual: u64) -> u64 {
    let asked = env::var(name).ok();
    asked.map_or(usual, |text| text.parse().expect("a number"))
}

/// Draws the page: screen, strip and sheet with all that is derived for them.
fn show(state: &State, derived: &Derived) {
    let dispatch = Callback::noop();
    let _ = screens::view(state, derived, &dispatch);
    let _ = horizon_strip(state, derived, &dispatch);
    // the link on the sheet to share is of the page's address, which only a browser knows
    let sheet = state.routes.sheet();
    if let Some(sheet) = sheet.filter(|sheet| *sheet != Sheet::Share) {
        let _ = sheets::view(sheet, state, derived, &dispatch);
    }
}

/// What was chosen is written, and read back to the same text.
fn stored(state: &State) {
    let text = query::write(state.outing());
    let again = query::read(&text);
    assert_eq!(again.errors, Vec::<String>::new(), "{text}");
    assert_eq!(query::write(&again.outing), text);
}

/// One sequence; `told` receives each action before it is applied.
fn sequence(seed: u64, told: &mut Vec<Action>) {
    let mut draw = Draw::new(seed);
    let mut state = State::new(Document::default(), Theme::Dusk, DateTime::UNIX_EPOCH, seed);
    let derived = Derived::default();
    let mut apply = |state: &mut State, action: Action| {
        told.push(action.clone());
        state.reduce(action);
    };
    apply(&mut state, Action::DeferredLoaded(Ok(())));
    apply(&mut state, Action::Clock(draw.instant()));
    for _ in 0..1 + draw.below(MOST_ACTIONS) {
        let action = actions::any(&mut draw, &state);
        apply(&mut state, action);
        if draw.below(DRAWN) == 0 {
            show(&state, &derived);
        }
    }
    // the rest of what unfolds is drawn at rest
    apply(&mut state, Action::Rest);
    show(&state, &derived);
    stored(&state);
    while state.history.can_undo() {
        apply(&mut state, Action::Undo);
    }
    show(&state, &derived);
}

#[test]
fn any_sequence_of_actions_leaves_a_page() {
    let (first, count) = (
        number("ACTION_SEED", SEED),
        number("ACTION_SEQUENCES", SEQUENCES),
    );
    let mut actions = 0;
    for seed in first..first + count {
        let mut told = Vec::new();
        let outcome = catch_unwind(AssertUnwindSafe(|| sequence(seed, &mut told)));
        if outcome.is_err() {
            let last = &told[told.len().saturating_sub(6)..];
            panic!(
                "ACTION_SEED={seed} ACTION_SEQUENCES=1: the last of {}: {last:#?}",
                told.len()
            );
        }
        actions += told.len();
    }
    println!("{count} sequences from seed {first}, {actions} actions");
}

/// Every screen and every sheet is among what is drawn.
#[test]
fn every_screen_and_sheet_is_shown() {
    let mut state = State::new(Document::default(), Theme::Dusk, DateTime::UNIX_EPOCH, SEED);
    state.reduce(Action::DeferredLoaded(Ok(())));
    let derived = Derived::default();
    for screen in SCREENS {
        state.reduce(RouteAction::Show(screen).into());
        show(&state, &derived);
    }
    for sheet in SHEETS {
        state.reduce(RouteAction::Open(sheet).into());
        show(&state, &derived);
        state.reduce(RouteAction::Close.into());
    }
}
