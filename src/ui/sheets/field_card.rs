//! The field card: the outing on one page, the shutter time first.
//!
//! On the screen it is read at arm's length; printed, it stands alone, black on white,
//! on one page of any size from A6 up (see the style sheet).

use crate::ui::state::display::DisplayAction;
use crate::ui::state::routes::RouteAction;
use yew::prelude::*;

use crate::browser::print;
use crate::outing::exposure::Answer;
use crate::outing::field::card::{Camera, FieldCard};
use crate::outing::plan::Support;
use crate::ui::sheets::panorama::{Planned, arches, planned, wanted};
use crate::ui::sheets::share::{left_out, squares};
use crate::ui::state::State;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::state::routes::Sheet;
use crate::ui::text::exposure::{f_stop, focus, kit};
use crate::ui::text::field_card as words;
use crate::ui::text::night::{self, bearing, time};
use crate::ui::text::tracking;
use crate::ui::text::windows;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{Fixed, aria_bool, button, el, nothing, say, text};
use crate::ui::widgets::safety_note::{CAUTIONS, SENSE};

/// A mark of more signs than this is drawn smaller.
const LONG: usize = 3;

/// The sheet.
pub fn field_card_sheet(
    state: &State,
    answer: &Answer,
    shown: &SelectedNight,
    dispatch: &Dispatch,
) -> Html {
    let outing = state.outing();
    let at = days_of(shown.minute);
    let card = FieldCard::new(outing, (&shown.night.site_sky, &shown.night.evening), at);
    let parts = vec![el(
        "article",
        &[("class", "field-card")],
        vec![
            camera(state, &card),
            place(state, shown),
            night(state, &card, shown),
            doors(state.display.keep_awake, dispatch),
            rest(state, answer, &card, shown),
            care(),
        ],
    )];
    dialog("Field card", parts, dispatch)
}

/// A value and, smaller, what it is.
fn value(name: &'static str, value: String) -> Html {
    el(
        "div",
        &[],
        vec![say("dt", &[], name), say("dd", &[], value)],
    )
}

/// What to set on the camera, the shutter far larger than the rest.
fn camera(state: &State, card: &FieldCard) -> Html {
    let outing = state.outing();
    let Camera {
        settings,
        answer,
        towards,
        ..
    } = &card.camera;
    let series = &settings.series;
    let mark = series.shutter.mark();
    let class: &'static [Fixed] = if mark.len() > LONG {
        &[("class", "figure long")]
    } else {
        &[("class", "figure")]
    };
    let figure = vec![text(mark), say("small", &[], "s")];
    let first = vec![
        value("f-number", f_stop(settings.f_number)),
        value("ISO", words::iso(settings.iso)),
    ];
    let mut more = vec![value("frames", series.frames.to_string())];
    if series.frames > 1 {
        more.push(value("interval", words::every(series)));
        more.push(value("in all", words::lasts(series)));
    }
    more.push(value("card", words::card(series)));
    more.push(value("batteries", words::charges(series)));
    let meant = words::shutter_for(outing, answer, series);
    let warning = if card.window.is_none() {
        say(
            "strong",
            &[("class", "meant")],
            "No shot window this night: see below.",
        )
    } else {
        nothing()
    };
    el(
        "section",
        &[("class", "camera"), ("aria-label", "what to set")],
        vec![
            el("p", class, figure),
            el("dl", &[("class", "values")], first),
            warning,
            say("p", &[("class", "meant")], meant),
            el(
                "dl",
                &[("class", "values")],
                vec![value("camera to", words::aim(*towards))],
            ),
            el("dl", &[("class", "values")], more),
        ],
    )
}

/// Where and when.
fn place(state: &State, shown: &SelectedNight) -> Html {
    let site = &state.outing().site;
    let mut lines = Vec::new();
    if !site.name.is_empty() {
        lines.push(say("h3", &[], site.name.clone()));
    }
    lines.push(say("p", &[], words::place(site)));
    lines.push(say("h3", &[], night::night(shown.night.date)));
    lines.push(say("p", &[], words::clock(shown, &site.zone)));
    // in print alone: on the screen it is had larger under its own door
    let drawn = state.share.code.as_ref();
    let picture = drawn.and_then(|drawn| drawn.picture.as_ref().ok());
    let code = picture.map_or_else(nothing, squares);
    let lacks = drawn.map_or_else(nothing, |drawn| left_out(drawn.left_out));
    el(
        "section",
        &[("class", "of"), ("aria-label", "site and night")],
        vec![
            el("div", &[], lines),
            el("div", &[("class", "printed")], vec![code, lacks]),
        ],
    )
}

