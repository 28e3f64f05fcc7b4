//! The core of the Milky Way: its position and its greatest altitude.
//!
//! "The core" is the direction of the galactic centre. It culminates on the meridian, at an
//! altitude that depends on the latitude alone. Precession moves its declination by about 0.01° in
//! the years this page will be used, which changes no shutter time.

use crate::angle::Angle;

/// Right ascension of the core, ICRS: 17h45m40.04s.
///
/// Source: M. J. Reid & A. Brunthaler, *ApJ* 616 (2004) 872, for Sgr A*.
pub const CORE_RIGHT_ASCENSION: Angle =
    Angle::from_degrees(15.0 * (17.0 + (45.0 + 40.04 / 60.0) / 60.0));

/// Declination of the core, ICRS: −29°00′28.1″.
///
/// Source: as for [`CORE_RIGHT_ASCENSION`].
pub const CORE_DECLINATION: Angle = Angle::from_dms(true, 29.0, 0.0, 28.1);

/// Upper culmination of a fixed declination.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Culmination {
    /// True altitude, −90° to +90°; negative when it never rises.
    pub altitude: Angle,
    /// True bearing: due south (180°) or due north (0°).
    pub bearing: Angle,
}

impl Culmination {
    /// The upper culmination of this declination at this latitude.
    ///
    /// Altitude is 90° − |φ − δ| (J. Meeus, *Astronomical Algorithms*, 2nd ed. 1998, ch. 15); exact
    /// for an undistorted sky. At the zenith the bearing is due south.
    ///
    /// ```text
    /// core from 36° N  →  24.99° high, due south
    /// ```
    pub fn new(declination: Angle, latitude: Angle) -> Self {
        let away = latitude.degrees() - declination.degrees();
        Self {
            altitude: Angle::from_degrees(90.0 - away.abs()),
            bearing: Angle::from_degrees(if away < 0.0 { 0.0 } else { 180.0 }),
        }
    }

    /// Whether it rises above the flat horizon.
    pub fn rises(self) -> bool {
        self.altitude > Angle::ZERO
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Highest altitudes of the core by 90° − |φ − δ|, computed independently with δ = −29.0078°,
    /// and the side of the sky it culminates on.
    const TABLE: [(f64, f64, f64); 6] = [
        // latitude °, highest °, bearing °
        (50.0, 10.992, 180.0),
        (40.0, 20.992, 180.0),
        (30.0, 30.992, 180.0),
        (0.0, 60.992, 180.0),
        (-33.0, 86.008, 0.0),
        (-90.0, 29.008, 0.0),
    ];

    #[test]
    fn agrees_with_the_worked_heights() {
        for (latitude, want, bearing) in TABLE {
            let got = Culmination::new(CORE_DECLINATION, Angle::from_degrees(latitude));
            let height = got.altitude.degrees();
            assert!(
                (height - want).abs() < 1e-3,
                "φ {latitude}: {height}, want {want}"
            );
            assert_eq!(got.bearing.degrees(), bearing, "φ {latitude}");
        }
    }

    /// Common knowledge: the core does not rise in Lapland.
    #[test]
    fn never_rises_in_the_far_north() {
        let rises =
            |latitude| Culmination::new(CORE_DECLINATION, Angle::from_degrees(latitude)).rises();
        assert!(rises(60.9), "just rises");
        assert!(!rises(61.0), "just does not");
        assert!(rises(-90.0), "always up at the south pole");
    }

    #[test]
    fn stands_where_the_catalogue_puts_it() {
        let ra = CORE_RIGHT_ASCENSION.degrees();
        assert!((ra - 266.416_833).abs() < 1e-6, "right ascension {ra}");
        let dec = CORE_DECLINATION.degrees();
        assert!((dec + 29.007_806).abs() < 1e-6, "declination {dec}");
    }
}
