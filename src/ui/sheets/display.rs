//! Theme and screen lock; how accurate the figures are; notices of third-party work.

use crate::ui::state::display::Display;
use crate::ui::state::display::DisplayAction;
use yew::prelude::*;

use crate::browser::theme::Theme;
use crate::ui::text::exposure;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::element::{Fixed, say};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

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
pub fn display_sheet(display: Display, dispatch: &Dispatch) -> Html {
    let Display { theme, keep_awake } = display;
    let option = |theme: Theme| {
        let (word, line) = exposure::theme(theme);
        (word, line, DisplayAction::Theme(theme).into())
    };
    let looks = ToggleGroup {
        name: "how the page is lit",
        options: &Theme::ALL.map(option),
        chosen: Theme::ALL.iter().position(|held| *held == theme),
        tall: false,
    };
    let screen = ToggleGroup {
        name: "screen",
        options: &[
            ("May sleep", "", DisplayAction::KeepAwake(false).into()),
            ("Stays on", "", DisplayAction::KeepAwake(true).into()),
        ],
        chosen: Some(usize::from(keep_awake)),
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
