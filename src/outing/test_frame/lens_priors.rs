//! What is known of sensor and lens before a frame is solved: from its file, else from the kit in use.

use super::report::FramePriors;
use crate::astrometry::decode::FrameFacts;

/// A picture is a whole one of a sensor when their shapes agree to this share.
const SAME_SHAPE: f64 = 0.03;

/// The size of a sensor by the file (good to 3 %) and the kit's are the same within this share.
pub const SAME_SIZE: f64 = 0.06;

/// Lenses are marked with their focal length to a few per cent; what differs by more than this
/// share is another sensor or another lens.
pub const MARKED_TO: f64 = 0.12;

/// What is known of sensor and lens before a frame is solved.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct LensPriors {
    /// Longer and shorter side of the sensor, mm.
    pub sensor_mm: Option<(f64, f64)>,
    /// Whether that is the kit's.
    pub is_kits: bool,
    /// Focal length as marked, mm.
    pub focal_mm: Option<f64>,
}

impl LensPriors {
    /// Of a picture this large.
    pub fn new(facts: &FrameFacts, priors: &FramePriors, size_px: (usize, usize)) -> Self {
        let shape = |(one, other): (f64, f64)| one.max(other) / one.min(other);
        let picture = shape((size_px.0 as f64, size_px.1 as f64));
        let whole = |size_mm: &(f64, f64)| (shape(*size_mm) / picture - 1.0).abs() < SAME_SHAPE;
        let long = |(one, other): (f64, f64)| one.max(other);
        let file = facts.photo.size_mm;
        let agrees =
            |file: (f64, f64)| (long(priors.sensor_mm) / long(file) - 1.0).abs() < SAME_SIZE;
        let is_kits = whole(&priors.sensor_mm) && file.is_none_or(agrees);
        let kits = is_kits.then_some(priors.sensor_mm);
        let marked = facts.photo.focal_mm;
        Self {
            sensor_mm: kits.or(file.filter(whole)),
            is_kits,
            focal_mm: marked.or(is_kits.then_some(priors.focal_mm)),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::photo::PhotoFacts;
    use crate::outing::test_frame::measured::tests::FULL_FRAME;

    fn of(
        size_mm: Option<(f64, f64)>,
        focal_mm: Option<f64>,
        size_px: (usize, usize),
    ) -> LensPriors {
        let facts = FrameFacts {
            photo: PhotoFacts {
                size_mm,
                focal_mm,
                ..PhotoFacts::default()
            },
            ..FrameFacts::default()
        };
        LensPriors::new(&facts, &FULL_FRAME, size_px)
    }

    /// The kit's sensor is taken for whole pictures of its shape that no file contradicts.
    #[test]
    fn the_kit_is_believed_where_nothing_speaks_against_it() {
        let kits = Some((36.0, 24.0));
        let table = [
            // file: size, focal length; picture; sensor, kit's, focal length
            (None, None, (6000, 4000), kits, true, Some(20.0)),
            (None, Some(24.0), (4000, 6000), kits, true, Some(24.0)),
            (
                Some((35.6, 23.7)),
                None,
                (6000, 4000),
                kits,
                true,
                Some(20.0),
            ),
            (
                Some((23.5, 15.6)),
                Some(16.0),
                (6000, 4000),
                Some((23.5, 15.6)),
                false,
                Some(16.0),
            ),
            // cut out of a frame: no sensor is of that size
            (
                Some((36.0, 24.0)),
                Some(8.0),
                (2832, 2832),
                None,
                false,
                Some(8.0),
            ),
        ];
        for (size_mm, focal_mm, size_px, sensor_mm, is_kits, want_mm) in table {
            let want = LensPriors {
                sensor_mm,
                is_kits,
                focal_mm: want_mm,
            };
            assert_eq!(
                of(size_mm, focal_mm, size_px),
                want,
                "{size_mm:?} {size_px:?}"
            );
        }
    }
}
