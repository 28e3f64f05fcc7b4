//! The shot window as a file for the phone's calendar.

use yew::prelude::*;

use crate::browser::{share_file, time_zone};
use crate::outing::plan::Outing;
use crate::outing::share::ics::{Event, calendar_file};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;

/// The button; nothing where there is no window.
pub fn calendar_button(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let Some(event) = windows::calendar_event(outing, selected, time_zone::now()) else {
        return Html::default();
    };
    let dispatch = dispatch.clone();
    let onclick = Callback::from(move |_| {
        let event = Event {
            stamp: time_zone::now(),
            ..event.clone()
        };
        let file = calendar_file(&event);
        let message = dispatch.clone();
        share_file::share_text("shot-window.ics", "text/calendar", &file, move |sentence| {
            message.emit(NoticesAction::Show(Notice::Message(sentence)).into());
        });
    });
    html! {
        <button class="wide after" type="button" {onclick}>
            { "Put the window into a calendar" }
        </button>
    }
}
