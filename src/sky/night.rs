//! A night: from one solar noon to the next, and what crosses which height.
//!
//! The Sun is looked for at sunset and sunrise and at the three twilights; the
//! Moon at its rising and setting; the core at any height, true or as it looks.
//! Noon is mean solar noon at the site's longitude, so that a night never falls
//! apart at midnight and every place has its own.

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};

use super::almanac::{Almanac, Body};
use super::altitude::TrueAltitude;
use super::crossings::{Crossing, Looks, TAKEN, Turn, taken_at};
use super::moment::Moment;
use super::observer::{Observer, Seen};
use crate::angle::Angle;

/// The air's lift at the horizon by convention, 34′ (U.S. Naval Observatory,
/// definitions of rise and set).
const LIFT_BY_CONVENTION: Angle = Angle::from_degrees(34.0 / 60.0);

/// A turning point this near a height only grazes it: whether it is crossed
/// hangs on the air of the night.
const GRAZING: Angle = Angle::from_degrees(0.02);

/// Heights of the Sun's middle that part day, twilights and night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SunLine {
    /// Sunset and sunrise: −50′ (34′ of air, 16′ of disc; U.S. Naval
    /// Observatory).
    Horizon,
    /// Civil twilight ends: −6°.
    Civil,
    /// Nautical twilight ends: −12°.
    Nautical,
    /// Astronomical twilight ends, dark hours begin: −18°.
    Astronomical,
}

impl SunLine {
    /// From the highest down.
    pub const ALL: [Self; 4] = [
        Self::Horizon,
        Self::Civil,
        Self::Nautical,
        Self::Astronomical,
    ];

    /// The true altitude.
    pub const fn altitude(self) -> TrueAltitude {
        TrueAltitude(Angle::from_degrees(match self {
            Self::Horizon => -50.0 / 60.0,
            Self::Civil => -6.0,
            Self::Nautical => -12.0,
            Self::Astronomical => -18.0,
        }))
    }
}

/// How a body stands to a height over a night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Standing {
    /// It crosses it.
    Crosses,
    /// It is above all the time.
    AlwaysAbove,
    /// It never comes above.
    NeverAbove,
}

/// A body and a height over a night.
#[derive(Debug, Clone, PartialEq)]
pub struct Course {
    /// Whether it is above when the night begins at noon.
    pub starts_above: bool,
    /// Every crossing, in order; `at` counts days from that noon.
    pub crossings: Vec<Crossing>,
    /// Smallest distance of a turning point from the height.
    pub margin: Angle,
}

impl Course {
    /// Crosses, always above or never above.
    pub fn standing(&self) -> Standing {
        match (self.crossings.is_empty(), self.starts_above) {
            (false, _) => Standing::Crosses,
            (true, true) => Standing::AlwaysAbove,
            (true, false) => Standing::NeverAbove,
        }
    }

    /// Whether it turns back so near the height that crossing it or not hangs
    /// on the air.
    pub fn grazes(&self) -> bool {
        self.margin < GRAZING
    }

    /// The first crossing upwards or downwards.
    pub fn first(&self, up: bool) -> Option<f64> {
        let found = self.crossings.iter().find(|crossing| crossing.up == up);
        found.map(|crossing| crossing.at)
    }
}

/// A body over a night, looked at each hour.
#[derive(Debug, Clone)]
pub struct Track {
    body: Body,
    seen: [Seen; TAKEN],
    turns: Vec<Turn>,
}

impl Track {
    /// Turning points of the sine of the true altitude, in order.
    pub fn turns(&self) -> &[Turn] {
        &self.turns
    }

    /// The turning point with the greatest or least height, if one lies in the
    /// night.
    pub fn extreme(&self, highest: bool) -> Option<Turn> {
        let sign = if highest { 1.0 } else { -1.0 };
        let order = |a: &&Turn, b: &&Turn| (sign * a.value).total_cmp(&(sign * b.value));
        self.turns.iter().max_by(order).copied()
    }

    fn looks(&self, height: impl Fn(Seen) -> f64) -> Looks {
        Looks::new(self.seen.map(height))
    }
}

/// A night over a site, with what is needed to ask about it.
#[derive(Debug, Clone)]
pub struct Night<'a> {
    almanac: &'a Almanac,
    observer: Observer,
    start: Moment,
    sun: Track,
    moon: Track,
    core: Track,
}

/// Mean solar noon of a date at an east longitude.
pub fn noon(date: NaiveDate, longitude: Angle) -> Moment {
    let noon = date.and_time(NaiveTime::MIN).and_utc();
    Moment::of(noon).plus_days(0.5 - longitude.degrees() / 360.0)
}

