//! A night: from one solar noon to the next, and what crosses which height.
//!
//! The Sun is looked for at sunset and sunrise and at the three twilights; the
//! Moon at its rising and setting; the core at any height, true or as it looks.
//! Noon is mean solar noon at the site's longitude, so that a night never falls
//! apart at midnight and every place has its own.

use chrono::{DateTime, NaiveDate, NaiveTime, Utc};

use crate::angle::Angle;
use crate::sky::almanac::{Almanac, SkyBody};
use crate::sky::altitude::TrueAltitude;
use crate::sky::crossings::{Crossing, Looks, TAKEN, Turn, taken_at, zero_between};
use crate::sky::moment::Moment;
use crate::sky::observer::{Horizontal as Place, Observer, Topocentric};

/// The air's lift at the horizon by convention, 34′ (U.S. Naval Observatory,
/// definitions of rise and set).
const LIFT_BY_CONVENTION: Angle = Angle::from_degrees(34.0 / 60.0);

/// A turning point this near a height only grazes it: whether it is crossed
/// hangs on the air of the night.
const GRAZING: Angle = Angle::from_degrees(0.02);

/// Heights of the Sun's middle that part day, twilights and night.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum SunAltitudeLimit {
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

impl SunAltitudeLimit {
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
pub enum Visibility {
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
}

impl Course {
    /// Crosses, always above or never above.
    pub fn standing(&self) -> Visibility {
        match (self.crossings.is_empty(), self.starts_above) {
            (false, _) => Visibility::Crosses,
            (true, true) => Visibility::AlwaysAbove,
            (true, false) => Visibility::NeverAbove,
        }
    }

