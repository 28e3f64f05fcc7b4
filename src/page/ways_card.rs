//! The same time spent four ways, each with a picture of what comes of it.

use yew::prelude::*;

use super::card_words::card;
use super::element::{el, say};
use super::patch_view::patch_view;
use super::state::State;
use super::tap::Send;
use super::why::{self, told};
use super::why_basis::PICTURE_BASIS;
use super::why_shown::Whys;
use super::why_words as words;
use super::words::{bare, up_to};
use crate::outing::ways::Way;

/// Names of the four ways.
const NAMES: [&str; 4] = [
    "One frame, tripod",
    "Stack, tripod",
    "Tracker",
    "Tracker, stopped down",
];

/// The card.
pub fn ways_card(state: &State, whys: &Whys, _: &Send) -> Html {
    let outing = &state.kept.outing;
    let ways = whys.ways.all();
    let pictures = NAMES.into_iter().zip(&ways).map(|(name, way)| {
        let (frames, told) = words::way(way);
        let label = format!("{name}: {frames}, {told}, as a patch of the picture");
        el(
            "figure",
            &[("class", "way")],
            vec![
                patch_view(label),
                el(
                    "figcaption",
                    &[],
                    vec![
                        say("strong", &[], name),
                        say("span", &[], frames),
                        say("span", &[], told),
                    ],
                ),
            ],
        )
    });
    let title = format!(
        "{} at {}, four ways",
        up_to(outing.stack_min * 60.0),
        words::lens(whys.ways.focal_mm)
    );
    why::card(
        &title,
        vec![
            el("div", &[("class", "ways")], pictures.collect()),
            say("p", &[], words::sky_short(&whys.sky)),
            told(
                "The four in numbers, and what the pictures rest on",
                words_and_table(whys),
            ),
        ],
    )
}

fn words_and_table(whys: &Whys) -> Vec<Html> {
    let ways = whys.ways.all();
    type Told = fn(&Way) -> String;
    let rows: [(&str, Told); 7] = [
        ("f/", |way| crate::decimal::plain(way.settings.f_number)),
        ("ISO", |way| crate::decimal::fixed(way.settings.iso, 0)),
        ("sky, e⁻", |way| words::two_figures(way.settings.sky_e())),
        ("glow, e⁻", |way| {
            words::two_figures(way.settings.rates.signal_e_s * way.settings.each_s())
        }),
        ("S/N", words::signal),
        ("files", |way| way.settings.series.frames.to_string()),
        ("GB", |way| bare(&card(&way.settings.series))),
    ];
    let heads = ["way", "one", "stack", "track", "stop"];
    let head = heads.map(|head| say("th", &[("scope", "col")], head));
    let body = rows.map(|(name, told)| {
        let name = say("th", &[("scope", "row")], name);
        let cells = ways.iter().map(|way| say("td", &[], told(way)));
        el("tr", &[], std::iter::once(name).chain(cells).collect())
    });
    let table = el(
        "table",
        &[("class", "rules lenses")],
        vec![
            say(
                "caption",
                &[("class", "unseen")],
                "The four ways in numbers",
            ),
            el("thead", &[], vec![el("tr", &[], head.into())]),
            el("tbody", &[], body.into()),
        ],
    );
    let a_frame = "Electrons of one frame: the sky's, and the subject's glow over it.";
    let basis = PICTURE_BASIS.iter().map(|said| say("p", &[], *said));
    [table, say("p", &[], a_frame)]
        .into_iter()
        .chain(basis)
        .collect()
}
