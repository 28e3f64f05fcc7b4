//! Measuring one maximum, and whether it is a star.
//!
//! The centroid is found in a Gaussian window of the picture's own star shape that moves with it until
//! it rests (the windowed centroid of E. Bertin's *SExtractor* manual, from memory), so that
//! neighbours and noise weigh little. A star stands out from a ring around it on all sides: an edge,
//! a streak or a cloud does not.

use super::extent::Extent;
use crate::angle::Angle;
use crate::astrometry::background::{median, median_and_noise};
use crate::astrometry::picture::{Picture, PicturePoint};
use crate::astrometry::star_list::DetectedStar;

/// Values at or above this are at the end of the file's range: 8-bit 252, since compression spoils
/// the last steps.
const FULL: f32 = 0.974;

/// Steps of the centroid, and when it rests, px.
const MOST_STEPS: usize = 12;
const RESTS_PX: f64 = 2e-3;

/// Points on the ring around a star, and how many next to each other may be bright: a neighbour.
const RING_POINTS: usize = 16;
const BRIGHT_RUN: usize = 6;

/// A point of the ring is bright from this share of the star's height.
const BRIGHT_SHARE: f32 = 0.5;

/// Least flux over its own noise.
const LEAST_SIGNAL: f64 = 4.0;

/// How far a centroid may move from the maximum, in the star's own half extents.
const MOST_SHIFT: f32 = 1.6;

/// Points of each line of the ring, at most.
const RING_SAMPLES: usize = 60;

/// A measured variance is at least this share of the window's across, and a star's at most this
/// multiple of the window's along.
const LEAST_VARIANCE_SHARE: f64 = 0.02;
const MOST_VARIANCE_SHARE: f64 = 9.0;

/// Widest margin of an aperture for a saturated star, px. What is larger is the Moon or a lamp.
const MOST_MARGIN_PX: f32 = 60.0;

/// Window of measure, standard deviations of the window's Gaussian.
const WINDOW_SIGMAS: f64 = 3.0;

/// A star and what decides later whether it is one among the others.
#[derive(Debug, Clone, Copy)]
pub(super) struct Measured {
    pub star: DetectedStar,
    /// Flux over its noise.
    pub signal: f64,
    /// Brightest neighbour of the brightest pixel, over it: small for a hot pixel.
    pub neighbour_share: f32,
}

/// Measures the star at a pixel. `None` where it is none, or at the picture's edge.
pub(super) fn measure(
    picture: &Picture,
    x: usize,
    y: usize,
    ring: &Ring,
    budget: &mut GrowthBudget,
) -> Option<Measured> {
    let extent = ring.extent;
    let (level, _) = ring.background(picture, x, y)?;
    let sigmas = extent.window_sigmas_px();
    let window = Window {
        along: f64::from(sigmas.0),
        across: f64::from(sigmas.1),
        extent,
    };
    let mut at = PicturePoint {
        x_px: x as f64 + 0.5,
        y_px: y as f64 + 0.5,
    };
    let (start_x, start_y) = (at.x_px, at.y_px);
    let mut moments = None;
    for _ in 0..MOST_STEPS {
        let found = window.moments(picture, at, level)?;
        // in a window as wide as the star the mean moves half the way
        let (dx, dy) = (2.0 * found.x, 2.0 * found.y);
        at.x_px += dx;
        at.y_px += dy;
        let (moved_x, moved_y) = (at.x_px - start_x, at.y_px - start_y);
        if extent.distance2(moved_x as f32, moved_y as f32) > MOST_SHIFT * MOST_SHIFT {
            return None;
        }
        moments = Some(found);
        if dx.hypot(dy) < RESTS_PX {
            break;
        }
    }
    let moments = moments?;
    let (long_px, wide_px, angle) = window.axes(&moments);
    // once more around the star itself: the maximum of a long stroke may be at its end
    let (x, y) = (at.x_px.floor() as usize, at.y_px.floor() as usize);
    let (level, noise) = ring.background(picture, x, y)?;
    if !ring.stands_out(picture, x, y, level) {
        return None;
    }
    let aperture = Aperture::sum(picture, at, extent, level, budget)?;
    // in a window of the star's own shape the weights sum up to twice their squares; what a
    // neighbour adds to it is little, but a saturated star has lost its core
    let flux = if aperture.saturated {
        aperture.flux
    } else {
        2.0 * moments.sum
    };
    let window_px2 = 4.0 * std::f64::consts::PI * window.along * window.across;
    let signal = flux / (f64::from(noise) * window_px2.sqrt());
    let (peak, neighbour_share) = peak(picture, x, y, level);
    (signal >= LEAST_SIGNAL).then_some(Measured {
        star: DetectedStar {
            at,
            flux,
            peak,
            saturated: aperture.saturated,
            long_px,
            wide_px,
            angle,
        },
        signal,
        neighbour_share,
    })
}

