//! A tap that reports something.
//!
//! All taps of the page go through one closure that carries what happened, and
//! so are compiled once.

use yew::prelude::*;

use super::state::Action;

/// Where components report what happened.
pub type Send = Callback<Action>;

/// A handler of clicks that reports an action.
pub fn tap(send: &Send, action: Action) -> Callback<MouseEvent> {
    let send = send.clone();
    Callback::from(move |_| send.emit(action.clone()))
}
