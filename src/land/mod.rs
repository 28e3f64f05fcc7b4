//! The land: how high a far ridge stands, and where a compass points.

pub mod declination;
pub mod sighting;
mod wmm2025;
