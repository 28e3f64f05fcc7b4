//! The brightness of the sky behind the stars, and its noise, over the picture.
//!
//! The picture is divided into square cells. In each the median is the sky, since stars are few, and
//! the median of the absolute departures from it gives the noise. Between the centres of cells both
//! are interpolated (E. Bertin & S. Arnouts, *A&A Suppl.* 117 (1996) 393, from memory).

use crate::astrometry::picture::Picture;

/// Side of a cell, px.
const CELL_PX: usize = 32;

/// Every how many pixels a cell is sampled, across and down.
const SAMPLED_EVERY: usize = 2;

/// Cells across and down from which the typical noise is taken.
const NOISE_CELLS: usize = 16;

/// Standard deviation of a normal distribution over its median absolute deviation.
const SIGMA_PER_MAD: f32 = 1.4826;

/// Least noise, as a share of one step of 8-bit sRGB at the level: the deviation of rounding, 1/√12.
const LEAST_STEPS: f32 = 0.29;

/// Level and noise over a picture.
#[derive(Debug, Clone)]
pub(super) struct Background {
    across: usize,
    down: usize,
    level: Vec<f32>,
    noise: Vec<f32>,
}

/// One step of 8-bit sRGB at a linear value: the derivative of IEC 61966-2-1.
pub(super) fn coding_step(linear: f32) -> f32 {
    let slope = if linear <= 0.003_130_8 {
        1.0 / 12.92
    } else {
        // d/dc ((c + 0.055)/1.055)^2.4 at the coded value c of this linear one
        2.4 / 1.055 * linear.powf(1.4 / 2.4)
    };
    slope / 255.0
}

/// Median of values, which are reordered; 0 of none.
pub(super) fn median(values: &mut [f32]) -> f32 {
    if values.is_empty() {
        return 0.0;
    }
    let middle = values.len() / 2;
    *values.select_nth_unstable_by(middle, f32::total_cmp).1
}

/// Median and noise of values, which are reordered.
pub(super) fn median_and_noise(values: &mut [f32]) -> (f32, f32) {
    let level = median(values);
    for value in values.iter_mut() {
        *value = (*value - level).abs();
    }
    let noise = SIGMA_PER_MAD * median(values);
    (level, noise.max(LEAST_STEPS * coding_step(level)))
}

impl Background {
    /// Measures a picture.
    pub fn measure(picture: &Picture) -> Self {
        let across = picture.width.div_ceil(CELL_PX);
        let down = picture.height.div_ceil(CELL_PX);
        let mut level = Vec::with_capacity(across * down);
        let mut noise = Vec::with_capacity(across * down);
        let mut samples = Vec::new();
        for cell in 0..across * down {
            let (cell_level, cell_noise) =
                measure_cell(picture, cell % across, cell / across, &mut samples);
            level.push(cell_level);
            noise.push(cell_noise);
        }
        Self {
            across,
            down,
            level,
            noise,
        }
    }

    /// Level at a pixel.
    pub fn level_at(&self, x: usize, y: usize) -> f32 {
        self.at(&self.level, x, y)
    }

    fn at(&self, grid: &[f32], x: usize, y: usize) -> f32 {
        let (left, right, across) = between(x, self.across);
        let (upper, lower, down) = between(y, self.down);
        let along = |row: usize| {
            let one = grid[row * self.across + left];
            one + (grid[row * self.across + right] - one) * across
        };
        let one = along(upper);
        one + (along(lower) - one) * down
    }

    /// Level plus `sigmas` times noise, along a row as long as `out`.
    pub fn threshold_row(&self, y: usize, sigmas: f32, out: &mut [f32]) {
        let (upper, lower, down) = between(y, self.down);
        let edge = |column: usize| {
            let of = |row: usize| {
                let index = row * self.across + column;
                self.level[index] + sigmas * self.noise[index]
            };
            of(upper) + (of(lower) - of(upper)) * down
        };
        let edges: Vec<f32> = (0..self.across).map(edge).collect();
        // between the centres of two cells the threshold is a straight line
        let mut start = 0;
        for (cell, first) in edges.iter().enumerate() {
            let end = (cell * CELL_PX + CELL_PX / 2).min(out.len());
            let before = edges[cell.saturating_sub(1)];
            let step = (first - before) / CELL_PX as f32;
            let length = end - start;
            for (index, value) in out[start..end].iter_mut().enumerate() {
                *value = first - step * ((length - index) as f32 - 0.5);
            }
            start = end;
        }
        let last = edges.last().copied().unwrap_or(0.0);
        out[start..].fill(last);
    }
}

/// Median noise over a picture, from some of its cells.
pub(super) fn typical_noise(picture: &Picture) -> f32 {
    let across = picture.width.div_ceil(CELL_PX);
    let down = picture.height.div_ceil(CELL_PX);
    let mut samples = Vec::new();
    let mut noise = Vec::new();
    for row in (0..down).step_by(down.div_ceil(NOISE_CELLS).max(1)) {
        for column in (0..across).step_by(across.div_ceil(NOISE_CELLS).max(1)) {
            noise.push(measure_cell(picture, column, row, &mut samples).1);
        }
    }
    median(&mut noise)
}

/// Level and noise of one cell.
fn measure_cell(
    picture: &Picture,
    column: usize,
    row: usize,
    samples: &mut Vec<f32>,
) -> (f32, f32) {
    let (left, top) = (column * CELL_PX, row * CELL_PX);
    let right = (left + CELL_PX).min(picture.width);
    samples.clear();
    for y in (top..(top + CELL_PX).min(picture.height)).step_by(SAMPLED_EVERY) {
        let pixels = &picture.row(y)[left..right];
        samples.extend(pixels.iter().step_by(SAMPLED_EVERY));
    }
    median_and_noise(samples)
}

/// The two cells whose centres are on either side of a pixel's, and how far it is from the first to
/// the second.
fn between(pixel: usize, cells: usize) -> (usize, usize, f32) {
    let place = (pixel as f32 + 0.5) / CELL_PX as f32 - 0.5;
    let first = place.max(0.0) as usize;
    let first = first.min(cells - 1);
    let second = (first + 1).min(cells - 1);
    (first, second, (place - first as f32).clamp(0.0, 1.0))
}

#[cfg(test)]
mod tests {
    use super::*;

    /// A slope with even noise of ±0.01: its median absolute deviation is 0.005.
    #[test]
    fn finds_level_and_noise_of_a_slope() {
        let (width, height) = (320, 200);
        let value = |x: usize, y: usize| {
            // all of 101 values in an order without pattern
            let noise = 0.0002 * ((x * 7919 + y * 6007 + x * y * 31) % 101) as f32 - 0.01;
            0.2 + 0.0001 * x as f32 + noise
        };
        let pixels = (0..width * height)
            .map(|index| value(index % width, index / width))
            .collect();
        let picture = Picture {
            width,
            height,
            pixels,
        };
        let background = Background::measure(&picture);
        let noise = typical_noise(&picture);
        assert!((noise - SIGMA_PER_MAD * 0.005).abs() < 0.001, "{noise}");
        let mut row = vec![0.0; width];
        background.threshold_row(100, 0.0, &mut row);
        for x in [40, 160, 280] {
            let want = 0.2 + 0.0001 * x as f32;
            assert!((row[x] - want).abs() < 0.002, "{x}: {}", row[x]);
            assert!((background.level_at(x, 100) - row[x]).abs() < 1e-6);
        }
    }
}