    /// The first crossing upwards or downwards.
    pub fn first(&self, up: bool) -> Option<f64> {
        let found = self.crossings.iter().find(|crossing| crossing.up == up);
        found.map(|crossing| crossing.at)
    }
}

/// Whether a body that turns back this near a height only grazes it, so that
/// crossing it or not hangs on the air. Nothing turns: nothing grazes.
pub fn grazes(margin: Option<Angle>) -> bool {
    margin.is_some_and(|margin| margin < GRAZING)
}

/// A body over a night, as it is looked at.
type Track = [Topocentric; TAKEN];

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

/// How far below the horizon the Moon's middle is when its edge rises, radians.
fn below_horizon(moon: Topocentric) -> f64 {
    LIFT_BY_CONVENTION.radians() + moon.moon_radius().radians()
}

/// Mean solar noon of a date at an east longitude.
pub fn noon(date: NaiveDate, longitude: Angle) -> Moment {
    let noon = date.and_time(NaiveTime::MIN).and_utc();
    Moment::from_utc(noon).plus_days(0.5 - longitude.degrees() / 360.0)
}

/// The date on whose noon the night around an instant begins, by the site's own
/// solar time.
pub fn date_of(instant: DateTime<Utc>, longitude: Angle) -> NaiveDate {
    let noon = Moment::from_utc(instant).plus_days(longitude.degrees() / 360.0 - 0.5);
    noon.instant().date_naive()
}

impl<'a> Night<'a> {
    /// The night that begins at this noon. The almanac must hold it and two hours
    /// on either side.
    pub fn from(almanac: &'a Almanac, observer: Observer, start: Moment) -> Self {
        let moment = |days| start.plus_days(days);
        let seen: [[Topocentric; 3]; TAKEN] =
            std::array::from_fn(|place| observer.see_all(almanac, moment(taken_at(place))));
        let track = |which: usize| seen.map(|all| all[which]);
        Self {
            almanac,
            observer,
            start,
            core: track(0),
            sun: track(1),
            moon: track(2),
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

    const fn track(&self, body: SkyBody) -> &Track {
        match body {
            SkyBody::Core => &self.core,
            SkyBody::Sun => &self.sun,
            SkyBody::Moon => &self.moon,
        }
    }

    /// A body's turning points, by the sine of its true altitude, in order.
    pub fn turns(&self, body: SkyBody) -> Vec<Turn> {
        let looks = Looks::new(self.track(body).map(Topocentric::height));
        looks.turns(|days| self.see(body, days).height())
    }

    /// The turning point with the greatest or least height, if one lies in the
    /// night.
    pub fn extreme(&self, body: SkyBody, highest: bool) -> Option<Turn> {
        let sign = if highest { 1.0 } else { -1.0 };
        let order = |a: &Turn, b: &Turn| (sign * a.value).total_cmp(&(sign * b.value));
        self.turns(body).into_iter().max_by(order)
    }

    /// Smallest distance of a turning point of a body from an altitude.
    pub fn margin(&self, body: SkyBody, altitude: TrueAltitude) -> Option<Angle> {
        let off = self.turns(body).into_iter().map(|turn| {
            let turn = turn.value.clamp(-1.0, 1.0).asin();
            (turn - altitude.0.radians()).abs()
        });
        off.reduce(f64::min).map(Angle::from_radians)
    }

    /// Smallest distance of a turning point of the Moon from rising or setting.
    pub fn moon_margin(&self) -> Option<Angle> {
        let off = self.turns(SkyBody::Moon).into_iter().map(|turn| {
            let seen = self.see(SkyBody::Moon, turn.at);
            (seen.height().clamp(-1.0, 1.0).asin() + below_horizon(seen)).abs()
        });
        off.reduce(f64::min).map(Angle::from_radians)
    }

    /// The Sun and one of its lines.
    ///
    /// Within 2 s of a numerical ephemeris (`tests/sky.rs`).
    pub fn sun_at(&self, line: SunAltitudeLimit) -> Course {
        self.course(SkyBody::Sun, line.altitude())
    }

    /// The core and a true altitude.
    ///
    /// Within 0.1 s of a numerical ephemeris once UT1 less UTC is allowed for
    /// (`tests/sky.rs`).
    pub fn core_at(&self, altitude: TrueAltitude) -> Course {
        self.course(SkyBody::Core, altitude)
    }

    /// A body and a line whose height hangs on the bearing.
    ///
    /// `over` tells by how much the body is above the line, in radians; `band`
    /// holds the true altitudes between which the line lies, and only there it is
    /// followed closely: every two minutes, in which the sky turns by half a
    /// degree. A notch or a tooth narrower than that can be missed. Where it is
    /// found it is found to a millisecond.
    pub fn over_line(
        &self,
        body: SkyBody,
        (least, most): (TrueAltitude, TrueAltitude),
        over: &dyn Fn(Place) -> f64,
    ) -> Course {
        const STEP: f64 = 2.0 / 1440.0;
        const ROUNDS: usize = 60;
        // a millisecond of the sky's turning is 7e-8 radians
        const NEAR: f64 = 1e-9;
        let height = |at: f64| over(self.see(body, at).standing());
        let mut ends = vec![1.0];
        for altitude in [least, most] {
            let crossings = self.course(body, altitude).crossings;
            ends.extend(crossings.iter().map(|crossing| crossing.at));
        }
        let mut last = (0.0, height(0.0));
        let starts_above = last.1 > 0.0;
        let mut crossings = Vec::new();
        while let Some(place) = (0..ends.len()).reduce(|a, b| if ends[b] < ends[a] { b } else { a })
        {
            let end = ends.swap_remove(place);
            let start = last.0;
            let middle = self.see(body, (start + end) / 2.0).height();
            let near = (least.0.sin()..=most.0.sin()).contains(&middle);
            let steps = if near {
                ((end - start) / STEP).ceil().max(1.0)
            } else {
                1.0
            };
            for step in 1..=steps as usize {
                let at = start + (end - start) * step as f64 / steps;
                let next = (at, height(at));
                if (next.1 > 0.0) != (last.1 > 0.0) {
                    let at = zero_between(&height, [last, next], ROUNDS, NEAR);
                    let up = next.1 > 0.0;
                    crossings.push(Crossing { at, up });
                }
                last = next;
            }
        }
        Course {
            starts_above,
            crossings,
        }
    }

    /// A body's middle and a true altitude.
    pub fn course(&self, body: SkyBody, altitude: TrueAltitude) -> Course {
        let line = altitude.0.sin();
        let looks = Looks::new(self.track(body).map(|seen| seen.height() - line));
        Course {
            starts_above: looks.starts_above(),
            crossings: looks.crossings(|days| {
                let seen = self.see(body, days);
                (seen.height() - line, seen.height_a_day())
            }),
        }
    }

    /// The Moon and the horizon: its upper edge, with the air's usual lift.
    ///
    /// Within 1 s of a numerical ephemeris (`tests/sky.rs`).
    pub fn moon_at_horizon(&self) -> Course {
        let over = |seen: Topocentric| seen.height() + below_horizon(seen).sin();
        let looks = Looks::new(self.moon.map(over));
        Course {
            starts_above: looks.starts_above(),
            crossings: looks.crossings(|days| {
                let seen = self.see(SkyBody::Moon, days);
                (over(seen), seen.height_a_day())
            }),
        }
    }

    /// When a body crosses the meridian, days from the start: the upper half
    /// (south at most northern places), or the lower.
    pub fn transits(&self, body: SkyBody, upper: bool) -> Vec<f64> {
        let looks = Looks::new(self.track(body).map(Topocentric::east));
        let crossings = looks.crossings(|days| {
            let seen = self.see(body, days);
            (seen.east(), seen.east_a_day())
        });
        // it goes west across the upper half and east across the lower
        let wanted = crossings.iter().filter(|crossing| crossing.up != upper);
        wanted.map(|crossing| crossing.at).collect()
    }

    /// A body so many days after the start.
    pub fn see(&self, body: SkyBody, days: f64) -> Topocentric {
        self.observer
            .see(self.almanac, body, self.start.plus_days(days))
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::sky::observer::GeoPosition;

    /// A line of one height all round is the height; one that climbs to the
    /// west hides the core sooner and lets it rise as before.
    #[test]
    fn a_line_by_bearing_is_crossed_where_it_stands() {
        let site = GeoPosition {
            latitude: Angle::from_degrees(36.0),
            longitude: Angle::ZERO,
            height_m: 0.0,
        };
        let date = NaiveDate::from_ymd_opt(2027, 6, 20).expect("a date");
        let start = noon(date, site.longitude);
        let almanac = Almanac::over(start.plus_days(-1.0), 3.0);
        let night = Night::from(&almanac, Observer::at(site), start);
        let height = TrueAltitude(Angle::from_degrees(8.0));
        let flat = night.core_at(height).crossings;
        let band = (
            TrueAltitude(Angle::from_degrees(7.9)),
            TrueAltitude(Angle::from_degrees(60.0)),
        );
        let over = |line: &dyn Fn(Angle) -> f64, place: Place| {
            place.altitude.0.radians() - line(place.bearing).to_radians()
        };
        let level = night.over_line(SkyBody::Core, band, &|place| over(&|_| 8.0, place));
        let level = level.crossings;
        assert_eq!(flat.len(), level.len());
        for (flat, level) in flat.iter().zip(&level) {
            assert!((flat.at - level.at).abs() < 2e-8, "{flat:?}, {level:?}");
        }
        let climbing = |bearing: Angle| 8.0 + 0.2 * (bearing.degrees() - 180.0).max(0.0);
        let sloped = night.over_line(SkyBody::Core, band, &|place| over(&climbing, place));
        let sloped = sloped.crossings;
        assert!(
            (sloped[0].at - flat[0].at).abs() < 2e-8,
            "rises over the level part"
        );
        assert!(sloped[1].at < flat[1].at, "hidden sooner");
        let standing = night.see(SkyBody::Core, sloped[1].at).standing();
        let miss = standing.altitude.0.degrees() - climbing(standing.bearing);
        assert!(miss.abs() < 1e-4, "{miss}°");
    }
}
