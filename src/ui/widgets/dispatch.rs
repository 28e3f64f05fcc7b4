//! A tap that reports something.
//!
//! All taps of the page go through one closure that carries what happened, and
//! so are compiled once.

use yew::prelude::*;

use crate::ui::state::action::Action;

/// Where components report what happened.
pub type Dispatch = Callback<Action>;

/// A handler of clicks that reports an action.
pub fn on_click(dispatch: &Dispatch, action: impl Into<Action>) -> Callback<MouseEvent> {
    let (dispatch, action) = (dispatch.clone(), action.into());
    Callback::from(move |_| dispatch.emit(action.clone()))
}
