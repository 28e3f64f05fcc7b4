//! What a photographer puts up with: how dark, how high, how much Moon.

use crate::angle::Angle;
use crate::sky::altitude::{ApparentAltitude, TrueAltitude};

/// The moon cost that passes for harmless, magnitudes: a fifth of a magnitude
/// more sky, which the natural glow of the air changes by within an hour
/// (common practice).
pub const HARMLESS_MAG: f64 = 0.2;

/// Least height of the core that counts, degrees, where nothing else is asked for:
/// below it haze hides it as often as not (common practice).
pub const LEAST_CORE_DEG: f64 = 5.0;

/// How far the Sun must be down.
#[derive(Debug, Clone, Copy, PartialEq, Eq, PartialOrd, Ord)]
pub enum DarknessLimit {
    /// 12°: the end of nautical twilight.
    Down12,
    /// 15°: the Milky Way stands out, the last glow is left.
    Down15,
    /// 18°: the end of astronomical twilight.
    Down18,
}

impl DarknessLimit {
    /// From the darkest on.
    pub const ALL: [Self; 3] = [Self::Down18, Self::Down15, Self::Down12];

    /// How far the Sun is down, degrees.
    pub const fn degrees(self) -> u8 {
        match self {
            Self::Down12 => 12,
            Self::Down15 => 15,
            Self::Down18 => 18,
        }
    }

    /// The limit of so many degrees, if it is one.
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

    /// Altitude of the Sun's middle below which it is dark.
    pub fn sun_altitude(self) -> TrueAltitude {
        TrueAltitude(Angle::from_degrees(-f64::from(self.degrees())))
    }
}

/// How much of the Moon is put up with.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum MoonLimit {
    /// Any Moon.
    Any,
    /// One that brightens the sky at the core by little.
    Harmless,
    /// None above the horizon.
    None,
}

/// What must hold for a shot window.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Limits {
    /// How far the Sun must be down.
    pub darkness: DarknessLimit,
    /// How high the core must stand as it looks, 0° to 30°, besides clearing the ridge
    /// line.
    pub least_core: Angle,
    /// How much Moon is put up with.
    pub moon: MoonLimit,
}

impl Default for Limits {
    /// Full darkness, the core 5° up, the Moon harmless.
    fn default() -> Self {
        Self {
            darkness: DarknessLimit::Down18,
            least_core: Angle::from_degrees(LEAST_CORE_DEG),
            moon: MoonLimit::Harmless,
        }
    }
}

impl Limits {
    /// Where the core must look to be at the least.
    pub const fn least_altitude(&self) -> ApparentAltitude {
        ApparentAltitude(self.least_core)
    }
}
