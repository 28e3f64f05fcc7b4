//! A frame in the middle of a picture that shows what lies beyond it as well.
//!
//! The picture is what a larger sensor behind the same lens would hold, so land and sky run on
//! over the frame's edges as they are.

use crate::camera::distortion::Distortion;
use crate::camera::view::View;
use crate::ui::layout::Size;
use crate::ui::widgets::labels::Rect;

/// A view as wide as its picture, and the frame in it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct WideView {
    /// The view of the whole picture.
    pub view: View,
    /// Size of the picture, px.
    pub size: Size,
    /// The frame in it, px.
    pub frame: Rect,
}

impl WideView {
    /// The frame as large as it fits into a picture of this size.
    pub fn new(view: View, size: Size) -> Self {
        let sensor = view.sensor;
        let Size { width, height } = size.fitted(sensor.width_mm / sensor.height_mm);
        let mut wide = view;
        wide.sensor.width_mm *= size.width / width;
        wide.sensor.height_mm *= size.height / height;
        // its unit of distance is half the sensor's diagonal
        let unit = (wide.sensor.diagonal_mm() / sensor.diagonal_mm()).powi(2);
        let Distortion { k1, k2 } = view.lens.distortion;
        wide.lens.distortion = Distortion {
            k1: k1 * unit,
            k2: k2 * unit * unit,
        };
        Self {
            view: wide,
            size,
            frame: Rect {
                x: (size.width - width) / 2.0,
                y: (size.height - height) / 2.0,
                width,
                height,
            },
        }
    }

    /// A share of the picture in px.
    pub fn px(&self, (x, y): (f64, f64)) -> (f64, f64) {
        (x * self.size.width, y * self.size.height)
    }

    /// A share of the frame in px.
    pub fn frame_px(&self, (x, y): (f64, f64)) -> (f64, f64) {
        let frame = self.frame;
        (frame.x + x * frame.width, frame.y + y * frame.height)
    }

    /// A share of the picture as one of the frame; `None` outside it.
    pub fn in_frame(&self, share: (f64, f64)) -> Option<(f64, f64)> {
        let (x, y) = self.px(share);
        let share = (
            (x - self.frame.x) / self.frame.width,
            (y - self.frame.y) / self.frame.height,
        );
        let inside = |share: f64| (0.0..=1.0).contains(&share);
        (inside(share.0) && inside(share.1)).then_some(share)
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::outing::plan::{Orientation, Outing};

    /// Directions stand at the same place of the frame whether what lies beyond is drawn or not,
    /// with a lens that distorts too.
    #[test]
    fn the_frame_shows_the_same_with_more_about_it() {
        for orientation in [Orientation::Landscape, Orientation::Portrait] {
            let mut outing = Outing {
                orientation,
                ..Outing::default()
            };
            outing.kit.lens.distortion = Distortion {
                k1: -0.04,
                k2: 0.01,
            };
            let view = outing.view();
            let size = Size {
                width: 618.0,
                height: 360.0,
            };
            let wide = WideView::new(view, size);
            for (bearing, altitude) in [(175.0, 20.0), (186.0, 5.0), (170.0, 31.0)] {
                let at = (Angle::from_degrees(bearing), Angle::from_degrees(altitude));
                let narrow = view.place_of(at.0, at.1).expect("in the frame");
                let place = wide.view.place_of(at.0, at.1).expect("in the picture");
                let sensor = wide.view.sensor;
                let share = (
                    place.x_mm / sensor.width_mm + 0.5,
                    0.5 - place.y_mm / sensor.height_mm,
                );
                let got = wide.in_frame(share).expect("in the frame");
                let want = (
                    narrow.x_mm / view.sensor.width_mm + 0.5,
                    0.5 - narrow.y_mm / view.sensor.height_mm,
                );
                let miss = (got.0 - want.0).hypot(got.1 - want.1);
                assert!(
                    miss < 1e-9,
                    "{orientation:?} {bearing}: {got:?}, want {want:?}"
                );
            }
        }
    }
}
