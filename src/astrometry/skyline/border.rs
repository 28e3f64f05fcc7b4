//! The border within one column at full size, and what the two sides of it are like.

use super::POINT_SPACING_PX;
use crate::astrometry::background::coding_step;

/// The border is blurred by the lens; this many full-size rows around it are left out of the levels
/// on either side.
const BLUR_PX: usize = 2;

/// Levels of sky and of even ground differ by at least this share of the brighter.
const LEAST_DIFFERENCE: f64 = 0.12;

/// Lit ground has at least this share of the sky's level, and this many times its variance.
const ROUGH_LEVEL: f64 = 0.3;
const ROUGH_VARIANCE: f64 = 4.0;

/// Levels and variances on either side of a border, where the ground is taken to be below.
#[derive(Debug, Clone, Copy)]
pub(super) struct Contrast {
    pub sky_mean: f64,
    sky_variance: f64,
    pub ground_mean: f64,
    ground_variance: f64,
}

impl Contrast {
    /// Medians over a border.
    pub fn typical(all: &[Self]) -> Option<Self> {
        let of = |part: fn(&Self) -> f64| {
            let mut values: Vec<f64> = all.iter().map(part).collect();
            values.sort_unstable_by(f64::total_cmp);
            values.get(values.len() / 2).copied()
        };
        Some(Self {
            sky_mean: of(|one| one.sky_mean)?,
            sky_variance: of(|one| one.sky_variance)?,
            ground_mean: of(|one| one.ground_mean)?,
            ground_variance: of(|one| one.ground_variance)?,
        })
    }

    /// Whether the levels on both sides differ.
    pub fn differs(&self) -> bool {
        let brighter = self.sky_mean.max(self.ground_mean);
        (self.sky_mean - self.ground_mean).abs() >= LEAST_DIFFERENCE * brighter
    }

    /// Whether the side taken for the ground is rougher than light's own noise allows (`true`), or
    /// the other is (`false`); `None` where neither is. A brighter side is noisier by itself.
    pub fn rougher(&self) -> Option<bool> {
        let rough = |mean: f64, variance: f64, other_mean: f64, other_variance: f64| {
            let by_light = (mean / other_mean.max(f64::MIN_POSITIVE)).max(1.0).powi(2);
            mean > ROUGH_LEVEL * other_mean && variance > ROUGH_VARIANCE * by_light * other_variance
        };
        let (sky, ground) = (self.sky_variance, self.ground_variance);
        if rough(self.ground_mean, ground, self.sky_mean, sky) {
            Some(true)
        } else if rough(self.sky_mean, sky, self.ground_mean, ground) {
            Some(false)
        } else {
            None
        }
    }
}

/// Depth of the border in a profile of rows, from the top of its first row: where the level is half
/// way between both sides, or where two roughnesses meet. `None` where neither is found.
pub(super) fn border_in(profile: &[Vec<f64>]) -> Option<(f64, Contrast)> {
    let rows = profile.len();
    let statistics = |from: usize, until: usize| {
        let mut values: Vec<f64> = profile[from..until].iter().flatten().copied().collect();
        if values.is_empty() {
            return None;
        }
        // the brightest tenth may be stars
        values.sort_unstable_by(f64::total_cmp);
        let kept = &values[..(values.len() * 9).div_ceil(10)];
        Some(mean_and_variance(kept.len(), kept.iter().sum(), {
            kept.iter().map(|value| value * value).sum()
        }))
    };
    // sums of value and square of all rows before each
    let mut sums = vec![(0, 0.0, 0.0)];
    for row in profile {
        let (mut count, mut sum, mut squares) = sums.last().copied().unwrap_or_default();
        for value in row {
            count += 1;
            sum += value;
            squares += value * value;
        }
        sums.push((count, sum, squares));
    }
    let (all, sum, squares) = sums.last().copied().unwrap_or_default();
    let mut best: Option<(f64, usize)> = None;
    let inner = sums.iter().enumerate().take(rows.saturating_sub(2)).skip(2);
    for (row, (before, before_sum, before_squares)) in inner {
        let (before, before_sum, before_squares) = (*before, *before_sum, *before_squares);
        let after = all - before;
        if before == 0 || after == 0 {
            continue;
        }
        let (_, above) = mean_and_variance(before, before_sum, before_squares);
        let (_, below) = mean_and_variance(after, sum - before_sum, squares - before_squares);
        let (n, m) = (before as f64, after as f64);
        let cost = n * above.ln() + m * below.ln();
        if best.is_none_or(|(least, _)| cost < least) {
            best = Some((cost, row));
        }
    }
    let (_, row) = best?;
    let sky = statistics(0, row.saturating_sub(BLUR_PX).max(1))?;
    let ground = statistics((row + BLUR_PX).min(rows - 1), rows)?;
    let step = (sky.0 - ground.0).abs();
    let spacing = POINT_SPACING_PX as f64;
    let error = (sky.1 / spacing).sqrt() + (ground.1 / spacing).sqrt();
    let contrast = Contrast {
        sky_mean: sky.0,
        sky_variance: sky.1,
        ground_mean: ground.0,
        ground_variance: ground.1,
    };
    if step < 1.5 * error {
        return Some((row as f64, contrast));
    }
    let half = (sky.0 + ground.0) / 2.0;
    let mean = |row: usize| {
        let values = &profile[row];
        (!values.is_empty()).then(|| values.iter().sum::<f64>() / values.len() as f64)
    };
    // the crossing nearest to the best place
    let crossings = (0..rows - 1).filter_map(|row| {
        let (one, other) = (mean(row)? - half, mean(row + 1)? - half);
        let down = (one > 0.0) == (sky.0 > half) && (one > 0.0) != (other > 0.0);
        down.then(|| row as f64 + 0.5 + one / (one - other))
    });
    let place = row as f64;
    let border = crossings
        .min_by(|one, other| (one - place).abs().total_cmp(&(other - place).abs()))
        .filter(|crossing| (crossing - place).abs() < 2.0 * BLUR_PX as f64)
        .unwrap_or(place);
    Some((border, contrast))
}

/// Mean and variance by count, sum and sum of squares; no variance is below that of rounding.
fn mean_and_variance(count: usize, sum: f64, squares: f64) -> (f64, f64) {
    let count = count as f64;
    let mean = sum / count;
    let step = f64::from(coding_step(mean as f32)) * 0.3;
    (mean, (squares / count - mean * mean).max(step * step))
}
