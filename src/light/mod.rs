//! Brightness of the night sky and response of a sensor: extinction, Moon, twilight, electrons,
//! noise, ISO.
//!
//! Inputs are angles; positions of Sun and Moon are computed elsewhere. Valid for a clear sky in
//! the V band, which is close to the response of the eye and of green pixels, without artificial
//! light.

pub mod air;
pub mod bortle;
pub mod brightness;
pub mod detector;
pub mod exposure;
pub mod illuminance;
mod invented_cloud;
pub mod moonlight;
pub mod noise;
pub mod photons;
pub mod sample_image;
pub mod scattering;
pub mod tracking;
pub mod tracking_residual;
pub mod twilight;
pub mod visibility_limit;
pub mod weight;
