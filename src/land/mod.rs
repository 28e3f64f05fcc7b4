//! The land: the skyline of a site, its sources, and magnetic declination.

pub mod declination;
pub mod error;
pub mod geodesic;
pub mod geotiff;
mod height_grid;
pub mod hgt;
mod horizon_scan;
pub mod ridge;
pub mod sighting;
pub mod skyline;
pub mod survey;
pub mod table;
pub mod terrain;
pub mod tile;
pub mod tile_layout;
mod wmm2025;
