//! Dark hours of a night, with the core up and the Moon down.

use serde::Serialize;
use tarnlight::angle::Angle;
use tarnlight::land::ridge::RidgeLine;
use tarnlight::outing::night::horizon_crossings::over_ridge;
use tarnlight::sky::almanac::SkyBody;
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::night::SunAltitudeLimit;
use tarnlight::sky::spans::Spans;

use super::zoned_night::{Block, BlockWords, Interval, ZonedNight};

#[derive(Serialize)]
pub struct Windows {
    dark: Vec<Interval>,
    dark_core_up: Vec<Interval>,
    dark_core_up_moon_down: Vec<Interval>,
    dark_moon_down: Vec<Interval>,
    dark_core_above_ridge_apparent: Vec<RidgeWindows>,
}

#[derive(Serialize)]
struct RidgeWindows {
    alt_deg: f64,
    intervals: Vec<Interval>,
}

/// Core, Sun and Moon over a ridge line, and the dark hours with the core over it.
#[derive(Serialize)]
pub struct RidgeLineAnswer {
    core: Block,
    sun: Block,
    moon: Block,
    dark_core_up: Vec<Interval>,
    dark_core_up_moon_down: Vec<Interval>,
}

const RIDGE_LINE: BlockWords = BlockWords {
    up: "clears",
    down: "drops_below",
    always_above: ("always_above", "always above the ridge line"),
    never_above: ("always_below", "never clears the ridge line"),
};

impl ZonedNight<'_> {
    /// Dark hours over the horizon and over level ridges.
    pub fn windows(&self, ridges_deg: &[f64]) -> Windows {
        let night = &self.night;
        let (dark, moon_down) = (self.dark(), self.moon_down());
        let core_up = Spans::new(&night.subject_course(TrueAltitude(Angle::ZERO)), true);
        let dark_core_up = dark.intersection(&core_up);
        let over_ridges = ridges_deg.iter().map(|&alt_deg| {
            let apparent = ApparentAltitude(Angle::from_degrees(alt_deg));
            let over = Spans::new(&night.subject_course(Air::STANDARD.to_true(apparent)), true);
            RidgeWindows {
                alt_deg,
                intervals: self.intervals(&dark.intersection(&over)),
            }
        });
        Windows {
            dark: self.intervals(&dark),
            dark_core_up: self.intervals(&dark_core_up),
            dark_core_up_moon_down: self.intervals(&dark_core_up.intersection(&moon_down)),
            dark_moon_down: self.intervals(&dark.intersection(&moon_down)),
            dark_core_above_ridge_apparent: over_ridges.collect(),
        }
    }

    /// The same over a ridge line, as bodies appear through standard air.
    pub fn over_ridge_line(&self, line: &RidgeLine) -> RidgeLineAnswer {
        let course = |body| over_ridge(&self.night, body, line, Air::STANDARD);
        let block = |body| self.block(body, &course(body), None, RIDGE_LINE);
        let core_up = Spans::new(&course(SkyBody::Subject), true);
        let dark_core_up = self.dark().intersection(&core_up);
        RidgeLineAnswer {
            core: block(SkyBody::Subject),
            sun: block(SkyBody::Sun),
            moon: block(SkyBody::Moon),
            dark_core_up: self.intervals(&dark_core_up),
            dark_core_up_moon_down: self.intervals(&dark_core_up.intersection(&self.moon_down())),
        }
    }

    fn dark(&self) -> Spans {
        Spans::new(
            &self.night.sun_course(SunAltitudeLimit::Astronomical),
            false,
        )
    }

    fn moon_down(&self) -> Spans {
        Spans::new(&self.night.moon_course(), false)
    }
}
