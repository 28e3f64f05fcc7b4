//! Positions in the sky.
//!
//! [`positions`] computes core, Sun and Moon at a [`moment`] with the IAU's routines; an
//! [`almanac`] interpolates Sun, Moon and a [`subject`] over a period; an [`observer`] converts them to a site;
//! [`crossings`] finds when an altitude is crossed, and a [`night`] has all of it from one noon to
//! the next; [`tonight`] gives the date of the current or coming night. The [`stars`] and the glow
//! of the [`galaxy`] are fixed; [`celestial_to_horizontal`] converts them to a site.

pub mod almanac;
pub mod altitude;
pub mod celestial_to_horizontal;
pub mod chebyshev;
pub mod crossings;
pub mod galactic_core;
pub mod galaxy;
pub mod milky_way;
pub mod moment;
pub mod night;
pub mod observer;
pub mod positions;
pub mod sidereal;
pub mod spans;
pub mod stars;
pub mod subject;
pub mod targets;
mod targets_table;
pub mod tonight;
