//! The shot window as a file for the phone's calendar.

use crate::ui::state::notices::NoticesAction;
use yew::prelude::*;

use crate::browser::{share_file, time_zone};
use crate::outing::plan::Outing;
use crate::outing::share::ics::{Event, calendar_file};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::notices::Notice;
use crate::ui::text::exposure::kit;
use crate::ui::text::night as words;
use crate::ui::text::windows;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{button, nothing, text};

/// The button; nothing where there is no window.
pub fn calendar_button(outing: &Outing, shown: &SelectedNight, dispatch: &Dispatch) -> Html {
    let Some(window) = shown.night.evening.best() else {
        return nothing();
    };
    let at = |days: f64| shown.night.evening.start.plus_days(days).instant();
    let event = Event {
        title: format!("Core, {}", windows::allowed_short(outing)),
        description: vec![
            windows::sentence(shown, outing),
            words::clock(shown),
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
    let tapped = Callback::from(move |_| {
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
    button(
        &[("class", "wide after")],
        Vec::new(),
        tapped,
        vec![text("Put the window into a calendar")],
    )
}
