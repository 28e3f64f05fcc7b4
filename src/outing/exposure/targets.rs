//! The targets and their focal lengths for a sensor.

use crate::camera::framing::filling_focal_mm;
use crate::camera::sensor::Sensor;
use crate::sky::targets::{Target, all};

/// Every target with the focal length that frames it, mm; largest target first.
pub fn framed_by(sensor: Sensor) -> impl Iterator<Item = (Target, f64)> {
    all().map(move |target| {
        let focal_mm = filling_focal_mm(sensor, target.long, target.short);
        (target, focal_mm)
    })
}
