//! Tarnlight works out, on the phone, how long a shutter may stay open under
//! the stars.
//!
//! The map of the crate; an arrow of use only ever points up this list,
//! except that [`page`] and [`device`] know each other:
//!
//! - [`angle`], [`vector`] and [`decimal`]: angles and directions as types, and
//!   numbers as people type them;
//! - [`sky`]: where things stand in the sky;
//! - [`camera`]: sensor, lens, drift, clean time, rules, dial, focus;
//! - [`light`]: how bright the sky is, what a sensor makes of it, and what a
//!   tracker buys;
//! - [`land`]: the skyline, what it is measured from, where a compass points;
//! - [`outing`]: all inputs in one plain value, and what follows from it;
//! - [`page`] and [`device`]: what people see, and the browser under it.
//!
//! Everything above the last line knows nothing of the web and is tested on
//! the desktop.

pub mod angle;
pub mod camera;
pub mod decimal;
pub mod device;
pub mod land;
pub mod light;
pub mod outing;
pub mod page;
pub mod sky;
pub mod vector;
