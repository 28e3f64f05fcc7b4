//! All words and all rounding of the page, by subject.

pub mod corner;
#[cfg(test)]
mod event_times;
pub mod exposure;
pub mod field_card;
pub mod frame_causes;
pub mod frame_offers;
pub mod framing;
pub mod ground;
pub mod kit;
pub mod night;
pub mod offline;
pub mod photo;
pub mod season;
pub mod share;
pub mod star_shape;
pub mod subject;
pub mod test_frame;
pub mod tracking;
pub mod units;
pub mod windows;
