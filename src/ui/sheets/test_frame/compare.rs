//! The way from the frame's stars to the drawn ones of How long?, beside which they stand.

use yew::prelude::*;

use super::TestFrameProps;
use crate::ui::state::action::Action;
use crate::ui::state::derived::frame_comparison::Comparable;
use crate::ui::text::test_frame as words;
use crate::ui::widgets::dispatch::on_click;

/// Leads to How long? with the frame's aim, night, lens and shutter time; what is missing where that would
/// show none of its stars.
pub fn compare_key(comparable: &Comparable, props: &TestFrameProps) -> Html {
    match comparable {
        Comparable::No => Html::default(),
        Comparable::WithAim => html! { <p class="quiet">{ words::COMPARED_WITH_AIM }</p> },
        Comparable::Yes(comparison) => {
            let action = Action::CompareFrame(Box::new(comparison.clone()));
            html! {
                <button
                    id="compare-frame"
                    type="button"
                    class="wide"
                    onclick={on_click(&props.dispatch, action)}
                >
                    { "Compare in How long?" }
                    if comparison.taken.is_some() {
                        <span class="offer-fact">{ words::COMPARED_WITH }</span>
                    }
                </button>
            }
        }
    }
}
