//! The callback to which components send actions.

use yew::prelude::*;

use crate::ui::state::action::Action;

/// Receives the actions of components.
pub type Dispatch = Callback<Action>;

/// A click handler that sends an action.
pub fn on_click(dispatch: &Dispatch, action: impl Into<Action>) -> Callback<MouseEvent> {
    let (dispatch, action) = (dispatch.clone(), action.into());
    Callback::from(move |_| dispatch.emit(action.clone()))
}
