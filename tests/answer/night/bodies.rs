//! Rising, setting, transits and twilight of a night.

use serde::Serialize;
use tarnlight::angle::Angle;
use tarnlight::sky::almanac::SkyBody;
use tarnlight::sky::altitude::{Air, ApparentAltitude, TrueAltitude};
use tarnlight::sky::night::SunAltitudeLimit;

use super::zoned_night::{Block, BlockWords, Event, ZonedNight};

#[derive(Serialize)]
pub struct CoreAnswer {
    #[serde(flatten)]
    horizon: TrueAndApparent,
    ridge: Vec<RidgeAnswer>,
    upper_transit: Vec<Event>,
    lower_transit: Vec<Event>,
    max_alt_geom_deg: Option<f64>,
    min_alt_geom_deg: Option<f64>,
}

/// Crossings of an altitude taken as a true one, and as an apparent one.
#[derive(Serialize)]
struct TrueAndApparent {
    geometric: Block,
    apparent: Block,
}

#[derive(Serialize)]
struct RidgeAnswer {
    alt_deg: f64,
    #[serde(flatten)]
    blocks: TrueAndApparent,
}

#[derive(Serialize)]
pub struct SunAnswer {
    rise_set: Block,
    civil: Block,
    nautical: Block,
    astronomical: Block,
    min_alt: Vec<Event>,
}

#[derive(Serialize)]
pub struct MoonAnswer {
    rise_set: Block,
    upper_transit: Vec<Event>,
}

const CORE_HORIZON: BlockWords = BlockWords {
    up: "rise",
    down: "set",
    always_above: ("always_up", "always up"),
    never_above: ("never_rises", "never rises"),
};

const CORE_RIDGE: BlockWords = BlockWords {
    up: "clears",
    down: "drops_below",
    always_above: ("always_above", "always above ridge"),
    never_above: ("always_below", "never clears ridge"),
};

const MOON_HORIZON: BlockWords = BlockWords {
    up: "moonrise",
    down: "moonset",
    always_above: ("always_up", "Moon up throughout"),
    never_above: ("always_down", "Moon down throughout"),
};

/// The Sun is below a twilight's limit throughout.
const SUN_BELOW: (&str, &str) = ("always_below", "Sun below throughout");

const fn sun_words(limit: SunAltitudeLimit) -> BlockWords {
    match limit {
        SunAltitudeLimit::Horizon => BlockWords {
            up: "sunrise",
            down: "sunset",
            always_above: ("always_up", "Sun up throughout (polar day)"),
            never_above: ("always_down", "Sun down throughout (polar night)"),
        },
        SunAltitudeLimit::Civil => BlockWords {
            up: "civil_dawn",
            down: "civil_dusk",
            always_above: ("always_above", "Sun never below -6"),
            never_above: SUN_BELOW,
        },
        SunAltitudeLimit::Nautical => BlockWords {
            up: "nautical_dawn",
            down: "nautical_dusk",
            always_above: ("always_above", "Sun never below -12"),
            never_above: SUN_BELOW,
        },
        SunAltitudeLimit::Astronomical => BlockWords {
            up: "astronomical_dawn",
            down: "astronomical_dusk",
            always_above: ("always_above", "no astronomical darkness"),
            never_above: SUN_BELOW,
        },
    }
}

impl ZonedNight<'_> {
    /// The core over the horizon and over level ridges.
    pub fn core(&self, ridges_deg: &[f64]) -> CoreAnswer {
        let ridge = ridges_deg.iter().map(|&alt_deg| RidgeAnswer {
            alt_deg,
            blocks: self.core_at(alt_deg, CORE_RIDGE),
        });
        let extreme_deg = |highest| {
            // `value` is the sine of the altitude
            let turn = self.night.extreme(SkyBody::Subject, highest)?;
            Some(turn.value.clamp(-1.0, 1.0).asin().to_degrees())
        };
        CoreAnswer {
            horizon: self.core_at(0.0, CORE_HORIZON),
            ridge: ridge.collect(),
            upper_transit: self.transits(SkyBody::Subject, true),
            lower_transit: self.transits(SkyBody::Subject, false),
            max_alt_geom_deg: extreme_deg(true),
            min_alt_geom_deg: extreme_deg(false),
        }
    }

    /// Twilights and the Sun's lowest place.
    pub fn sun(&self) -> SunAnswer {
        let block = |limit: SunAltitudeLimit| {
            let margin = self.night.margin(SkyBody::Sun, limit.altitude());
            let course = self.night.sun_course(limit);
            self.block(SkyBody::Sun, &course, margin, sun_words(limit))
        };
        let lowest = self.night.extreme(SkyBody::Sun, false);
        SunAnswer {
            rise_set: block(SunAltitudeLimit::Horizon),
            civil: block(SunAltitudeLimit::Civil),
            nautical: block(SunAltitudeLimit::Nautical),
            astronomical: block(SunAltitudeLimit::Astronomical),
            min_alt: lowest
                .iter()
                .map(|turn| self.event(SkyBody::Sun, turn.at, "min_altitude"))
                .collect(),
        }
    }

    /// Moonrise, moonset and transit.
    pub fn moon(&self) -> MoonAnswer {
        let (course, margin) = (self.night.moon_course(), self.night.moon_margin());
        MoonAnswer {
            rise_set: self.block(SkyBody::Moon, &course, margin, MOON_HORIZON),
            upper_transit: self.transits(SkyBody::Moon, true),
        }
    }

    fn core_at(&self, altitude_deg: f64, words: BlockWords) -> TrueAndApparent {
        let block = |altitude: TrueAltitude| {
            let margin = self.night.margin(SkyBody::Subject, altitude);
            self.block(
                SkyBody::Subject,
                &self.night.subject_course(altitude),
                margin,
                words,
            )
        };
        let altitude = Angle::from_degrees(altitude_deg);
        TrueAndApparent {
            geometric: block(TrueAltitude(altitude)),
            apparent: block(Air::STANDARD.to_true(ApparentAltitude(altitude))),
        }
    }

    fn transits(&self, body: SkyBody, upper: bool) -> Vec<Event> {
        let kind = if upper {
            "upper_transit"
        } else {
            "lower_transit"
        };
        let transits = self.night.transits(body, upper);
        transits
            .into_iter()
            .map(|days| self.event(body, days, kind))
            .collect()
    }
}
