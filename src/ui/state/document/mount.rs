//! Edits of the tracker.

use crate::angle::Angle;
use crate::light::tracking::{Mount, TrackingRate};

/// An edit of the tracker.
#[derive(Debug, Clone)]
pub enum MountEdit {
    /// Polar alignment error in azimuth.
    AzimuthError(Angle),
    /// Polar alignment error in altitude.
    AltitudeError(Angle),
    /// Periodic error, either way.
    PeriodicError(Angle),
    /// Its period, s.
    Period(f64),
    /// Tracking rate.
    Rate(TrackingRate),
}

impl MountEdit {
    /// Applies the edit.
    pub(super) fn apply(self, mount: &mut Mount) {
        match self {
            Self::AzimuthError(error) => mount.azimuth_error = error,
            Self::AltitudeError(error) => mount.altitude_error = error,
            Self::PeriodicError(error) => mount.periodic = error,
            Self::Period(seconds) => mount.period_s = seconds,
            Self::Rate(rate) => mount.rate = rate,
        }
    }
}