/// The brightest pixel around a place, above the background, and the brightest of its four
/// neighbours over it.
fn peak(picture: &Picture, x: usize, y: usize, level: f32) -> (f32, f32) {
    let value = |x: usize, y: usize| picture.row(y).get(x).map_or(0.0, |value| value - level);
    let (mut top, mut at) = (0.0, (x, y));
    for row in y.saturating_sub(1)..=y + 1 {
        for column in x.saturating_sub(1)..=x + 1 {
            if value(column, row) > top {
                (top, at) = (value(column, row), (column, row));
            }
        }
    }
    let (x, y) = at;
    let near = [
        value(x.wrapping_sub(1), y),
        value(x + 1, y),
        value(x, y.wrapping_sub(1)),
        value(x, y + 1),
    ];
    let brightest = near.into_iter().fold(0.0, f32::max);
    (top, brightest / top.max(f32::MIN_POSITIVE))
}

/// The ring around stars of one extent, an ellipse like themselves: where their background is taken,
/// and where they must have ended. As steps to the right and down.
pub(super) struct Ring {
    extent: Extent,
    background: Vec<(i32, i32)>,
    around: [(i32, i32); RING_POINTS],
}

impl Ring {
    /// Lays out the ring.
    pub fn new(extent: Extent) -> Self {
        let ellipse = |long: f32, wide: f32, index: usize, points: usize| {
            let turn = std::f32::consts::TAU * index as f32 / points as f32;
            let (dx, dy) = extent.right_and_down(long * turn.cos(), wide * turn.sin());
            (dx.round() as i32, dy.round() as i32)
        };
        let mut background = Vec::new();
        for margin in [2.0, 3.0, 4.0, 5.0] {
            let (long, wide) = (2.0 * extent.long_px + margin, 2.0 * extent.wide_px + margin);
            let points = (std::f32::consts::PI * (long + wide)) as usize;
            let points = points.min(RING_SAMPLES);
            background.extend((0..points).map(|index| ellipse(long, wide, index, points)));
        }
        let (long, wide) = (1.9 * extent.long_px + 1.0, 1.9 * extent.wide_px + 1.0);
        Self {
            extent,
            background,
            around: std::array::from_fn(|index| ellipse(long, wide, index, RING_POINTS)),
        }
    }

    /// Median and noise of the pixels of the ring; `None` where most of it is outside the picture.
    fn background(&self, picture: &Picture, x: usize, y: usize) -> Option<(f32, f32)> {
        let mut values = Vec::with_capacity(self.background.len());
        for (dx, dy) in &self.background {
            let column = x.checked_add_signed(*dx as isize);
            let row = y.checked_add_signed(*dy as isize);
            if let (Some(column), Some(row)) = (column, row) {
                values.extend(picture.row(row).get(column));
            }
        }
        (2 * values.len() >= self.background.len()).then(|| median_and_noise(&mut values))
    }

    /// Whether the ring is dark but for one neighbour at most.
    fn stands_out(&self, picture: &Picture, x: usize, y: usize, level: f32) -> bool {
        let height = mean_around(picture, x as i64, y as i64).map_or(0.0, |value| value - level);
        let bright = self.around.map(|(dx, dy)| {
            mean_around(picture, x as i64 + i64::from(dx), y as i64 + i64::from(dy))
                .is_some_and(|value| value - level > BRIGHT_SHARE * height)
        });
        let count = bright.iter().filter(|bright| **bright).count();
        let starts = (0..RING_POINTS)
            .filter(|index| bright[*index] && !bright[(index + RING_POINTS - 1) % RING_POINTS])
            .count();
        height > 0.0 && count <= BRIGHT_RUN && starts <= 1
    }
}

