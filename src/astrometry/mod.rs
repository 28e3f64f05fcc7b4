//! Pictures of the night sky taken by the photographer: what they show, measured.
//!
//! A file is decoded to linear luminance ([`decode`]) and its stars are detected ([`star_list`],
//! by [`StarList::detect`](star_list::StarList::detect)). They are identified ([`mod@identify`])
//! among those of the [`catalogue`].

mod background;
pub mod camera_fit;
pub mod catalogue;
pub mod cause;
pub mod chance;
pub mod decode;
mod detection;
pub mod detection_grid;
pub mod frame;
pub mod growth;
pub mod horizon;
pub mod identify;
pub mod knock;
pub mod matching;
pub mod measure;
pub mod pair_search;
pub mod picture;
pub mod predicted_stroke;
pub mod sky_camera;
pub mod skyline;
pub mod skyline_clock;
mod smoothing;
pub mod solution;
pub mod stage;
pub mod star_index;
pub mod star_list;
pub mod strokes;
pub mod tilt;
pub mod verdict;
