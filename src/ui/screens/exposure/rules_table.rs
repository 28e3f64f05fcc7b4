//! The rules of thumb beside the exact drift, each with what it leaves.

use crate::ui::state::views::ExposureAction;
use yew::prelude::*;

use crate::camera::rules::{Note, Rule};
use crate::outing::exposure::{Answer, RuleRow};
use crate::ui::text::exposure;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{Fixed, all, aria_bool, button, el, say, text};

/// What the exact drift says of itself, in the terms of the rules.
const fn exact(distortion_given: bool) -> Note {
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
    let heads = ["rule", "time", "centre", "worst"];
    let heads = heads.map(|head| say("th", &[("scope", "col")], head));
    let exact = exact(!answer.view.lens.distortion.is_none());
    let rows = answer.rules.iter().map(|row| {
        let note = row.rule.map_or(exact, Rule::note);
        rule_row(row, note, open == Some(row.rule), dispatch)
    });
    let caption = "Rules of thumb and the trail each would leave";
    el(
        "table",
        &[("class", "rules")],
        vec![
            say("caption", &[("class", "unseen")], caption),
            el("thead", &[], vec![el("tr", &[], heads.into())]),
            el("tbody", &[], rows.collect()),
        ],
    )
}

fn rule_row(row: &RuleRow, note: Note, open: bool, dispatch: &Dispatch) -> Html {
    let time = row
        .seconds
        .map_or_else(|| "no limit".to_owned(), exposure::seconds);
    let name = button(
        &[],
        vec![("aria-expanded", aria_bool(open).to_owned())],
        on_click(dispatch, ExposureAction::ToggleRule(row.rule)),
        vec![text(note.name)],
    );
    let class: &'static [Fixed] = if row.rule.is_none() {
        &[("class", "exact")]
    } else {
        &[]
    };
    let cells = vec![
        el("th", &[("scope", "row")], vec![name]),
        say("td", &[], time),
        say("td", &[], exposure::bare_trail(row.centre_px)),
        say("td", &[], exposure::bare_trail(row.worst_px)),
    ];
    let row = el("tr", class, cells);
    if !open {
        return row;
    }
    let message = vec![
        say("p", &[("class", "formula")], note.formula),
        say("p", &[], note.assumes),
        say("p", &[], note.source),
    ];
    let message = el("td", &[("colspan", "4")], message);
    all(vec![row, el("tr", &[("class", "note")], vec![message])])
}
