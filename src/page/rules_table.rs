//! The rules of thumb beside the exact drift, each with what it leaves.

use yew::prelude::*;

use super::choice::said;
use super::state::Action;
use super::tap::{Send, tap};
use super::words;
use crate::camera::rules::{Note, Rule};
use crate::outing::answer::{Answer, RuleRow};

/// What the exact drift says of itself, in the terms of the rules.
const EXACT: Note = Note {
    name: "exact drift",
    formula: "trail allowed ÷ the speed of this star through this lens",
    assumes: "Earth's rotation, the lens's projection, where the camera points and the pixels. \
              Leaves out the lens's own distortion and the air, together a few per cent in a \
              corner.",
    source: "First principles; within one part in a million of a brute-force calculation.",
};

/// The table; `open` is the row that is unfolded.
pub fn rules_table(answer: &Answer, open: Option<Option<Rule>>, send: &Send) -> Html {
    html! {
        <table class="rules">
            <caption class="unseen">{ "Rules of thumb and the trail each would leave" }</caption>
            <thead>
                <tr>
                    <th scope="col">{ "rule" }</th>
                    <th scope="col">{ "time" }</th>
                    <th scope="col">{ "centre" }</th>
                    <th scope="col">{ "worst" }</th>
                </tr>
            </thead>
            <tbody>
                { for answer.rules.iter().map(|row| rule_row(row, open == Some(row.rule), send)) }
            </tbody>
        </table>
    }
}

fn rule_row(row: &RuleRow, open: bool, send: &Send) -> Html {
    let note = row.rule.map_or(EXACT, Rule::note);
    let rule = row.rule;
    let time = row
        .seconds
        .map_or_else(|| "no limit".to_owned(), words::seconds);
    let bare = words::bare_trail;
    html! {
        <>
            <tr class={rule.is_none().then_some("exact")}>
                <th scope="row">
                    <button type="button" aria-expanded={said(open)} onclick={tap(send, Action::RuleTapped(rule))}>
                        { note.name }
                    </button>
                </th>
                <td>{ time }</td>
                <td>{ bare(row.centre_px) }</td>
                <td>{ bare(row.worst_px) }</td>
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
