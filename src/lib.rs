//! Tarnlight computes, on the phone, how long a shutter may stay open under the stars.
//!
//! The map of the crate. A module only uses modules above it in this list:
//!
//! - [`angle`], [`vector`] and [`decimal`]: angles and directions as types, and numbers as
//!   people type them;
//! - [`sky`]: positions of Sun, Moon, core and stars; crossings; nights;
//! - [`camera`]: sensor, lens, drift, rules of thumb, dial times, focus;
//! - [`light`]: brightness of the sky, detector noise, tracking errors;
//! - [`land`]: the skyline, what it is measured from, magnetic declination;
//! - [`astrometry`]: the stars in a picture, measured;
//! - [`outing`]: all inputs as one plain value, and what follows from it;
//! - [`browser`]: one file an interface of the browser;
//! - [`ui`]: state, screens, sheets, widgets and words.
//!
//! Everything above the last two compiles without web types and is tested on the desktop.

pub mod angle;
pub mod astrometry;
pub mod browser;
pub mod camera;
pub mod decimal;
pub mod land;
pub mod light;
mod listed;
pub mod outing;
pub mod sky;
mod tiff_values;
pub mod ui;
pub mod unit_hash;
pub mod vector;
