//! What a photo says of the kit, taken over and told.

use crate::camera::photo::PhotoFacts;
use crate::outing::plan::bounds;
use crate::outing::plan::kit::Kit;

/// A kit with what a photo says of it, and a sentence that tells which.
pub fn kit_from_photo(kit: &Kit, facts: PhotoFacts) -> (Kit, String) {
    let mut kit = kit.clone();
    let mut message = Vec::new();
    let mut open = Vec::new();
    let sensor = facts.sensor().filter(|sensor| {
        bounds::SENSOR_MM.check(sensor.width_mm).is_ok()
            && bounds::SENSOR_MM.check(sensor.height_mm).is_ok()
            && bounds::SIDE_PX.check(sensor.pixels_down.into()).is_ok()
            && bounds::SIDE_PX.check(sensor.pixels_across.into()).is_ok()
    });
    match sensor {
        Some(sensor) => {
            kit = kit.with_sensor(sensor);
            message.push("sensor");
        }
        None => open.push("sensor"),
    }
    match facts
        .focal_mm
        .and_then(|mm| bounds::FOCAL_MM.check(mm).ok())
    {
        Some(focal_mm) => {
            kit.lens = kit.lens.with_focal_mm(focal_mm);
            message.push("focal length");
        }
        None => open.push("focal length"),
    }
    match facts
        .f_number
        .and_then(|number| bounds::F_NUMBER.check(number).ok())
    {
        Some(f_number) => {
            kit.lens.f_number = f_number;
            message.push("f-number");
        }
        None => open.push("f-number"),
    }
    let mut sentence = format!("Read from the photo: {}.", message.join(", "));
    if message.is_empty() {
        sentence = "The photo says nothing of the camera that could be used.".to_owned();
    } else if !open.is_empty() {
        sentence += &format!(" It does not say: {}; type it.", open.join(", "));
    }
    (kit, sentence)
}
