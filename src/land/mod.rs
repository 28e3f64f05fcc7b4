//! The land: the skyline seen from the site, and what it is measured from.

pub mod ridge;
pub mod table;
