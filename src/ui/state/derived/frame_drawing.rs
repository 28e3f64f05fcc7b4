//! What is drawn over a test frame: rings about its stars, strokes made longer, the border of sky
//! and ground.

use crate::angle::Angle;
use crate::outing::test_frame::border::Correction;
use crate::outing::test_frame::report::{FrameReport, Stroke};
use crate::ui::layout::Size;
use crate::ui::widgets::svg_path::SvgPath;

/// Rings drawn: about the brightest, so that the stars are seen.
const MOST_RINGS: usize = 80;

/// Radius of a ring, px of the screen.
const RING_PX: f64 = 5.0;

/// Length that the longest stroke has at most, as a share of the drawing's width.
const LONGEST: f64 = 0.2;

/// Distance between a measured stroke and the predicted one beside it, px.
const BESIDE_PX: f64 = 6.0;

/// Strokes are drawn longer by one of these, times a power of ten.
const FACTORS: [f64; 3] = [5.0, 2.0, 1.0];

/// Paths over a picture of a size.
#[derive(Debug, Clone, PartialEq)]
pub struct FrameDrawing {
    /// The picture's size on the screen.
    pub size: Size,
    /// By how much strokes are drawn longer than they are in the picture at this size.
    pub factor: f64,
    /// Rings about stars.
    pub rings: String,
    /// Measured strokes.
    pub measured: String,
    /// Predicted ones, each beside the measured.
    pub predicted: String,
    /// The border of sky and ground.
    pub border: String,
    /// How the picture moved when the tripod was knocked, as much longer; empty where it was not.
    pub knock: String,
}

impl FrameDrawing {
    /// Of a frame with a corrected border, as large as it fits.
    pub fn new(report: &FrameReport, correction: &Correction, room: Size) -> Self {
        let (width, height) = (f64::from(report.size_px.0), f64::from(report.size_px.1));
        let size = room.fitted(width / height.max(1.0));
        let scale = size.width / width.max(1.0);
        let place = |(x, y): (f32, f32)| (f64::from(x) * scale, f64::from(y) * scale);
        let mut rings = SvgPath::default();
        for star in report.stars.iter().take(MOST_RINGS) {
            let (x, y) = place(*star);
            let radii = (RING_PX, RING_PX);
            rings.move_to((x - RING_PX, y));
            rings.arc_to(radii, true, (x + RING_PX, y));
            rings.arc_to(radii, true, (x - RING_PX, y));
        }
        let factor = factor(report, LONGEST * width);
        let (mut measured, mut predicted) = (SvgPath::default(), SvgPath::default());
        for zone in &report.zones {
            let at = place(zone.at);
            // a stroke that is not told from a star's own shape has no direction
            let measured_stroke = zone.measured.as_ref().filter(|stars| !stars.short);
            if let Some(stroke) = measured_stroke.map(|stars| stars.stroke) {
                line(&mut measured, at, stroke, factor * scale);
            }
            if let Some(stroke) = zone.predicted {
                line(
                    &mut predicted,
                    beside(at, stroke.angle),
                    stroke,
                    factor * scale,
                );
            }
        }
        let mut border = SvgPath::default();
        let points = 0..report.border.len();
        border.polyline(points.map(|point| place(correction.place(&report.border, point))));
        Self {
            size,
            factor,
            rings: rings.finish(),
            measured: measured.finish(),
            predicted: predicted.finish(),
            border: border.finish(),
            knock: knock_arrow(report, size, factor * scale),
        }
    }
}

/// An arrow about the picture's middle, from where stars stood for longer to where they stood for the
/// shorter part of the exposure.
fn knock_arrow(report: &FrameReport, size: Size, scale: f64) -> String {
    /// Length of the head's sides, px, and their angle from the arrow, radians.
    const HEAD_PX: f64 = 9.0;
    const HEAD_ANGLE: f64 = 0.45;
    let mut path = SvgPath::default();
    if let Some(knock) = report.knock {
        let (half_x, half_y) = (knock.dx_px * scale / 2.0, knock.dy_px * scale / 2.0);
        let (x, y) = (size.width / 2.0, size.height / 2.0);
        let end = (x + half_x, y + half_y);
        let back = half_y.atan2(half_x) + std::f64::consts::PI;
        path.move_to((x - half_x, y - half_y));
        path.line_to(end);
        for side in [-HEAD_ANGLE, HEAD_ANGLE] {
            let (sin, cos) = (back + side).sin_cos();
            path.move_to(end);
            path.line_to((end.0 + HEAD_PX * cos, end.1 + HEAD_PX * sin));
        }
    }
    path.finish()
}

