//! What unfolds under How long?: the exact sentences, focus, the rules with their numbers,
//! sharpness by purpose, assumptions.

use yew::prelude::*;

use crate::outing::exposure::{Answer, ShutterTrails};
use crate::outing::plan::Outing;
use crate::ui::screens::exposure::focus_card::focus_card;
use crate::ui::screens::exposure::rules_table::{exact, rules_table};
use crate::ui::state::State;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The notes; the shutter rule is among them where it does not stand in the picture.
pub fn notes(
    state: &State,
    (answer, trial): (&Answer, &ShutterTrails),
    shutter_rule: Option<Html>,
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let exact = exact(!answer.view.lens.distortion.is_none());
    let lasts = answer.dial().shutter().and_then(exposure::lasts);
    html! {
        <>
            <details>
                <summary>{ "Details" }</summary>
                { shutter_rule.unwrap_or_default() }
                <p>{ exposure::clean_time_summary(answer, trial) }</p>
                if let Some(lasts) = lasts {
                    <p>{ ["To be set: ", &lasts, "."].concat() }</p>
                }
            </details>
            <details>
                <summary>{ "Focus" }</summary>
                { focus_card(outing, dispatch) }
            </details>
            <details>
                <summary>{ "Rules of thumb compared" }</summary>
                { rules_table(answer, state.exposure.open_rule, dispatch) }
            </details>
            <details>
                <summary>{ "Sharpness by purpose" }</summary>
                { purposes(outing, dispatch) }
            </details>
            <details>
                <summary>{ "Assumptions and sources" }</summary>
                <p>{ exact.assumes }</p>
                <p>{ exact.source }</p>
            </details>
        </>
    }
}

fn purposes(outing: &Outing, dispatch: &Dispatch) -> Html {
    let sensor = outing.kit.sensor;
    let rows = exposure::purposes(sensor.pixels_across.max(sensor.pixels_down));
    let rows = rows.map(|(name, pixels)| {
        html! { <tr><th scope="row">{ name }</th><td>{ pixels }</td></tr> }
    });
    let onclick = on_click(dispatch, RouteAction::Open(Sheet::Sharpness));
    html! {
        <>
            <table class="rules"><tbody>{ for rows }</tbody></table>
            <button id="sharpness" class="line" type="button" {onclick}>
                { "Choose a purpose or type a trail" }
            </button>
        </>
    }
}
