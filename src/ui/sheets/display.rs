//! Theme and screen lock; how accurate the figures are; notices of third-party work.

use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::ui::state::display::{Display, DisplayAction};
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

const DIM_FIRST: &str = "Turn the phone's own brightness down first: a dim screen spares your eyes \
                         more than a red one.";

const ACCURACY: &str = "Drift is exact for a perfect lens: one part in a million at a place, \
                        0.5 % in the worst one. Your lens bends its corners, and misses its \
                        printed focal length, by a few per cent. Take a frame, magnify a corner, \
                        and believe the frame.";

const PRIVACY: &str = "Nothing you type or open leaves this phone, and the page works with no \
                       signal once it has been opened.";

/// Address of the licences of everything in the page; the build writes that file.
const NOTICES: &str = "notices.html";

/// The sheet.
pub fn display_sheet(display: Display, dispatch: &Dispatch) -> Html {
    let content = html! {
        <>
            { themes(display.theme, dispatch) }
            <p>{ DIM_FIRST }</p>
            <h3>{ "Screen" }</h3>
            { screen_lock(display.keep_awake, dispatch) }
            <h3>{ "How far to trust it" }</h3>
            <p>{ ACCURACY }</p>
            <p>{ PRIVACY }</p>
            <a href={NOTICES}>{ "Notices of third-party work" }</a>
        </>
    };
    dialog("Display", vec![content], dispatch)
}

fn themes(chosen: Theme, dispatch: &Dispatch) -> Html {
    let option = |theme: Theme| {
        let (word, line) = exposure::theme(theme);
        (word, line, DisplayAction::Theme(theme).into())
    };
    let themes = ToggleGroup {
        name: "how the page is lit",
        options: &Theme::ALL.map(option),
        chosen: Theme::ALL.iter().position(|theme| *theme == chosen),
        tall: false,
    };
    toggle_group(&themes, dispatch)
}

fn screen_lock(keep_awake: bool, dispatch: &Dispatch) -> Html {
    let screen = ToggleGroup {
        name: "screen",
        options: &[
            ("May sleep", "", DisplayAction::KeepAwake(false).into()),
            ("Stays on", "", DisplayAction::KeepAwake(true).into()),
        ],
        chosen: Some(usize::from(keep_awake)),
        tall: false,
    };
    toggle_group(&screen, dispatch)
}
