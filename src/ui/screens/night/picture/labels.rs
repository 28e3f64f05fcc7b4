//! What is written in the ground under the night and beside its Moon: events with their times.

use crate::outing::night::local_time::Rounding;
use crate::outing::plan::Outing;
use crate::ui::state::derived::horizon::directions::towards;
use crate::ui::state::derived::selected_night::SelectedNight;
use crate::ui::text::night as words;
use crate::ui::text::windows;

use super::scale::NightScale;

/// Width of a time in the ground, px, and of a letter of the word under it.
const TIME_PX: f64 = 60.0;
const LETTER_PX: f64 = 7.3;

/// Between two words at least, and from a word to the edge, px.
const APART_PX: f64 = 7.0;
const EDGE_PX: f64 = 5.0;

/// How far a word may stand from its moment, px.
const MOST_AWAY_PX: f64 = 34.0;

/// An event.
#[derive(Debug, Clone, PartialEq)]
pub struct GroundMark {
    /// When, days since noon.
    pub at: f64,
    /// When, as written.
    pub time: String,
    /// What.
    pub word: String,
    /// Whether it is an end of a shot window.
    pub post: bool,
}

/// The Moon where it rises or sets.
#[derive(Debug, Clone, PartialEq)]
pub struct MoonMark {
    /// When, days since noon.
    pub at: f64,
    /// When, as written.
    pub time: String,
    /// What it does.
    pub word: &'static str,
    /// Illuminated fraction.
    pub lit: f64,
    /// Direction of the Sun as seen from it: to the right and up.
    pub lit_towards: (f64, f64),
}

/// The events of a night, those that matter most first: the ends of its windows, the best one's
/// before the others', then dark and dawn, sunset and sunrise.
pub fn ground_marks(selected: &SelectedNight, outing: &Outing) -> Vec<GroundMark> {
    let evening = &selected.night.evening;
    let mut marks: Vec<GroundMark> = Vec::new();
    let mut windows: Vec<_> = evening.usable.windows.iter().collect();
    windows.sort_by(|one, next| next.equivalent_h.total_cmp(&one.equivalent_h));
    for window in windows {
        let (start, end) = windows::ends(selected, window);
        for (at, time, edge, opens) in [
            (window.span.start, start, window.opens, true),
            (window.span.end, end, window.closes, false),
        ] {
            marks.push(GroundMark {
                at,
                time,
                word: windows::boundary(edge, opens, outing),
                post: true,
            });
        }
    }
    let mut put = |at: f64, rounding: Rounding, word: &str| {
        let time = words::time(selected.event(at, rounding));
        // an end of the window is told as such
        if marks.iter().all(|mark| mark.time != time) {
            marks.push(GroundMark {
                at,
                time,
                word: word.to_owned(),
                post: false,
            });
        }
    };
    for dark in &evening.usable.dark.0 {
        put(dark.start, Rounding::Opening, windows::DARK);
        put(dark.end, Rounding::Closing, windows::DAWN);
    }
    for crossing in &evening.sun[0].crossings {
        let word = if crossing.up { "sunrise" } else { "sunset" };
        put(crossing.at, Rounding::of_crossing(true, crossing.up), word);
    }
    marks
}

/// The Moon's risings and settings in the picture.
pub fn moon_marks(selected: &SelectedNight, scale: &NightScale) -> Vec<MoonMark> {
    let night = &selected.night;
    let crossings = night.evening.moon.crossings.iter();
    crossings
        .filter(|crossing| scale.shows(crossing.at))
        .map(|crossing| {
            let reading = night.site_sky.reading(night.date, crossing.at);
            let rounding = Rounding::of_crossing(true, crossing.up);
            MoonMark {
                at: crossing.at,
                time: words::time(selected.event(crossing.at, rounding)),
                word: if crossing.up {
                    "Moon rises"
                } else {
                    "Moon sets"
                },
                lit: reading.lit,
                lit_towards: towards(reading.moon, reading.sun),
            }
        })
        .collect()
}

/// Where the events are written, px from the left to the middle of each: moved aside where they
/// would run into one another or over an edge, and left out where that is too far. Each is with its
/// place in `marks`.
pub fn arranged(marks: &[GroundMark], scale: &NightScale) -> Vec<(usize, f64)> {
    let mut placed: Vec<(usize, f64, f64)> = Vec::new();
    for (number, mark) in marks.iter().enumerate() {
        if !scale.shows(mark.at) {
            continue;
        }
        let half = (mark.word.chars().count() as f64 * LETTER_PX).max(TIME_PX) / 2.0;
        let inside = |x: f64| x.clamp(half + EDGE_PX, scale.size.width - half - EDGE_PX);
        let wanted = scale.x(mark.at);
        let free = |x: &f64| {
            placed
                .iter()
                .all(|(_, other, reach)| (other - x).abs() >= reach + half + APART_PX - 0.01)
        };
        let beside = placed.iter().flat_map(|(_, other, reach)| {
            let away = reach + half + APART_PX;
            [other - away, other + away]
        });
        // at an edge a word stands beside its moment
        let near = |x: &f64| (x - wanted).abs() <= MOST_AWAY_PX.max(half + EDGE_PX + 0.01);
        let places = std::iter::once(wanted).chain(beside).map(inside);
        let place = places
            .filter(|x| free(x) && near(x))
            .min_by(|one, next| (one - wanted).abs().total_cmp(&(next - wanted).abs()));
        if let Some(x) = place {
            placed.push((number, x, half));
        }
    }
    placed
        .into_iter()
        .map(|(number, x, _)| (number, x))
        .collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::spans::Span;
    use crate::ui::layout::Size;

    fn mark(at: f64, word: &str) -> GroundMark {
        GroundMark {
            at,
            time: "00:00".to_owned(),
            word: word.to_owned(),
            post: false,
        }
    }

    /// However the events fall, what is written keeps apart and inside, and the first is written.
    #[test]
    fn words_keep_apart_and_inside() {
        let span = Span {
            start: 0.3,
            end: 0.7,
        };
        for width in [320.0, 360.0, 540.0] {
            let size = Size {
                width,
                height: 260.0,
            };
            let scale = NightScale::new(span, 20.0, size);
            for step in 0..40 {
                let at = 0.3 + 0.01 * f64::from(step);
                let marks = [
                    mark(at, "clears ridge"),
                    mark((at + 0.02).min(0.7), "dawn"),
                    mark(0.31, "sunset"),
                    mark(0.69, "sunrise"),
                    mark(0.9, "outside"),
                ];
                let placed = arranged(&marks, &scale);
                assert_eq!(placed.first().map(|first| first.0), Some(0), "{at}");
                assert!(placed.iter().all(|(number, _)| *number < 4));
                let half = |number: usize| {
                    (marks[number].word.len() as f64 * LETTER_PX).max(TIME_PX) / 2.0
                };
                for (place, (number, x)) in placed.iter().enumerate() {
                    assert!(x - half(*number) >= 4.9 && x + half(*number) <= width - 4.9);
                    for (other, y) in &placed[..place] {
                        assert!((x - y).abs() >= half(*number) + half(*other) + 6.9, "{at}");
                    }
                }
            }
        }
    }
}
