//! Light falling on pixels: points and lines of it, each convolved with a Gaussian and integrated
//! over every pixel in closed form.
//!
//! Lines are parallel to the rows. A half line to the right gives every pixel beyond its start the
//! same, so that the difference of neighbouring pixels is nonzero only near the start; a line is
//! the difference of two half lines, and rows are summed once after all lines. So a long line costs
//! no more than a short one.

/// Cut-off of a Gaussian, σ; 6 in 100 000 of its light lie beyond.
const REACH_SIGMAS: f64 = 4.0;

/// Smallest σ, px. For a smaller one a pixel's light is the same within 0.01: a line on an edge
/// between two pixels gives 0.4 σ to the one it does not lie in.
pub(super) const LEAST_SIGMA_PX: f64 = 0.025;

/// A square of pixels, with the light added so far.
pub(super) struct PixelGrid {
    side: usize,
    sigma_px: f64,
    light: Vec<f64>,
    /// Buffers: shares of the light being added, by column and by row.
    wide: Vec<f64>,
    tall: Vec<f64>,
}

impl PixelGrid {
    /// An empty grid of `side` pixels a side, for a σ.
    pub(super) fn new(side: usize, sigma_px: f64) -> Self {
        Self {
            side,
            sigma_px,
            light: vec![0.0; side * side],
            wide: Vec::with_capacity(side),
            tall: Vec::with_capacity(side),
        }
    }

    /// A point of light, spread over its Gaussian, at a place counted in pixels from the
    /// top left.
    pub(super) fn add_point(&mut self, (right, down): (f64, f64), weight: f64) {
        let (columns, rows) = (self.reached(right), self.reached(down));
        shares(&mut self.wide, columns.clone(), right, self.sigma_px);
        shares(&mut self.tall, rows.clone(), down, self.sigma_px);
        self.add_product(columns.start, rows, weight);
    }

    /// A horizontal line of light between two places, with the same Gaussian, in rows that are yet
    /// to be summed.
    pub(super) fn add_chord(&mut self, (left, right): (f64, f64), down: f64, weight: f64) {
        let rows = self.reached(down);
        shares(&mut self.tall, rows.clone(), down, self.sigma_px);
        // a half line from the left end, minus one from the right end
        for (end, weight) in [(left, weight), (right, -weight)] {
            let first = self.set_onset(end);
            self.add_product(first, rows.clone(), weight);
        }
    }

    /// Sets `wide` to the differences of neighbouring pixels for a half line of light to the right.
    /// Returns the first of those pixels.
    fn set_onset(&mut self, from: f64) -> usize {
        let columns = self.reached(from);
        // one pixel more, where the line has its full brightness; left of the patch that is the
        // first pixel
        let last = (columns.end + 1).min(self.side);
        self.wide.clear();
        let mut before = 0.0;
        let mut edge = self.ramp(columns.start as f64 - from);
        for column in columns.start..last {
            let next = self.ramp(column as f64 + 1.0 - from);
            self.wide.push(next - edge - before);
            (before, edge) = (next - edge, next);
        }
        columns.start
    }

    /// Adds the product of `wide`, from a column on, and `tall`.
    fn add_product(&mut self, column: usize, rows: std::ops::Range<usize>, weight: f64) {
        for (row, tall) in rows.zip(&self.tall) {
            let row = &mut self.light[row * self.side..][..self.side];
            for (light, wide) in row[column..].iter_mut().zip(&self.wide) {
                *light += weight * tall * wide;
            }
        }
    }

    /// Pixels along one axis within reach of a point of light.
    fn reached(&self, at: f64) -> std::ops::Range<usize> {
        let reach = REACH_SIGMAS * self.sigma_px;
        // a float to an unsigned integer saturates, so outside is empty
        let first = (at - reach).floor() as usize;
        let last = (at + reach).ceil() as usize;
        first.min(self.side)..last.min(self.side)
    }

    /// Light of a half line that begins at 0 up to `x`, px: the integral of the Gaussian's
    /// distribution function, σ (z Φ(z) + φ(z)) with z = x/σ.
    fn ramp(&self, x: f64) -> f64 {
        let z = x / self.sigma_px;
        if z.abs() > REACH_SIGMAS {
            return x.max(0.0);
        }
        let StandardNormal { below, density } = StandardNormal::at(z);
        self.sigma_px * (z * below + density)
    }

