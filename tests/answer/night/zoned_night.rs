//! Events of a night and what the answers give of each.

use chrono_tz::Tz;
use serde::Serialize;
use tarnlight::angle::Angle;
use tarnlight::sky::almanac::SkyBody;
use tarnlight::sky::night::{Course, Night, Visibility, grazes};
use tarnlight::sky::spans::Spans;

use super::time::{local_text, utc_text};

pub const DAY_S: f64 = 86_400.0;

/// Half the interval of the finite difference for an altitude's rate at an event, days.
const RATE_REACH: f64 = 30.0 / DAY_S;

const MIN_PER_DAY: f64 = 1440.0;

/// A night and the site's time zone.
pub struct ZonedNight<'a> {
    pub night: Night<'a>,
    pub zone: Option<Tz>,
}

#[derive(Serialize)]
pub struct Event {
    kind: &'static str,
    utc: String,
    local: Option<String>,
    t_s: f64,
    az_deg: f64,
    alt_geom_deg: f64,
    rate_deg_per_min: f64,
}

/// A body's crossings of one altitude.
#[derive(Serialize)]
pub struct Block {
    state: &'static str,
    label: Option<&'static str>,
    at_start: &'static str,
    events: Vec<Event>,
    closest_extremum_margin_deg: Option<f64>,
    grazing: bool,
}

/// The words of a block.
#[derive(Clone, Copy)]
pub struct BlockWords {
    /// Kinds of the events upwards and downwards.
    pub up: &'static str,
    pub down: &'static str,
    /// State and label of a body that is above throughout.
    pub always_above: (&'static str, &'static str),
    /// The same for one that is below throughout.
    pub never_above: (&'static str, &'static str),
}

#[derive(Serialize)]
pub struct Interval {
    start_utc: String,
    end_utc: String,
    start_s: f64,
    end_s: f64,
    minutes: f64,
}

impl ZonedNight<'_> {
    /// The crossings of a course; `margin` is how near the closest turning point comes.
    pub fn block(
        &self,
        body: SkyBody,
        course: &Course,
        margin: Option<Angle>,
        words: BlockWords,
    ) -> Block {
        let (state, label) = match course.visibility() {
            Visibility::Crosses => ("crosses", None),
            Visibility::AlwaysAbove => (words.always_above.0, Some(words.always_above.1)),
            Visibility::NeverAbove => (words.never_above.0, Some(words.never_above.1)),
        };
        let events = course.crossings.iter().map(|crossing| {
            let kind = if crossing.up { words.up } else { words.down };
            self.event(body, crossing.at, kind)
        });
        Block {
            state,
            label,
            at_start: if course.starts_above {
                "above"
            } else {
                "below"
            },
            events: events.collect(),
            closest_extremum_margin_deg: margin.map(Angle::degrees),
            grazing: grazes(margin),
        }
    }

    /// An event so many days after the night began.
    pub fn event(&self, body: SkyBody, days: f64, kind: &'static str) -> Event {
        let night = &self.night;
        let place = |days: f64| {
            let moment = night.start().plus_days(days);
            night.observer().horizontal(night.almanac(), body, moment)
        };
        let altitude_deg = |days: f64| place(days).altitude.0.degrees();
        let risen_deg = altitude_deg(days + RATE_REACH) - altitude_deg(days - RATE_REACH);
        let moment = night.start().plus_days(days);
        Event {
            kind,
            utc: utc_text(moment),
            local: self.zone.map(|zone| local_text(moment, zone)),
            t_s: days * DAY_S,
            az_deg: place(days).bearing.degrees(),
            alt_geom_deg: altitude_deg(days),
            rate_deg_per_min: risen_deg / (2.0 * MIN_PER_DAY * RATE_REACH),
        }
    }

    /// Spans with their ends as instants.
    pub fn intervals(&self, spans: &Spans) -> Vec<Interval> {
        let utc = |days: f64| utc_text(self.night.start().plus_days(days));
        let interval = spans.0.iter().map(|span| Interval {
            start_utc: utc(span.start),
            end_utc: utc(span.end),
            start_s: span.start * DAY_S,
            end_s: span.end * DAY_S,
            minutes: span.minutes(),
        });
        interval.collect()
    }
}