/// Mean of a pixel and its eight neighbours; `None` outside the picture.
fn mean_around(picture: &Picture, x: i64, y: i64) -> Option<f32> {
    let (x, y) = (usize::try_from(x).ok()?, usize::try_from(y).ok()?);
    if x == 0 || y == 0 || x + 1 >= picture.width || y + 1 >= picture.height {
        return None;
    }
    let sum: f32 = (y - 1..=y + 1)
        .flat_map(|row| &picture.row(row)[x - 1..=x + 1])
        .sum();
    Some(sum / 9.0)
}

/// Weighted moments of the light in a window, relative to its centre.
struct Moments {
    /// Light, weighted.
    sum: f64,
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

/// A Gaussian window as long, as wide and turned as a typical star.
struct Window {
    /// Standard deviations, px.
    along: f64,
    across: f64,
    extent: Extent,
}

impl Window {
    /// Inverse of the window's covariance: xx, yy, xy.
    fn inverse(&self) -> (f64, f64, f64) {
        let (cos, sin) = self.extent.direction;
        let (cos, sin) = (f64::from(cos), f64::from(sin));
        let (along, across) = (self.along.powi(-2), self.across.powi(-2));
        (
            cos * cos * along + sin * sin * across,
            sin * sin * along + cos * cos * across,
            cos * sin * (along - across),
        )
    }