    /// Cumulative sums of each row, after onsets.
    pub(super) fn sum_rows(&mut self) {
        for row in self.light.chunks_exact_mut(self.side) {
            let mut sum = 0.0;
            for light in row {
                sum += *light;
                // where lines end rounding may leave less than zero
                *light = sum.max(0.0);
            }
        }
    }

    /// Light of each pixel, row by row from the top left.
    pub(super) fn into_light(self) -> Vec<f64> {
        self.light
    }
}

/// Sets the shares of a Gaussian at `at` on the pixels of an axis.
fn shares(into: &mut Vec<f64>, pixels: std::ops::Range<usize>, at: f64, sigma_px: f64) {
    into.clear();
    let below = |edge: f64| StandardNormal::at((edge - at) / sigma_px).below;
    let mut edge = below(pixels.start as f64);
    into.extend(pixels.map(|pixel| {
        let next = below(pixel as f64 + 1.0);
        let share = next - edge;
        edge = next;
        share
    }));
}

/// The standard normal distribution at z.
struct StandardNormal {
    /// Distribution function Φ.
    below: f64,
    /// Density φ.
    density: f64,
}

impl StandardNormal {
    /// Φ within 1e-7, φ exact.
    ///
    /// Source: M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions* (1964), 7.1.26
    /// for erf, with Φ(z) = (1 + erf(z/√2))/2. (A library's erf with sixteen digits is larger than
    /// the whole drift computation; the drawing shows three.)
    fn at(z: f64) -> Self {
        use std::f64::consts::{FRAC_1_SQRT_2, PI};
        const P: f64 = 0.327_591_1;
        const A: [f64; 5] = [
            0.254_829_592,
            -0.284_496_736,
            1.421_413_741,
            -1.453_152_027,
            1.061_405_429,
        ];
        let bell = (-z * z / 2.0).exp();
        let t = 1.0 / (1.0 + P * z.abs() * FRAC_1_SQRT_2);
        let sum = ((((A[4] * t + A[3]) * t + A[2]) * t + A[1]) * t + A[0]) * t;
        let erf = (1.0 - sum * bell).copysign(z);
        Self {
            below: f64::midpoint(1.0, erf),
            density: bell / (2.0 * PI).sqrt(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// M. Abramowitz & I. A. Stegun, *Handbook of Mathematical Functions* (1964),
    /// table 26.1.
    #[test]
    fn the_gaussian_share_agrees_with_the_table() {
        for (x, want) in [
            (0.0, 0.5),
            (1.0, 0.841_345),
            (-1.0, 0.158_655),
            (2.0, 0.977_250),
        ] {
            assert!(
                (StandardNormal::at(x).below - want).abs() < 1e-6,
                "{x}: {}",
                StandardNormal::at(x).below
            );
        }
    }

    /// First principles: a line across an edge is divided between the pixels; one that extends
    /// beyond the patch is clipped; nothing outside is lit.
    #[test]
    fn lines_are_cut_where_pixels_and_patch_end() {
        for (left, right, want) in [
            (1.25, 3.5, [0.0, 0.75, 1.0, 0.5]),
            (-9.0, 2.0, [1.0, 1.0, 0.0, 0.0]),
            (3.0, 90.0, [0.0, 0.0, 0.0, 1.0]),
            (-9.0, 90.0, [1.0, 1.0, 1.0, 1.0]),
            (-9.0, -5.0, [0.0; 4]),
            (5.0, 9.0, [0.0; 4]),
        ] {
            let mut grid = PixelGrid::new(4, LEAST_SIGMA_PX);
            grid.add_chord((left, right), 1.5, 1.0);
            grid.sum_rows();
            for (place, got) in grid.light.iter().enumerate() {
                let want = if place / 4 == 1 { want[place % 4] } else { 0.0 };
                // a Gaussian on an edge between pixels gives 0.4 σ to the far one
                assert!(
                    (got - want).abs() < 0.011,
                    "{left} to {right}: {got} in {place}"
                );
            }
        }
    }
}
