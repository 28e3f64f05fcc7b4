//! Which of the saved kits took a picture, by what its file says.

use super::lens_priors::{MARKED_TO, SAME_SIZE};
use super::report::CameraNotes;
use crate::outing::plan::kit::Kit;

/// The place of the kit to which the focal length in a picture's file, and the size of the sensor where
/// that is there, point; `None` where the kit in use is as good, the file says nothing, or no kit fits.
///
/// Of several the one whose focal length is nearest.
pub fn suggested(notes: &CameraNotes, kits: &[Kit], in_use: &Kit) -> Option<usize> {
    let marked_mm = notes.focal_mm?;
    let off = |kit: &Kit| (kit.lens.focal_mm / marked_mm - 1.0).abs();
    let fits = |kit: &Kit| {
        let longer_mm = kit.sensor.width_mm.max(kit.sensor.height_mm);
        let size = |(one, other): (f64, f64)| (longer_mm / one.max(other) - 1.0).abs() < SAME_SIZE;
        off(kit) < MARKED_TO && notes.sensor_mm.is_none_or(size)
    };
    if fits(in_use) {
        return None;
    }
    let fitting = kits.iter().enumerate().filter(|(_, kit)| fits(kit));
    let nearest = fitting.min_by(|(_, one), (_, other)| off(one).total_cmp(&off(other)));
    nearest.map(|(place, _)| place)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::sensor::FORMATS;

    fn kit(focal_mm: f64, format: usize) -> Kit {
        let mut kit = Kit {
            sensor: FORMATS[format].sensor(24.0),
            ..Kit::default()
        };
        kit.lens.focal_mm = focal_mm;
        kit
    }

    #[test]
    fn the_file_points_to_a_kit_where_the_one_in_use_does_not_fit() {
        let kits = [kit(24.0, 1), kit(13.8, 1), kit(14.0, 2)];
        let table = [
            // in use, mm; marked, mm; sensor by the file; suggested
            (20.0, Some(14.0), None, Some(2)),
            (20.0, Some(14.0), Some((35.8, 23.9)), Some(1)),
            (20.0, Some(24.0), Some((35.8, 23.9)), Some(0)),
            (14.5, Some(14.0), None, None),
            (20.0, Some(50.0), None, None),
            (20.0, None, Some((23.5, 15.6)), None),
            (20.0, Some(f64::NAN), None, None),
        ];
        for (in_use_mm, focal_mm, sensor_mm, want) in table {
            let notes = CameraNotes {
                focal_mm,
                sensor_mm,
                ..CameraNotes::default()
            };
            let got = suggested(&notes, &kits, &kit(in_use_mm, 1));
            assert_eq!(got, want, "{in_use_mm} {focal_mm:?} {sensor_mm:?}");
        }
    }
}
