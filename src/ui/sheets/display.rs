//! Theme, brightness, screen lock and offline copy; folded, how accurate the figures are and notices of
//! third-party work.

use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::ui::state::display::{Display, DisplayAction};
use crate::ui::state::offline::Offline;
use crate::ui::text::{exposure, offline as words};
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

const DIM_FIRST: &str = "Turn the phone's own brightness down first: a dim screen spares your eyes \
                         more than a red one.";

const ACCURACY: &str = "Drift is exact for a perfect lens: one part in a million at a place, \
                        0.5 % in the worst one. Your lens bends its corners, and misses its \
                        printed focal length, by a few per cent. Take a frame, magnify a corner, \
                        and believe the frame.";

const PRIVACY: &str = "Nothing you type or open leaves this phone.";

/// Address of the licences of everything in the page; the build writes that file.
const NOTICES: &str = "notices.html";

/// The sheet.
pub fn display_sheet(display: Display, offline: &Offline, dispatch: &Dispatch) -> Html {
    let brightness = Stepper {
        name: "brightness",
        value: format!("{} %", display.brightness),
        caption: "brightness",
        less: DisplayAction::Brighter(false).into(),
        more: DisplayAction::Brighter(true).into(),
        value_tapped: None,
    };
    let content = html! {
        <>
            { themes(display.theme, dispatch) }
            { stepper(brightness, dispatch) }
            <p class="legend">{ DIM_FIRST }</p>
            { screen_lock(display.keep_awake, dispatch) }
            <p id="offline-copy" role="status">{ words::copy(&offline.copy) }</p>
            if let Some(why) = words::keeping(offline.keeping) {
                <p id="keeping" class="legend">{ why }</p>
            }
            <details>
                <summary>{ "Accuracy, privacy, notices" }</summary>
                <p>{ ACCURACY }</p>
                <p>{ PRIVACY }</p>
                <a href={NOTICES}>{ "Notices of third-party work" }</a>
            </details>
        </>
    };
    dialog("Display", vec![content], dispatch)
}

/// The themes, each drawn in its own colours; in red, where light is spared, in that of the page.
fn themes(chosen: Theme, dispatch: &Dispatch) -> Html {
    let option = |theme: Theme| {
        let (word, line) = exposure::theme(theme);
        let look = (chosen != Theme::Red).then(|| theme.word());
        let onclick = on_click(dispatch, DisplayAction::Theme(theme));
        html! {
            <button
                id={theme.word()}
                type="button"
                class="theme"
                aria-pressed={aria_bool(theme == chosen)}
                {onclick}
            >
                <svg class="swatch" viewBox="0 0 96 64" aria-hidden="true" data-look={look}>
                    <path class="sky" d="M0 0h96v64H0z" />
                    <path class="path" d="M14 40C30 14 62 10 84 34" />
                    <path class="far" d="M0 46l18-14 14 10 20-18 20 16 12-8 12 12v20H0z" />
                    <path class="ground" d="M0 54l26-6 30 8 40-8v16H0z" />
                </svg>
                <span class="word">{ word }</span>
                <span class="line">{ line }</span>
            </button>
        }
    };
    html! {
        <div class="themes" role="group" aria-label="theme">{ for Theme::ALL.map(option) }</div>
    }
}

fn screen_lock(keep_awake: bool, dispatch: &Dispatch) -> Html {
    let screen = ToggleGroup {
        name: "screen",
        options: &[
            (
                "Screen may sleep",
                "",
                DisplayAction::KeepAwake(false).into(),
            ),
            ("Stays on", "", DisplayAction::KeepAwake(true).into()),
        ],
        chosen: Some(usize::from(keep_awake)),
        tall: false,
    };
    toggle_group(&screen, dispatch)
}
