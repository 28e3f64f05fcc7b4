//! Limits of a shot window: darkness, the subject's altitude, the Moon.

use crate::angle::Angle;
use crate::sky::altitude::{ApparentAltitude, TrueAltitude};

/// The greatest moon cost that counts as harmless, magnitudes: airglow varies by as much within an
/// hour (common practice).
pub const HARMLESS_MAG: f64 = 0.2;

/// Default least height of the subject, degrees: below it haze often hides it (common practice).
pub const LEAST_CORE_DEG: f64 = 5.0;

/// The least depression of the Sun.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DarknessLimit {
    /// 12°: the end of nautical twilight.
    Down12,
    /// 15°: the Milky Way is clear, the last twilight remains.
    Down15,
    /// 18°: the end of astronomical twilight.
    Down18,
}

impl DarknessLimit {
    /// Darkest first.
    pub const ALL: [Self; 3] = [Self::Down18, Self::Down15, Self::Down12];

    /// Depression of the Sun, degrees.
    pub const fn degrees(self) -> u8 {
        match self {
            Self::Down12 => 12,
            Self::Down15 => 15,
            Self::Down18 => 18,
        }
    }

    /// The limit of this depression, if there is one.
    ///
    /// ```
    /// use tarnlight::outing::plan::limits::DarknessLimit;
    /// assert_eq!(DarknessLimit::from_degrees(15), Some(DarknessLimit::Down15));
    /// assert_eq!(DarknessLimit::from_degrees(6), None);
    /// ```
    pub fn from_degrees(degrees: u32) -> Option<Self> {
        let same = |limit: &Self| u32::from(limit.degrees()) == degrees;
        Self::ALL.into_iter().find(same)
    }

    /// Altitude of the Sun's centre below which it is dark.
    pub fn sun_altitude(self) -> TrueAltitude {
        TrueAltitude(Angle::from_degrees(-f64::from(self.degrees())))
    }
}

/// The Moon allowed.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoonLimit {
    /// Any Moon.
    Any,
    /// A harmless Moon: [`HARMLESS_MAG`] at the subject.
    Harmless,
    /// None above the horizon.
    None,
}

/// The limits of a shot window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// The least depression of the Sun.
    pub darkness: DarknessLimit,
    /// Least apparent altitude of the subject, by default the core, 0° to 30°, in addition to the ridge line.
    pub least_core: Angle,
    /// The Moon allowed.
    pub moon: MoonLimit,
}

impl Default for Limits {
    /// Full darkness, the subject 5° up, the Moon harmless.
    fn default() -> Self {
        Self {
            darkness: DarknessLimit::Down18,
            least_core: Angle::from_degrees(LEAST_CORE_DEG),
            moon: MoonLimit::Harmless,
        }
    }
}

impl Limits {
    /// The subject's least apparent altitude.
    pub const fn least_altitude(&self) -> ApparentAltitude {
        ApparentAltitude(self.least_core)
    }
}
