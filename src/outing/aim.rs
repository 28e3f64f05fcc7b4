//! Where the camera is taken to point.
//!
//! The camera is taken to point at the core when it stands
//! highest over the site, the core in the middle of the frame. Where the
//! core never rises it points at the celestial equator on the meridian: the
//! part of the sky that drifts fastest and is up everywhere but at the poles.

use crate::angle::Angle;
use crate::camera::frame::Frame;
use crate::sky::core::{CORE_DECLINATION, Highest};

/// What stands in the middle of the frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Target {
    /// The core at its highest.
    Core,
    /// The celestial equator, because the core never rises here.
    Equator,
}

/// A frame and what it was made for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Aim {
    /// Where the camera points.
    pub frame: Frame,
    /// What stands in the middle.
    pub target: Target,
    /// How high the target stands.
    pub highest: Highest,
}

impl Aim {
    /// The aim for a latitude.
    ///
    /// ```text
    /// 36° N  →  the core, due south, 25.0° high
    /// 65° N  →  the celestial equator, due south, 25.0° high
    /// ```
    pub fn at(latitude: Angle) -> Self {
        let core = Highest::of(CORE_DECLINATION, latitude);
        let (target, highest) = if core.rises() {
            (Target::Core, core)
        } else {
            (Target::Equator, Highest::of(Angle::ZERO, latitude))
        };
        Self {
            frame: Frame {
                bearing: highest.bearing,
                tilt: highest.altitude,
                roll: Angle::ZERO,
            },
            target,
            highest,
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn points_at_the_core_or_says_what_else() {
        let table = [
            // latitude, target, bearing, tilt
            (36.0, Target::Core, 180.0, 24.992),
            (-40.0, Target::Core, 0.0, 79.008),
            (65.0, Target::Equator, 180.0, 25.0),
            (90.0, Target::Equator, 180.0, 0.0),
        ];
        for (latitude, target, bearing, tilt) in table {
            let aim = Aim::at(Angle::from_degrees(latitude));
            assert_eq!(aim.target, target, "φ {latitude}");
            assert_eq!(aim.frame.bearing.degrees(), bearing, "φ {latitude}");
            let got = aim.frame.tilt.degrees();
            assert!((got - tilt).abs() < 1e-3, "φ {latitude}: {got}");
        }
    }
}
