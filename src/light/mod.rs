//! How bright the night sky is: what the air takes away, and what Moon and
//! twilight add.
//!
//! Everything here takes angles and gives light; where Sun and Moon stand is
//! for others to say. All of it holds for a clear sky in the V band, which is
//! close to what the eye and the green pixels of a camera see, and leaves out
//! lamps on the ground.

pub mod air;
pub mod brightness;
pub mod moonlight;
pub mod twilight;
pub mod veil;
