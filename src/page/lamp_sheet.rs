//! The lamp: how the page is lit, whether it stays on, and how far to trust it.

use yew::prelude::*;

use super::choice::{Choice, choice};
use super::element::{Fixed, say};
use super::sheet::sheet;
use super::state::{Action, Look};
use super::tap::Send;
use super::words;

/// The looks, in the order of their buttons.
const LOOKS: [Look; 3] = [Look::Paper, Look::Dusk, Look::Red];

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
pub fn lamp_sheet(look: Look, awake: bool, send: &Send) -> Html {
    let option = |look: Look| {
        let (word, line) = words::look(look);
        (word, line, Action::LookChosen(look))
    };
    let looks = Choice {
        name: "how the page is lit",
        options: &LOOKS.map(option),
        chosen: LOOKS.iter().position(|held| *held == look),
        tall: false,
    };
    let screen = Choice {
        name: "screen",
        options: &[
            ("May sleep", "", Action::AwakeChosen(false)),
            ("Stays on", "", Action::AwakeChosen(true)),
        ],
        chosen: Some(usize::from(awake)),
        tall: false,
    };
    let parts = vec![
        choice(&looks, send),
        say("p", &[], DIM_FIRST),
        say("h3", &[], "Screen"),
        choice(&screen, send),
        say("h3", &[], "How far to trust it"),
        say("p", &[], TRUST),
        say("p", &[], PRIVATE),
        say("a", NOTICES, "Notices of third-party work"),
    ];
    sheet("Lamp", parts, send)
}
