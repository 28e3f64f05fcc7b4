//! Checklists for packing, on arriving, before the first frame and on leaving.
//!
//! Usual practice of people who photograph and walk outdoors at night (common practice). A line
//! keeps its number, so that a tick stays with its line when lines are moved.

use crate::outing::field::dew::Dew;
use crate::outing::plan::{Outing, Support, Weather};

/// When a line applies.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
enum For {
    /// Always.
    All,
    /// With a tracker.
    Tracker,
    /// When dew is near, or unknown.
    Dew,
}

/// A line to tick.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct Line {
    /// Its number, below 64 and never reused.
    pub id: u32,
    /// Its text.
    pub message: &'static str,
    of_use: For,
}

/// A list.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub struct List {
    /// Its name.
    pub name: &'static str,
    lines: &'static [Line],
}

const fn line(id: u32, message: &'static str) -> Line {
    only(For::All, id, message)
}

const fn only(of_use: For, id: u32, message: &'static str) -> Line {
    Line {
        id,
        message,
        of_use,
    }
}

/// Index of the list on arriving, which has the fields of temperature and humidity.
pub const ARRIVING: usize = 1;

/// The lists, in the order of use.
pub const LISTS: [List; 4] = [
    List {
        name: "Packing",
        lines: &[
            line(0, "Body and lens, the glass wiped"),
            line(1, "Tripod and plate, all screws tight"),
            line(2, "Batteries full, spares warm; cards empty"),
            only(For::Tracker, 3, "Tracker, its wedge, weight and battery"),
            only(
                For::Dew,
                4,
                "Heater band, or hand warmers and something to tie them",
            ),
            line(5, "White lamp and a spare; a red one for the camera"),
            line(6, "Warm layers, gloves, food, water"),
            line(7, "Phone full and kept warm; map and card for no signal"),
            line(
                8,
                "Somebody knows the place, the car's place and when I am back",
            ),
        ],
    },
    List {
        name: "Arriving",
        lines: &[
            line(9, "White lamp on for every step"),
            line(
                10,
                "Edges, loose rock, water and the way out seen by daylight",
            ),
            line(11, "Tide looked up twice, and an hour set to turn back"),
            line(12, "Legs on firm ground, level, out of others' pictures"),
            line(13, "Frame set against the skyline while there is light"),
            line(
                14,
                "Ground taken in blue light; from now on the legs stay put",
            ),
            line(
                15,
                "Raw, clock set, stabiliser and long-exposure noise reduction off",
            ),
            only(
                For::Dew,
                16,
                "Heater or hand warmer on before the glass fogs",
            ),
        ],
    },
    List {
        name: "First frame",
        lines: &[
            line(17, "Screens dimmed, page in red"),
            line(
                18,
                "A bright star focused at full magnification, the ring taped",
            ),
            only(
                For::Tracker,
                19,
                "Polar axis set; right hemisphere, rate and balance",
            ),
            line(20, "Shutter, f-number and ISO as on the card"),
            line(21, "Test frame: middle, corners and horizon magnified"),
            line(22, "Histogram's hill clear of the left wall"),
            line(23, "Interval longer than exposure and writing together"),
            line(
                24,
                "No step back with eyes on a screen: look, lamp, then walk",
            ),
            line(
                25,
                "Every quarter hour: dew, battery, wind; after an hour: focus",
            ),
        ],
    },
    List {
        name: "Leaving",
        lines: &[
            line(26, "Last frame magnified: stars still points, no fog"),
            line(27, "Frames counted; ground frames taken, focused anew"),
            line(28, "Dark frames under the cap, if I use them"),
            line(29, "Ground searched with the white lamp, nothing left"),
            line(30, "Warm layer on, white lamp on, the way I came"),
            line(31, "Message home: on the way"),
            line(32, "Rested before driving; tired, I stay"),
            line(
                33,
                "At home: two copies; place, settings and mistakes noted",
            ),
        ],
    },
];

impl List {
    /// The lines that apply to an outing.
    pub fn lines(&self, outing: &Outing) -> Vec<Line> {
        // packing happens at home, where the night's air is unknown
        let dew = outing.weather.map(Weather::dew) != Some(Dew::Far);
        let mut lines = Vec::with_capacity(self.lines.len());
        for line in self.lines {
            let of_use = match line.of_use {
                For::All => true,
                For::Tracker => outing.support == Support::Tracker,
                For::Dew => dew,
            };
            if of_use {
                lines.push(*line);
            }
        }
        lines
    }

    /// The bits of all its lines, also of those that do not apply.
    pub fn bits(&self) -> u64 {
        self.lines.iter().fold(0, |bits, line| bits | bit(line.id))
    }
}

/// The bit of a line's number.
pub const fn bit(id: u32) -> u64 {
    1_u64.unbounded_shl(id)
}

/// Ticks read from text: numbers of lines, separated by blanks. Other numbers are ignored.
///
/// ```
/// use tarnlight::outing::field::checklist::{read, written};
/// assert_eq!(written(read("3 17 500 x")), "3 17");
/// ```
pub fn read(text: &str) -> u64 {
    let known = LISTS.iter().fold(0, |bits, list| bits | list.bits());
    let ids = text.split(' ').filter_map(|id| id.parse::<u32>().ok());
    known & ids.fold(0, |bits, id| bits | bit(id))
}

/// Ticks as text; see [`read`].
pub fn written(ticks: u64) -> String {
    let mut text = String::new();
    for id in (0..u64::BITS).filter(|id| ticks & bit(*id) != 0) {
        if !text.is_empty() {
            text.push(' ');
        }
        text += &id.to_string();
    }
    text
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn numbers_are_given_once() {
        let mut met = 0;
        for line in LISTS.iter().flat_map(|list| list.lines) {
            assert!(line.id < u64::BITS, "{}", line.message);
            assert_eq!(
                met & bit(line.id),
                0,
                "{} has another's number",
                line.message
            );
            met |= bit(line.id);
        }
    }

    #[test]
    fn lists_are_short_whatever_the_outing() {
        let damp = Weather {
            celsius: 8.0,
            humidity_percent: 95.0,
        };
        for weather in [None, Some(damp)] {
            for support in [Support::Tripod, Support::Tracker] {
                let outing = Outing {
                    weather,
                    support,
                    ..Outing::default()
                };
                for list in &LISTS {
                    let count = list.lines(&outing).len();
                    assert!((6..=9).contains(&count), "{}: {count}", list.name);
                }
            }
        }
    }

    #[test]
    fn lines_follow_the_outing() {
        let has = |outing: &Outing, id: u32| {
            let mut lines = LISTS.iter().flat_map(|list| list.lines(outing));
            lines.any(|line| line.id == id)
        };
        let mut outing = Outing::default();
        assert!(!has(&outing, 19) && has(&outing, 16), "dew may come");
        outing.support = Support::Tracker;
        outing.weather = Some(Weather {
            celsius: 10.0,
            humidity_percent: 85.0,
        });
        assert!(has(&outing, 19) && has(&outing, 16));
        outing.weather = Some(Weather {
            celsius: 15.0,
            humidity_percent: 30.0,
        });
        assert!(!has(&outing, 16), "dry air");
    }

    #[test]
    fn ticks_are_written_and_read() {
        for ticks in [0, bit(0), bit(33) | bit(9), LISTS[2].bits()] {
            assert_eq!(read(&written(ticks)), ticks);
        }
        for rubbish in ["", "x", "-1", "64", "63", "4294967296", "1e3", "\u{0}"] {
            assert_eq!(read(rubbish), 0, "{rubbish:?}");
        }
    }
}
