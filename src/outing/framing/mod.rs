//! The scene in the frame, the arch of the Milky Way, panoramas.

pub mod arch;
pub mod panorama;
pub mod scene;
