//! The rules of thumb beside the exact drift, each with what it leaves.

use yew::prelude::*;

use crate::camera::rules::{Note, Rule};
use crate::outing::exposure::{Answer, RuleRow};
use crate::ui::state::views::ExposureAction;
use crate::ui::text::units;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dispatch::{Dispatch, on_click};

/// The exact drift described in the terms of the rules.
pub const fn exact(distortion_given: bool) -> Note {
    Note {
        name: "exact drift",
        formula: "trail allowed ÷ the speed of this star through this lens",
        assumes: if distortion_given {
            "Earth's rotation, the projection with your lens's distortion, where the camera \
             points and the pixels. Leaves out the air."
        } else {
            "Earth's rotation, the projection of an ideal lens, where the camera points and the \
             pixels. Leaves out the air."
        },
        source: "First principles, checked against brute force.",
    }
}

/// The table; `open` is the row that is unfolded.
pub fn rules_table(answer: &Answer, open: Option<Option<Rule>>, dispatch: &Dispatch) -> Html {
    let exact = exact(!answer.view.lens.distortion.is_none());
    let heads = ["rule", "time", "centre", "worst"];
    let heads = heads.map(|head| html! { <th scope="col">{ head }</th> });
    let rows = answer.rules.iter().map(|row| {
        let note = row.rule.map_or(exact, Rule::note);
        rule_row(row, note, open == Some(row.rule), dispatch)
    });
    html! {
        <table class="rules">
            <caption class="unseen">{ "Rules of thumb and the trail each would leave" }</caption>
            <thead><tr>{ for heads }</tr></thead>
            <tbody>{ for rows }</tbody>
        </table>
    }
}

fn rule_row(row: &RuleRow, note: Note, open: bool, dispatch: &Dispatch) -> Html {
    let time = row
        .seconds
        .map_or_else(|| "no limit".to_owned(), units::seconds);
    let onclick = on_click(dispatch, ExposureAction::ToggleRule(row.rule));
    html! {
        <>
            <tr class={row.rule.is_none().then_some("exact")}>
                <th scope="row">
                    <button type="button" aria-expanded={aria_bool(open)} {onclick}>
                        { note.name }
                    </button>
                </th>
                <td>{ time }</td>
                <td>{ units::bare_trail(row.centre_px) }</td>
                <td>{ units::bare_trail(row.worst_px) }</td>
            </tr>
            if open {
                <tr class="note">
                    <td colspan="4">
                        <p class="formula">{ note.formula }</p>
                        <p>{ note.assumes }</p>
                        <p>{ note.source }</p>
                    </td>
                </tr>
            }
        </>
    }
}
