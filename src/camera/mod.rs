//! The camera under the rotating sky.
//!
//! A [`sensor::Sensor`] behind a [`lens::Lens`] is pointed by a [`frame::Frame`]; with the latitude
//! they make a [`view::View`], which computes where every star is imaged and how fast it drifts.

pub mod clean_time;
pub mod contours;
pub mod coverage;
pub mod dial;
pub mod distortion;
pub mod drift;
pub mod drift_map;
pub mod f_number;
pub mod falloff;
pub mod fastest;
pub mod focus;
pub mod frame;
pub mod framing;
pub mod lens;
pub mod photo;
mod pixel_grid;
pub mod point_spread;
pub mod rules;
pub mod sensor;
pub mod sharp_pool;
pub mod sharpness;
pub mod star_image;
pub mod view;
