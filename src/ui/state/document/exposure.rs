//! Edits of what the exposure follows from, beyond the kit.

use crate::camera::dial::next_of;
use crate::camera::f_number::next_f_number;
use crate::camera::focus::Focus;
use crate::camera::sharpness::Sharpness;
use crate::outing::exposure::sequence::next_total_min;
use crate::outing::plan::{KeepSharp, Outing, Support};

/// Trails the stepper goes through, pixels.
const USUAL_TRAILS_PX: [f64; 12] = [0.5, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0];

/// An edit of what the exposure follows from.
#[derive(Debug, Clone)]
pub enum ExposureEdit {
    /// The f-number in use.
    FNumber(f64),
    /// One third of a stop further closed, else opened.
    StepFNumber(bool),
    /// What the picture is for.
    Sharpness(Sharpness),
    /// The next longer usual trail, else the next shorter.
    StepTrail(bool),
    /// The place that must stay sharp.
    KeepSharp(KeepSharp),
    /// Where the lens is focused.
    Focus(Focus),
    /// ISO; `None` = the one suggested.
    Iso(Option<f64>),
    /// Time spent on the sky in all, minutes.
    TotalTime(f64),
    /// The next longer usual time in all, else the next shorter.
    StepTotalTime(bool),
    /// What the camera stands on.
    Support(Support),
    /// Brightness of the subject, V magnitudes per square arcsecond.
    SubjectBrightness(f64),
}

impl ExposureEdit {
    /// Applies the edit.
    pub(super) fn apply(self, outing: &mut Outing) {
        match self {
            Self::FNumber(f_number) => outing.f_number = f_number,
            Self::StepFNumber(up) => outing.f_number = next_f_number(outing.f_number, up),
            Self::Sharpness(sharpness) => outing.sharpness = sharpness,
            Self::StepTrail(up) => outing.sharpness = next_trail(outing.allowed_px(), up),
            Self::KeepSharp(place) => outing.keep_sharp = place,
            Self::Focus(focus) => outing.focus = focus,
            Self::Iso(iso) => outing.iso = iso,
            Self::TotalTime(minutes) => outing.stack_min = minutes,
            Self::StepTotalTime(up) => outing.stack_min = next_total_min(outing.stack_min, up),
            Self::Support(support) => outing.support = support,
            Self::SubjectBrightness(magnitude) => outing.subject_brightness = magnitude,
        }
    }
}

/// The next usual trail; the close look keeps its name.
fn next_trail(allowed_px: f64, up: bool) -> Sharpness {
    let pixels = next_of(&USUAL_TRAILS_PX, allowed_px, up);
    if pixels == Sharpness::CloseLook.pixels(0) {
        Sharpness::CloseLook
    } else {
        Sharpness::Pixels(pixels)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn the_trail_steps_from_a_print_too() {
        let step = |pixels, up| next_trail(pixels, up);
        assert_eq!(step(2.909, true), Sharpness::Pixels(3.0));
        assert_eq!(step(2.909, false), Sharpness::Pixels(2.5));
        assert_eq!(step(1.5, true), Sharpness::CloseLook);
        assert_eq!(step(80.0, true), Sharpness::Pixels(80.0));
    }
}
