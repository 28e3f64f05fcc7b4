//! The outing: everything the photographer has chosen, and what follows.
//!
//! [`plan`] holds the inputs, [`document`] what is kept with them; [`exposure`], [`night`], [`framing`] and [`field`] what follows
//! from them; [`share`] the written form; [`gazetteer`] finds towns by name; [`messages`] is the
//! language between the page and its worker.

pub mod document;
pub mod exposure;
pub mod field;
pub mod framing;
pub mod gazetteer;
pub mod messages;
pub mod night;
pub mod plan;
pub mod share;
