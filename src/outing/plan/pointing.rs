//! Where the camera points.
//!
//! The chosen frame, if any. Otherwise the one of [`default_frame`] about the subject: at the
//! selected minute, if there is one and the subject is up then; otherwise at its culmination. Where
//! the subject never rises the frame is that about the celestial equator on the meridian: the part
//! of the sky that drifts fastest and is up everywhere but at the poles.

use crate::angle::Angle;
use crate::camera::frame::Frame;
use crate::camera::view::SensorPoint;
use crate::outing::plan::default_frame::{Composition, band_lean, default_frame};
use crate::outing::plan::{NIGHT_MIN, Outing};
use crate::sky::celestial_to_horizontal::horizontal;
use crate::sky::galactic_core::Culmination;
use crate::sky::night::noon;
use crate::sky::observer::Observer;
use crate::sky::subject::Subject;
use crate::vector::Vector;

/// The target of a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum AimTarget {
    /// The outing's subject.
    Subject(Subject),
    /// The celestial equator, because the subject never rises here.
    Equator,
}

impl AimTarget {
    /// What a camera is pointed at from a latitude: the subject, where it rises.
    pub fn new(subject: Subject, latitude: Angle) -> Self {
        if Culmination::new(subject.declination(), latitude).rises() {
            Self::Subject(subject)
        } else {
            Self::Equator
        }
    }

    /// Its declination.
    pub const fn declination(self) -> Angle {
        match self {
            Self::Subject(subject) => subject.declination(),
            Self::Equator => Angle::ZERO,
        }
    }
}

/// A frame and its target.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Pointing {
    /// Where the camera points.
    pub frame: Frame,
    /// The target.
    pub target: AimTarget,
    /// The target's culmination.
    pub highest: Culmination,
    /// Whether the target's position is that of the selected minute.
    pub at_minute: bool,
    /// Whether the frame was chosen.
    pub framed: bool,
    /// The target's true bearing and altitude.
    pub target_position: (Angle, Angle),
}

impl Pointing {
    /// The pointing of an outing.
    pub fn new(outing: &Outing) -> Self {
        let aim = Self::at_target(outing);
        match outing.frame {
            Some(frame) => Self {
                frame,
                framed: true,
                ..aim
            },
            None => Self {
                frame: aim.default_frame(outing),
                ..aim
            },
        }
    }

    /// The proposed frame about the target.
    fn default_frame(&self, outing: &Outing) -> Frame {
        let (bearing, altitude) = self.target_position;
        let latitude = outing.site.latitude;
        let lean = match self.target {
            AimTarget::Subject(subject) => {
                let there = Vector::from_bearing(bearing, altitude);
                let band = subject.band_position_angle();
                band.map_or(Angle::ZERO, |band| band_lean(there, latitude, band))
            }
            AimTarget::Equator => Angle::ZERO,
        };
        let target = Composition {
            bearing,
            altitude,
            skyline: outing.site.ridge.height(bearing),
            lean,
        };
        let view = outing.view_of(self.frame);
        default_frame(&view, |frame| outing.view_of(frame), target)
    }

    /// True bearing and altitude of what is exposed for: the middle of a chosen frame, otherwise
    /// the target, which is not in the middle of its frame.
    pub const fn exposed_for(&self) -> (Angle, Angle) {
        if self.framed {
            (self.frame.bearing, self.frame.tilt)
        } else {
            self.target_position
        }
    }

    /// The frame that images a true bearing and altitude at a point of the sensor, without roll.
    ///
    /// For a point without an image, or an impossible altitude, the nearest the search reaches.
    pub fn frame_with(
        outing: &Outing,
        (bearing, altitude): (Angle, Angle),
        point: SensorPoint,
    ) -> Frame {
        const ROUNDS: usize = 30;
        let mut frame = Frame {
            bearing,
            tilt: altitude,
            roll: Angle::ZERO,
        };
        for _ in 0..ROUNDS {
            let view = outing.view_of(frame);
            let Some(seen) = view.direction_at(point) else {
                break;
            };
            let found = horizontal(view.to_enu(seen));
            let turn_deg = bearing.degrees() - found.bearing.degrees() + 540.0;
            let turn_deg = turn_deg.rem_euclid(360.0) - 180.0;
            let lift_deg = altitude.degrees() - found.altitude.0.degrees();
            let tilt_deg = (frame.tilt.degrees() + lift_deg).clamp(-90.0, 90.0);
            frame.bearing =
                Angle::from_degrees((frame.bearing.degrees() + turn_deg).rem_euclid(360.0));
            frame.tilt = Angle::from_degrees(tilt_deg);
            if turn_deg.hypot(lift_deg) < 1e-7 {
                break;
            }
        }
        frame
    }

