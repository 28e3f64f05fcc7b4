//! The path through all columns of a picture along which the two sides differ most.

use crate::astrometry::background::coding_step;
use crate::astrometry::picture::Picture;

/// Rows above and below a place that are compared, and columns taken together.
const WINDOW_ROWS: usize = 5;
const WINDOW_COLUMNS: usize = 3;

/// What a border must gain in a column to be one, and the most that is counted, as logarithm of
/// likelihood.
const LEAST_GAIN: f32 = 5.0;
const MOST_GAIN: f32 = 25.0;

/// Share of what is gained above the most that still counts, so that the best place is found.
const BEYOND_SHARE: f32 = 0.2;

/// Columns around one whose gains are averaged, and share of the whole border's gain below which they
/// hold no border.
const LOCAL_COLUMNS: usize = 8;
const LOCAL_SHARE: f32 = 0.45;

/// Cost of a step up or down from column to column, per px, and the most px.
const STEP_COST: f32 = 1.5;
const MOST_STEP: usize = 7;

/// Mean gain over a border's columns, at least.
const LEAST_MEAN_GAIN: f32 = 6.0;

/// Least share of all columns that a border must have.
const LEAST_COLUMNS: f32 = 0.04;

/// Deviation of what differs by itself in an even sky, as a share of its level.
const EVEN_SHARE: f32 = 0.004;

/// A border in a picture with the ground below.
pub(super) struct Path {
    /// Row of the first ground pixel of each column; `None` where there is no ground.
    pub rows: Vec<Option<usize>>,
    /// Sum of the gains less the costs of steps.
    pub total: f32,
    /// Mean gain of a column with ground.
    pub gain: f32,
}

impl Path {
    /// The path of most gain; `None` where it is no border.
    pub fn find(picture: &Picture) -> Option<Self> {
        let (width, height) = (picture.width, picture.height);
        if height < 4 * WINDOW_ROWS || width < 4 * WINDOW_COLUMNS {
            return None;
        }
        // the row below the last stands for a column without ground
        let states = height + 1;
        let mut came_from = vec![0_u16; width * states];
        let mut best = vec![0.0_f32; states];
        let mut next = vec![0.0_f32; states];
        let mut gains = vec![0.0_f32; width * states];
        for column in 0..width {
            let gain = &mut gains[column * states..(column + 1) * states];
            column_gains(picture, column, gain);
            for row in 0..states {
                let (low, high) = (row.saturating_sub(MOST_STEP), (row + MOST_STEP).min(height));
                let (mut value, mut from) = (f32::NEG_INFINITY, row);
                for (before, previous) in best[low..=high].iter().enumerate() {
                    let before = before + low;
                    let reached = previous - STEP_COST * before.abs_diff(row) as f32;
                    if reached > value {
                        (value, from) = (reached, before);
                    }
                }
                next[row] = value + gain[row];
                came_from[column * states + row] = from as u16;
            }
            std::mem::swap(&mut best, &mut next);
        }
        let (mut row, total) = (0..states)
            .map(|row| (row, best[row]))
            .max_by(|one, other| one.1.total_cmp(&other.1))?;
        let mut path = vec![(height, 0.0); width];
        for column in (0..width).rev() {
            path[column] = (row, gains[column * states + row]);
            row = usize::from(came_from[column * states + row]);
        }
        let mean = |part: &[(usize, f32)]| {
            let bordered = part.iter().filter(|(row, _)| *row < height);
            let (sum, count) = bordered.fold((0.0, 0.0), |(sum, count), (_, gain)| {
                (sum + gain.min(MOST_GAIN), count + 1.0)
            });
            (sum / f32::max(count, 1.0), count)
        };
        let least = LOCAL_SHARE * mean(&path).0;
        let kept: Vec<(usize, f32)> = (0..width)
            .map(|column| {
                let from = column.saturating_sub(LOCAL_COLUMNS);
                let until = (column + LOCAL_COLUMNS + 1).min(width);
                let bordered = mean(&path[from..until]).0 >= least;
                if bordered {
                    path[column]
                } else {
                    (height, 0.0)
                }
            })
            .collect();
        let (gain, count) = mean(&kept);
        let enough = count >= LEAST_COLUMNS * width as f32 && gain >= LEAST_MEAN_GAIN;
        let rows = kept.iter().map(|(row, _)| (*row < height).then_some(*row));
        (enough && total > 0.0).then(|| Self {
            rows: rows.collect(),
            total,
            gain,
        })
    }
}

/// The gain of a border above each row of a column, less the least; without ground nothing is gained.
fn column_gains(picture: &Picture, column: usize, gains: &mut [f32]) {
    let height = picture.height;
    let half = WINDOW_COLUMNS / 2;
    let left = column
        .saturating_sub(half)
        .min(picture.width - WINDOW_COLUMNS);
    // sums over the columns taken together, running from the top
    let mut sums = vec![[0.0_f64; 3]; height + 1];
    for y in 0..height {
        let mut row = [0.0; 3];
        for value in &picture.row(y)[left..left + WINDOW_COLUMNS] {
            let value = f64::from(*value);
            row[0] += value;
            row[1] += value * value;
            row[2] += value * y as f64;
        }
        for index in 0..3 {
            sums[y + 1][index] = sums[y][index] + row[index];
        }
    }
    let between = |from: usize, until: usize| -> [f64; 3] {
        std::array::from_fn(|index| sums[until][index] - sums[from][index])
    };
    let count = (WINDOW_ROWS * WINDOW_COLUMNS) as f64;
    for (row, gain) in gains.iter_mut().enumerate() {
        if row == height {
            *gain = 0.0;
            continue;
        }
        if row < WINDOW_ROWS || row + WINDOW_ROWS > height {
            *gain = -LEAST_GAIN;
            continue;
        }
        let above = between(row - WINDOW_ROWS, row);
        let below = between(row, row + WINDOW_ROWS);
        let variance = |sums: [f64; 3]| {
            let mean = sums[0] / count;
            let step = f64::from(coding_step(mean as f32)) * 0.3;
            let floor = (f64::from(EVEN_SHARE) * mean).hypot(step);
            (sums[1] / count - mean * mean).max(floor * floor)
        };
        // one slope over both
        let both: [f64; 3] = std::array::from_fn(|index| above[index] + below[index]);
        let mean = both[0] / (2.0 * count);
        let middle = row as f64 - 0.5;
        let spread = (4.0 * (WINDOW_ROWS * WINDOW_ROWS) as f64 - 1.0) / 12.0;
        let slope = (both[2] / (2.0 * count) - mean * middle) / spread;
        let step = f64::from(coding_step(mean as f32)) * 0.3;
        let floor = (f64::from(EVEN_SHARE) * mean).hypot(step);
        let sloped =
            (both[1] / (2.0 * count) - mean * mean - slope * slope * spread).max(floor * floor);
        let ratio = sloped * sloped / (variance(above) * variance(below));
        let logarithm = 0.5 * count as f32 * (ratio as f32).ln();
        let counted = logarithm.min(MOST_GAIN);
        *gain = counted + BEYOND_SHARE * (logarithm - counted) - LEAST_GAIN;
    }
}
