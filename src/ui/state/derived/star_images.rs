//! The stars under the loupes of How long?, pixel by pixel.

use std::rc::Rc;

use super::Derived;
use crate::camera::point_spread::Appearance;
use crate::camera::rules::Rule;
use crate::camera::star_image::StarImage;
use crate::camera::view::{SensorPoint, View};
use crate::outing::exposure::{Answer, ShutterTrails};
use crate::outing::plan::Outing;
use crate::ui::state::State;

/// A star on the sensor.
#[derive(Debug, Clone, Copy, PartialEq)]
struct Star {
    point: SensorPoint,
    /// `None` where it leaves the picture.
    trail_px: Option<f64>,
}

/// What [`StarImages`] depend on. Of site and moment there is only what they make of the view.
#[derive(Debug, Clone, PartialEq)]
pub struct StarImageInputs {
    view: View,
    /// Diameter of the disc that a lens not focused on the stars makes of one.
    disc_um: f64,
    shutter_s: f64,
    middle: Star,
    worst: Option<Star>,
    /// The first star after the time of the 500 rule, s.
    rule: Option<(f64, Star)>,
}

/// A star in its patch of pixels.
#[derive(Debug, Clone, PartialEq)]
pub struct StarPatch {
    /// Length of the trail; `None` where the star leaves the picture.
    pub trail_px: Option<f64>,
    /// How the star looks after that trail.
    pub appearance: Option<Appearance>,
    /// The pixels; `None` where the projection puts nothing.
    pub image: Option<StarImage>,
}

/// Stars in patches of one size: two after the shutter time tried, one after that of a rule.
#[derive(Debug, Clone, PartialEq)]
pub struct StarImages {
    /// The core, or what stands in for it; the middle of the frame where neither is in it.
    pub middle: StarPatch,
    /// The star in the worst place; `None` when no sky is in the frame.
    pub worst: Option<StarPatch>,
    /// The first one as the 500 rule would have it, and the rule's time, s.
    pub rule: Option<(f64, StarPatch)>,
}

impl StarImageInputs {
    fn new(outing: &Outing, answer: &Answer, trial: &ShutterTrails) -> Self {
        let view = answer.view;
        let disc_um = outing.focus.disc_um(view.lens, view.sensor.diagonal_mm());
        let (point, trail_px) = match answer.target_at {
            Some(point) => (point, trial.core_px),
            None => (SensorPoint::CENTRE, trial.centre_px),
        };
        let rules = answer.rules.iter();
        let rule_s = rules
            .filter(|row| row.rule == Some(Rule::FiveHundred))
            .find_map(|row| row.seconds);
        let after_rule = |seconds| Star {
            point,
            trail_px: answer.trail_px(point, seconds),
        };
        Self {
            view,
            rule: rule_s.map(|seconds| (seconds, after_rule(seconds))),
            disc_um: disc_um.unwrap_or(0.0),
            shutter_s: trial.shutter.exact_s(),
            middle: Star { point, trail_px },
            worst: answer.worst.map(|worst| Star {
                point: worst.point,
                trail_px: trial.worst_px,
            }),
        }
    }
}

impl StarImages {
    fn new(inputs: &StarImageInputs) -> Self {
        let view = &inputs.view;
        let spread = |star: &Star| view.point_spread_at(star.point, inputs.disc_um);
        let side = |star: &Star| view.patch_side(star.trail_px.unwrap_or(0.0), spread(star));
        let worst = inputs.worst.as_ref();
        let rule = inputs.rule.as_ref();
        let widest = [worst, rule.map(|rule| &rule.1)];
        let side = widest
            .into_iter()
            .flatten()
            .fold(side(&inputs.middle), |most, star| most.max(side(star)));
        let patch = |seconds: f64, star: &Star| StarPatch {
            trail_px: star.trail_px,
            appearance: star.trail_px.map(|px| spread(star).appearance(px)),
            image: view.star_image(star.point, seconds, spread(star), side),
        };
        Self {
            middle: patch(inputs.shutter_s, &inputs.middle),
            worst: worst.map(|star| patch(inputs.shutter_s, star)),
            rule: rule.map(|(seconds, star)| (*seconds, patch(*seconds, star))),
        }
    }
}

impl Derived {
    /// What the shutter time tried would leave.
    pub fn trial(&self, state: &State) -> ShutterTrails {
        let answer = self.answer(state);
        let shutter = answer.shutter().stepped(state.exposure.tried_thirds);
        ShutterTrails::new(&answer, shutter)
    }

    /// The stars under the loupes, after the shutter time tried.
    pub fn star_images(&self, state: &State) -> Rc<StarImages> {
        let (answer, trial) = (self.answer(state), self.trial(state));
        let inputs = StarImageInputs::new(state.outing(), &answer, &trial);
        self.star_images.get(inputs, StarImages::new)
    }
}
