//! The lamp: how the page is lit, whether it stays on, and how far to trust it.

use yew::prelude::*;

use crate::ui::state::action::Action;
use crate::ui::state::routes::Theme;
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Fixed, say};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// The looks, in the order of their buttons.
const THEMES: [Theme; 3] = [Theme::Paper, Theme::Dusk, Theme::Red];

const DIM_FIRST: &str = "Turn the phone's own brightness down first: a dim screen spares your eyes \
                         more than a red one.";

const TRUST: &str = "Drift is exact for a perfect lens: one part in a million at a place, 0.5 % in \
                     the worst one. Your lens bends its corners, and misses its printed focal \
                     length, by a few per cent. Take a frame, magnify a corner, and believe the \
                     frame.";

const PRIVATE: &str = "Nothing you type or open leaves this phone, and the page works with no \
                       signal once it has been opened.";

/// Where the licences of everything in the page stand; the build writes that file.
const NOTICES: &[Fixed] = &[("href", "notices.html")];

/// The sheet.
pub fn display_sheet(theme: Theme, awake: bool, dispatch: &Dispatch) -> Html {
    let option = |theme: Theme| {
        let (word, line) = exposure::theme(theme);
        (word, line, Action::LookChosen(theme))
    };
    let looks = ToggleGroup {
        name: "how the page is lit",
        options: &THEMES.map(option),
        chosen: THEMES.iter().position(|held| *held == theme),
        tall: false,
    };
    let screen = ToggleGroup {
        name: "screen",
        options: &[
            ("May sleep", "", Action::AwakeChosen(false)),
            ("Stays on", "", Action::AwakeChosen(true)),
        ],
        chosen: Some(usize::from(awake)),
        tall: false,
    };
    let parts = vec![
        toggle_group(&looks, dispatch),
        say("p", &[], DIM_FIRST),
        say("h3", &[], "Screen"),
        toggle_group(&screen, dispatch),
        say("h3", &[], "How far to trust it"),
        say("p", &[], TRUST),
        say("p", &[], PRIVATE),
        say("a", NOTICES, "Notices of third-party work"),
    ];
    dialog("Lamp", parts, dispatch)
}
