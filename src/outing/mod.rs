//! The outing: everything the photographer has chosen, and the results.
//!
//! [`plan`] has the inputs, [`document`] what is stored with them; [`exposure`], [`night`],
//! [`framing`], [`ground`] and [`field`] the results; [`share`] the written form; [`gazetteer`] finds towns by
//! name; [`test_frame`] what a picture of the sky says of it; [`messages`] are those between the page
//! and its worker.

pub mod document;
pub mod exposure;
pub mod field;
pub mod framing;
pub mod gazetteer;
pub mod ground;
pub mod messages;
pub mod night;
pub mod plan;
pub mod share;
pub mod sky_picture;
pub mod test_frame;
