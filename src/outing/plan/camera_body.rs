//! Properties of a body beyond its sensor's size: sensitivity, noise, file size, timing, battery.
//! Unknown ones have typical values.

use chrono::NaiveDate;

use crate::camera::sensor::Sensor;
use crate::light::detector;

/// Megabytes of a losslessly compressed raw file per megapixel (from memory: 0.9 to 1.5).
const MB_PER_MEGAPIXEL: f64 = 1.2;

/// Time between the end of an exposure and the start of the next, s (common
/// practice: a body that writes to a quick card).
const WRITE_S: f64 = 1.0;

/// Minutes of continuous exposures on one charge in a cool night (from memory: 120 to 300).
const CHARGE_MIN: f64 = 150.0;

/// Most read noise values, by ISO.
pub const MOST_NOISES: usize = 12;

/// Known properties of a body.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct CameraBody {
    /// Quantum efficiency, 0 to 1.
    pub quantum: Option<f64>,
    /// Transmission of the lens, 0 to 1.
    pub transmitted: Option<f64>,
    /// Read noise: ISO and electrons, slowest first.
    pub read_noise: Vec<(f64, f64)>,
    /// Dark current, e⁻/s.
    pub dark_e_s: Option<f64>,
    /// Full well at base ISO, e⁻.
    pub full_well_e: Option<f64>,
    /// Size of a raw file, MB.
    pub file_mb: Option<f64>,
    /// Time between two exposures, s.
    pub write_s: Option<f64>,
    /// Minutes of continuous exposures on a charge.
    pub charge_min: Option<f64>,
    /// How its clock stands.
    pub clock: Option<CameraClock>,
}

/// How a camera's clock stands against UTC, as it was once measured.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct CameraClock {
    /// What it was ahead of UTC, s: its time zone and its error.
    pub ahead_s: f64,
    /// The date when that was measured, UTC.
    pub date: NaiveDate,
}

impl CameraBody {
    /// Quantum efficiency, 0 to 1.
    pub fn quantum(&self) -> f64 {
        self.quantum.unwrap_or(detector::QUANTUM)
    }

    /// Transmission of the lens, 0 to 1.
    pub fn transmitted(&self) -> f64 {
        self.transmitted.unwrap_or(detector::TRANSMITTED)
    }

    /// Read noise at an ISO, e⁻.
    pub fn read_noise_e(&self, iso: f64) -> f64 {
        detector::read_noise_e(&self.read_noise, iso)
    }

    /// Dark current, e⁻/s.
    pub fn dark_e_s(&self) -> f64 {
        self.dark_e_s.unwrap_or(detector::DARK_E_S)
    }

    /// Full well at base ISO, e⁻.
    pub fn full_well_e(&self, sensor: Sensor) -> f64 {
        let typical = || detector::full_well_e(sensor.pitch_um());
        self.full_well_e.unwrap_or_else(typical)
    }

    /// Size of a raw file, MB.
    pub fn file_mb(&self, sensor: Sensor) -> f64 {
        let typical = MB_PER_MEGAPIXEL * sensor.megapixels();
        self.file_mb.unwrap_or(typical)
    }

    /// Time between two exposures, s.
    pub fn write_s(&self) -> f64 {
        self.write_s.unwrap_or(WRITE_S)
    }

    /// Minutes of continuous exposures on a charge.
    pub fn charge_min(&self) -> f64 {
        self.charge_min.unwrap_or(CHARGE_MIN)
    }

    /// Inserts a read noise, replacing one at the same ISO; the list stays sorted and no longer
    /// than [`MOST_NOISES`]: in a full one it replaces the next higher ISO, or the highest.
    pub fn insert_read_noise(&mut self, iso: f64, read_noise_e: f64) {
        self.read_noise.retain(|(known, _)| *known != iso);
        let after = self.read_noise.iter().position(|(known, _)| *known > iso);
        let place = after.unwrap_or(self.read_noise.len());
        if self.read_noise.len() == MOST_NOISES {
            self.read_noise.remove(place.min(MOST_NOISES - 1));
        }
        let place = place.min(self.read_noise.len());
        self.read_noise.insert(place, (iso, read_noise_e));
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn read_noises_stay_in_order() {
        let mut body = CameraBody::default();
        for (iso, e) in [(1600.0, 2.0), (400.0, 4.0), (6400.0, 1.5), (1600.0, 2.2)] {
            body.insert_read_noise(iso, e);
        }
        assert_eq!(
            body.read_noise,
            [(400.0, 4.0), (1600.0, 2.2), (6400.0, 1.5)]
        );
        for iso in 1..100 {
            body.insert_read_noise(f64::from(iso), 1.0);
            assert_eq!(body.read_noise_e(f64::from(iso)), 1.0, "ISO {iso}");
        }
        assert_eq!(body.read_noise.len(), MOST_NOISES);
        let mut sorted = body.read_noise.clone();
        sorted.sort_by(|(one, _), (other, _)| one.total_cmp(other));
        assert_eq!(body.read_noise, sorted);
    }

    #[test]
    fn what_is_not_known_is_typical() {
        let sensor = crate::outing::plan::kit::Kit::default().sensor;
        let mut body = CameraBody::default();
        assert_eq!(body.quantum(), detector::QUANTUM);
        assert!((body.file_mb(sensor) - 28.8).abs() < 1e-9);
        body.quantum = Some(0.7);
        assert_eq!(body.quantum(), 0.7);
    }
}
