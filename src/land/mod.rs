//! The land: the skyline of a site, its sources, and magnetic declination.

pub mod declination;
pub mod error;
pub mod geotiff;
pub mod hgt;
pub mod place;
pub mod ridge;
pub mod sighting;
pub mod skyline;
pub mod survey;
pub mod table;
pub mod terrain;
pub mod tile;
mod walk;
mod wmm2025;
