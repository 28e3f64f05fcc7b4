//! Where things stand in the sky.
//!
//! [`positions`] asks the IAU's routines where core, Sun and Moon are at a
//! [`moment`]; an [`almanac`] remembers that for a stretch of time; an
//! [`observer`] sees it from a site; [`crossings`] finds when a height is
//! crossed, and a [`night`] holds all of it from one noon to the next; which of
//! them is meant by [`tonight`] the Sun decides. The
//! [`stars`] and the glow of the [`galaxy`] stand still among themselves; a
//! [`celestial_to_horizontal`] tells where a site sees them.

pub mod almanac;
pub mod altitude;
pub mod celestial_to_horizontal;
pub mod chebyshev;
pub mod core;
pub mod crossings;
pub mod galaxy;
pub mod moment;
pub mod night;
pub mod observer;
pub mod positions;
pub mod sidereal;
pub mod spans;
pub mod stars;
pub mod targets;
mod targets_table;
pub mod tonight;
