//! Well-known targets of the summer Milky Way, at the lens that frames each.

use crate::ui::state::views::TrackingAction;
use yew::prelude::*;

use crate::ui::screens::tracking::assumptions::TARGET_BASIS;
use crate::ui::screens::tracking::{card, details};
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::tracking as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::say;
use crate::ui::widgets::toggle_group::option;

/// The card: one button for each, which moves the lens looked at.
pub fn targets_card(analysis: &TrackingAnalysis, dispatch: &Dispatch) -> Html {
    let rows = analysis.table.targets.iter().map(|asked| {
        let focal_mm = asked.compared.strategies.focal_mm.round();
        let line = words::target(asked);
        let tried = TrackingAction::TryLens(Some(focal_mm));
        let chosen = focal_mm == analysis.strategies.focal_mm;
        option(asked.target.name, &line, chosen, on_click(dispatch, tried))
    });
    let list = crate::ui::widgets::element::el("div", &[("class", "choice tall")], rows.collect());
    card(
        "What it takes to fill the frame",
        vec![
            say(
                "p",
                &[],
                "Each told for its own stars and sky. A tap looks at your own subject through its lens.",
            ),
            list,
            details("What it rests on", vec![say("p", &[], TARGET_BASIS)]),
        ],
    )
}
