//! Well-known targets of the summer Milky Way, at the lens that frames each.

use yew::prelude::*;

use super::choice::option;
use super::element::say;
use super::state::Action;
use super::tap::{Send, tap};
use super::why::{card, told};
use super::why_basis::TARGET_BASIS;
use super::why_shown::Whys;
use super::why_words as words;

/// The card: one button for each, which moves the lens looked at.
pub fn targets_card(whys: &Whys, send: &Send) -> Html {
    let rows = whys.rest.targets.iter().map(|asked| {
        let focal_mm = asked.compared.ways.focal_mm.round();
        let line = words::target(asked);
        let tried = Action::LensTried(Some(focal_mm));
        let chosen = focal_mm == whys.ways.focal_mm;
        option(asked.target.name, &line, chosen, tap(send, tried))
    });
    let list = super::element::el("div", &[("class", "choice tall")], rows.collect());
    card(
        "What it takes to fill the frame",
        vec![
            say(
                "p",
                &[],
                "Each told for its own stars and sky. A tap looks at your own subject through its lens.",
            ),
            list,
            told("What it rests on", vec![say("p", &[], TARGET_BASIS)]),
        ],
    )
}
