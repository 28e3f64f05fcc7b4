//! The shot window as a file for the phone's calendar.

use chrono::DateTime;
use yew::prelude::*;

use crate::browser::{share_file, time_zone};
use crate::outing::plan::Outing;
use crate::outing::share::ics::{Event, calendar_file};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;

/// The key; where there is no window it cannot be pressed.
pub fn calendar_button(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    // stamped when the key is pressed
    let event = windows::calendar_event(outing, selected, DateTime::UNIX_EPOCH);
    let disabled = event.is_none();
    let dispatch = dispatch.clone();
    let onclick = Callback::from(move |_| {
        let Some(event) = event.clone() else { return };
        let event = Event {
            stamp: time_zone::now(),
            ..event
        };
        share_calendar("shot-window.ics", &calendar_file(&event), &dispatch);
    });
    html! {
        <button id="to-calendar" type="button" {disabled} {onclick}>{ "Add to calendar" }</button>
    }
}

/// Hands a calendar file to the phone.
pub fn share_calendar(name: &'static str, file: &str, dispatch: &Dispatch) {
    let dispatch = dispatch.clone();
    share_file::share_text(name, "text/calendar", file, move |sentence| {
        dispatch.emit(NoticesAction::Show(Notice::Message(sentence)).into());
    });
}
