//! The frame that is proposed: the core with the ground below it and the band above it.
//!
//! A night landscape needs land, so the skyline is in the frame wherever the lens can hold both it
//! and the core. Upright, the core is on the lower third and the band rises over it. Level, the
//! skyline is a quarter up, and the core is on the third from which the band leans into the frame.
//! A low core moves the frame up, so that it is not half ground; a high one down to the skyline,
//! until the lens cannot hold both: then the core is in the middle.

use crate::angle::Angle;
use crate::camera::frame::Frame;
use crate::camera::lens::FIELD_LIMIT;
use crate::camera::view::{SensorPoint, View};
use crate::vector::Vector;

/// Height of the core above the frame's lower edge where it can be chosen, upright; the rule of
/// thirds (common practice).
const LOWER_THIRD: f64 = 1.0 / 3.0;

/// Height of the skyline above the lower edge, as a share of the frame's height: level, where it
/// can be chosen; and the most of it, upright (own choice: within the lower third).
const SKYLINE: f64 = 1.0 / 4.0;

/// Most ground in a level frame.
const MOST_GROUND: f64 = 1.0 / 3.0;

/// Room between an edge and skyline or core, as a share of the frame's height (own choice).
const ROOM: f64 = 1.0 / 12.0;

/// The same where the lens barely holds both.
const LEAST_ROOM: f64 = 1.0 / 40.0;

/// Off the frame's middle line the core is at most this share of the width: on a third.
const THIRD_OFF: f64 = 1.0 / 6.0;

/// With this factor the core is on a third when the band leans by 28° to 62°, and moves to the
/// middle where it stands upright or lies level, from where either side is as good.
const LEAN_FACTOR: f64 = 1.2;

/// Altitude from which the core is moved back to the middle line, and at which it is there,
/// degrees: next to the zenith a turn of the camera moves it little.
const STEEP_DEG: (f64, f64) = (60.0, 75.0);

/// What the frame is to hold.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Composition {
    /// True bearing of the core.
    pub bearing: Angle,
    /// Its altitude.
    pub altitude: Angle,
    /// Altitude of the skyline below it.
    pub skyline: Angle,
    /// Lean of the band's upper branch from the vertical; see [`band_lean`].
    pub lean: Angle,
}

/// How the Milky Way's upper branch at a subject leans: from the vertical to the right, −90° to
/// 90°.
///
/// `core` is the subject's direction in east, north, up; the position angle that of the band
/// there, see [`Subject::band_position_angle`](crate::sky::subject::Subject::band_position_angle).
/// Zero where the subject is at a celestial pole or at the zenith.
///
/// ```text
/// core at its highest over 36° N  →  31.4° to the left
/// ```
pub fn band_lean(core: Vector, latitude: Angle, position_angle: Angle) -> Angle {
    let pole = Vector::new(0.0, latitude.cos(), latitude.sin());
    let east = pole.cross(core);
    // both have the length of the cosine of the declination
    let north = core.cross(east);
    let band = north
        .times(position_angle.cos())
        .plus(east.times(position_angle.sin()));
    // to the right of somebody who faces the core, times the cosine of its altitude; and up
    let right = core.y * band.x - core.x * band.y;
    let side = if band.z < 0.0 { -1.0 } else { 1.0 };
    let level = core.x.hypot(core.y);
    if level == 0.0 {
        return Angle::ZERO;
    }
    Angle::from_radians((side * right).atan2(side * band.z))
}

/// The lens and sensor of a frame along its vertical middle line.
struct MiddleLine<'a>(&'a View);

impl MiddleLine<'_> {
    /// Angle of a point above the optical axis; `share` is its height over the frame's, from the
    /// lower edge. A fisheye's dark edge counts as 90°.
    fn above_axis(&self, share: f64) -> f64 {
        let y_mm = (share - 0.5) * self.0.sensor.height_mm;
        let off = self.0.off_axis_at(SensorPoint { x_mm: 0.0, y_mm });
        off.unwrap_or(FIELD_LIMIT).degrees().copysign(y_mm)
    }

    /// The tilt that images an altitude there.
    fn tilt_for(&self, altitude: Angle, share: f64) -> f64 {
        altitude.degrees() - self.above_axis(share)
    }
}

