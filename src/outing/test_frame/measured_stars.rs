//! Stars of a measured frame, to stand beside those that How long? draws.
//!
//! They are comparable as long as sensor, lens and shutter are those of the frame and the sky moves
//! as fast over the picture: a prediction for another exposure says nothing of these stars. Nothing
//! else of the outing is asked, so that an aim or a night of which the stars move as fast does.

use super::report::{FrameReport, ZoneReport};
use crate::astrometry::verdict::Verdict;
use crate::camera::sensor::Sensor;
use crate::camera::star_image::StarImage;
use crate::camera::view::SensorPoint;
use crate::outing::exposure::Answer;
use crate::outing::plan::kit::Kit;

/// Focal lengths of one lens differ by less than this share: the mark and what was measured.
const SAME_LENS: f64 = 0.05;

/// Shutter times of one mark differ by less than this factor: a sixth of a stop, 2^(1/6).
const SAME_SHUTTER: f64 = 1.122_462;

/// Trails are predicted alike within this share, and this length, px of the sensor.
pub const SAME_TRAIL: f64 = 0.1;
const SAME_TRAIL_PX: f64 = 0.2;

/// A star stands for places up to this share of half the diagonal from it.
const NEAR_SHARE: f64 = 0.45;

/// A star of the frame.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredStar {
    /// Where the stars of its part of the picture are.
    place: SensorPoint,
    /// The trail that the turning sky drew there, px of the sensor.
    pub predicted_px: f64,
    /// What was measured there, in words.
    pub words: String,
    /// Its pixels.
    pub image: StarImage,
}

/// The stars of a frame.
#[derive(Debug, Clone, PartialEq)]
pub struct MeasuredStars {
    sensor: Sensor,
    focal_mm: f64,
    exposure_s: f64,
    /// Pixels of the sensor along one of the picture.
    pub pixel_ratio: f64,
    stars: Vec<MeasuredStar>,
}

impl MeasuredStars {
    /// Of a frame that shows all of the kit's sensor; `None` for any other, or where its stars are
    /// not identified. `words` tells what was measured, with the sensor's pixels along one of the
    /// picture.
    pub fn new(
        report: &FrameReport,
        kit: &Kit,
        words: impl Fn(&ZoneReport, f64) -> String,
    ) -> Option<Self> {
        // of a knocked frame a star has two images, of a tracked one no trail
        if matches!(report.verdict, Verdict::Knocked | Verdict::Tracked) {
            return None;
        }
        let lens = report.solution.ok()?.lens?;
        let (width, height) = report.size_px;
        let sensor = if height > width {
            kit.sensor.turned()
        } else {
            kit.sensor
        };
        let pixel_ratio = report.pixel_ratio(sensor);
        let pixel_mm = pixel_ratio * sensor.pitch_um() / 1000.0;
        let star = |zone: &ZoneReport| {
            let crop = zone.measured.as_ref()?.crop.as_ref()?;
            Some(MeasuredStar {
                place: SensorPoint {
                    x_mm: (f64::from(zone.at.0) - f64::from(width) / 2.0) * pixel_mm,
                    y_mm: (f64::from(height) / 2.0 - f64::from(zone.at.1)) * pixel_mm,
                },
                predicted_px: zone.predicted?.length_px * pixel_ratio,
                words: words(zone, pixel_ratio),
                image: crop.image(),
            })
        };
        let stars: Vec<_> = report.zones.iter().filter_map(star).collect();
        (!stars.is_empty()).then_some(Self {
            sensor,
            focal_mm: lens.focal_mm,
            exposure_s: report.notes.exposure_s?,
            pixel_ratio,
            stars,
        })
    }

