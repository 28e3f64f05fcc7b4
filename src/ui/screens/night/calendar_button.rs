//! The shot window as a file for the phone's calendar.

use yew::prelude::*;

use crate::browser::{share_file, time_zone};
use crate::outing::plan::Outing;
use crate::outing::share::ics::{Event, calendar_file};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::notices::{Notice, NoticesAction};
use crate::ui::text::exposure::kit;
use crate::ui::text::night as words;
use crate::ui::text::subject::capitalised;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;

/// The button; nothing where there is no window.
pub fn calendar_button(outing: &Outing, selected: &SelectedNight, dispatch: &Dispatch) -> Html {
    let Some(window) = selected.night.evening.best() else {
        return Html::default();
    };
    let at = |days: f64| selected.night.evening.start.plus_days(days).instant();
    let event = Event {
        title: format!(
            "{}, {}",
            capitalised(outing.subject),
            windows::horizon_title(outing)
        ),
        description: vec![
            windows::sentence(selected, outing),
            words::clock(selected),
            kit(&outing.kit, outing.f_number),
        ],
        location: words::site(&outing.site),
        latitude: outing.site.latitude,
        longitude: outing.site.longitude,
        start: at(window.span.start),
        end: at(window.span.end),
        stamp: time_zone::now(),
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
