//! The four screens, one folder a question.

pub mod exposure;
pub mod framing;
pub mod night;
pub mod tracking;