/// A round factor by which the longest stroke stays within a length, px of the picture; 1 at least.
fn factor(report: &FrameReport, longest_px: f64) -> f64 {
    let strokes = report.zones.iter().flat_map(|zone| {
        let measured = zone.measured.as_ref().map(|stars| stars.stroke);
        [measured, zone.predicted]
    });
    let knock = report.knock.map(|knock| knock.dx_px.hypot(knock.dy_px));
    let longest = strokes
        .flatten()
        .map(|stroke| stroke.length_px)
        .chain(knock);
    let most = longest_px / longest.fold(1.0, f64::max);
    let power = 10_f64.powf(most.max(1.0).log10().floor());
    let round = FACTORS.map(|step| step * power);
    round
        .into_iter()
        .find(|factor| *factor <= most)
        .unwrap_or(1.0)
}

fn line(path: &mut SvgPath, (x, y): (f64, f64), stroke: Stroke, scale: f64) {
    let half = stroke.length_px * scale / 2.0;
    let (sin, cos) = stroke.angle.radians().sin_cos();
    path.move_to((x - half * cos, y + half * sin));
    path.line_to((x + half * cos, y - half * sin));
}

/// A place beside another, across a direction.
fn beside((x, y): (f64, f64), angle: Angle) -> (f64, f64) {
    let (sin, cos) = angle.radians().sin_cos();
    (x + BESIDE_PX * sin, y + BESIDE_PX * cos)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::astrometry::knock::Knock;
    use crate::outing::test_frame::offers::tests::good;

    #[test]
    fn strokes_are_longer_by_the_factor_named() {
        let room = Size {
            width: 400.0,
            height: 300.0,
        };
        let drawing = FrameDrawing::new(&good(), &Correction::default(), room);
        assert_eq!((drawing.size.width, drawing.size.height), (200.0, 300.0));
        // a fifth of 4000 px over 3.3 px is 242
        assert_eq!(drawing.factor, 200.0);
        // 3.1 px of the picture, 200 times longer, at 1/20 of the size
        let mut length = 3.1 * 200.0 / 20.0;
        let numbers: Vec<f64> = drawing.measured[1..]
            .split(['L', 'M', ' '])
            .filter_map(|text| text.parse().ok())
            .collect();
        length -= (numbers[2] - numbers[0]).hypot(numbers[3] - numbers[1]);
        assert!(length.abs() < 0.03, "{length}");
        // 20° anticlockwise: up to the right
        assert!(numbers[2] > numbers[0] && numbers[3] < numbers[1]);
        assert_eq!(drawing.rings.matches('M').count(), 1);
    }

    /// 8 px right and 6 px down make 10 px, a fifth of the 4000 px over which is 80.
    #[test]
    fn a_knock_is_an_arrow_about_the_middle() {
        let room = Size {
            width: 400.0,
            height: 300.0,
        };
        let mut report = good();
        let correction = Correction::default();
        let still = FrameDrawing::new(&report, &correction, room);
        assert_eq!(still.knock, "");
        report.knock = Some(Knock {
            dx_px: 8.0,
            dy_px: 6.0,
            share: 0.3,
            pairs: 30,
        });
        let drawing = FrameDrawing::new(&report, &correction, room);
        assert_eq!(drawing.factor, 50.0);
        // 8 px of the picture, 50 times longer, at 1/20 of the size: 10 px to either side
        assert!(
            drawing.knock.starts_with("M90.00 142.50L110.00 157.50"),
            "{}",
            drawing.knock
        );
    }

    #[test]
    fn long_strokes_are_drawn_as_they_are() {
        let mut report = good();
        report.zones[0].predicted = Some(Stroke {
            length_px: 3000.0,
            angle: Angle::ZERO,
        });
        assert_eq!(factor(&report, 800.0), 1.0);
        report.zones.clear();
        assert_eq!(factor(&report, 800.0), 500.0);
    }
}
