//! Measuring one maximum, and whether it is a star.
//!
//! The centroid is found in a Gaussian window of the picture's own star size that moves with it until
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
const BRIGHT_RUN: usize = 5;

/// A point of the ring is bright from this share of the star's height.
const BRIGHT_SHARE: f32 = 0.5;

/// Least flux over its own noise.
const LEAST_SIGNAL: f64 = 4.0;

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
pub(super) fn measure(picture: &Picture, x: usize, y: usize, extent: Extent) -> Option<Measured> {
    let ring = Ring::new(extent);
    let (level, noise) = ring.background(picture, x, y)?;
    if !ring.stands_out(picture, x, y, level) {
        return None;
    }
    let sigma = f64::from(extent.window_sigma_px());
    let start = PicturePoint {
        x_px: x as f64 + 0.5,
        y_px: y as f64 + 0.5,
    };
    let most_shift = f64::from(extent.long_px) + 1.0;
    let mut at = start;
    let mut moments = None;
    for _ in 0..MOST_STEPS {
        let found = Moments::in_window(picture, at, sigma, level)?;
        // in a window as wide as the star the mean moves half the way
        let (dx, dy) = (2.0 * found.x, 2.0 * found.y);
        at.x_px += dx;
        at.y_px += dy;
        if at.distance_px(start) > most_shift {
            return None;
        }
        moments = Some(found);
        if dx.hypot(dy) < RESTS_PX {
            break;
        }
    }
    let (long_px, wide_px, angle) = moments?.axes(sigma);
    let aperture = Aperture::sum(picture, at, 1.5 * f64::from(extent.long_px) + 1.5, level)?;
    let signal = aperture.flux / (f64::from(noise) * aperture.pixels.sqrt());
    (signal >= LEAST_SIGNAL).then_some(Measured {
        star: DetectedStar {
            at,
            flux: aperture.flux,
            peak: aperture.peak,
            saturated: aperture.saturated,
            long_px,
            wide_px,
            angle,
        },
        signal,
        neighbour_share: neighbour_share(picture, x, y, level),
    })
}

/// Brightest of the four neighbours of the brightest pixel around a maximum, over that pixel.
fn neighbour_share(picture: &Picture, x: usize, y: usize, level: f32) -> f32 {
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
    near.into_iter().fold(0.0, f32::max) / top.max(f32::MIN_POSITIVE)
}

/// The ring around a star: where its background is taken, and where it must have ended.
struct Ring {
    inner_px: f32,
    outer_px: f32,
    test_px: f32,
}

impl Ring {
    fn new(extent: Extent) -> Self {
        let inner_px = 2.0 * extent.long_px + 2.0;
        Self {
            inner_px,
            outer_px: inner_px + 3.0,
            test_px: 1.9 * extent.long_px + 1.0,
        }
    }

    /// Median and noise of the pixels of the ring; `None` where it leaves the picture on all sides.
    fn background(&self, picture: &Picture, x: usize, y: usize) -> Option<(f32, f32)> {
        let reach = self.outer_px.ceil() as usize;
        let (inner, outer) = (self.inner_px.powi(2), self.outer_px.powi(2));
        // of a wide ring every few pixels are enough
        let every = (reach / 12).max(1);
        let mut values = Vec::with_capacity(256);
        for row in (y.saturating_sub(reach)..(y + reach + 1).min(picture.height)).step_by(every) {
            let pixels = picture.row(row);
            let from = x.saturating_sub(reach);
            let until = (x + reach + 1).min(picture.width);
            for column in (from..until).step_by(every) {
                let (dx, dy) = (column as f32 - x as f32, row as f32 - y as f32);
                let distance = dx * dx + dy * dy;
                if distance >= inner && distance <= outer {
                    values.push(pixels[column]);
                }
            }
        }
        (values.len() >= RING_POINTS).then(|| median_and_noise(&mut values))
    }

