//! Sightings from elsewhere: the map, the phone's sensors, a table, tiles of
//! heights.

use crate::ui::state::skyline::SkylineAction;
use crate::ui::widgets::text_field::number_field;
use web_sys::{HtmlInputElement, HtmlTextAreaElement};
use yew::prelude::*;

use crate::angle::Angle;
use crate::browser::worker_client;
use crate::land::sighting::height_of_ridge;
use crate::outing::plan::bounds::{BEND, DISTANCE_M, RISE_M};
use crate::sky::almanac::SkyBody;
use crate::ui::sheets::skyline::add;
use crate::ui::state::State;
use crate::ui::text::exposure::{degrees, degrees_to};
use crate::ui::text::framing::compass_warning;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{Fixed, all, button, el, entry, say, text};
use crate::ui::widgets::toggle_group::option;

/// The height of a ridge by its distance and how much higher it is.
pub(super) fn from_map(state: &State, dispatch: &Dispatch) -> Html {
    let draft = &state.skyline;
    let height = height_of_ridge(draft.rise_m, draft.distance_m, draft.bend);
    let use_it = SkylineAction::Height(height);
    all(vec![
        say("h3", &[], "Its height from a map"),
        number_field(
            ("distance", "Distance of the ridge", "m"),
            draft.distance_m,
            DISTANCE_M,
            SkylineAction::Distance,
            dispatch,
        ),
        number_field(
            ("rise", "Higher than the site by", "m"),
            draft.rise_m,
            RISE_M,
            SkylineAction::Rise,
            dispatch,
        ),
        number_field(
            ("bend", "Bend of light along the ground, usually 0.13", ""),
            draft.bend,
            BEND,
            SkylineAction::Bend,
            dispatch,
        ),
        button(
            &[("class", "wide")],
            Vec::new(),
            on_click(dispatch, use_it),
            vec![text(format!(
                "Use {} as the height above",
                degrees_to(height, 2)
            ))],
        ),
    ])
}

/// A sighting along the phone's long edge.
pub(super) fn along_phone(state: &State, dispatch: &Dispatch) -> Html {
    let draft = &state.skyline;
    let start = SkylineAction::Sense(!draft.sensing);
    let word = if draft.sensing {
        "Stop"
    } else {
        "Sight along the phone"
    };
    let mut parts = vec![
        say("h3", &[], "With the phone"),
        say(
            "p",
            &[],
            "Look along the phone's long edge at the skyline, as along a ruler, and tap. Lay it \
             on something level first and say so. A phone's compass errs by 10° and more near \
             metal and magnets: point it at the core or the Moon and say so, never at the Sun.",
        ),
        button(
            &[("class", "wide")],
            Vec::new(),
            on_click(dispatch, start),
            vec![text(word)],
        ),
    ];
    if !draft.sensing {
        return all(parts);
    }
    let Some(tilt) = draft.tilt else {
        parts.push(say("p", &[], "Waiting for the phone's sensor."));
        return all(parts);
    };
    let height = Angle::from_degrees(tilt.height_deg + draft.level_deg);
    let compass = match tilt.compass_deg {
        Some(bearing) => format!("compass {}", degrees_to(Angle::from_degrees(bearing), 0)),
        None => "no compass: type the bearing above".to_owned(),
    };
    parts.push(say(
        "p",
        &[("class", "in-use")],
        format!("{} up · {compass}", degrees(height)),
    ));
    let level = on_click(dispatch, SkylineAction::SetLevel);
    let mut ways = vec![option("It lies level now", "", false, level)];
    if tilt.compass_deg.is_some() {
        // set against the sky it needs no field
        let warning = compass_warning(draft.modelled).filter(|_| draft.turn_deg.is_none());
        parts.extend(warning.map(|message| say("p", &[("class", "sentence")], message)));
        for (body, word) in [
            (SkyBody::Core, "It points at the core now"),
            (SkyBody::Moon, "It points at the Moon now"),
            (SkyBody::Sun, "Its shadow points away from the Sun now"),
        ] {
            ways.push(option(
                word,
                "",
                false,
                on_click(dispatch, SkylineAction::PointedAt(body)),
            ));
        }
    }
    parts.push(el("div", &[("class", "choice tall")], ways));
    parts.push(match draft.along_phone() {
        Some(sighting) => add(sighting, "Take", dispatch),
        None => {
            let use_it = SkylineAction::Height(height);
            button(
                &[("class", "wide")],
                Vec::new(),
                on_click(dispatch, use_it),
                vec![text(format!("Use {} as the height above", degrees(height)))],
            )
        }
    });
    all(parts)
}

/// A table pasted, or a table or tiles of heights opened.
pub(super) fn from_files(state: &State, dispatch: &Dispatch) -> Html {
    let pasted = {
        let dispatch = dispatch.clone();
        Callback::from(move |event: Event| {
            let area = event.target_dyn_into::<HtmlTextAreaElement>();
            let text = area.map(|area| area.value()).unwrap_or_default();
            if !text.trim().is_empty() {
                let read = dispatch.clone();
                worker_client::table(text, move |message| {
                    read.emit(SkylineAction::Read(message).into())
                });
            }
        })
    };
    let opened = {
        let dispatch = dispatch.clone();
        let (site, bend) = (state.outing().site.clone(), state.skyline.bend);
        Callback::from(move |event: Event| {
            let input = event.target_dyn_into::<HtmlInputElement>();
            let Some(files) = input.and_then(|input| input.files()) else {
                return;
            };
            let read = dispatch.clone();
            dispatch.emit(SkylineAction::Reading.into());
            worker_client::skyline(&files, &site, bend, move |message| {
                read.emit(SkylineAction::Read(message).into());
            });
        })
    };
    let typed = vec![
        say(
            "label",
            &[("for", "table")],
            "Rows of bearing and height, pasted",
        ),
        entry("textarea", &[("id", "table"), ("rows", "4")], None, pasted),
    ];
    let open = vec![
        say(
            "label",
            &[("class", "wide"), ("for", "tiles")],
            "Open a table or tiles",
        ),
        entry("input", TILES, None, opened),
    ];
    all(vec![
        say("h3", &[], "From a table or an elevation model"),
        el("div", &[("class", "field")], typed),
        say("p", &[], FILES),
        el("div", &[("class", "photo")], open),
    ])
}

/// The box that opens files.
const TILES: &[Fixed] = &[
    ("id", "tiles"),
    ("type", "file"),
    ("multiple", ""),
    ("accept", ".hgt,.tif,.tiff,.txt,.csv,.tsv,text/*"),
];

const FILES: &str = "Or open such a table, or SRTM .hgt tiles or a GeoTIFF in latitude and longitude \
                     that lie on this phone: the skyline out to 60 km is worked out here. It takes \
                     the place of the sightings; files are not kept. Trees and houses are not in \
                     elevation models.";
