//! The longest clean exposure by focal length: on a tripod by each rule and exactly, at half rate,
//! and tracked.
//!
//! A tracker's residual motion does not depend on the lens: for each exposure there is a trail on
//! the sky within which four frames in five stay. So that is tabulated once, and inverted for the
//! trail each lens allows.

use crate::angle::Angle;
use crate::camera::rules::Rule;
use crate::light::tracking::{TrackingRate, ground_smear_rad_s};
use crate::light::tracking_residual::{KEEP_FRACTION, TrackingResidual, trail_on_sky};
use crate::outing::exposure::strategies::{Tracked, clean_at, declination};
use crate::outing::plan::pointing::Pointing;
use crate::outing::plan::{KeepSharp, Outing};
use crate::sky::galactic_core::Culmination;
use crate::vector::Vector;

/// Shortest lens of the chart, mm.
pub const SHORTEST_MM: f64 = 10.0;

/// Longest lens of the chart, mm.
pub const LONGEST_MM: f64 = 600.0;

/// Range of the tabulated exposures, s, in geometric steps. Half an hour counts as no limit.
const TIMES_S: (f64, f64) = (0.5, 1800.0);

/// Number of exposures at sidereal rate, where periodic error bends the curve, and at half rate,
/// where drift dominates.
const TIMES: [(TrackingRate, usize); 2] = [(TrackingRate::Sidereal, 80), (TrackingRate::Half, 24)];

/// Points of a line of the chart.
const LENSES: usize = 40;

/// Focal length in mm and time in s.
pub type Point = (f64, f64);

/// The longest exposures at one focal length, s; infinite without a limit.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ExposureByFocalLength {
    /// Focal length, mm.
    pub focal_mm: f64,
    /// On a tripod, by exact drift.
    pub tripod_s: f64,
    /// On a tracker at half rate.
    pub half_s: f64,
    /// On a tracker at sidereal rate.
    pub tracked_s: f64,
}

/// Logarithms of exposure and trail on the sky.
type Growth = Vec<(f64, f64)>;

/// The longest exposures by focal length.
#[derive(Debug, Clone, PartialEq)]
pub struct ExposureCurves {
    half: (TrackingResidual, Growth),
    full: (TrackingResidual, Growth),
    /// The trail allowed on the sky at 1 mm.
    allowed: Angle,
    /// By the 500 rule.
    pub rule_500: Vec<Point>,
    /// By the 300 rule.
    pub rule_300: Vec<Point>,
    /// By the pixel-pitch rule, for the declination that must stay sharp.
    pub pixel_pitch: Vec<Point>,
    /// At half rate.
    pub half_rate: Vec<Point>,
    /// On a tracker.
    pub tracked: Vec<Point>,
    /// On a tripod, exactly.
    pub tripod: Vec<Point>,
}

impl ExposureCurves {
    /// For an outing's camera, pointing and tracker.
    pub fn new(outing: &Outing) -> Self {
        let star = star(outing);
        let latitude = outing.site.latitude;
        let [full, half] = TIMES.map(|(rate, times)| {
            let residual = outing.mount.tracking_residual(latitude, star, rate);
            (residual, growth(&residual, times))
        });
        let pitch_um = outing.kit.sensor.pitch_um();
        let mut reaches = Self {
            half,
            full,
            allowed: trail_on_sky(outing.allowed_px(), pitch_um, 1.0),
            rule_500: Vec::new(),
            rule_300: Vec::new(),
            pixel_pitch: Vec::new(),
            half_rate: Vec::new(),
            tracked: Vec::new(),
            tripod: Vec::new(),
        };
        for place in 0..LENSES {
            let along = place as f64 / (LENSES - 1) as f64;
            let focal_mm = SHORTEST_MM * (along * (LONGEST_MM / SHORTEST_MM).ln()).exp();
            let reach = reaches.at(outing, focal_mm);
            let rule = |rule| (focal_mm, by_rule(outing, rule, focal_mm));
            reaches.rule_500.push(rule(Rule::FiveHundred));
            reaches.rule_300.push(rule(Rule::ThreeHundred));
            reaches.pixel_pitch.push(rule(Rule::PixelPitchFull));
            reaches.half_rate.push((focal_mm, reach.half_s));
            reaches.tracked.push((focal_mm, reach.tracked_s));
            reaches.tripod.push((focal_mm, reach.tripod_s));
        }
        reaches
    }

    /// The tracked exposure at a focal length, at the tracker's rate.
    pub fn tracked(&self, outing: &Outing, focal_mm: f64) -> Tracked {
        let (residual, growth) = match outing.mount.rate {
            TrackingRate::Sidereal => &self.full,
            TrackingRate::Half => &self.half,
        };
        let allowed = self.allowed(focal_mm);
        Tracked {
            longest_s: longest_s(growth, allowed),
            residual: *residual,
            allowed,
        }
    }

    /// The trail allowed on the sky at a focal length.
    fn allowed(&self, focal_mm: f64) -> Angle {
        Angle::from_radians(self.allowed.radians() / focal_mm)
    }

