//! Where things stand in the sky.

pub mod core;