    /// Whether the ring is dark but for one neighbour at most.
    fn stands_out(&self, picture: &Picture, x: usize, y: usize, level: f32) -> bool {
        let height = mean_around(picture, x as i64, y as i64).map_or(0.0, |value| value - level);
        let mut bright = [false; RING_POINTS];
        for (index, bright) in bright.iter_mut().enumerate() {
            let turn = std::f32::consts::TAU * index as f32 / RING_POINTS as f32;
            let dx = (self.test_px * turn.cos()).round() as i64;
            let dy = (self.test_px * turn.sin()).round() as i64;
            *bright = mean_around(picture, x as i64 + dx, y as i64 + dy)
                .is_some_and(|value| value - level > BRIGHT_SHARE * height);
        }
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

/// Weighted moments of the light in a Gaussian window, relative to its centre.
struct Moments {
    x: f64,
    y: f64,
    xx: f64,
    yy: f64,
    xy: f64,
}

impl Moments {
    fn in_window(picture: &Picture, at: PicturePoint, sigma: f64, level: f32) -> Option<Self> {
        let reach = WINDOW_SIGMAS * sigma;
        let (left, right) = (at.x_px - reach - 0.5, at.x_px + reach - 0.5);
        let (top, bottom) = (at.y_px - reach - 0.5, at.y_px + reach - 0.5);
        let inside = left >= 0.0
            && top >= 0.0
            && right < (picture.width - 1) as f64
            && bottom < (picture.height - 1) as f64;
        if !inside {
            return None;
        }
        let falls = -0.5 / (sigma * sigma);
        let columns = left.ceil() as usize..=right.floor() as usize;
        let weights: Vec<(f64, f64)> = columns
            .clone()
            .map(|x| {
                let dx = x as f64 + 0.5 - at.x_px;
                (dx, (falls * dx * dx).exp())
            })
            .collect();
        let (mut sum, mut sx, mut sy, mut sxx, mut syy, mut sxy) = (0.0, 0.0, 0.0, 0.0, 0.0, 0.0);
        for y in top.ceil() as usize..=bottom.floor() as usize {
            let dy = y as f64 + 0.5 - at.y_px;
            let row = &picture.row(y)[columns.clone()];
            let (mut row_sum, mut row_x, mut row_xx) = (0.0, 0.0, 0.0);
            for (value, (dx, weight)) in row.iter().zip(&weights) {
                let light = weight * f64::from(value - level);
                row_sum += light;
                row_x += light * dx;
                row_xx += light * dx * dx;
            }
            let weight = (falls * dy * dy).exp();
            sum += weight * row_sum;
            sx += weight * row_x;
            sxx += weight * row_xx;
            sy += weight * dy * row_sum;
            sxy += weight * dy * row_x;
            syy += weight * dy * dy * row_sum;
        }
        if sum <= 0.0 {
            return None;
        }
        let (x, y) = (sx / sum, sy / sum);
        Some(Self {
            x,
            y,
            xx: sxx / sum - x * x,
            yy: syy / sum - y * y,
            xy: sxy / sum - x * y,
        })
    }

    /// Standard deviations along and across, and the direction of the longer axis, with the window
    /// taken out: for a Gaussian star the inverse variances of star and window add.
    fn axes(&self, sigma: f64) -> (f64, f64, Angle) {
        let window = sigma * sigma;
        let (mean, apart) = (
            (self.xx + self.yy) / 2.0,
            ((self.xx - self.yy) / 2.0).hypot(self.xy),
        );
        // a variance near the window's or above it says only that the star is wider
        let unwindowed = |variance: f64| {
            let variance = variance.clamp(0.01 * window, 0.9 * window);
            (variance * window / (window - variance)).sqrt()
        };
        // down is positive in the picture, and angles are anticlockwise as seen
        let angle = 0.5 * (-2.0 * self.xy).atan2(self.xx - self.yy);
        (
            unwindowed(mean + apart),
            unwindowed(mean - apart),
            Angle::from_radians(angle),
        )
    }
}

/// Light in a circle.
struct Aperture {
    flux: f64,
    pixels: f64,
    peak: f32,
    saturated: bool,
}

impl Aperture {
    /// The circle grows where saturated pixels reach its edge: a bright star spreads.
    fn sum(picture: &Picture, at: PicturePoint, radius: f64, level: f32) -> Option<Self> {
        let full = FULL.max(level + 0.2 * (1.0 - level));
        let mut radius = radius;
        loop {
            let (mut flux, mut pixels, mut peak, mut saturated) = (0.0, 0.0, 0.0_f32, 0.0);
            let rows = (at.y_px - radius).max(0.0) as usize
                ..((at.y_px + radius).ceil() as usize).min(picture.height);
            for y in rows {
                let dy = y as f64 + 0.5 - at.y_px;
                let half = (radius * radius - dy * dy).max(0.0).sqrt();
                let left = (at.x_px - half).round().max(0.0) as usize;
                let right = ((at.x_px + half).round() as usize).min(picture.width);
                for value in picture.row(y).get(left..right)? {
                    flux += f64::from(value - level);
                    peak = peak.max(value - level);
                    saturated += f64::from(u8::from(*value >= full));
                    pixels += 1.0;
                }
            }
            let core = (saturated / std::f64::consts::PI).sqrt();
            if core < 0.5 * radius || radius > 60.0 {
                return (radius <= 60.0 && pixels > 0.0).then_some(Self {
                    flux,
                    pixels,
                    peak,
                    saturated: saturated > 0.0,
                });
            }
            radius *= 1.5;
        }
    }
}

/// Median of a value over measured stars; `None` of none.
pub(super) fn median_of(stars: &[Measured], value: impl Fn(&Measured) -> f32) -> Option<f32> {
    let mut values: Vec<f32> = stars.iter().map(value).collect();
    (!values.is_empty()).then(|| median(&mut values))
}
