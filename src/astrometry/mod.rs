//! Pictures of the night sky taken by the photographer: what they show, measured.
//!
//! A picture is decoded to linear luminance ([`picture`]) and its stars are detected
//! ([`star_list`]). They are identified ([`mod@identify`]) among those of the [`catalogue`].

pub mod camera_fit;
pub mod catalogue;
pub mod chance;
pub mod detection_grid;
pub mod identify;
pub mod matching;
pub mod pair_search;
pub mod picture;
pub mod sky_camera;
pub mod star_index;
pub mod star_list;
