//! Pictures of the night sky taken by the photographer: what they show, measured.
//!
//! A file is decoded to linear luminance ([`decode`]) and its stars are detected ([`star_list`],
//! by [`StarList::detect`](star_list::StarList::detect)).

mod background;
pub mod decode;
mod detection;
pub mod knock;
pub mod measure;
pub mod picture;
pub mod skyline;
mod smoothing;
pub mod star_list;
pub mod strokes;
