//! The answer: the largest thing on the page.

use yew::prelude::*;

use super::ridges::ridges;
use super::words;
use crate::camera::dial::DialTime;
use crate::outing::answer::{Answer, Trial};
use crate::outing::plan::{KeepSharp, Outing};

/// The dial time, what it is for, the other of core and whole frame beside it,
/// and what it leaves in a sentence.
pub fn verdict(outing: &Outing, answer: &Answer) -> Html {
    let (mark, unit) = words::dial(answer.dial());
    let wordy = answer.dial().shutter().is_none();
    let place = words::kept_sharp(outing.keep_sharp, answer.target);
    let beside = match outing.keep_sharp {
        KeepSharp::WholeFrame => (answer.clean_core, words::target(answer.target)),
        _ => (answer.clean_frame, "every corner"),
    };
    let (beside_mark, beside_unit) = words::dial(DialTime::of(beside.0));
    let trial = Trial::of(answer, answer.shutter());
    let lasts = answer.dial().shutter().and_then(words::lasts);
    html! {
        <section class="verdict" aria-labelledby="answer">
            <div class="figures">
                { ridges() }
                <p id="answer" class="answer" aria-live="polite">
                    <span class={classes!("figure", wordy.then_some("wordy"))}>
                        { mark }<small>{ unit }</small>
                    </span>
                    <span class="for">{ format!("for {place}") }</span>
                </p>
                <p class="beside">
                    <span class="figure">{ beside_mark }<small>{ beside_unit }</small></span>
                    <span class="for">{ format!("for {}", beside.1) }</span>
                </p>
            </div>
            <p class="sentence">
                { words::verdict(answer, &trial) }
                if let Some(lasts) = lasts { { format!(" ({lasts}.)") } }
            </p>
        </section>
    }
}
