//! The opening sentence, with the user's own numbers.

use yew::prelude::*;

use crate::outing::plan::Outing;
use crate::ui::state::derived::tracking_analysis::TrackingAnalysis;
use crate::ui::text::tracking as words;

/// The headline.
pub fn headline(outing: &Outing, analysis: &TrackingAnalysis) -> Html {
    html! {
        <>
            <p id="answer" class="claim" aria-live="polite">
                { words::claim(outing.support, &analysis.strategies) }
            </p>
            <p class="fact quiet">{ words::too_long(analysis.table.too_long_mm) }</p>
            if let Some(message) = words::not_dark(&analysis.sky) {
                <p class="fact quiet">{ message }</p>
            }
        </>
    }
}
