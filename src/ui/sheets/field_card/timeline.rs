//! The night of the card as a line: sunset, dark, the shot window, dawn, sunrise, with the Moon at
//! its rise and set and a plumb bob at the minute looked at.

use yew::prelude::*;

use crate::decimal::fixed;
use crate::outing::field::card::FieldCard;
use crate::outing::night::Window;
use crate::outing::night::local_time::Rounding;
use crate::outing::plan::Outing;
use crate::sky::spans::Span;
use crate::ui::state::derived::selected_night::{SelectedNight, days_of};
use crate::ui::text::night::time;
use crate::ui::text::windows;
use crate::ui::widgets::bodies::moon_disc;
use crate::ui::widgets::svg_path::SvgPath;

/// Height of the drawing, px; top and height of its bar.
const HEIGHT_PX: f64 = 100.0;
const BAR_TOP_PX: f64 = 36.0;
const BAR_PX: f64 = 16.0;

/// Baselines of the window over the bar, and of times and their names under it, px.
const WINDOW_PX: f64 = 24.0;
const TIME_PX: f64 = 76.0;
const NAME_PX: f64 = 94.0;

/// Half the width of a time or name under the bar, and of the window over it, px.
const WORD_PX: f64 = 26.0;
const WINDOW_WORD_PX: f64 = 76.0;

/// Radius of the Moon's disc, px.
const MOON_PX: f64 = 9.0;

/// An event of the night with its name.
struct Event {
    at: f64,
    name: &'static str,
    rounding: Rounding,
}

impl Event {
    /// Its time by the site's clock.
    fn clock(&self, selected: &SelectedNight) -> String {
        time(selected.event(self.at, self.rounding))
    }
}

/// Where moments are on the drawing.
struct TimeScale {
    span: Span,
    width_px: f64,
}

impl TimeScale {
    fn x(&self, at: f64) -> f64 {
        let share = (at - self.span.start) / (self.span.end - self.span.start);
        share.clamp(0.0, 1.0) * self.width_px
    }
}

/// The drawing, of this width.
pub fn timeline(
    outing: &Outing,
    card: &FieldCard,
    selected: &SelectedNight,
    width_px: f64,
) -> Html {
    let events = events(selected);
    let scale = TimeScale {
        span: span_of(&events),
        width_px,
    };
    let x = |at: f64| scale.x(at);
    let dark = selected.night.evening.usable.dark.longest();
    let window = card.window.as_ref();
    let moons = card.moon.turns.iter().map(|(at, _)| {
        let place = (x(*at), BAR_TOP_PX + BAR_PX / 2.0);
        moon_disc(place, MOON_PX, card.moon.lit, (1.0, 0.0))
    });
    html! {
        <svg
            class="drawing night-line"
            role="img"
            aria-label={label(outing, card, selected, &events)}
            viewBox={["0 0 ", &fixed(width_px, 0), " ", &fixed(HEIGHT_PX, 0)].concat()}
        >
            { bar("light", 0.0, width_px) }
            { dark.map_or_else(Html::default, |dark| bar("dark", x(dark.start), x(dark.end))) }
            { window.map_or_else(Html::default, |window| window_bar(selected, window, &scale)) }
            { bar("edge", 0.0, width_px) }
            <g>{ for event_words(selected, &events, &scale) }</g>
            <g>{ for moons }</g>
            <path class="grip" d={plumb_bob(x(days_of(selected.minute)))} />
        </svg>
    }
}

fn bar(class: &'static str, from: f64, to: f64) -> Html {
    html! {
        <rect
            {class}
            x={fixed(from, 1)}
            y={fixed(BAR_TOP_PX, 0)}
            width={fixed((to - from).max(0.0), 1)}
            height={fixed(BAR_PX, 0)}
        />
    }
}

fn text(x: f64, y: f64, class: &'static str, word: String) -> Html {
    html! {
        <text {class} x={fixed(x, 0)} y={fixed(y, 0)} text-anchor="middle">{ word }</text>
    }
}

/// The shot window with its ends in words over it.
fn window_bar(selected: &SelectedNight, window: &Window, scale: &TimeScale) -> Html {
    let (from, to) = (scale.x(window.span.start), scale.x(window.span.end));
    let (start, end) = windows::ends(selected, window);
    let middle = ((from + to) / 2.0).max(WINDOW_WORD_PX);
    let middle = middle.min(scale.width_px - WINDOW_WORD_PX);
    html! {
        <g>
            { bar("window", from, to) }
            { text(middle, WINDOW_PX, "window-word", [&start, "–", &end].concat()) }
        </g>
    }
}

