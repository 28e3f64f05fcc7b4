//! The answer: the shutter time of an outing.
//!
//! [`Answer::compute`] gives the longest times and what limits them; [`ShutterTrails::new`] the
//! trails of one shutter time.

pub mod by_focal_length;
pub mod corner;
pub mod sample_images;
pub mod sequence;
pub mod settings;
pub mod sky_brightness;
pub mod strategies;
pub mod targets;
pub mod tracker_gain;

use crate::camera::clean_time::{CleanTime, centre_clean_time};
use crate::camera::dial::{DialTime, Shutter};
use crate::camera::fastest::Search;
use crate::camera::rules::Rule;
use crate::camera::view::{SensorPoint, View};
use crate::outing::plan::pointing::AimTarget;
use crate::outing::plan::{KeepSharp, Outing};

/// Speeds closer than this, relative, count as equal.
const SAME_SPEED: f64 = 1e-6;

/// A point this near an edge, as a share of the side, is on it.
const ON_EDGE: f64 = 1e-3;

/// Left, middle or right; bottom, middle or top.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum FrameSide {
    /// Left, or bottom.
    Low,
    /// Off the edges.
    Middle,
    /// Right, or top.
    High,
    /// Left and right alike.
    Both,
}

/// The worst place of the frame: the fastest star.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WorstPlace {
    /// The point.
    pub point: SensorPoint,
    /// Horizontal side of the frame.
    pub across: FrameSide,
    /// Vertical side of the frame.
    pub height: FrameSide,
    /// Speed over that in the middle; `None` when that is zero.
    pub times_centre: Option<f64>,
}

/// A row of the table of rules.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct RuleRow {
    /// `None` for the exact drift itself.
    pub rule: Option<Rule>,
    /// The time it gives, s; `None` where it gives none.
    pub seconds: Option<f64>,
    /// Its trail in the middle, pixels.
    pub centre_px: Option<f64>,
    /// Its trail in the worst place, pixels.
    pub worst_px: Option<f64>,
}

/// The answer for an outing.
#[derive(Debug, Clone, PartialEq)]
pub struct Answer {
    /// The view.
    pub view: View,
    /// The frame's target.
    pub target: AimTarget,
    /// The target's image point; `None` outside the frame.
    pub target_at: Option<SensorPoint>,
    /// The trail allowed, pixels.
    pub allowed_px: f64,
    /// Clean time at the place that must stay sharp.
    pub clean: CleanTime,
    /// Clean time at the target: the subject or its substitute.
    pub clean_core: CleanTime,
    /// Clean time of the whole frame.
    pub clean_frame: CleanTime,
    /// The worst place; `None` when no sky is in the frame.
    pub worst: Option<WorstPlace>,
    /// The rules, with the exact drift first.
    pub rules: Vec<RuleRow>,
}

impl Answer {
    /// Computes the answer. Never fails.
    ///
    /// ```
    /// use tarnlight::outing::{exposure::Answer, plan::Outing};
    /// let answer = Answer::compute(&Outing::default());
    /// let seconds = answer.clean.seconds().unwrap();
    /// // 20 mm, 12 µm, the core 25° up, 6 mm right of the middle and 3.33 mm above it
    /// assert!((seconds - 8.483).abs() < 2e-3);
    /// ```
    pub fn compute(outing: &Outing) -> Self {
        let view = outing.view();
        let allowed_px = outing.allowed_px();
        let allowed_um = allowed_px * view.sensor.pitch_um();
        let at = |point| {
            view.clean_time_at(point, allowed_um)
                .unwrap_or(CleanTime::NoLimit)
        };
        let worst = worst_of(&view);
        let aim = outing.pointing();
        let (bearing, altitude) = aim.target_position;
        let target_at = view.place_of(bearing, altitude);
        let clean_centre = at(SensorPoint::CENTRE);
        let clean_core = match target_at {
            Some(point) => at(point),
            // outside the frame it is computed as if it were in the middle
            None => centre_clean_time(view.lens.focal_mm, aim.target.declination(), allowed_um),
        };
        let clean_frame = worst.map_or(clean_centre, |worst| at(worst.point));
        let clean = match outing.keep_sharp {
            KeepSharp::Core => clean_core,
            KeepSharp::Centre => clean_centre,
            KeepSharp::WholeFrame => clean_frame,
            KeepSharp::Declination(declination) => {
                centre_clean_time(view.lens.focal_mm, declination, allowed_um)
            }
        };
        let mut answer = Self {
            view,
            target: aim.target,
            target_at,
            allowed_px,
            clean,
            clean_core,
            clean_frame,
            worst,
            rules: Vec::new(),
        };
        answer.rules = answer.rule_rows(outing);
        answer
    }

    /// The dial time: the clean time rounded down.
    pub fn dial(&self) -> DialTime {
        DialTime::new(self.clean)
    }

    /// The setting of the dial time, the longest where there is no limit.
    pub fn shutter(&self) -> Shutter {
        self.dial().setting()
    }

    fn rule_rows(&self, outing: &Outing) -> Vec<RuleRow> {
        let smallest = self.view.smallest_declination();
        let rules = Rule::ALL.into_iter().map(|rule| {
            let seconds = rule.seconds(outing.kit.sensor, self.view.lens, smallest);
            self.rule_row(Some(rule), seconds)
        });
        let exact = self.rule_row(None, self.clean.seconds());
        std::iter::once(exact).chain(rules).collect()
    }

