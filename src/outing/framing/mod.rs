//! Where the camera points, and what the sensor sees there: the scene, the arch of the Milky
//! Way, panoramas.

pub mod arch;
pub mod panorama;
pub mod scene;
