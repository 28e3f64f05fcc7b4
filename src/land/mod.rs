//! The land: the skyline seen from the site, what it is measured from, and where
//! a compass points.

pub mod declination;
pub mod ridge;
pub mod sighting;
pub mod table;
mod wmm2025;
