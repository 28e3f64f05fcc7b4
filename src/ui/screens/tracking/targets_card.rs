//! Well-known targets of the summer Milky Way, at the lens that frames each.

use yew::prelude::*;

use crate::ui::screens::card::{card, details};
use crate::ui::screens::tracking::assumptions::TARGET_BASIS;
use crate::ui::state::derived::tracking_analysis::{TargetExposure, TrackingAnalysis};
use crate::ui::state::views::TrackingAction;
use crate::ui::text::tracking as words;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::toggle_group::option;

/// The card: one button for each, which moves the lens looked at.
pub fn targets_card(analysis: &TrackingAnalysis, dispatch: &Dispatch) -> Html {
    let button = |target: &TargetExposure| {
        let focal_mm = target.compared.strategies.focal_mm.round();
        let line = words::target(target);
        let chosen = focal_mm == analysis.strategies.focal_mm;
        let onclick = on_click(dispatch, TrackingAction::TryLens(Some(focal_mm)));
        option(target.target.name, &line, chosen, onclick)
    };
    let content = html! {
        <>
            <p>
                { "Each told for its own stars and sky. A tap looks at your own subject through \
                   its lens." }
            </p>
            <div class="choice tall">{ for analysis.table.targets.iter().map(button) }</div>
            { details("What it rests on", html! { <p>{ TARGET_BASIS }</p> }) }
        </>
    };
    card("What it takes to fill the frame", content)
}