/// The events' times and names under the bar.
fn event_words(selected: &SelectedNight, events: &[Event], scale: &TimeScale) -> Vec<Html> {
    let places: Vec<f64> = events.iter().map(|event| scale.x(event.at)).collect();
    let places = apart(&places, scale.width_px);
    let word = |(event, place): (&Event, &f64)| {
        html! {
            <g>
                { text(*place, TIME_PX, "name", event.clock(selected)) }
                { text(*place, NAME_PX, "caption", event.name.to_owned()) }
            </g>
        }
    };
    events.iter().zip(&places).map(word).collect()
}

/// A plumb bob over the bar, as a path.
fn plumb_bob(x: f64) -> String {
    let middle = BAR_TOP_PX + BAR_PX / 2.0;
    let mut bob = SvgPath::default();
    bob.polyline([
        (x, BAR_TOP_PX - 8.0),
        (x + 7.0, middle - 4.0),
        (x, BAR_TOP_PX + BAR_PX + 6.0),
        (x - 7.0, middle - 4.0),
        (x, BAR_TOP_PX - 8.0),
    ]);
    bob.finish()
}

/// The drawing for a screen reader.
fn label(outing: &Outing, card: &FieldCard, selected: &SelectedNight, events: &[Event]) -> String {
    let mut label = String::from("the night:");
    for event in events {
        label += &[" ", event.name, " ", &event.clock(selected), ","].concat();
    }
    label += &match &card.window {
        Some(window) => {
            let (start, end) = windows::ends(selected, window);
            [" window ", &start, " to ", &end].concat()
        }
        None => [" no window for the ", outing.subject.word()].concat(),
    };
    label
}

/// The Sun's events in order, as far as it has them.
fn events(selected: &SelectedNight) -> Vec<Event> {
    let evening = &selected.night.evening;
    let of_sun = |up: bool| {
        let crossings = &evening.sun[0].crossings;
        crossings
            .iter()
            .find(|crossing| crossing.up == up)
            .map(|crossing| crossing.at)
    };
    let dark = evening.usable.dark.longest();
    let event = |at: Option<f64>, name, up| {
        Some(Event {
            at: at?,
            name,
            rounding: Rounding::of_crossing(true, up),
        })
    };
    [
        event(of_sun(false), "sunset", false),
        event(dark.map(|dark| dark.start), "dark", false),
        event(dark.map(|dark| dark.end), "dawn", true),
        event(of_sun(true), "sunrise", true),
    ]
    .into_iter()
    .flatten()
    .collect()
}

/// From sunset to sunrise; where there are not both, from one noon to the next.
fn span_of(events: &[Event]) -> Span {
    let at = |name: &str| {
        events
            .iter()
            .find(|event| event.name == name)
            .map(|event| event.at)
    };
    match (at("sunset"), at("sunrise")) {
        (Some(start), Some(end)) if end > start => Span { start, end },
        _ => Span {
            start: 0.0,
            end: 1.0,
        },
    }
}

/// Places of words, in order, moved so that none lies over another nor over the ends, as long as
/// there is room for all.
fn apart(places: &[f64], width_px: f64) -> Vec<f64> {
    let mut moved: Vec<f64> = Vec::with_capacity(places.len());
    let mut least = WORD_PX;
    for place in places {
        let at = place.max(least);
        moved.push(at);
        least = at + 2.0 * WORD_PX;
    }
    let mut most = width_px - WORD_PX;
    for place in moved.iter_mut().rev() {
        *place = place.min(most);
        most = *place - 2.0 * WORD_PX;
    }
    moved
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn words_keep_apart_and_inside() {
        for places in [
            vec![0.0, 90.0, 200.0, 300.0],
            vec![0.0, 5.0, 10.0, 300.0],
            vec![0.0, 290.0, 295.0, 300.0],
            vec![150.0, 150.0, 150.0, 150.0],
            vec![],
        ] {
            let moved = apart(&places, 300.0);
            assert_eq!(moved.len(), places.len());
            for place in &moved {
                assert!((WORD_PX..=300.0 - WORD_PX).contains(place), "{moved:?}");
            }
            for pair in moved.windows(2) {
                assert!(pair[1] - pair[0] >= 2.0 * WORD_PX - 1e-9, "{moved:?}");
            }
        }
        // what has room stays
        assert_eq!(apart(&[60.0, 150.0, 220.0], 300.0), [60.0, 150.0, 220.0]);
    }
}
