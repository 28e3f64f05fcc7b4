//! The sharp pool of the frame, as the picture under How long? draws it.

use std::rc::Rc;

use super::Derived;
use crate::camera::dial::Shutter;
use crate::camera::sharp_pool::{PoolGrid, SharpPool, Stroke};
use crate::camera::view::View;
use crate::ui::layout::Size;
use crate::ui::state::State;

/// Distance between strokes and between lines of hatching, px.
const STROKES_PX: f64 = 31.0;
const HATCH_PX: f64 = 9.0;

/// Longest stroke, px: a gap is left to the next.
const LONGEST_PX: f64 = 25.0;

/// Factors by which trails are exaggerated.
const FACTORS: [f64; 10] = [1.0, 2.0, 3.0, 5.0, 10.0, 20.0, 30.0, 50.0, 100.0, 200.0];

/// What a [`DrawnPool`] depends on. Of site and moment there is only what they make of the view.
#[derive(Debug, Clone, PartialEq)]
pub struct PoolInputs {
    view: View,
    shutter_s: f64,
    allowed_px: f64,
    size: Size,
}

/// The pool in a picture of one size.
#[derive(Debug, Clone, PartialEq)]
pub struct DrawnPool {
    /// Shore, hatching and strokes; these in their true length.
    pub pool: SharpPool,
    /// By how much the strokes are drawn longer than they are.
    pub factor: f64,
}

/// The largest factor by which a stroke of a length still fits the room, at least 1.
pub fn exaggeration(longest_px: f64, room_px: f64) -> f64 {
    let fits = |factor: &&f64| **factor * longest_px <= room_px;
    FACTORS.iter().rev().find(fits).copied().unwrap_or(1.0)
}

impl DrawnPool {
    fn new(inputs: &PoolInputs) -> Self {
        let Size { width, height } = inputs.size;
        let strokes = |length: f64| (length / STROKES_PX).round().max(2.0) as u32;
        let grid = PoolGrid {
            columns: strokes(width),
            rows: strokes(height),
            hatch: HATCH_PX * std::f64::consts::SQRT_2 / width.max(height),
        };
        let pool = inputs
            .view
            .sharp_pool(inputs.shutter_s, inputs.allowed_px, grid);
        let longest = pool.strokes.iter().map(Stroke::length).fold(0.0, f64::max);
        Self {
            factor: exaggeration(longest * width, LONGEST_PX),
            pool,
        }
    }
}

impl Derived {
    /// The sharp pool after this shutter time, in a picture of this size.
    pub fn sharp_pool(&self, state: &State, shutter: Shutter, size: Size) -> Rc<DrawnPool> {
        let answer = self.answer(state);
        let inputs = PoolInputs {
            view: answer.view,
            shutter_s: shutter.exact_s(),
            allowed_px: answer.allowed_px,
            size,
        };
        self.sharp_pool.get(inputs, DrawnPool::new)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::browser::theme::Theme;
    use crate::outing::document::Document;

    #[test]
    fn trails_are_exaggerated_as_far_as_there_is_room() {
        for (longest_px, want) in [
            (0.17, 100.0),
            (0.25, 100.0),
            (0.26, 50.0),
            (5.0, 5.0),
            (13.0, 1.0),
            (400.0, 1.0),
            (0.0, 200.0),
            (f64::NAN, 1.0),
        ] {
            assert_eq!(exaggeration(longest_px, 25.0), want, "{longest_px}");
        }
    }

    /// The picture of the default outing: strokes can be seen, none runs into the next, and those
    /// beyond the shore are drawn longer.
    #[test]
    fn strokes_are_readable_at_every_size() {
        let state = State::new(
            Document::default(),
            Theme::Dusk,
            chrono::DateTime::UNIX_EPOCH,
            1,
        );
        let derived = Derived::default();
        let shutter = derived.answer(&state).shutter();
        for width in [320.0, 360.0, 560.0, 900.0] {
            let size = Size {
                width,
                height: width / 1.5,
            };
            let drawn = derived.sharp_pool(&state, shutter, size);
            let px = |beyond| {
                let kind = drawn
                    .pool
                    .strokes
                    .iter()
                    .filter(move |it| it.beyond == beyond);
                kind.map(|stroke| stroke.length() * width * drawn.factor)
            };
            let longest = px(true).fold(0.0, f64::max);
            assert!((12.0..=25.0).contains(&longest), "{width}: {longest} px");
            assert!(px(false).fold(0.0, f64::max) <= px(true).fold(99.0, f64::min));
        }
    }
}
