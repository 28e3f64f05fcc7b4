//! How large the images of stars are in this picture, before any is measured.
//!
//! Strokes, discs and the corners of a soft lens need wider windows than a sharp star. Around the
//! brightest maxima the region above half their height is outlined; its second moments give half its
//! length and half its breadth. Medians over ninths of the picture are robust against lamps, pairs
//! and clouds.

use super::maxima::Maximum;
use crate::astrometry::background::{Background, median};
use crate::astrometry::picture::Picture;
use crate::astrometry::smoothing::KERNEL_VARIANCE_PX2;

/// Zones across and down.
const ZONES: usize = 3;

/// Maxima outlined in a zone.
const OUTLINED: usize = 80;

/// Maxima tried in a zone: a picture full of what is no star must end in time.
const MOST_TRIED: usize = 400;

/// Fewer outlines than this in a zone give way to those of the whole picture.
const LEAST_IN_ZONE: usize = 8;

/// Region larger than this, px, are no star.
const MOST_REGION: usize = 4000;

/// Height of the smoothed picture at which a maximum may be cut off by the file's range.
const NEAR_FULL: f32 = 0.7;

/// Share of its own height that a maximum's pixel has of a hot pixel's, in the smoothed picture:
/// 36/256 for a single pixel. One that reaches this is narrower than any lens draws a star.
const POINT_SHARE: f32 = 0.8;

/// Half length and half breadth at half height of a typical star, px, in the smoothed picture, and
/// the direction of its length.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Extent {
    pub long_px: f32,
    pub wide_px: f32,
    /// Cosine and sine of the direction of the length, from the picture's right, downwards.
    pub direction: (f32, f32),
}

/// Half width at half height of a Gaussian over its standard deviation: √(2 ln 2).
pub(super) const HALF_WIDTH_PER_SIGMA: f32 = 1.177_41;

/// Half the extent of the narrowest star: the kernel's own, and a little.
const NARROWEST_PX: f32 = 1.25;

/// Second moments of a region: mean variance, and the two parts in which its axes differ.
#[derive(Debug, Clone, Copy)]
struct RegionMoments {
    mean: f32,
    apart: (f32, f32),
}

/// Extents over the picture.
#[derive(Debug, Clone, PartialEq)]
pub(super) struct Extents {
    width: usize,
    height: usize,
    /// Of the whole picture.
    pub overall: Extent,
    /// Of each zone.
    pub zones: [Extent; ZONES * ZONES],
}

impl Extents {
    /// Outlines the brightest maxima of a smoothed picture.
    pub fn measure(
        picture: &Picture,
        smooth: &Picture,
        background: &Background,
        highest_first: &[Maximum],
    ) -> Self {
        let mut zones: [Vec<RegionMoments>; ZONES * ZONES] = Default::default();
        let mut tried = [0_usize; ZONES * ZONES];
        let mut region = Region::new(smooth);
        for maximum in highest_first {
            let zone = zone_of(maximum.x, maximum.y, smooth.width, smooth.height);
            if zones[zone].len() == OUTLINED
                || tried[zone] == MOST_TRIED
                || smooth.row(maximum.y)[maximum.x] > NEAR_FULL
                || is_point(picture, background, *maximum)
            {
                continue;
            }
            tried[zone] += 1;
            zones[zone].extend(region.outline(background, *maximum));
        }
        let all: Vec<RegionMoments> = zones.iter().flatten().copied().collect();
        let overall = typical(&all).unwrap_or(Extent {
            long_px: NARROWEST_PX,
            wide_px: NARROWEST_PX,
            direction: (1.0, 0.0),
        });
        Self {
            width: smooth.width,
            height: smooth.height,
            overall,
            zones: zones.map(|zone| {
                let enough = zone.len() >= LEAST_IN_ZONE;
                enough.then(|| typical(&zone)).flatten().unwrap_or(overall)
            }),
        }
    }

    /// The longest extent of all, px.
    pub fn longest_px(&self) -> f32 {
        let all = self.zones.iter().map(|extent| extent.long_px);
        all.fold(NARROWEST_PX, f32::max)
    }

    /// Number of the zone that a pixel is in.
    pub fn zone(&self, x: usize, y: usize) -> usize {
        zone_of(x, y, self.width, self.height)
    }

    /// The extent around a pixel.
    pub fn at(&self, x: usize, y: usize) -> Extent {
        self.zones[self.zone(x, y)]
    }
}

fn zone_of(x: usize, y: usize, width: usize, height: usize) -> usize {
    let part = |at: usize, of: usize| (at * ZONES / of.max(1)).min(ZONES - 1);
    part(y, height) * ZONES + part(x, width)
}

/// The star of the median moments.
fn typical(regions: &[RegionMoments]) -> Option<Extent> {
    let of = |part: fn(&RegionMoments) -> f32| {
        let mut values: Vec<f32> = regions.iter().map(part).collect();
        median(&mut values)
    };
    let (mean, u, v) = (
        of(|region| region.mean),
        of(|region| region.apart.0),
        of(|region| region.apart.1),
    );
    let apart = u.hypot(v);
    let (sin, cos) = (0.5 * v.atan2(u)).sin_cos();
    // an even ellipse has a quarter of its half axes' squares as variances
    let half = |variance: f32| (4.0 * variance).max(0.0).sqrt().max(NARROWEST_PX);
    (!regions.is_empty()).then(|| Extent {
        long_px: half(mean + apart),
        wide_px: half(mean - apart),
        direction: (cos, sin),
    })
}

