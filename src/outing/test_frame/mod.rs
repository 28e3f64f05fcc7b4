//! A test frame: a picture of the night sky that the photographer took, measured, and what of it
//! the outing can use.
//!
//! The worker measures ([`measured`], [`clock_code`]) and sends a [`report`]; the page only shows
//! it and takes from it what is [offered](offers).

pub mod border;
pub mod clock_code;
pub mod clock_time;
pub mod kit_choice;
pub mod lens_priors;
pub mod measured;
pub mod measured_stars;
pub mod offers;
pub mod report;
pub mod star_crop;
pub mod zone_preview;
pub mod zone_stars;
