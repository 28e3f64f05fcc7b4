//! The targets, their focal lengths for a sensor, and which lens of one's own frames each.

use crate::angle::Angle;
use crate::camera::framing::filling_focal_mm;
use crate::camera::sensor::Sensor;
use crate::sky::targets::{Target, all};

/// Longest lens recommended, mm: longer ones are telescopes, on mounts of their own.
pub const LONGEST_LENS_MM: f64 = 600.0;

/// A target is small in the frame of a lens shorter than this share of the one that fills it.
const SMALL: f64 = 1.0 / 3.0;

/// Most of a frame's side that a target may take to be held by it.
const HELD: f64 = 0.9;

/// Every target with the focal length that frames it, mm; largest target first.
pub fn framed_by(sensor: Sensor) -> impl Iterator<Item = (Target, f64)> {
    all().map(move |target| {
        let focal_mm = filling_focal_mm(sensor, target.long, target.short);
        (target, focal_mm)
    })
}

/// How a target goes into a frame.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Fit {
    /// One of the photographer's own lenses frames it.
    Fits,
    /// It wants a longer lens than they have.
    Longer,
    /// Their widest lens holds it only in several frames.
    Mosaic,
}

/// A target in the frame of a lens, the frame turned to the target's longer axis.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct TargetFrame {
    /// How it goes in.
    pub fit: Fit,
    /// The lens, mm.
    pub focal_mm: f64,
    /// Frames needed.
    pub frames: u32,
    /// Longer side of the frame over the shorter.
    pub aspect_ratio: f64,
    /// Long axis over the longer side, short axis over the shorter.
    pub outline: (f64, f64),
}

impl TargetFrame {
    /// A target of this size and the focal length that fills a frame with it, by the lenses of
    /// one's own, mm; `None` where no lens up to [`LONGEST_LENS_MM`] shows more than a speck of it.
    ///
    /// Of lenses that hold the target the longest is taken. A rectilinear lens.
    ///
    /// ```text
    /// 3.4° × 3.0° on 36 × 24 mm with 20 and 135 mm  →  a longer lens, 302 mm
    /// ```
    pub fn new(sensor: Sensor, target: &Target, filling_mm: f64, own_mm: &[f64]) -> Option<Self> {
        let (long_mm, short_mm) = (
            sensor.width_mm.max(sensor.height_mm),
            sensor.width_mm.min(sensor.height_mm),
        );
        let outline = |focal_mm: f64| {
            let share = |axis: Angle, side_mm: f64| {
                let half = Angle::from_radians(axis.radians() / 2.0);
                2.0 * focal_mm * half.sin() / half.cos() / side_mm
            };
            (share(target.long, long_mm), share(target.short, short_mm))
        };
        let holds = |mm: &f64| {
            let (long, short) = outline(*mm);
            long.max(short) <= HELD
        };
        let longest_own = own_mm.iter().copied().filter(holds).fold(0.0, f64::max);
        let (fit, focal_mm) = if longest_own >= SMALL * filling_mm {
            (Fit::Fits, longest_own)
        } else if longest_own > 0.0 || own_mm.is_empty() {
            let longer = filling_mm.min(LONGEST_LENS_MM);
            if longer < SMALL * filling_mm {
                return None;
            }
            (Fit::Longer, longer.floor())
        } else {
            let widest = own_mm.iter().copied().fold(f64::INFINITY, f64::min);
            (Fit::Mosaic, widest)
        };
        let outline = outline(focal_mm);
        // frames overlap by a fifth
        let along = |share: f64| ((share / 0.8).ceil()).max(1.0);
        let frames = match fit {
            Fit::Mosaic => along(outline.0) * along(outline.1),
            _ => 1.0,
        };
        Some(Self {
            fit,
            focal_mm,
            // a float to integer cast saturates
            frames: frames as u32,
            aspect_ratio: long_mm / short_mm,
            outline,
        })
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::sensor::FORMATS;

    fn framed(name: &str, own_mm: &[f64]) -> Option<TargetFrame> {
        let sensor = FORMATS[1].sensor(24.0);
        let (target, filling_mm) = framed_by(sensor)
            .find(|(target, _)| target.name == name)
            .expect("a target");
        TargetFrame::new(sensor, &target, filling_mm, own_mm)
    }

    /// Common practice on full frame: the core goes into a wide lens, the North America nebula
    /// fills 300 mm, the Dumbbell is for telescopes, and 85 mm takes several frames of the core.
    #[test]
    fn lenses_are_grouped_as_photographers_do() {
        let kits = [20.0, 135.0];
        let core = framed("The core", &kits).expect("the core");
        assert_eq!((core.fit, core.focal_mm), (Fit::Fits, 20.0));
        let cloud = framed("North America and Pelican", &kits).expect("a frame");
        assert_eq!(cloud.fit, Fit::Fits);
        assert_eq!(cloud.focal_mm, 135.0);
        let cloud = framed("North America and Pelican", &[20.0]).expect("a frame");
        assert_eq!(cloud.fit, Fit::Longer);
        assert!((250.0..350.0).contains(&cloud.focal_mm), "{cloud:?}");
        assert_eq!(framed("Dumbbell", &kits), None);
        let mosaic = framed("The core", &[85.0]).expect("a mosaic");
        assert_eq!(mosaic.fit, Fit::Mosaic);
        assert!((2..=6).contains(&mosaic.frames), "{mosaic:?}");
    }

    /// Nothing over 600 mm is recommended, no target is a speck, and what fits is inside its frame.
    #[test]
    fn every_recommendation_can_be_bought_and_seen() {
        let sensor = FORMATS[1].sensor(24.0);
        for own_mm in [&[][..], &[14.0], &[20.0, 85.0, 400.0], &[2000.0]] {
            for (target, filling_mm) in framed_by(sensor) {
                let Some(frame) = TargetFrame::new(sensor, &target, filling_mm, own_mm) else {
                    continue;
                };
                let (long, short) = frame.outline;
                assert!(long.max(short) > 0.1, "{target:?} {frame:?}");
                if frame.fit == Fit::Mosaic {
                    assert!(frame.frames > 1, "{target:?} {frame:?}");
                } else {
                    assert!(long <= 1.0 && short <= 1.0, "{target:?} {frame:?}");
                }
                let own = own_mm.contains(&frame.focal_mm);
                assert!(own || frame.focal_mm <= LONGEST_LENS_MM, "{frame:?}");
            }
        }
    }
}