/// The window and the core in it.
fn night(state: &State, card: &FieldCard, shown: &SelectedNight) -> Html {
    let mut ends = None;
    let head = match &card.window {
        Some(window) => {
            let message = windows::ends(shown, window);
            let span = [&message.0, "–", &message.1].concat();
            ends = Some(message);
            vec![
                say("p", &[("class", "window")], span),
                say("p", &[], windows::window(window, state.outing())),
                say("p", &[], windows::allowed(state.outing())),
            ]
        }
        None => {
            vec![
                say("p", &[], windows::no_window(shown, state.outing())),
                say("p", &[], windows::allowed(state.outing())),
            ]
        }
    };
    let mut rows = Vec::with_capacity(card.core.len());
    for (place, stand) in card.core.iter().enumerate() {
        // at the ends of the window the same minutes as told above
        let at = match &ends {
            Some((start, _)) if place == 0 => start.clone(),
            Some((_, end)) if place + 1 == card.core.len() => end.clone(),
            _ => time(shown.local(stand.at)),
        };
        let first = vec![text(at), say("small", &[], words::stand(card, place))];
        let cells = vec![
            el("th", &[("scope", "row")], first),
            say("td", &[], words::height(stand)),
            say("td", &[], bearing(stand.bearing)),
        ];
        rows.push(el("tr", &[], cells));
    }
    let heads = ["core", "height", "true bearing"].map(|head| say("th", &[("scope", "col")], head));
    let table = vec![
        el("thead", &[], vec![el("tr", &[], heads.into())]),
        el("tbody", &[], rows),
    ];
    el(
        "section",
        &[("class", "night-of"), ("aria-label", "window and core")],
        vec![el("div", &[], head), el("table", &[], table)],
    )
}

/// Kit, aim, focus, panorama, Moon, dew: a line each.
fn rest(state: &State, answer: &Answer, card: &FieldCard, shown: &SelectedNight) -> Html {
    let outing = state.outing();
    let at = days_of(shown.minute);
    let mut lines = vec![
        value("Kit", kit(&outing.kit, outing.f_number)),
        value("Focus", focus(outing)),
        value("Moon", words::moon(&card.moon, shown)),
    ];
    if state.panorama.planned
        && let wanted = wanted(state, answer, shown, &arches(state, shown).at(at))
        && let Ok(Planned { plan, shutter, .. }) = planned(state, shown, &wanted, answer)
        && plan.count() > 1
    {
        lines.push(value("Panorama", words::panorama(&plan, shutter)));
    }
    if outing.support == Support::Tracker {
        lines.push(value("Tracker", tracking::mount(outing)));
    }
    if let Some(weather) = outing.weather {
        lines.push(value("Dew", words::dew_short(weather)));
    }
    el("dl", &[("class", "rest")], lines)
}

/// The cautions, as everywhere else.
fn care() -> Html {
    let cautions = CAUTIONS.iter().map(|caution| say("li", &[], *caution));
    el(
        "section",
        &[("class", "care"), ("aria-label", "Come home well")],
        vec![el("ul", &[], cautions.collect()), say("p", &[], SENSE)],
    )
}

fn doors(awake: bool, dispatch: &Dispatch) -> Html {
    let door = |word: &'static str, to| {
        let tapped = on_click(dispatch, RouteAction::Open(to));
        button(&[], Vec::new(), tapped, vec![text(word)])
    };
    let printed = Callback::from(|_| print::print());
    let doors = vec![
        door("Lists", Sheet::Checklists),
        door("Frames and ISO", Sheet::Frames),
        door("Pass it on", Sheet::Share),
        button(&[], Vec::new(), printed, vec![text("Print")]),
        button(
            &[],
            vec![("aria-pressed", aria_bool(awake).to_owned())],
            on_click(dispatch, DisplayAction::KeepAwake(!awake)),
            vec![text("Keep the screen on")],
        ),
    ];
    el("div", &[("class", "card-doors")], doors)
}