    /// At one focal length; on a tracker within 1 % of
    /// [`TrackingResidual::longest_s`](crate::light::tracking_residual::TrackingResidual::longest_s),
    /// and without a limit beyond half an hour.
    pub fn at(&self, outing: &Outing, focal_mm: f64) -> ExposureByFocalLength {
        let allowed = self.allowed(focal_mm);
        ExposureByFocalLength {
            focal_mm,
            tripod_s: clean_at(outing, focal_mm)
                .seconds()
                .unwrap_or(f64::INFINITY),
            half_s: longest_s(&self.half.1, allowed),
            tracked_s: longest_s(&self.full.1, allowed),
        }
    }
}

/// The tracked exposure at the outing's focal length, by search, when the middle of the frame may
/// have this share, 0 to 1, of the trail allowed.
pub fn tracked(outing: &Outing, share: f64) -> Tracked {
    let (kit, mount) = (&outing.kit, outing.mount);
    let residual = mount.tracking_residual(outing.site.latitude, star(outing), mount.rate);
    let pitch_um = kit.sensor.pitch_um();
    let allowed = trail_on_sky(share * outing.allowed_px(), pitch_um, kit.lens.focal_mm);
    Tracked {
        longest_s: residual
            .longest_s(allowed, KEEP_FRACTION)
            .unwrap_or(f64::INFINITY),
        residual,
        allowed,
    }
}

/// Smear of the ground below the frame's middle, on a tracker at half rate, pixels.
pub fn ground_smear_px(outing: &Outing, focal_mm: f64, seconds: f64) -> f64 {
    let under = Vector::from_bearing(outing.pointing().frame.bearing, Angle::ZERO);
    let smear = ground_smear_rad_s(outing.site.latitude, under, TrackingRate::Half) * seconds;
    smear / trail_on_sky(1.0, outing.kit.sensor.pitch_um(), focal_mm).radians()
}

/// µm in a mm.
const UM_PER_MM: f64 = 1000.0;

/// Field rotation about the frame's middle, on a tracker at half rate: the angle, and the motion of
/// a star in a corner of the sensor, pixels.
pub fn field_rotation(outing: &Outing, seconds: f64) -> (Angle, f64) {
    let frame = outing.pointing().frame;
    let middle = Vector::from_bearing(frame.bearing, frame.tilt);
    let latitude = outing.site.latitude;
    let rate = outing
        .mount
        .field_rotation_rad_s(latitude, middle, TrackingRate::Half);
    let turn = (rate * seconds).abs();
    let sensor = outing.kit.sensor;
    let corner_px = sensor.diagonal_mm() / 2.0 * UM_PER_MM / sensor.pitch_um();
    (Angle::from_radians(turn), turn * corner_px)
}

/// A rule's time at a focal length, for the declination that must stay sharp, s; infinite where it
/// gives none.
pub fn by_rule(outing: &Outing, rule: Rule, focal_mm: f64) -> f64 {
    let mut lens = outing.lens();
    lens.focal_mm = focal_mm;
    let seconds = rule.seconds(outing.kit.sensor, lens, declination(outing));
    seconds.unwrap_or(f64::INFINITY)
}

/// Direction of what must stay sharp, in east, north, up.
fn star(outing: &Outing) -> Vector {
    let aim = Pointing::new(outing);
    let (bearing, altitude) = match outing.keep_sharp {
        KeepSharp::Declination(declination) => {
            let highest = Culmination::new(declination, outing.site.latitude);
            (highest.bearing, highest.altitude)
        }
        KeepSharp::Centre => (aim.frame.bearing, aim.frame.tilt),
        _ => aim.target_position,
    };
    Vector::from_bearing(bearing, altitude)
}

fn growth(residual: &TrackingResidual, times: usize) -> Growth {
    let (first, last) = (TIMES_S.0.ln(), TIMES_S.1.ln());
    let at = |place: usize| {
        let time = first + (last - first) * place as f64 / (times - 1) as f64;
        (
            time,
            residual
                .trail_at_fraction(time.exp(), KEEP_FRACTION)
                .radians()
                .ln(),
        )
    };
    (0..times).map(at).collect()
}

