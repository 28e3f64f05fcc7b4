//! Pictures of the night sky taken by the photographer: what they show, measured.
//!
//! A picture is decoded to linear luminance ([`picture`]) and its stars are detected
//! ([`star_list`]).

pub mod decode;
pub mod picture;
pub mod star_list;