/// The frame for a sensor as it is held and a lens, without roll.
///
/// `view` may point anywhere; only its sensor and lens count. Angles are those on the frame's
/// vertical middle line, so skyline and core of a level frame are a few degrees off their shares
/// with the widest lenses. The core is always in the frame; the tilt is never below level while the
/// core is above it.
///
/// ```text
/// 20 mm on 36 × 24 mm, core 25° up, level     →  tilt 16.7°, core right of the middle
/// the same, upright                             →  tilt 36.9°, the skyline a twelfth up
/// ```
pub fn default_frame(view: &View, view_of: impl Fn(Frame) -> View, subject: Composition) -> Frame {
    let centred = Frame {
        bearing: subject.bearing,
        tilt: subject.altitude,
        roll: Angle::ZERO,
    };
    let Some(tilt_deg) = tilt_with_skyline(&MiddleLine(view), subject, upright(view)) else {
        return centred;
    };
    let tilt = Angle::from_degrees(tilt_deg);
    let middle = Frame { tilt, ..centred };
    let aside = Frame {
        bearing: bearing_beside(&view_of(middle), tilt, subject),
        ..middle
    };
    let holds = |frame: &Frame| {
        let place = view_of(*frame).place_of(subject.bearing, subject.altitude);
        place.is_some()
    };
    [aside, middle].into_iter().find(holds).unwrap_or(centred)
}

fn upright(view: &View) -> bool {
    view.sensor.height_mm > view.sensor.width_mm
}

/// The tilt with core and skyline in the frame, degrees; `None` where it cannot hold both.
fn tilt_with_skyline(line: &MiddleLine, subject: Composition, upright: bool) -> Option<f64> {
    let Composition {
        altitude, skyline, ..
    } = subject;
    let (wanted, most_ground) = if upright {
        (line.tilt_for(altitude, LOWER_THIRD), SKYLINE)
    } else {
        (line.tilt_for(skyline, SKYLINE), MOST_GROUND)
    };
    let least_ground = line.tilt_for(skyline, ROOM);
    let mut tilt = wanted
        .max(line.tilt_for(skyline, most_ground))
        .min(least_ground);
    let core_below_top = line.tilt_for(altitude, 1.0 - ROOM);
    if tilt < core_below_top {
        tilt = core_below_top.min(line.tilt_for(skyline, LEAST_ROOM));
        if tilt < line.tilt_for(altitude, 1.0 - LEAST_ROOM) {
            return None;
        }
    }
    let core_above_bottom = line.tilt_for(altitude, ROOM);
    tilt = tilt.min(core_above_bottom);
    if altitude >= Angle::ZERO {
        tilt = tilt.max(0.0);
    }
    (-90.0..=90.0).contains(&tilt).then_some(tilt)
}