    fn moments(&self, picture: &Picture, at: PicturePoint, level: f32) -> Option<Moments> {
        let (cos, sin) = self.extent.direction;
        let (cos, sin) = (f64::from(cos), f64::from(sin));
        let reach_x = WINDOW_SIGMAS * (self.along * cos).hypot(self.across * sin);
        let reach_y = WINDOW_SIGMAS * (self.along * sin).hypot(self.across * cos);
        let (left, right) = (at.x_px - reach_x - 0.5, at.x_px + reach_x - 0.5);
        let (top, bottom) = (at.y_px - reach_y - 0.5, at.y_px + reach_y - 0.5);
        let inside = left >= 0.0
            && top >= 0.0
            && right < (picture.width - 1) as f64
            && bottom < (picture.height - 1) as f64;
        if !inside {
            return None;
        }
        let (xx, yy, xy) = self.inverse();
        let columns = left.ceil() as usize..=right.floor() as usize;
        // exp(−(xx dx² + 2 xy dx dy + yy dy²)/2), the mixed part by steps from column to column
        let weights: Vec<(f64, f64)> = columns
            .clone()
            .map(|x| {
                let dx = x as f64 + 0.5 - at.x_px;
                (dx, (-0.5 * xx * dx * dx).exp())
            })
            .collect();
        let first = weights.first()?.0;
        let (mut sum, mut sx, mut sy, mut sxx, mut syy, mut sxy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        for y in top.ceil() as usize..=bottom.floor() as usize {
            let dy = y as f64 + 0.5 - at.y_px;
            let row = &picture.row(y)[columns.clone()];
            let mut mixed = (-xy * first * dy - 0.5 * yy * dy * dy).exp();
            let step = (-xy * dy).exp();
            let (mut row_sum, mut row_x, mut row_xx) = (0.0, 0.0, 0.0);
            for (value, (dx, weight)) in row.iter().zip(&weights) {
                let light = weight * mixed * f64::from(value - level);
                row_sum += light;
                row_x += light * dx;
                row_xx += light * dx * dx;
                mixed *= step;
            }
            sum += row_sum;
            sx += row_x;
            sxx += row_xx;
            sy += dy * row_sum;
            sxy += dy * row_x;
            syy += dy * dy * row_sum;
        }
        if !(sum > 0.0 && sum.is_finite()) {
            return None;
        }
        let (x, y) = (sx / sum, sy / sum);
        Some(Moments {
            sum,
            x,
            y,
            xx: sxx / sum - x * x,
            yy: syy / sum - y * y,
            xy: sxy / sum - x * y,
        })
    }

    /// Standard deviations along and across, and the direction of the longer axis, with the window
    /// taken out: for a Gaussian star the inverse covariances of star and window add.
    fn axes(&self, moments: &Moments) -> (f64, f64, Angle) {
        let (mean, apart) = (
            (moments.xx + moments.yy) / 2.0,
            ((moments.xx - moments.yy) / 2.0).hypot(moments.xy),
        );
        let least = LEAST_VARIANCE_SHARE * self.across * self.across;
        let (mean, apart) = if mean - apart < least {
            let longer = (mean + apart).max(least);
            ((longer + least) / 2.0, (longer - least) / 2.0)
        } else {
            (mean, apart)
        };
        // inverse of the measured covariance, less the window's
        let turn = moments.xy.atan2((moments.xx - moments.yy) / 2.0);
        let (window_xx, window_yy, window_xy) = self.inverse();
        let determinant = mean * mean - apart * apart;
        let inverse_mean = mean / determinant - (window_xx + window_yy) / 2.0;
        let u = -apart * turn.cos() / determinant - (window_xx - window_yy) / 2.0;
        let v = -apart * turn.sin() / determinant - window_xy;
        let inverse_apart = u.hypot(v);
        // light spread as evenly as the window or more is only told as wide
        let widest = MOST_VARIANCE_SHARE * self.along * self.along;
        let deviation = |inverse: f64| (1.0 / inverse.max(1.0 / widest)).sqrt();
        // down is positive in the picture, and angles are anticlockwise as seen; the longer axis has
        // the smaller inverse
        let angle = 0.5 * v.atan2(-u);
        (
            deviation(inverse_mean - inverse_apart),
            deviation(inverse_mean + inverse_apart),
            Angle::from_radians(angle),
        )
    }
}

/// Pixels that apertures of saturated stars may still grow over: few stars of a night sky need any, and
/// a picture full of saturated blots must end in time.
#[derive(Debug)]
pub(super) struct GrowthBudget {
    pixels: u64,
}

impl Default for GrowthBudget {
    fn default() -> Self {
        Self { pixels: 20_000_000 }
    }
}

/// Light in an ellipse like the star.
struct Aperture {
    flux: f64,
    saturated: bool,
}

impl Aperture {
    /// The ellipse grows where saturated pixels fill it: a bright star spreads.
    fn sum(
        picture: &Picture,
        at: PicturePoint,
        extent: Extent,
        level: f32,
        budget: &mut GrowthBudget,
    ) -> Option<Self> {
        let full = FULL.max(level + 0.2 * (1.0 - level));
        let (cos, sin) = extent.direction;
        let mut margin = 1.5;
        loop {
            let (long, wide) = (1.5 * extent.long_px + margin, 1.5 * extent.wide_px + margin);
            let (mut flux, mut pixels, mut saturated) = (0.0, 0.0, 0.0);
            let reach_y = f64::from((long * sin).hypot(wide * cos));
            let reach_x = f64::from((long * cos).hypot(wide * sin));
            let rows = (at.y_px - reach_y).max(0.0) as usize
                ..((at.y_px + reach_y).ceil() as usize).min(picture.height);
            let columns = (at.x_px - reach_x).max(0.0) as usize
                ..((at.x_px + reach_x).ceil() as usize).min(picture.width);
            for y in rows {
                let dy = (y as f64 + 0.5 - at.y_px) as f32;
                let row = picture.row(y).get(columns.clone())?;
                for (value, x) in row.iter().zip(columns.clone()) {
                    let dx = (x as f64 + 0.5 - at.x_px) as f32;
                    let (along, across) = extent.along_and_across(dx, dy);
                    if (along / long).powi(2) + (across / wide).powi(2) <= 1.0 {
                        flux += f64::from(value - level);
                        saturated += f64::from(u8::from(*value >= full));
                        pixels += 1.0;
                    }
                }
            }
            if pixels == 0.0 || margin > MOST_MARGIN_PX {
                return None;
            }
            if saturated < 0.25 * pixels {
                return Some(Self {
                    flux,
                    saturated: saturated > 0.0,
                });
            }
            margin = 1.7 * margin + 1.0;
            // the next ellipse has about three times the pixels
            budget.pixels = budget.pixels.checked_sub(3 * pixels as u64)?;
        }
    }
}

/// Median of a value over measured stars; `None` of none.
pub(super) fn median_of(stars: &[Measured], value: impl Fn(&Measured) -> f32) -> Option<f32> {
    let mut values: Vec<f32> = stars.iter().map(value).collect();
    (!values.is_empty()).then(|| median(&mut values))
}
