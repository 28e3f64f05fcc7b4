//! The skyline: its sightings, and every way to make them.

mod sources;

use crate::ui::state::document::ridge::RidgeEdit;
use crate::ui::state::skyline::SkylineAction;
use crate::ui::widgets::text_field::number_field;
use yew::prelude::*;

use crate::angle::Angle;
use crate::decimal::{fixed, plain};
use crate::land::ridge::{RidgeLine, Sighting};
use crate::land::sighting::{BEND, dip};
use crate::outing::plan::bounds::{BEARING, DECLINATION, RIDGE, SIGHTED};
use crate::outing::plan::site::Site;
use crate::ui::sheets::skyline::sources::{along_phone, from_files, from_map};
use crate::ui::state::State;
use crate::ui::text::exposure::{degrees, degrees_to, skyline_height};
use crate::ui::text::framing::compass_warning;
use crate::ui::text::night::bearing;
use crate::ui::widgets::dialog::dialog;
use crate::ui::widgets::dispatch::{Dispatch, on_click};
use crate::ui::widgets::element::{all, button, el, el_with, nothing, say, text};
use crate::ui::widgets::stepper::{Stepper, stepper};
use crate::ui::widgets::svg_path::SvgPath;
use crate::ui::widgets::text_field::{Read, TextField, text_field};
use crate::ui::widgets::toggle_group::{ToggleGroup, toggle_group};

/// More sightings than this are told, not listed.
const LISTED: usize = 40;

/// The sheet.
pub fn skyline_sheet(state: &State, dispatch: &Dispatch) -> Html {
    let ridge = &state.outing().site.ridge;
    let draft = &state.skyline;
    let message = draft.message.clone().unwrap_or_default();
    let parts = vec![
        profile(ridge),
        say("p", &[("role", "status"), ("class", "after")], message),
        sightings(ridge, dispatch),
        typed(state, dispatch),
        all_round(&state.outing().site, dispatch),
        from_map(state, dispatch),
        along_phone(state, dispatch),
        from_files(state, dispatch),
    ];
    dialog("Skyline", parts, dispatch)
}

/// The whole circle, north at both ends: sighted firm, the rest dashed.
fn profile(ridge: &RidgeLine) -> Html {
    const SIZE: (f64, f64) = (360.0, 90.0);
    let (least, most) = ridge.least_and_most();
    let least = least.degrees().min(0.0);
    let most = most.degrees().max(15.0);
    let y = |height: Angle| {
        SIZE.1 - 14.0 - (height.degrees() - least) / (most - least) * (SIZE.1 - 20.0)
    };
    let [mut firm, mut dashed] = [SvgPath::default(), SvgPath::default()];
    let mut before = None;
    for bearing in 0..360 {
        let ends = [bearing, bearing + 1].map(|at| {
            let at = f64::from(at);
            (at, y(ridge.height(Angle::from_degrees(at % 360.0))))
        });
        let sighted = ridge.sighted(Angle::from_degrees(f64::from(bearing) + 0.5));
        let path = if sighted { &mut firm } else { &mut dashed };
        if before != Some(sighted) {
            path.move_to(ends[0]);
        }
        path.line_to(ends[1]);
        before = Some(sighted);
    }
    let line = |class, path: SvgPath| {
        let about = vec![("d", path.finish())];
        el_with("path", class, about, Vec::new())
    };
    let names = ["N", "E", "S", "W", "N"].into_iter().enumerate();
    let mut drawn: Vec<Html> = names
        .map(|(place, name)| {
            let x = (place as f64 * 90.0).max(7.0).min(SIZE.0 - 7.0);
            let about = vec![("x", fixed(x, 0)), ("y", fixed(SIZE.1 - 1.0, 0))];
            el_with(
                "text",
                &[("text-anchor", "middle")],
                about,
                vec![text(name)],
            )
        })
        .collect();
    if least < 0.0 {
        // what lies below level is told from it
        let mut level = SvgPath::default();
        level
            .move_to((0.0, y(Angle::ZERO)))
            .line_to((SIZE.0, y(Angle::ZERO)));
        drawn.push(line(&[("class", "drift")], level));
    }
    drawn.push(line(&[("class", "unsighted")], dashed));
    drawn.push(line(&[("class", "sighted")], firm));
    let label = match ridge.sightings().len() {
        0 => "the skyline: nobody has looked yet".to_owned(),
        count => format!("the skyline: {count} sightings, dashed where nobody has looked"),
    };
    el_with(
        "svg",
        &[
            ("class", "lens round"),
            ("role", "img"),
            ("viewBox", "0 0 360 90"),
        ],
        vec![("aria-label", label)],
        drawn,
    )
}

