//! A line of text that opens a sheet.

use yew::prelude::*;

use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The line.
pub fn link_row(message: String, sheet: Sheet, dispatch: &Dispatch) -> Html {
    let onclick = on_click(dispatch, RouteAction::Open(sheet));
    html! { <button class="line" type="button" {onclick}>{ message }</button> }
}
