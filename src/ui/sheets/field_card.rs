//! The field card: the outing on one page, the shutter time first.
//!
//! On the screen it is read at arm's length; printed, it stands alone, black on white,
//! on one page of any size from A6 up (see the style sheet).

use yew::prelude::*;

use crate::browser::print;
use crate::outing::field::card::{Camera, CoreMoment, FieldCard};
use crate::outing::plan::{Outing, Support};
use crate::outing::share::query;
use crate::ui::sheets::share::{left_out, squares};
use crate::ui::state::State;
use crate::ui::state::derived::panorama::{ExposedPlan, Panorama};
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::state::display::DisplayAction;
use crate::ui::state::routes::{RouteAction, Sheet};
use crate::ui::text::exposure::{f_stop, focus, kit};
use crate::ui::text::field_card as words;
use crate::ui::text::night::{self, bearing, time};
use crate::ui::text::tracking;
use crate::ui::text::windows;
use crate::ui::widgets::aria::aria_bool;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::safety_note::{CAUTIONS, SENSE};

/// A shutter mark of more bytes than this is drawn smaller.
const LONG: usize = 3;

/// The sheet, with a line for the panorama where there is one.
pub fn field_card_sheet(
    state: &State,
    (card, panorama, selected): (&FieldCard, Option<&Panorama>, &SelectedNight),
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let content = html! {
        <article class="field-card">
            { camera(outing, card) }
            { site_and_night(state, selected) }
            { window_and_core(outing, card, selected) }
            { buttons(state.display.keep_awake, dispatch) }
            { details(outing, (card, panorama), selected) }
            { cautions() }
        </article>
    };
    dialog("Field card", vec![content], dispatch)
}

/// A value and, smaller, what it is.
fn value(name: &'static str, value: String) -> Html {
    html! {
        <div>
            <dt>{ name }</dt>
            <dd>{ value }</dd>
        </div>
    }
}

/// What to set on the camera, the shutter far larger than anything else.
fn camera(outing: &Outing, card: &FieldCard) -> Html {
    let Camera {
        settings,
        answer,
        towards,
        ..
    } = &card.camera;
    let series = &settings.series;
    let mark = series.shutter.mark();
    let class = if mark.len() > LONG {
        "figure long"
    } else {
        "figure"
    };
    html! {
        <section class="camera" aria-label="what to set">
            <p {class}>
                { mark }
                <small>{ "s" }</small>
            </p>
            <dl class="values">
                { value("f-number", f_stop(settings.f_number)) }
                { value("ISO", words::iso(settings.iso)) }
            </dl>
            if card.window.is_none() {
                <strong class="meant">{ "No shot window this night: see below." }</strong>
            }
            <p class="meant">{ words::shutter_for(outing, answer, series) }</p>
            <dl class="values">{ value("camera to", words::aim(*towards)) }</dl>
            <dl class="values">
                { value("frames", series.frames.to_string()) }
                if series.frames > 1 {
                    { value("interval", words::every(series)) }
                    { value("in all", words::lasts(series)) }
                }
                { value("card", words::card(series)) }
                { value("batteries", words::charges(series)) }
            </dl>
        </section>
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
                if !site.name.is_empty() {
                    <h3>{ site.name.clone() }</h3>
                }
                <p>{ words::place(site) }</p>
                <h3>{ night::night(selected.night.date) }</h3>
                <p>{ words::clock(selected, &site.zone) }</p>
            </div>
            <div class="printed">
                { picture.map(squares) }
                { code.map(|code| left_out(code.left_out)) }
            </div>
        </section>
    }
}

/// The window and the core in it.
fn window_and_core(outing: &Outing, card: &FieldCard, selected: &SelectedNight) -> Html {
    let ends = card
        .window
        .as_ref()
        .map(|window| windows::ends(selected, window));
    let window = match card.window.as_ref().zip(ends.as_ref()) {
        Some((window, (start, end))) => html! {
            <>
                <p class="window">{ [start, "–", end].concat() }</p>
                <p>{ windows::window(window, outing) }</p>
            </>
        },
        None => html! { <p>{ windows::no_window(selected, outing) }</p> },
    };
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
    let heads = [word, "height", "true bearing"];
    html! {
        <section class="night-of" aria-label={["window and ", word].concat()}>
            <div>
                { window }
                <p>{ windows::allowed(outing) }</p>
            </div>
            <table>
                <thead>
                    <tr>{ for heads.map(|head| html! { <th scope="col">{ head }</th> }) }</tr>
                </thead>
                <tbody>{ for card.core.iter().enumerate().map(row) }</tbody>
            </table>
        </section>
    }
}

/// Kit, focus, Moon, panorama, tracker, dew: a line each.
fn details(
    outing: &Outing,
    (card, panorama): (&FieldCard, Option<&Panorama>),
    selected: &SelectedNight,
) -> Html {
    // a panorama of one frame is the picture itself
    let exposed = panorama
        .and_then(|panorama| panorama.plan.as_ref().ok())
        .filter(|exposed| exposed.plan.count() > 1);
    html! {
        <dl class="rest">
            { value("Kit", kit(&outing.kit, outing.f_number)) }
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

/// The cautions, as everywhere else.
fn cautions() -> Html {
    html! {
        <section class="care" aria-label="Come home well">
            <ul>{ for CAUTIONS.map(|caution| html! { <li>{ caution }</li> }) }</ul>
            <p>{ SENSE }</p>
        </section>
    }
}

/// Sheets that belong to the card, print, and the screen lock.
fn buttons(keep_awake: bool, dispatch: &Dispatch) -> Html {
    let sheet = |(word, sheet): (&'static str, Sheet)| {
        let onclick = on_click(dispatch, RouteAction::Open(sheet));
        html! { <button type="button" {onclick}>{ word }</button> }
    };
    let sheets = [
        ("Lists", Sheet::Checklists),
        ("Frames and ISO", Sheet::Frames),
        ("Pass it on", Sheet::Share),
    ];
    let print = Callback::from(|_: MouseEvent| print::print());
    html! {
        <div class="card-doors">
            { for sheets.map(sheet) }
            <button type="button" onclick={print}>{ "Print" }</button>
            <button
                type="button"
                aria-pressed={aria_bool(keep_awake)}
                onclick={on_click(dispatch, DisplayAction::KeepAwake(!keep_awake))}
            >
                { "Keep the screen on" }
            </button>
        </div>
    }
}