    /// The target in the middle of the frame.
    fn at_target(outing: &Outing) -> Self {
        let highest = Self::at(outing.subject, outing.site.latitude);
        let chosen = outing.night.zip(outing.minute);
        let (AimTarget::Subject(subject), Some((date, minute))) = (highest.target, chosen) else {
            return highest;
        };
        let start = noon(date, outing.site.longitude);
        let moment = start.plus_days(f64::from(minute) / f64::from(NIGHT_MIN));
        let observer = Observer::at(outing.site.on_earth());
        let there = observer.star_horizontal(subject.direction(), moment);
        if there.altitude.0 <= Angle::ZERO {
            return highest;
        }
        Self {
            frame: Frame {
                bearing: there.bearing,
                tilt: there.altitude.0,
                roll: Angle::ZERO,
            },
            at_minute: true,
            target_position: (there.bearing, there.altitude.0),
            ..highest
        }
    }

    /// The target of a latitude at its culmination, in the middle of the frame.
    ///
    /// ```text
    /// core, 36° N  →  the core, due south, 25.0° high
    /// core, 65° N  →  the celestial equator, due south, 25.0° high
    /// ```
    pub fn at(subject: Subject, latitude: Angle) -> Self {
        let target = AimTarget::new(subject, latitude);
        let highest = Culmination::new(target.declination(), latitude);
        Self {
            frame: Frame {
                bearing: highest.bearing,
                tilt: highest.altitude,
                roll: Angle::ZERO,
            },
            target,
            highest,
            at_minute: false,
            framed: false,
            target_position: (highest.bearing, highest.altitude),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A night computed with the IAU's routines (ERFA), to the minute: from 36° N 112° W on
    /// 2025-06-21 at 03:59 UT the core is 10° up at bearing 137.5°.
    #[test]
    fn points_where_the_core_is_at_the_minute() {
        let mut outing = Outing::default();
        outing.site.latitude = Angle::from_degrees(36.0);
        outing.site.longitude = Angle::from_degrees(-112.0);
        outing.night = chrono::NaiveDate::from_ymd_opt(2025, 6, 20);
        // noon there is at 19:28 UT
        outing.minute = Some(8 * 60 + 31);
        let aim = Pointing::new(&outing);
        assert!(aim.at_minute);
        let (bearing, altitude) = aim.target_position;
        let (tilt, bearing) = (altitude.degrees(), bearing.degrees());
        assert!(
            outing
                .view()
                .place_of(aim.target_position.0, altitude)
                .is_some()
        );
        assert!((tilt - 10.0).abs() < 0.1, "{tilt}");
        assert!((bearing - 137.5).abs() < 0.1, "{bearing}");
        // at noon it is down, and its culmination is used
        outing.minute = Some(0);
        assert!(!Pointing::new(&outing).at_minute);
    }

    /// The proposed frame of every outing contains its target and a piece of sky above it, and with
    /// a lens wide enough the skyline below; fisheyes and bent lines too.
    #[test]
    fn the_proposed_frame_holds_the_target_everywhere() {
        use crate::camera::lens::Projection;
        use crate::land::ridge::RidgeLine;
        use crate::outing::plan::Orientation;
        let lenses = [
            (Projection::Rectilinear, 0.0),
            (Projection::Rectilinear, -0.08),
            (Projection::Equisolid, 0.0),
        ];
        let mut outing = Outing::default();
        for latitude in (-60..=70).step_by(5) {
            outing.site.latitude = Angle::from_degrees(f64::from(latitude));
            for (projection, k1) in lenses {
                outing.kit.lens.projection = projection;
                outing.kit.lens.distortion.k1 = k1;
                for focal_mm in [10.0, 14.0, 20.0, 35.0, 85.0, 200.0] {
                    outing.kit.lens.focal_mm = focal_mm;
                    for ridge in [0.0, 5.0, 20.0] {
                        let level = Angle::from_degrees(ridge);
                        outing.site.ridge = RidgeLine::level(level);
                        for orientation in [Orientation::Landscape, Orientation::Portrait] {
                            outing.orientation = orientation;
                            let aim = outing.pointing();
                            let what = format!(
                                "{latitude} {projection:?} {k1} {focal_mm} {ridge} {aim:?}"
                            );
                            let view = outing.view();
                            let (bearing, altitude) = aim.target_position;
                            assert!(view.place_of(bearing, altitude).is_some(), "{what}");
                            assert!(aim.frame.tilt >= Angle::ZERO, "{what}");
                            // 14 mm and wider hold 75° along their shorter side, but for the room
                            let above = altitude.degrees() - ridge;
                            let wide = focal_mm <= 14.0 && (0.0..70.0).contains(&above);
                            let skyline = view.place_of(aim.frame.bearing, level);
                            assert!(!wide || skyline.is_some(), "{what}");
                        }
                    }
                }
            }
        }
    }

    #[test]
    fn the_core_can_be_put_on_a_third() {
        let mut outing = Outing::default();
        let projections = crate::camera::lens::Projection::ALL;
        let lenses = projections.map(|projection| [0.0, -0.1].map(|k1| (projection, k1)));
        for (projection, k1) in lenses.into_iter().flatten() {
            outing.kit.lens.projection = projection;
            outing.kit.lens.distortion.k1 = k1;
            for (x, y) in [(-6.0, 4.0), (6.0, -4.0), (0.0, 0.0)] {
                for altitude in [0.0, 25.0, 60.0] {
                    let target = (Angle::from_degrees(3.0), Angle::from_degrees(altitude));
                    let point = SensorPoint { x_mm: x, y_mm: y };
                    let frame = Pointing::frame_with(&outing, target, point);
                    let place = outing.view_of(frame).place_of(target.0, target.1);
                    let place = place.expect("in the frame");
                    let miss = (place.x_mm - x).hypot(place.y_mm - y);
                    assert!(miss < 1e-3, "{projection:?} {k1} {x} {altitude}: {miss} mm");
                    assert_eq!(frame.roll, Angle::ZERO);
                }
            }
        }
    }

    /// Culminations by 90° − |φ − δ|, worked by hand, at the zenith's either side too.
    #[test]
    fn points_at_other_subjects_where_they_rise() {
        let up = AimTarget::Subject;
        for (subject, latitude, target, bearing, tilt) in [
            (
                Subject::SummerBand,
                46.5,
                up(Subject::SummerBand),
                180.0,
                80.67,
            ),
            (
                Subject::SummerBand,
                36.0,
                up(Subject::SummerBand),
                0.0,
                88.83,
            ),
            (
                Subject::SouthernBand,
                -33.0,
                up(Subject::SouthernBand),
                180.0,
                62.38,
            ),
            (
                Subject::MagellanicCloud,
                -90.0,
                up(Subject::MagellanicCloud),
                0.0,
                69.76,
            ),
            (
                Subject::MagellanicCloud,
                46.5,
                AimTarget::Equator,
                180.0,
                43.5,
            ),
            (Subject::WinterBand, -80.0, AimTarget::Equator, 0.0, 10.0),
        ] {
            let mut outing = Outing {
                subject,
                ..Outing::default()
            };
            outing.site.latitude = Angle::from_degrees(latitude);
            let aim = Pointing::new(&outing);
            let case = format!("{subject:?}, {latitude}°: {aim:?}");
            assert_eq!(aim.target, target, "{case}");
            let middle = Pointing::at(subject, outing.site.latitude).frame;
            assert_eq!(middle.bearing.degrees(), bearing, "{case}");
            assert!((middle.tilt.degrees() - tilt).abs() < 1e-9, "{case}");
            // at every minute of a night the frame is a direction above the horizon
            outing.night = chrono::NaiveDate::from_ymd_opt(2026, 12, 21);
            for minute in (0..NIGHT_MIN).step_by(60) {
                outing.minute = Some(minute);
                let aim = Pointing::new(&outing);
                assert!((0.0..=90.0).contains(&aim.frame.tilt.degrees()), "{aim:?}");
                assert!(
                    (0.0..360.0).contains(&aim.frame.bearing.degrees()),
                    "{aim:?}"
                );
                assert!(!aim.at_minute || target != AimTarget::Equator, "{aim:?}");
            }
        }
    }

    #[test]
    fn points_at_the_core_or_says_what_else() {
        let table = [
            // latitude, target, bearing, tilt
            (36.0, AimTarget::Subject(Subject::Core), 180.0, 24.992),
            (-40.0, AimTarget::Subject(Subject::Core), 0.0, 79.008),
            (65.0, AimTarget::Equator, 180.0, 25.0),
            (90.0, AimTarget::Equator, 180.0, 0.0),
        ];
        for (latitude, target, bearing, tilt) in table {
            let aim = Pointing::at(Subject::Core, Angle::from_degrees(latitude));
            assert_eq!(aim.target, target, "φ {latitude}");
            assert_eq!(aim.frame.bearing.degrees(), bearing, "φ {latitude}");
            let got = aim.frame.tilt.degrees();
            assert!((got - tilt).abs() < 1e-3, "φ {latitude}: {got}");
        }
    }
}