    /// The star to be compared with one that is drawn for a place after a shutter time; `None` where
    /// there is none near, or it is not comparable.
    pub fn beside(
        &self,
        answer: &Answer,
        shutter_s: f64,
        point: SensorPoint,
    ) -> Option<&MeasuredStar> {
        let view = &answer.view;
        let alike = |one: f64, other: f64, share: f64| (one / other - 1.0).abs() < share;
        let longer = (shutter_s / self.exposure_s).max(self.exposure_s / shutter_s);
        if view.sensor != self.sensor
            || !alike(view.lens.focal_mm, self.focal_mm, SAME_LENS)
            // also where it is no number
            || !longer.le(&SAME_SHUTTER)
        {
            return None;
        }
        let away_mm = |star: &MeasuredStar| {
            let (x_mm, y_mm) = (star.place.x_mm - point.x_mm, star.place.y_mm - point.y_mm);
            x_mm.hypot(y_mm)
        };
        let nearest = self.stars.iter();
        let star = nearest.min_by(|one, other| away_mm(one).total_cmp(&away_mm(other)))?;
        let trail_px = answer.trail_px(star.place, self.exposure_s)?;
        let most_px = SAME_TRAIL * trail_px + SAME_TRAIL_PX;
        let near = away_mm(star) < NEAR_SHARE * view.sensor.diagonal_mm() / 2.0;
        (near && (trail_px - star.predicted_px).abs() < most_px).then_some(star)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::astrometry::solution::NoSolution;
    use crate::astrometry::strokes::Zone;
    use crate::camera::frame::Frame;
    use crate::camera::sensor::FORMATS;
    use crate::outing::plan::{Orientation, Outing};
    use crate::outing::test_frame::offers::tests::{good, zone};
    use crate::outing::test_frame::report::{StarCrop, Stroke};

    const EXPOSURE_S: f64 = 10.0;

    /// Held level and aimed at the south.
    fn outing() -> Outing {
        Outing {
            orientation: Orientation::Landscape,
            frame: Some(Frame {
                bearing: Angle::from_degrees(180.0),
                tilt: Angle::from_degrees(20.0),
                roll: Angle::ZERO,
            }),
            ..Outing::default()
        }
    }

    /// A frame of it, in a picture of half as many pixels, with stars in the middle and in the upper
    /// left corner.
    fn stars(outing: &Outing) -> MeasuredStars {
        stars_of(&report(outing), outing).expect("stars")
    }

    fn stars_of(report: &FrameReport, outing: &Outing) -> Option<MeasuredStars> {
        let words = |zone: &ZoneReport, _: f64| format!("{:?}", zone.zone);
        MeasuredStars::new(report, &outing.kit, words)
    }

    /// A frame with a star in the middle and at the top left, pictures among what was measured.
    fn report(outing: &Outing) -> FrameReport {
        let answer = Answer::compute(outing);
        let mut report = good();
        let sensor = outing.kit.sensor;
        report.size_px = (sensor.pixels_across / 2, sensor.pixels_down / 2);
        let (width, height) = (report.size_px.0 as f32, report.size_px.1 as f32);
        let places = [
            (Zone::Middle, (0.5 * width, 0.5 * height)),
            (Zone::TopLeft, (0.15 * width, 0.15 * height)),
        ];
        report.zones = places
            .into_iter()
            .map(|(part, at)| {
                let mut zone = zone(part, 3.0, 2.0);
                let pixel_mm = sensor.width_mm / f64::from(width);
                let point = SensorPoint {
                    x_mm: f64::from(at.0 - width / 2.0) * pixel_mm,
                    y_mm: f64::from(height / 2.0 - at.1) * pixel_mm,
                };
                let trail_px = answer.trail_px(point, EXPOSURE_S).expect("a trail");
                zone.at = at;
                zone.predicted = Some(Stroke {
                    length_px: trail_px / 2.0,
                    angle: Angle::ZERO,
                });
                if let Some(stars) = &mut zone.measured {
                    stars.crop = Some(StarCrop {
                        side: 1,
                        light: vec![255],
                    });
                }
                zone
            })
            .collect();
        report
    }

    fn beside(stars: &MeasuredStars, outing: &Outing, shutter_s: f64, x: f64, y: f64) -> String {
        let answer = Answer::compute(outing);
        let sensor = answer.view.sensor;
        let point = SensorPoint {
            x_mm: x * sensor.width_mm / 2.0,
            y_mm: y * sensor.height_mm / 2.0,
        };
        let star = stars.beside(&answer, shutter_s, point);
        star.map(|star| star.words.clone()).unwrap_or_default()
    }

    #[test]
    fn each_place_has_the_star_of_its_part_of_the_picture() {
        let outing = outing();
        let stars = stars(&outing);
        assert!((stars.pixel_ratio - 2.0).abs() < 1e-12);
        for (x, y, want) in [
            (0.0, 0.0, "Middle"),
            (0.3, 0.2, "Middle"),
            (-1.0, 1.0, "TopLeft"),
            // no star was cut out there
            (1.0, 1.0, ""),
            (-1.0, -1.0, ""),
        ] {
            assert_eq!(beside(&stars, &outing, EXPOSURE_S, x, y), want, "{x} {y}");
        }
    }

    #[test]
    fn it_goes_when_lens_sensor_shutter_or_aim_are_no_longer_the_frames() {
        let at_first = outing();
        let stars = stars(&at_first);
        let shown =
            |outing: &Outing, shutter_s| !beside(&stars, outing, shutter_s, 0.0, 0.0).is_empty();
        // the setting of the same mark, and those beside it
        assert!(shown(&at_first, 2_f64.powf(10.0 / 3.0)));
        assert!(!shown(&at_first, 12.7) && !shown(&at_first, 8.0) && !shown(&at_first, f64::NAN));
        let with = |change: fn(&mut Outing)| {
            let mut outing = outing();
            change(&mut outing);
            shown(&outing, EXPOSURE_S)
        };
        assert!(with(|outing| outing.f_number = 8.0));
        assert!(with(|outing| outing.kit.lens.focal_mm = 20.31));
        assert!(!with(|outing| outing.kit.lens.focal_mm = 24.0));
        assert!(!with(|outing| outing.kit.sensor = FORMATS[2].sensor(24.0)));
        assert!(!with(|outing| outing.orientation = Orientation::Portrait));
        // near the pole stars hardly move
        assert!(!with(|outing| {
            outing.frame = Some(Frame {
                bearing: Angle::ZERO,
                tilt: Angle::from_degrees(40.0),
                roll: Angle::ZERO,
            });
        }));
    }

    #[test]
    fn what_cannot_be_compared_has_no_stars() {
        let outing = outing();
        let with = |change: fn(&mut FrameReport)| {
            let mut report = report(&outing);
            change(&mut report);
            stars_of(&report, &outing)
        };
        assert!(with(|_| ()).is_some());
        assert_eq!(
            with(|report| report.solution = Err(NoSolution::NotIdentified)),
            None
        );
        // a lens that is not of the sensor in use is none
        let of_other_sensor = |report: &mut FrameReport| {
            if let Ok(solution) = &mut report.solution {
                solution.lens = None;
            }
        };
        assert_eq!(with(of_other_sensor), None);
        assert_eq!(with(|report| report.verdict = Verdict::Knocked), None);
        let without_pictures = |report: &mut FrameReport| {
            let measured = report
                .zones
                .iter_mut()
                .filter_map(|zone| zone.measured.as_mut());
            measured.for_each(|stars| stars.crop = None);
        };
        assert_eq!(with(without_pictures), None);
    }
}
