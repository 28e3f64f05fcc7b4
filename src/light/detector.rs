//! Typical values of sensor and lens.
//!
//! Makers publish none of these. Each value is typical of bodies of the last ten years, good to a
//! factor of one and a half at best; measured values can be typed instead.

use std::f64::consts::LN_2;

/// Transmission of a lens (common practice: a good lens absorbs a tenth).
pub const TRANSMITTED: f64 = 0.9;

/// Quantum efficiency for green light, colour filter included (from memory: 0.4 to 0.6).
pub const QUANTUM: f64 = 0.5;

/// Dark current of a pixel, e⁻/s, on a cool night (from memory: 0.01 to 0.2).
pub const DARK_E_S: f64 = 0.05;

/// Full well per area of a pixel, e⁻/µm² (from memory; 50 000 at a pitch of 6 µm).
const WELL_E_UM2: f64 = 50_000.0 / 36.0;

/// Read noise at high ISO, e⁻ (from memory: 1 to 4).
const READ_FLOOR_E: f64 = 2.5;

/// Noise added after the ISO amplifier, e⁻ at ISO 100 (from memory; it matters below ISO 400 only).
const READ_AFTER_E: f64 = 5.0;

/// The ISO of the full well.
pub const BASE_ISO: f64 = 100.0;

/// Full well of a pixel of a pitch in µm, e⁻.
///
/// ```text
/// 6 µm  →  50 000
/// ```
pub fn full_well_e(pitch_um: f64) -> f64 {
    WELL_E_UM2 * pitch_um * pitch_um
}

/// White level at an ISO, e⁻: the full well of base ISO divided by the ISO's ratio to it.
///
/// ```text
/// well 50 000, ISO 1600  →  3125
/// ```
pub fn white_e(full_well_e: f64, iso: f64) -> f64 {
    full_well_e * BASE_ISO / iso.max(BASE_ISO)
}

/// Typical read noise at an ISO, e⁻.
///
/// ```text
/// ISO 100  →  5.6      ISO 1600  →  2.52
/// ```
pub fn typical_read_noise_e(iso: f64) -> f64 {
    READ_FLOOR_E.hypot(READ_AFTER_E * BASE_ISO / iso.max(1.0))
}

/// Read noise at an ISO, e⁻, from a body's own values: pairs of ISO and electrons, slowest first.
/// Interpolated linearly in stops, constant beyond the ends; the typical value without any.
pub fn read_noise_e(own: &[(f64, f64)], iso: f64) -> f64 {
    let (Some(first), Some(last)) = (own.first(), own.last()) else {
        return typical_read_noise_e(iso);
    };
    let after = own.iter().position(|(own_iso, _)| *own_iso > iso);
    match after {
        Some(0) => first.1,
        None => last.1,
        Some(place) => {
            let ((iso0, e0), (iso1, e1)) = (own[place - 1], own[place]);
            let stops = |to: f64| (to / iso0).ln() / LN_2;
            e0 + (e1 - e0) * stops(iso) / stops(iso1)
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn typical_values_are_the_worked_ones() {
        assert!((full_well_e(6.0) - 50_000.0).abs() < 1e-6);
        assert_eq!(white_e(50_000.0, 1600.0), 3125.0);
        assert_eq!(white_e(50_000.0, 50.0), 50_000.0);
        for (iso, want) in [
            (100.0, 5.590),
            (400.0, 2.795),
            (1600.0, 2.519),
            (25_600.0, 2.5),
        ] {
            let got = typical_read_noise_e(iso);
            assert!((got - want).abs() < 1e-3, "ISO {iso}: {got}, want {want}");
        }
    }

    #[test]
    fn own_values_come_first() {
        let own = [(400.0, 4.0), (1600.0, 2.0), (6400.0, 1.5)];
        let table = [
            (100.0, 4.0),
            (400.0, 4.0),
            (800.0, 3.0),
            (1600.0, 2.0),
            (3200.0, 1.75),
            (6400.0, 1.5),
            (25_600.0, 1.5),
        ];
        for (iso, want) in table {
            let got = read_noise_e(&own, iso);
            assert!((got - want).abs() < 1e-9, "ISO {iso}: {got}, want {want}");
        }
        assert_eq!(read_noise_e(&own[..1], 5000.0), 4.0);
        assert_eq!(read_noise_e(&[], 1600.0), typical_read_noise_e(1600.0));
    }
}