/// The exposure that gives a trail, s.
fn longest_s(growth: &Growth, allowed: Angle) -> f64 {
    let wanted = allowed.radians().ln();
    // false for NaN, as without any error
    let Some(after) = growth.iter().position(|(_, trail)| *trail > wanted) else {
        return f64::INFINITY;
    };
    let (to, trail) = growth[after];
    let Some((from, before)) = after.checked_sub(1).map(|place| growth[place]) else {
        // shorter than the table: the trail is proportional to the time
        return (to - trail + wanted).exp();
    };
    // the logarithm of a zero trail is minus infinity
    let share = if before.is_finite() {
        (wanted - before) / (trail - before)
    } else {
        0.0
    };
    (from + share * (to - from)).exp()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::light::tracking::Mount;
    use crate::sky::subject::Subject;

    fn outings() -> Vec<Outing> {
        let mut outings = vec![Outing::default()];
        for (azimuth, periodic, latitude) in
            [(0.0, 25.0, 46.0), (10.0, 0.0, -33.0), (60.0, 5.0, 20.0)]
        {
            let mut outing = Outing {
                mount: Mount {
                    azimuth_error: Angle::from_degrees(azimuth / 60.0),
                    altitude_error: Angle::from_degrees(azimuth / 80.0),
                    periodic: Angle::from_degrees(periodic / 3600.0),
                    ..Mount::default()
                },
                ..Outing::default()
            };
            outing.site.latitude = Angle::from_degrees(latitude);
            outings.push(outing);
        }
        outings
    }

    /// Interpolation against a search for each focal length.
    #[test]
    fn read_off_it_is_as_good_as_searched() {
        let mut worst: f64 = 0.0;
        for outing in outings() {
            let reaches = ExposureCurves::new(&outing);
            for focal_mm in [10.0, 14.0, 20.0, 35.0, 85.0, 135.0, 300.0, 600.0] {
                let reach = reaches.at(&outing, focal_mm);
                let pitch_um = outing.kit.sensor.pitch_um();
                let allowed = trail_on_sky(outing.allowed_px(), pitch_um, focal_mm);
                for (rate, got) in [
                    (TrackingRate::Sidereal, reach.tracked_s),
                    (TrackingRate::Half, reach.half_s),
                ] {
                    let residual =
                        outing
                            .mount
                            .tracking_residual(outing.site.latitude, star(&outing), rate);
                    match residual.longest_s(allowed, KEEP_FRACTION) {
                        Some(want) if want < TIMES_S.1 => {
                            worst = worst.max((got / want - 1.0).abs())
                        }
                        _ => assert_eq!(got, f64::INFINITY, "{focal_mm} mm {rate:?}"),
                    }
                }
            }
        }
        println!("worst: {worst}");
        assert!(worst < 0.01, "{worst}");
    }

    /// First principles: half rate doubles the time on a tripod, but for the tracker's own errors;
    /// sidereal rate allows more than both.
    #[test]
    fn half_rate_is_twice_the_tripod() {
        let mut outing = Outing::default();
        outing.mount.periodic = Angle::ZERO;
        let reaches = ExposureCurves::new(&outing);
        for focal_mm in [14.0, 50.0, 200.0] {
            let ExposureByFocalLength {
                tripod_s,
                half_s,
                tracked_s,
                ..
            } = reaches.at(&outing, focal_mm);
            assert!(
                (half_s / tripod_s - 2.0).abs() < 0.02,
                "{focal_mm} mm: {half_s}, {tripod_s}"
            );
            assert!(tracked_s > 5.0 * half_s, "{focal_mm} mm: {tracked_s}");
        }
    }

    /// First principles, by hand: 20 mm and 6 µm at 36° N due south, where the ground is
    /// 144° from the pole: ω/2 · sin 144° · 18.8 s · 20 000/6 = 1.343 px.
    #[test]
    fn the_ground_smears_at_half_rate() {
        let outing = Outing {
            frame: Some(Pointing::at(Subject::Core, Angle::from_degrees(36.0)).frame),
            ..Outing::default()
        };
        let got = ground_smear_px(&outing, 20.0, 18.8);
        assert!((got - 1.343).abs() < 1e-3, "{got}");
    }

    /// First principles, by hand: 36° N, due south and 25° up the declination is −29°; half of the
    /// sky's rotation about it is ω/2 · sin 29° = 1.7677e-5 rad/s, in 18.8 s 0.019041°, and 3605.6
    /// pixels from the middle, where 24 by 36 mm end, 1.198 px.
    #[test]
    fn the_sky_turns_at_half_rate() {
        let mut outing = Outing::default();
        outing.mount.azimuth_error = Angle::ZERO;
        outing.mount.altitude_error = Angle::ZERO;
        outing.frame = Some(Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(25.0),
            roll: Angle::ZERO,
        });
        let (turn, corner_px) = field_rotation(&outing, 18.8);
        assert!((turn.degrees() - 0.019_041).abs() < 1e-5, "{turn:?}");
        assert!((corner_px - 1.198).abs() < 2e-3, "{corner_px} px");
    }

    #[test]
    fn a_perfect_tracker_has_no_end() {
        let mut outing = Outing::default();
        outing.mount.azimuth_error = Angle::ZERO;
        outing.mount.altitude_error = Angle::ZERO;
        outing.mount.periodic = Angle::ZERO;
        let reaches = ExposureCurves::new(&outing);
        assert_eq!(reaches.at(&outing, 600.0).tracked_s, f64::INFINITY);
        assert_eq!(reaches.tracked(&outing, 600.0).longest_s, f64::INFINITY);
    }

    #[test]
    fn lines_fall_with_the_focal_length() {
        for outing in outings() {
            let reaches = ExposureCurves::new(&outing);
            for line in [
                &reaches.tripod,
                &reaches.tracked,
                &reaches.half_rate,
                &reaches.rule_500,
                &reaches.pixel_pitch,
            ] {
                assert_eq!(line.len(), LENSES);
                for pair in line.windows(2) {
                    assert!(pair[1].1 <= pair[0].1, "{pair:?}");
                }
            }
        }
    }
}