/// The date on whose noon the night around an instant begins, by the site's own
/// solar time.
pub fn date_of(instant: DateTime<Utc>, longitude: Angle) -> NaiveDate {
    let noon = Moment::of(instant).plus_days(longitude.degrees() / 360.0 - 0.5);
    noon.instant().date_naive()
}

impl<'a> Night<'a> {
    /// The night that begins at this noon. The almanac must hold it and an hour
    /// on either side.
    pub fn from(almanac: &'a Almanac, observer: Observer, start: Moment) -> Self {
        let moment = |days| start.plus_days(days);
        let seen: [[Seen; 3]; TAKEN] =
            std::array::from_fn(|place| observer.see_all(almanac, moment(taken_at(place))));
        let track = |body, which: usize| {
            let seen = seen.map(|all| all[which]);
            let looks = Looks::new(seen.map(Seen::height));
            let turns = looks.turns(|days| observer.see(almanac, body, moment(days)).height());
            Track { body, seen, turns }
        };
        Self {
            almanac,
            observer,
            start,
            core: track(Body::Core, 0),
            sun: track(Body::Sun, 1),
            moon: track(Body::Moon, 2),
        }
    }

    /// When it begins.
    pub const fn start(&self) -> Moment {
        self.start
    }

    /// Who watches.
    pub const fn observer(&self) -> &Observer {
        &self.observer
    }

    /// The almanac behind it.
    pub const fn almanac(&self) -> &'a Almanac {
        self.almanac
    }

    /// The Sun's height.
    pub const fn sun(&self) -> &Track {
        &self.sun
    }

    /// The Moon's height.
    pub const fn moon(&self) -> &Track {
        &self.moon
    }

    /// The core's height.
    pub const fn core(&self) -> &Track {
        &self.core
    }

    /// The Sun and one of its lines.
    ///
    /// Within 2 s of a numerical ephemeris (`tests/sky.rs`).
    pub fn sun_at(&self, line: SunLine) -> Course {
        self.course(&self.sun, line.altitude())
    }

    /// The core and a true altitude.
    ///
    /// Within 0.1 s of a numerical ephemeris once UT1 less UTC is allowed for
    /// (`tests/sky.rs`).
    pub fn core_at(&self, altitude: TrueAltitude) -> Course {
        self.course(&self.core, altitude)
    }

    fn course(&self, track: &Track, altitude: TrueAltitude) -> Course {
        let line = altitude.0.sin();
        let margin = track.turns.iter().map(|turn| {
            let turn = turn.value.clamp(-1.0, 1.0).asin();
            (turn - altitude.0.radians()).abs()
        });
        let looks = track.looks(|seen| seen.height() - line);
        Course {
            starts_above: looks.starts_above(),
            margin: Angle::from_radians(margin.fold(f64::INFINITY, f64::min)),
            crossings: looks.crossings(|days| {
                let seen = self.see(track.body, days);
                (seen.height() - line, seen.height_a_day())
            }),
        }
    }

    /// The Moon and the horizon: its upper edge, with the air's usual lift.
    ///
    /// Within 1 s of a numerical ephemeris (`tests/sky.rs`).
    pub fn moon_at_horizon(&self) -> Course {
        let below = |seen: Seen| LIFT_BY_CONVENTION.radians() + seen.moon_radius().radians();
        let over = |seen: Seen| seen.height() + below(seen).sin();
        let margin = self.moon.turns.iter().map(|turn| {
            let seen = self.see(Body::Moon, turn.at);
            (seen.height().clamp(-1.0, 1.0).asin() + below(seen)).abs()
        });
        let looks = self.moon.looks(over);
        Course {
            starts_above: looks.starts_above(),
            margin: Angle::from_radians(margin.fold(f64::INFINITY, f64::min)),
            crossings: looks.crossings(|days| {
                let seen = self.see(Body::Moon, days);
                (over(seen), seen.height_a_day())
            }),
        }
    }

    /// When a body crosses the meridian, days from the start: the upper half
    /// (south at most northern places), or the lower.
    pub fn transits(&self, body: Body, upper: bool) -> Vec<f64> {
        let track = match body {
            Body::Core => &self.core,
            Body::Sun => &self.sun,
            Body::Moon => &self.moon,
        };
        let crossings = track.looks(Seen::east).crossings(|days| {
            let seen = self.see(body, days);
            (seen.east(), seen.east_a_day())
        });
        // it goes west across the upper half and east across the lower
        let wanted = crossings.iter().filter(|crossing| crossing.up != upper);
        wanted.map(|crossing| crossing.at).collect()
    }

    /// A body so many days after the start.
    pub fn see(&self, body: Body, days: f64) -> Seen {
        self.observer
            .see(self.almanac, body, self.start.plus_days(days))
    }
}