fn sightings(ridge: &RidgeLine, dispatch: &Dispatch) -> Html {
    let held = ridge.sightings();
    let clear = || {
        button(
            &[("class", "wide")],
            Vec::new(),
            on_click(dispatch, RidgeEdit::Clear),
            vec![text("Remove all sightings")],
        )
    };
    if held.is_empty() {
        return say(
            "p",
            &[],
            "No sighting yet. Where nobody has looked the skyline is taken to be flat.",
        );
    }
    if held.len() > LISTED {
        let message = format!("{} sightings are in use.", held.len());
        return all(vec![say("p", &[], message), clear()]);
    }
    let row = |(place, sighting): (usize, &Sighting)| {
        let message = format!(
            "{} · {}",
            bearing(sighting.bearing),
            skyline_height(sighting.height)
        );
        let remove = button(
            &[],
            vec![("aria-label", format!("remove {message}"))],
            on_click(dispatch, RidgeEdit::Remove(place)),
            vec![text("Remove")],
        );
        el(
            "li",
            &[],
            vec![say("span", &[("class", "held")], message), remove],
        )
    };
    let rows = held.iter().enumerate().map(row).collect();
    all(vec![el("ul", &[("class", "kits")], rows), clear()])
}

pub(super) fn add(sighting: Sighting, word: &'static str, dispatch: &Dispatch) -> Html {
    let message = format!(
        "{word}: {}, {}",
        bearing(sighting.bearing),
        skyline_height(sighting.height)
    );
    button(
        &[("class", "wide")],
        Vec::new(),
        on_click(dispatch, RidgeEdit::Add(sighting)),
        vec![text(message)],
    )
}

fn typed(state: &State, dispatch: &Dispatch) -> Html {
    let draft = &state.skyline;
    let north = ToggleGroup {
        name: "bearings from",
        options: &[
            ("true north", "", SkylineAction::Magnetic(false).into()),
            ("compass north", "", SkylineAction::Magnetic(true).into()),
        ],
        chosen: Some(usize::from(draft.magnetic)),
        tall: false,
    };
    let declination = draft.declination();
    let warning = compass_warning(draft.modelled);
    let warning = warning.map_or_else(nothing, |message| {
        say("p", &[("class", "sentence")], message)
    });
    let compass = if draft.magnetic {
        let typed = number_field(
            (
                "declination",
                "Declination, east positive (World Magnetic Model 2025, or typed)",
                "°",
            ),
            (declination.degrees() * 10.0).round() / 10.0,
            DECLINATION,
            |value| SkylineAction::Declination(Angle::from_degrees(value)),
            dispatch,
        );
        all(vec![typed, warning])
    } else {
        nothing()
    };
    all(vec![
        say("h3", &[], "Add a sighting"),
        number_field(
            ("bearing", "Bearing", "°"),
            draft.bearing.degrees(),
            BEARING,
            |value| SkylineAction::Bearing(Angle::from_degrees(value)),
            dispatch,
        ),
        toggle_group(&north, dispatch),
        compass,
        number_field(
            ("sighted", "Height of the skyline there", "°"),
            draft.height.degrees(),
            SIGHTED,
            |value| SkylineAction::Height(Angle::from_degrees(value)),
            dispatch,
        ),
        add(draft.typed(), "Add", dispatch),
    ])
}

fn all_round(site: &Site, dispatch: &Dispatch) -> Html {
    let ridge = &site.ridge;
    let level = ridge.all_round();
    let about = TextField::words(
        ("ridge", "Height where nobody has looked", "°"),
        plain(level.degrees()),
    );
    let read: Read = Callback::from(|typed: String| {
        RIDGE
            .read_angle(&typed)
            .map(|level| RidgeEdit::Level(level).into())
    });
    let by_degree = Stepper {
        name: "ridge height, whole degrees",
        value: degrees(level),
        less: RidgeEdit::StepLevel(false).into(),
        more: RidgeEdit::StepLevel(true).into(),
        value_tapped: None,
    };
    all(vec![
        say("h3", &[], "All round"),
        text_field(about, read, dispatch),
        stepper(by_degree, dispatch),
        over_a_plain(site, dispatch),
    ])
}

/// The dip of the horizon as the height where nobody has looked, for a site well above the
/// sea.
fn over_a_plain(site: &Site, dispatch: &Dispatch) -> Html {
    /// A smaller dip is not worth a word, degrees: half of what is shown.
    const LEAST_DIP_DEG: f64 = 0.05;
    let dip_deg = dip(site.height_m, BEND).degrees();
    if dip_deg < LEAST_DIP_DEG {
        return nothing();
    }
    // to the hundredths in which a skyline is written
    let level = Angle::from_degrees((dip_deg * -100.0).round() / 100.0);
    let word = format!("Over a plain from here: {}", degrees_to(level, 1));
    let from = fixed(site.height_m, 0);
    all(vec![
        button(
            &[("class", "wide"), ("id", "dip")],
            Vec::new(),
            on_click(dispatch, RidgeEdit::Level(level)),
            vec![text(word)],
        ),
        say(
            "p",
            &[],
            format!(
                "From {from} m the edge of a sea, or of a plain at sea level, lies so far below \
                 level (a round Earth, light bent by 0.13 of its curve). Land that stands higher \
                 hides it: sight that."
            ),
        ),
    ])
}