    fn rule_row(&self, rule: Option<Rule>, seconds: Option<f64>) -> RuleRow {
        let left_at = |point| self.trail_px(point, seconds?);
        RuleRow {
            rule,
            seconds,
            centre_px: left_at(SensorPoint::CENTRE),
            worst_px: self.worst.and_then(|worst| left_at(worst.point)),
        }
    }

    /// The trail at a point after `seconds`, pixels; `None` where it leaves the picture.
    pub fn trail_px(&self, point: SensorPoint, seconds: f64) -> Option<f64> {
        let trail_um = self.view.trail_um(point, seconds)?;
        Some(trail_um / self.view.sensor.pitch_um())
    }
}

/// The trails of one shutter time, pixels; `None` where a star leaves the picture or there is none.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct ShutterTrails {
    /// The setting.
    pub shutter: Shutter,
    /// Trail at the target; `None` where it is not in the frame.
    pub core_px: Option<f64>,
    /// Trail in the middle of the frame.
    pub centre_px: Option<f64>,
    /// Trail in the worst place.
    pub worst_px: Option<f64>,
}

impl ShutterTrails {
    /// The trails of a shutter setting, by its exact time.
    pub fn new(answer: &Answer, shutter: Shutter) -> Self {
        let seconds = shutter.exact_s();
        let trail = |point| answer.trail_px(point, seconds);
        Self {
            shutter,
            core_px: answer.target_at.and_then(trail),
            centre_px: trail(SensorPoint::CENTRE),
            worst_px: answer.worst.and_then(|worst| trail(worst.point)),
        }
    }
}

fn worst_of(view: &View) -> Option<WorstPlace> {
    let fastest = view.fastest(Search::AboveHorizon)?;
    let point = fastest.point;
    let side = |at: f64, size: f64| {
        let near_edge = size / 2.0 * (1.0 - ON_EDGE);
        match at {
            at if at < -near_edge => FrameSide::Low,
            at if at > near_edge => FrameSide::High,
            _ => FrameSide::Middle,
        }
    };
    let mirrored = SensorPoint {
        x_mm: -point.x_mm,
        ..point
    };
    let twin = view
        .speed_at(mirrored)
        .is_some_and(|speed| (speed / fastest.speed_um_s - 1.0).abs() < SAME_SPEED);
    let across = match side(point.x_mm, view.sensor.width_mm) {
        FrameSide::Low | FrameSide::High if twin => FrameSide::Both,
        side => side,
    };
    let centre = view.speed_at(SensorPoint::CENTRE);
    Some(WorstPlace {
        point,
        across,
        height: side(point.y_mm, view.sensor.height_mm),
        times_centre: centre
            .map(|centre| fastest.speed_um_s / centre)
            .filter(|times| times.is_finite() && *times < 1e3),
    })
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::camera::sharpness::Sharpness;
    use crate::outing::plan::Orientation;

    #[test]
    fn a_first_start_has_an_answer() {
        let answer = Answer::compute(&Outing::default());
        assert_eq!(
            answer.dial().shutter().map(Shutter::mark).as_deref(),
            Some("8")
        );
        let worst = answer.worst.expect("sky in the frame");
        // the core is right of the middle, so the camera is turned to the left of south, and the
        // celestial equator comes nearest to the upper right corner
        assert_eq!(
            (worst.across, worst.height),
            (FrameSide::High, FrameSide::High)
        );
        let frame = answer.clean_frame.seconds().expect("a limit");
        assert!(frame < answer.clean_core.seconds().expect("a limit"));
    }

    /// The dial time never exceeds the trail allowed, and the next mark does.
    #[test]
    fn the_dial_time_is_the_longest_clean_mark() {
        for focal_mm in [10.0, 14.0, 20.0, 35.0, 85.0, 300.0] {
            for keep_sharp in [KeepSharp::Core, KeepSharp::WholeFrame] {
                let mut outing = Outing {
                    keep_sharp,
                    orientation: Orientation::Portrait,
                    ..Outing::default()
                };
                outing.kit.lens.focal_mm = focal_mm;
                let answer = Answer::compute(&outing);
                let shutter = answer.dial().shutter().expect("a setting");
                let left = |shutter| {
                    let trial = ShutterTrails::new(&answer, shutter);
                    match keep_sharp {
                        KeepSharp::Core => trial.core_px,
                        _ => trial.worst_px,
                    }
                    .expect("a trail")
                };
                assert!(left(shutter) <= answer.allowed_px, "{focal_mm} mm");
                assert!(
                    left(shutter.stepped(1)) > answer.allowed_px,
                    "{focal_mm} mm"
                );
            }
        }
    }

    #[test]
    fn the_exact_row_leaves_what_is_allowed() {
        let outing = Outing {
            sharpness: Sharpness::Pixels(3.0),
            keep_sharp: KeepSharp::Centre,
            ..Outing::default()
        };
        let answer = Answer::compute(&outing);
        let exact = answer.rules[0].centre_px.expect("a trail");
        assert!((exact - 3.0).abs() < 1e-6, "{exact} px");
    }

    #[test]
    fn a_declination_near_the_pole_has_no_limit() {
        let outing = Outing {
            keep_sharp: KeepSharp::Declination(Angle::from_degrees(-90.0)),
            ..Outing::default()
        };
        let answer = Answer::compute(&outing);
        assert_eq!(answer.dial(), DialTime::NoLimit);
        assert!(
            ShutterTrails::new(&answer, answer.shutter())
                .shutter
                .exact_s()
                .is_finite()
        );
    }
}
