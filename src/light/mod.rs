//! How bright the night sky is, and what a sensor makes of it: what the air takes
//! away, what Moon and twilight add, electrons, noise, ISO.
//!
//! Everything here takes angles and gives light; where Sun and Moon stand is
//! for others to say. All of it holds for a clear sky in the V band, which is
//! close to what the eye and the green pixels of a camera see, and leaves out
//! lamps on the ground.

pub mod air;
pub mod bortle;
pub mod brightness;
pub mod detector;
pub mod exposure;
pub mod moonlight;
pub mod noise;
pub mod patch;
pub mod photons;
pub mod quality;
pub mod scattering;
pub mod tracking;
pub mod tracking_residual;
pub mod twilight;
pub mod veil;