/// The bearing of the camera that puts the core beside the middle line, to where the band leans
/// into the frame; upright frames keep it on the line.
fn bearing_beside(middle: &View, tilt: Angle, subject: Composition) -> Angle {
    const ROUNDS: usize = 24;
    const MOST_TURN_DEG: f64 = 45.0;
    let core_deg = subject.bearing.degrees();
    let (from, to) = STEEP_DEG;
    let steep = ((to - subject.altitude.degrees()) / (to - from)).clamp(0.0, 1.0);
    // a band that leans right leaves the core on the left
    let lean = (2.0 * subject.lean.radians()).sin();
    let share = -(LEAN_FACTOR * lean).clamp(-1.0, 1.0) * steep * THIRD_OFF;
    if upright(middle) || share == 0.0 {
        return subject.bearing;
    }
    let x_mm = share.abs() * middle.sensor.width_mm;
    // how far right the core is when the camera is turned to the left of it
    let right_mm = |turn_deg: f64| {
        let turn = Angle::from_degrees(turn_deg);
        let (cos, sin) = (subject.altitude.cos(), subject.altitude.sin());
        let seen = Vector::new(
            cos * turn.sin(),
            sin * tilt.cos() - cos * turn.cos() * tilt.sin(),
            cos * turn.cos() * tilt.cos() + sin * tilt.sin(),
        );
        middle
            .image_of(seen)
            .map_or(f64::INFINITY, |point| point.x_mm)
    };
    let (mut less, mut more) = (0.0, MOST_TURN_DEG);
    for _ in 0..ROUNDS {
        let turn = (less + more) / 2.0;
        if right_mm(turn) < x_mm {
            less = turn;
        } else {
            more = turn;
        }
    }
    Angle::from_degrees((core_deg - less.copysign(share)).rem_euclid(360.0))
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::{Orientation, Outing};
    use crate::sky::galactic_core::{CORE_DECLINATION, Culmination};

    const ORIENTATIONS: [Orientation; 2] = [Orientation::Landscape, Orientation::Portrait];

    fn subject(altitude: f64, skyline: f64, lean: f64) -> Composition {
        Composition {
            bearing: Angle::from_degrees(170.0),
            altitude: Angle::from_degrees(altitude),
            skyline: Angle::from_degrees(skyline),
            lean: Angle::from_degrees(lean),
        }
    }

    fn outing(focal_mm: f64, orientation: Orientation) -> Outing {
        let mut outing = Outing {
            orientation,
            ..Outing::default()
        };
        outing.kit.lens.focal_mm = focal_mm;
        outing
    }

    fn framed(outing: &Outing, subject: Composition) -> (Frame, View) {
        let any = Frame {
            bearing: Angle::ZERO,
            tilt: Angle::ZERO,
            roll: Angle::ZERO,
        };
        let frame = default_frame(&outing.view_of(any), |it| outing.view_of(it), subject);
        (frame, outing.view_of(frame))
    }

    /// Half the frame's height as the lens sees it, by v = atan(h/2f), times a share.
    fn half_deg(outing: &Outing, share: f64) -> f64 {
        let sensor = outing.kit.sensor;
        let height = match outing.orientation {
            Orientation::Landscape => sensor.height_mm,
            Orientation::Portrait => sensor.width_mm,
        };
        (share * height / 2.0 / outing.kit.lens.focal_mm)
            .atan()
            .to_degrees()
    }

    /// For every latitude, lens, ridge and orientation: the core is in the frame, the skyline too
    /// if the frame is high enough for both, and the camera never looks down while the core is up.
    #[test]
    fn holds_the_core_always_and_the_skyline_if_it_can() {
        let focal_lengths = [10.0, 12.0, 14.0, 20.0, 24.0, 35.0, 50.0, 85.0, 135.0, 200.0];
        let mut with_skyline = 0;
        for latitude in (-60..=60).step_by(3) {
            let latitude = Angle::from_degrees(f64::from(latitude));
            let highest = Culmination::new(CORE_DECLINATION, latitude);
            for focal_mm in focal_lengths {
                for (orientation, ridge) in ORIENTATIONS
                    .into_iter()
                    .flat_map(|it| [0.0, 3.0, 8.0, 14.0, 20.0].map(|ridge| (it, ridge)))
                {
                    let outing = outing(focal_mm, orientation);
                    for share in [0.05, 0.4, 1.0] {
                        let altitude = highest.altitude.degrees() * share;
                        for lean in [-80.0, -31.4, 0.0, 50.0] {
                            let subject = subject(altitude, ridge, lean);
                            let (frame, view) = framed(&outing, subject);
                            let what = format!(
                                "{focal_mm} mm {orientation:?} {altitude}° {ridge}° {lean}: {frame:?}"
                            );
                            let core = view.place_of(subject.bearing, subject.altitude);
                            assert!(core.is_some(), "{what}");
                            assert!(altitude < 0.0 || frame.tilt >= Angle::ZERO, "{what}");
                            let room = 2.0 * half_deg(&outing, 1.0 - 2.0 * LEAST_ROOM);
                            // a core behind the ridge is far below it with a long lens
                            let fits = (0.0..=room).contains(&(altitude - ridge));
                            let skyline = view.place_of(frame.bearing, subject.skyline);
                            assert!(!fits || skyline.is_some(), "{what}");
                            with_skyline += usize::from(fits);
                        }
                    }
                }
            }
        }
        assert!(with_skyline > 5000, "{with_skyline}");
    }

    /// By hand for 20 mm on 36 × 24 mm: level, the skyline a quarter up is 6 mm below the middle,
    /// atan(6/20) = 16.70°; upright, the core on the lower third is as far, so that 25° would need
    /// 41.70°, but a skyline a twelfth up, 15 mm below the middle, allows 36.87°.
    #[test]
    fn agrees_with_the_worked_tilts() {
        for (orientation, altitude, want) in [
            (Orientation::Landscape, 25.0, 16.699),
            (Orientation::Portrait, 25.0, 36.870),
            (Orientation::Portrait, 15.0, 31.699),
            // a ground of a quarter, 9 mm below the middle
            (Orientation::Portrait, 5.0, 24.228),
        ] {
            let (frame, _) = framed(&outing(20.0, orientation), subject(altitude, 0.0, -31.4));
            let got = frame.tilt.degrees();
            assert!(
                (got - want).abs() < 1e-3,
                "{orientation:?} {altitude}: {got}"
            );
        }
    }

    /// The fault that the rule removes: an upright frame is at most a quarter ground, a level one
    /// at most a third, wherever the core is above the ridge.
    #[test]
    fn little_of_it_is_ground() {
        for (orientation, most) in ORIENTATIONS.into_iter().zip([MOST_GROUND, SKYLINE]) {
            for focal_mm in [14.0, 20.0, 35.0] {
                for altitude in [1.0, 5.0, 15.0, 30.0] {
                    let outing = outing(focal_mm, orientation);
                    let (frame, view) = framed(&outing, subject(altitude, 0.0, 20.0));
                    let horizon = view.place_of(frame.bearing, Angle::ZERO);
                    let y_mm = horizon.expect("in the frame").y_mm;
                    let ground = 0.5 + y_mm / view.sensor.height_mm;
                    assert!(
                        ground <= most + 1e-9,
                        "{orientation:?} {focal_mm} {altitude}"
                    );
                }
            }
        }
    }

    /// The core is on the third opposite to the side to which the band leans.
    #[test]
    fn the_band_leans_into_a_level_frame() {
        for (lean, want) in [
            (-31.4, 6.0),
            (31.4, -6.0),
            (-50.0, 6.0),
            (0.0, 0.0),
            (90.0, 0.0),
        ] {
            let subject = subject(25.0, 2.0, lean);
            let (_, view) = framed(&outing(20.0, Orientation::Landscape), subject);
            let place = view.place_of(subject.bearing, subject.altitude);
            let x_mm = place.expect("in the frame").x_mm;
            assert!((x_mm - want).abs() < 1e-3, "{lean}: {x_mm}");
            let (_, view) = framed(&outing(20.0, Orientation::Portrait), subject);
            let place = view.place_of(subject.bearing, subject.altitude);
            assert!(place.expect("in the frame").x_mm.abs() < 1e-9, "{lean}");
        }
    }

    /// Small changes of where the core stands never make the frame jump while it holds the skyline.
    #[test]
    fn moves_evenly_with_the_core() {
        for orientation in ORIENTATIONS {
            let outing = outing(16.0, orientation);
            let mut before: Option<Frame> = None;
            for step in 0..500 {
                let altitude = f64::from(step) / 10.0;
                let lean = -90.0 + 180.0 * f64::from(step) / 499.0;
                let (frame, _) = framed(&outing, subject(altitude, 4.0, lean));
                if let Some(before) = before {
                    let moved = (frame.tilt.degrees() - before.tilt.degrees())
                        .hypot(frame.bearing.degrees() - before.bearing.degrees());
                    assert!(moved < 1.0, "{orientation:?} {altitude}: {moved}°");
                }
                before = Some(frame);
            }
        }
    }

    /// Position angle of the galactic plane at the core, degrees (M. J. Reid & A. Brunthaler, *ApJ*
    /// 616 (2004) 872).
    const CORE_BAND_DEG: f64 = 31.40;

    /// The position angle against the galaxy's north pole (192.85948°, 27.12825°), exact by
    /// convention: the band is at right angles to the direction of that pole. On the meridian of
    /// 36° N it leans left by that angle, and from the south, where the core is beyond the zenith
    /// and north is down, its upper branch is the other one.
    #[test]
    fn the_band_leans_as_the_galaxy_lies() {
        use crate::sky::galactic_core::CORE_RIGHT_ASCENSION;
        let core = Vector::from_spherical(CORE_RIGHT_ASCENSION, CORE_DECLINATION);
        let pole = Vector::from_spherical(
            Angle::from_degrees(192.859_48),
            Angle::from_degrees(27.128_25),
        );
        let east = Vector::new(0.0, 0.0, 1.0).cross(core);
        let north = core.cross(east);
        // growing longitude is the pole crossed with the centre's direction
        let band = pole.cross(core);
        let angle = band.dot(east).atan2(band.dot(north)).to_degrees();
        let band = crate::sky::subject::Subject::Core.band_position_angle();
        let band = band.expect("in the band");
        assert!((band.degrees() - CORE_BAND_DEG).abs() < 0.02, "{band:?}");
        assert!((angle - CORE_BAND_DEG).abs() < 0.02, "{angle}");
        for (latitude, want) in [(36.0, -31.4), (0.0, -31.4), (-45.0, -31.4)] {
            let latitude = Angle::from_degrees(latitude);
            let highest = Culmination::new(CORE_DECLINATION, latitude);
            let there = Vector::from_bearing(highest.bearing, highest.altitude);
            let lean = band_lean(there, latitude, band).degrees();
            assert!((lean - want).abs() < 0.01, "{latitude:?}: {lean}");
        }
    }
}
