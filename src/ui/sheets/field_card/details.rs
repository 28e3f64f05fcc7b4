//! What the card tells beyond settings and window: site and night, the subject's path, kit, Moon,
//! panorama, tracker, dew; and the code, in print.

use yew::prelude::*;

use crate::outing::field::card::{CoreMoment, FieldCard};
use crate::outing::plan::{Outing, Support};
use crate::outing::share::query;
use crate::ui::sheets::share::{left_out, squares};
use crate::ui::state::State;
use crate::ui::state::derived::Derived;
use crate::ui::state::derived::field_card::FieldAnalysis;
use crate::ui::state::derived::panorama::{ExposedPlan, Panorama};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::exposure::focus;
use crate::ui::text::field_card as words;
use crate::ui::text::kit;
use crate::ui::text::night::{self, bearing, time};
use crate::ui::text::tracking;
use crate::ui::text::windows;

/// All of it.
pub fn details(
    state: &State,
    derived: &Derived,
    field: &FieldAnalysis,
    selected: &SelectedNight,
) -> Html {
    let outing = state.outing();
    // the card has a line for a panorama once its sheet was opened
    let panorama = state.panorama.planned.then(|| derived.panorama(state));
    html! {
        <>
            { site_and_night(state, selected) }
            { path(outing, &field.card, selected) }
            { rest(outing, (&field.card, panorama.as_deref()), selected) }
        </>
    }
}

/// Where and when.
fn site_and_night(state: &State, selected: &SelectedNight) -> Html {
    let site = &state.outing().site;
    let code = state.share.code_of(&query::write(state.outing()));
    let picture = code.and_then(|code| code.picture.as_ref().ok());
    // the code shows in print alone: on the screen the Share sheet shows it larger
    html! {
        <section class="of" aria-label="site and night">
            <div>
                <h3>{ night::night(selected.night.date) }</h3>
                if !site.name.is_empty() {
                    <h3>{ site.name.clone() }</h3>
                }
                <p>{ words::place(site) }</p>
                <p>{ words::clock(selected, &site.zone) }</p>
            </div>
            <div class="printed">
                { picture.map(squares) }
                { code.map(|code| left_out(code.left_out)) }
            </div>
        </section>
    }
}

/// The subject's path through the window, and what limits that.
fn path(outing: &Outing, card: &FieldCard, selected: &SelectedNight) -> Html {
    let ends = card
        .window
        .as_ref()
        .map(|window| windows::ends(selected, window));
    let last = card.core.len().saturating_sub(1);
    let row = |(place, moment): (usize, &CoreMoment)| {
        // at the ends of the window the same minutes as above
        let at = match &ends {
            Some((start, _)) if place == 0 => start.clone(),
            Some((_, end)) if place == last => end.clone(),
            _ => time(selected.local(moment.at)),
        };
        html! {
            <tr>
                <th scope="row">
                    { at }
                    <small>{ words::stand(card, place) }</small>
                </th>
                <td>{ words::height(moment) }</td>
                <td>{ bearing(moment.bearing) }</td>
            </tr>
        }
    };
    let word = outing.subject.word();
    let heads = [word, "height", "bearing"];
    html! {
        <section class="path-of" aria-label={["window and ", word].concat()}>
            <table>
                <thead>
                    <tr>{ for heads.map(|head| html! { <th scope="col">{ head }</th> }) }</tr>
                </thead>
                <tbody>{ for card.core.iter().enumerate().map(row) }</tbody>
            </table>
            if let Some(window) = &card.window {
                <p>{ windows::window(window, outing) }</p>
            }
            <p>{ windows::allowed(outing) }</p>
        </section>
    }
}

/// A line each.
fn rest(
    outing: &Outing,
    (card, panorama): (&FieldCard, Option<&Panorama>),
    selected: &SelectedNight,
) -> Html {
    let value = |name: &'static str, value: String| {
        html! {
            <div>
                <dt>{ name }</dt>
                <dd>{ value }</dd>
            </div>
        }
    };
    // a panorama of one frame is the picture itself
    let exposed = panorama
        .and_then(|panorama| panorama.plan.as_ref().ok())
        .filter(|exposed| exposed.plan.count() > 1);
    let camera = &card.camera;
    let series = &camera.settings.series;
    html! {
        <dl class="rest">
            { value("Shutter", words::shutter_for(outing, &camera.answer, series)) }
            if series.frames > 1 {
                { value("Interval", words::every(series)) }
            }
            { value("Card, batteries", words::card_and_charges(series)) }
            { value("Kit", kit::summary(&outing.kit, outing.f_number)) }
            { value("Focus", focus(outing)) }
            { value("Moon", words::moon(&card.moon, selected)) }
            if let Some(ExposedPlan { plan, shutter, .. }) = exposed {
                { value("Panorama", words::panorama(plan, *shutter)) }
            }
            if outing.support == Support::Tracker {
                { value("Tracker", tracking::mount(outing)) }
            }
            if let Some(weather) = outing.weather {
                { value("Dew", words::dew_short(weather)) }
            }
        </dl>
    }
}
