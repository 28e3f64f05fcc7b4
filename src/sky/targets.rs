//! Well-known targets of the summer Milky Way: positions and sizes.

use crate::angle::Angle;
use crate::sky::galactic_core::{CORE_DECLINATION, CORE_RIGHT_ASCENSION};
pub use crate::sky::targets_table::CATALOGUED;

/// Arcminutes in a degree.
const ARCMIN: f64 = 60.0;

/// A target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Target {
    /// Common name.
    pub name: &'static str,
    /// Its number in a catalogue.
    pub number: &'static str,
    /// Right ascension of its centre, ICRS, to 0.01°.
    pub right_ascension: Angle,
    /// Declination of its centre, ICRS, to 0.01°.
    pub declination: Angle,
    /// Long axis on the sky.
    pub long: Angle,
    /// Short axis.
    pub short: Angle,
}

/// The core and the bright clouds about it, as in a wide picture: 25° by 15° (from memory; the
/// bulge in front of which the dark rift runs).
pub const CORE: Target = Target {
    name: "The core",
    number: "galactic centre",
    right_ascension: CORE_RIGHT_ASCENSION,
    declination: CORE_DECLINATION,
    long: Angle::from_degrees(25.0),
    short: Angle::from_degrees(15.0),
};

/// All of them, largest first.
pub fn all() -> impl Iterator<Item = Target> {
    std::iter::once(CORE).chain(CATALOGUED)
}

/// A row of the table: degrees, then arcminutes.
pub(super) const fn row(
    name: &'static str,
    number: &'static str,
    (ra_deg, dec_deg): (f64, f64),
    (long, short): (f64, f64),
) -> Target {
    Target {
        name,
        number,
        right_ascension: Angle::from_degrees(ra_deg),
        declination: Angle::from_degrees(dec_deg),
        long: Angle::from_degrees(long / ARCMIN),
        short: Angle::from_degrees(short / ARCMIN),
    }
}