/// Whether a maximum is a single bright pixel.
fn is_point(picture: &Picture, background: &Background, maximum: Maximum) -> bool {
    let Maximum { x, y, .. } = maximum;
    let level = background.level_at(x, y);
    let sum: f32 = (y - 1..=y + 1)
        .flat_map(|row| &picture.row(row)[x - 1..=x + 1])
        .map(|value| (value - level).max(0.0))
        .sum();
    picture.row(y)[x] - level > POINT_SHARE * sum
}

/// Finds connected pixels above half a maximum's height.
struct Region<'a> {
    smooth: &'a Picture,
    /// Number of the outline a pixel was last seen in.
    waiting: Vec<(usize, usize)>,
    seen: std::collections::HashSet<(usize, usize)>,
}

impl<'a> Region<'a> {
    fn new(smooth: &'a Picture) -> Self {
        Self {
            smooth,
            waiting: Vec::new(),
            seen: std::collections::HashSet::new(),
        }
    }

    /// `None` where the region is too large for a star, or reaches the picture's edge.
    fn outline(&mut self, background: &Background, maximum: Maximum) -> Option<RegionMoments> {
        let Maximum { x, y, height } = maximum;
        let least = background.level_at(x, y) + height / 2.0;
        let top = self.smooth.row(y)[x];
        self.waiting.clear();
        self.seen.clear();
        self.waiting.push((x, y));
        self.seen.insert((x, y));
        while let Some((x, y)) = self.waiting.pop() {
            if x == 0
                || y == 0
                || x + 1 >= self.smooth.width
                || y + 1 >= self.smooth.height
                || self.seen.len() > MOST_REGION
            {
                return None;
            }
            for near in [(x - 1, y), (x + 1, y), (x, y - 1), (x, y + 1)] {
                let value = self.smooth.row(near.1)[near.0];
                if value > top {
                    // on the slope of a brighter star
                    return None;
                }
                if value >= least && self.seen.insert(near) {
                    self.waiting.push(near);
                }
            }
        }
        let count = self.seen.len() as f64;
        let (mut sum_x, mut sum_y, mut xx, mut yy, mut xy) = (0.0, 0.0, 0.0, 0.0, 0.0);
        for (near_x, near_y) in &self.seen {
            let (dx, dy) = (*near_x as f64 - x as f64, *near_y as f64 - y as f64);
            sum_x += dx;
            sum_y += dy;
            xx += dx * dx;
            yy += dy * dy;
            xy += dx * dy;
        }
        let (mean_x, mean_y) = (sum_x / count, sum_y / count);
        // each pixel adds its own variance, 1/12 along each axis
        let xx = xx / count - mean_x * mean_x + 1.0 / 12.0;
        let yy = yy / count - mean_y * mean_y + 1.0 / 12.0;
        let xy = xy / count - mean_x * mean_y;
        Some(RegionMoments {
            mean: ((xx + yy) / 2.0) as f32,
            apart: (((xx - yy) / 2.0) as f32, xy as f32),
        })
    }
}

impl Extent {
    /// Standard deviations of a Gaussian as long and as wide as the star, without the kernel; at least
    /// 0.6 px.
    pub fn window_sigmas_px(self) -> (f32, f32) {
        let without_kernel = |half: f32| {
            let smooth = half / HALF_WIDTH_PER_SIGMA;
            (smooth * smooth - KERNEL_VARIANCE_PX2 as f32)
                .max(0.36)
                .sqrt()
        };
        (without_kernel(self.long_px), without_kernel(self.wide_px))
    }

    /// A step along and across the star's length, from one to the right and down.
    pub fn along_and_across(self, dx: f32, dy: f32) -> (f32, f32) {
        let (cos, sin) = self.direction;
        (dx * cos + dy * sin, dy * cos - dx * sin)
    }

    /// A step to the right and down, from one along and across the star's length.
    pub fn right_and_down(self, along: f32, across: f32) -> (f32, f32) {
        let (cos, sin) = self.direction;
        (along * cos - across * sin, along * sin + across * cos)
    }

    /// Square of the length of a step in the star's own measure: 1 at its outline at half height.
    pub fn distance2(self, dx: f32, dy: f32) -> f32 {
        let (along, across) = self.along_and_across(dx, dy);
        (along / self.long_px).powi(2) + (across / self.wide_px).powi(2)
    }

    /// By how much to reduce the picture so that stars are found best: a power of two, at most 8.
    pub fn reduction(self) -> usize {
        let mean = (self.long_px * self.wide_px).sqrt();
        match mean {
            0.0..3.2 => 1,
            3.2..6.4 => 2,
            6.4..12.8 => 4,
            _ => 8,
        }
    }
}
