//! How many pictures at different focus it takes to have all the foreground sharp.
//!
//! Focused at the hyperfocal distance H a lens is sharp, within the circle of confusion, from H/2
//! to infinity. Focused next at H/3 it is sharp from H/4 to H/2, then at H/5 from H/6 to H/4: each
//! step covers the same piece of the reciprocal distance, 2/H, so their number grows as one over
//! the nearest distance.

use crate::camera::focus::hyperfocal_mm;
use crate::camera::lens::Lens;

/// Most steps listed (own choice): beyond it another f-number is better than more pictures.
pub const MOST_STEPS: usize = 24;

/// One picture of a stack.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct FocusStep {
    /// Distance the lens is focused at, mm.
    pub focus_mm: f64,
    /// Nearest sharp distance, mm.
    pub near_mm: f64,
    /// Farthest sharp distance, mm; infinite for the first.
    pub far_mm: f64,
}

/// The focus distances that have everything from `nearest_mm` to infinity within a circle of
/// confusion, farthest first.
///
/// Distances are from the lens. Empty where the nearest distance is within twice the focal length,
/// which is macro photography, where an input is not positive, or where more than [`MOST_STEPS`]
/// would be needed.
///
/// A point at D with focus at s is a disc of f²/N · |s − D| / (D (s − f)), a thin lens (standard
/// optics). With h = f²/(N c) it is within c where 1/D is within (1 − f/s)/h of 1/s. So the step
/// whose far end is F is focused at s = (1 + f/h) / (1/F + 1/h), and its near end is the next
/// step's far end. For distances of many focal lengths that is the chain H, H/3, H/5 …
///
/// ```text
/// 24 mm, f/2.8, 0.030 mm, from 2 m  →  6.88 m and 2.30 m
/// ```
pub fn focus_steps(lens: Lens, circle_mm: f64, nearest_mm: f64) -> Vec<FocusStep> {
    let focal_mm = lens.focal_mm;
    let h_mm = hyperfocal_mm(focal_mm, lens.f_number, circle_mm) - focal_mm;
    let sound = h_mm > 0.0 && h_mm.is_finite() && nearest_mm >= 2.0 * focal_mm;
    let mut steps = Vec::new();
    let mut far_mm = f64::INFINITY;
    while sound && far_mm > nearest_mm {
        if steps.len() == MOST_STEPS {
            return Vec::new();
        }
        let focus_mm = (1.0 + focal_mm / h_mm) / (1.0 / far_mm + 1.0 / h_mm);
        let near_mm = 1.0 / (1.0 / focus_mm + (1.0 - focal_mm / focus_mm) / h_mm);
        steps.push(FocusStep {
            focus_mm,
            near_mm,
            far_mm,
        });
        far_mm = near_mm;
    }
    steps
}

#[cfg(test)]
mod tests {
    use super::*;

    fn lens(focal_mm: f64, f_number: f64) -> Lens {
        Lens {
            focal_mm,
            f_number,
            ..Lens::default()
        }
    }

    /// Blur of a point at `distance_mm` by the thin lens's image distances, v = f D / (D − f), and
    /// the cone from an aperture of f/N: an independent way.
    fn blur_mm(lens: Lens, focus_mm: f64, distance_mm: f64) -> f64 {
        let f = lens.focal_mm;
        let image = |distance: f64| {
            if distance.is_finite() {
                f * distance / (distance - f)
            } else {
                f
            }
        };
        let (sensor, v) = (image(focus_mm), image(distance_mm));
        f / lens.f_number * (v - sensor).abs() / v
    }

    /// Every end of every step is blurred by exactly the circle, and nothing is left between them.
    #[test]
    fn the_ends_are_as_blurred_as_allowed() {
        for (focal_mm, f_number, nearest_mm) in
            [(14.0, 2.8, 500.0), (24.0, 2.8, 800.0), (50.0, 8.0, 3000.0)]
        {
            let lens = lens(focal_mm, f_number);
            let steps = focus_steps(lens, 0.03, nearest_mm);
            assert_eq!(steps[0].far_mm, f64::INFINITY);
            for step in &steps {
                for end in [step.near_mm, step.far_mm] {
                    let blur = blur_mm(lens, step.focus_mm, end);
                    assert!((blur - 0.03).abs() < 1e-9, "{focal_mm} {step:?}: {blur}");
                }
            }
            for two in steps.windows(2) {
                assert_eq!(two[0].near_mm, two[1].far_mm);
            }
            let [.., before, last] = steps[..] else {
                panic!("{steps:?}");
            };
            assert!(last.near_mm <= nearest_mm && before.near_mm > nearest_mm);
        }
    }

    /// The hyperfocal chain H, H/3, H/5 … (standard depth of field, common practice), which holds
    /// where distances are many focal lengths; the number is H/2 over the nearest distance, rounded
    /// up. H of 24 mm at f/2.8 and 0.030 mm is 6.881 m, see [`hyperfocal_mm`].
    #[test]
    fn agrees_with_the_hyperfocal_chain() {
        let steps = focus_steps(lens(24.0, 2.8), 0.030, 700.0);
        assert_eq!(steps.len(), (6881.0_f64 / 2.0 / 700.0).ceil() as usize);
        for (step, odd) in steps.iter().zip([1.0, 3.0, 5.0, 7.0, 9.0]) {
            let want = 6881.0 / odd;
            assert!((step.focus_mm / want - 1.0).abs() < 0.03, "{odd}: {step:?}");
        }
    }

    #[test]
    fn absurd_input_has_no_steps() {
        assert_eq!(focus_steps(lens(24.0, 2.8), 0.03, 20.0), []);
        assert_eq!(focus_steps(lens(24.0, 2.8), 0.0, 2000.0), []);
        assert_eq!(focus_steps(lens(24.0, 2.8), 0.03, f64::NAN), []);
        assert_eq!(focus_steps(lens(f64::NAN, 2.8), 0.03, 2000.0), []);
        // 400 mm wide open from 10 m would be a hundred and more
        assert_eq!(focus_steps(lens(400.0, 2.8), 0.03, 10_000.0), []);
        assert_eq!(focus_steps(lens(24.0, 2.8), 0.03, f64::INFINITY), []);
    }
}
