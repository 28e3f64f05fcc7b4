//! Where the sky ends: the border between sky and ground, column by column.
//!
//! In a reduced picture each place of a column is asked how much better two levels, one above it and
//! one below, each with its own roughness, describe the pixels around it than one slope does. This
//! finds a dark ridge before a bright sky as well as moonlit ground as bright as the sky but rougher,
//! while the soft edge of a cloud or of the Milky Way is a slope. The border is the path through all
//! columns that gathers most (dynamic programming). It is then refined to a fraction of a pixel.
//! The ground may be on any side of the picture.

use crate::astrometry::background::{Background, coding_step};
use crate::astrometry::picture::{Picture, PicturePoint};
use crate::astrometry::smoothing::reduced;
use crate::astrometry::star_list::StarList;
use crate::listed::listed;

/// Longest side of the reduced picture, px, at most.
const REDUCED_PX: usize = 640;

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

/// Mean gain over a border's columns where many stars confirm it, and where they do not.
const LEAST_MEAN_GAIN: f32 = 6.0;
const CLEAR_MEAN_GAIN: f32 = 11.0;

/// Stars from which the empty ground confirms a border.
const MANY_STARS: usize = 100;

/// Least share of all columns that a border must have.
const LEAST_COLUMNS: f32 = 0.04;

/// Stars rise above the background; pixels are cut off this many deviations above it.
const CUT_SIGMAS: f32 = 2.5;

/// Deviation of what differs by itself in an even sky, as a share of its level.
const EVEN_SHARE: f32 = 0.004;

/// Full-size pixels along the border to a point of it.
const POINT_SPACING_PX: usize = 4;

/// The border is blurred by the lens; this many full-size rows around it are left out of the levels
/// on either side.
const BLUR_PX: usize = 2;

/// Density of stars on the ground over that in the sky, at most: lamps. Where the border is faint, less.
const GROUND_STARS: f64 = 0.15;
const UNCLEAR_GROUND_STARS: f64 = 0.03;

/// Levels of sky and of even ground differ by at least this share of the brighter.
const LEAST_DIFFERENCE: f64 = 0.12;

/// Lit ground has at least this share of the sky's level, and this many times its variance.
const ROUGH_LEVEL: f64 = 0.3;
const ROUGH_VARIANCE: f64 = 4.0;

/// Fewer stars than this do not tell sky and ground apart.
const FEW_STARS: usize = 20;

listed! {
    /// A side of the picture.
    #[derive(Debug, Clone, Copy, PartialEq, Eq)]
    pub enum Side {
        /// Below, as in an upright picture.
        Bottom,
        /// Above.
        Top,
        /// To the left.
        Left,
        /// To the right.
        Right,
    }
}

/// The border between sky and ground.
#[derive(Debug, Clone, PartialEq)]
pub struct Skyline {
    /// Side of the picture on which the ground is.
    pub ground: Side,
    /// Points of the border, in order along it. Columns without ground have none.
    pub points: Vec<PicturePoint>,
    /// Size of the picture, px.
    pub width: usize,
    /// Size of the picture, px.
    pub height: usize,
    /// Mean gain of a column, as logarithm of likelihood: how sharply sky and ground differ.
    pub gain: f64,
}

impl Side {
    /// Column and depth, from the sky to the ground, of a place.
    fn column_of(self, at: PicturePoint, width: f64, height: f64) -> (f64, f64) {
        match self {
            Self::Bottom => (at.x_px, at.y_px),
            Self::Top => (at.x_px, height - at.y_px),
            Self::Right => (at.y_px, at.x_px),
            Self::Left => (at.y_px, width - at.x_px),
        }
    }

    /// The place of a column and depth.
    fn place_of(self, column: f64, depth: f64, width: f64, height: f64) -> PicturePoint {
        let (x_px, y_px) = match self {
            Self::Bottom => (column, depth),
            Self::Top => (column, height - depth),
            Self::Right => (depth, column),
            Self::Left => (width - depth, column),
        };
        PicturePoint { x_px, y_px }
    }

    /// The picture turned so that the ground is below.
    fn turned(self, picture: &Picture) -> Picture {
        let (width, height) = (picture.width, picture.height);
        let (columns, rows) = match self {
            Self::Bottom | Self::Top => (width, height),
            Self::Left | Self::Right => (height, width),
        };
        let mut pixels = Vec::with_capacity(picture.pixels.len());
        for row in 0..rows {
            match self {
                Self::Bottom => pixels.extend(picture.row(row)),
                Self::Top => pixels.extend(picture.row(height - 1 - row)),
                Self::Right => pixels.extend((0..columns).map(|y| picture.row(y)[row])),
                Self::Left => {
                    pixels.extend((0..columns).map(|y| picture.row(y)[width - 1 - row]));
                }
            }
        }
        Picture {
            width: columns,
            height: rows,
            pixels,
        }
    }
}

impl Skyline {
    /// Traces the border; `None` where the picture shows none, or stars on both sides of it.
    ///
    /// On rendered frames its median distance from the truth is 0.2 to 0.4 px.
    pub fn trace(picture: &Picture, list: &StarList) -> Option<Self> {
        let factor = picture.width.max(picture.height).div_ceil(REDUCED_PX);
        let small = without_stars(reduced(picture, factor));
        // a border along the picture, or one across it; then which side of it is the ground
        let along = [(Side::Bottom, Side::Top), (Side::Right, Side::Left)];
        let found = along.into_iter().filter_map(|(side, opposite)| {
            let path = Path::find(&side.turned(&small));
            let path = path?;
            if list.stars.len() < MANY_STARS && path.gain < CLEAR_MEAN_GAIN {
                return None;
            }
            let (skyline, contrast) = Self::refined(picture, side, &path, factor)?;
            let turned_over = Self {
                ground: opposite,
                ..skyline.clone()
            };
            let ground_here = match contrast.rougher() {
                Some(below) => below,
                None => {
                    let [here, there] = skyline.star_densities(list);
                    let most = if path.gain < CLEAR_MEAN_GAIN {
                        UNCLEAR_GROUND_STARS
                    } else {
                        GROUND_STARS
                    };
                    if !contrast.differs() {
                        return None;
                    } else if list.stars.len() < FEW_STARS {
                        contrast.ground_mean < contrast.sky_mean
                    } else if there <= most * here {
                        true
                    } else if here <= most * there {
                        false
                    } else {
                        return None;
                    }
                }
            };
            let skyline = if ground_here { skyline } else { turned_over };
            Some((path.total, skyline))
        });
        found
            .max_by(|(one, _), (other, _)| one.total_cmp(other))
            .map(|(_, skyline)| skyline)
    }

    /// Whether a place is in the sky: on the sky's side of the border.
    pub fn is_sky(&self, at: PicturePoint) -> bool {
        let (width, height) = (self.width as f64, self.height as f64);
        let (column, depth) = self.ground.column_of(at, width, height);
        let place = |point: &PicturePoint| self.ground.column_of(*point, width, height);
        let after = self.points.partition_point(|point| place(point).0 < column);
        let near = [after.checked_sub(1), Some(after)];
        near.into_iter()
            .flatten()
            .filter_map(|index| self.points.get(index).map(place))
            // a column without a point nearby has no ground
            .filter(|(at, _)| (at - column).abs() <= 2.0 * POINT_SPACING_PX as f64)
            .all(|(_, border)| depth < border)
    }

    /// Stars per square pixel in the sky and on the ground, by the picture's area on either side.
    fn star_densities(&self, list: &StarList) -> [f64; 2] {
        let (width, height) = (self.width as f64, self.height as f64);
        let total = width * height;
        let rows = match self.ground {
            Side::Bottom | Side::Top => height,
            Side::Left | Side::Right => width,
        };
        let ground_area: f64 = self
            .points
            .iter()
            .map(|point| {
                let (_, depth) = self.ground.column_of(*point, width, height);
                (rows - depth) * POINT_SPACING_PX as f64
            })
            .sum();
        // what stands on the border itself is on neither side
        let margin = 3.0 * POINT_SPACING_PX as f64;
        let moved = |at: PicturePoint, by: f64| {
            let (column, depth) = self.ground.column_of(at, width, height);
            self.is_sky(self.ground.place_of(column, depth + by, width, height))
        };
        let count = |wanted: &dyn Fn(PicturePoint) -> bool| {
            list.stars.iter().filter(|star| wanted(star.at)).count() as f64
        };
        let sky = count(&|at| moved(at, margin));
        let ground = count(&|at| !moved(at, -margin));
        [
            sky / (total - ground_area).max(1.0),
            ground / ground_area.max(1.0),
        ]
    }

    /// Refines a path of the reduced picture in the picture itself.
    fn refined(
        picture: &Picture,
        side: Side,
        path: &Path,
        factor: usize,
    ) -> Option<(Self, Contrast)> {
        let (width, height) = (picture.width as f64, picture.height as f64);
        let reach = 3 * factor + 4;
        let mut points = Vec::new();
        let mut contrasts = Vec::new();
        let columns = path.rows.len() * factor;
        let at = |column: f64| {
            // between the middles of two reduced columns the path is straight
            let place = column / factor as f64 - 0.5;
            let first = place.floor().clamp(0.0, (path.rows.len() - 1) as f64);
            let second = (first as usize + 1).min(path.rows.len() - 1);
            let one = path.rows[first as usize]? as f64;
            let other = path.rows[second].map_or(one, |row| row as f64);
            Some((one + (other - one) * (place - first).clamp(0.0, 1.0)) * factor as f64)
        };
        let sample = |column: usize, depth: i64| -> Option<f64> {
            let centre = side.place_of(column as f64 + 0.5, depth as f64 + 0.5, width, height);
            let (x, y) = (centre.x_px.floor(), centre.y_px.floor());
            if x < 0.0 || y < 0.0 {
                return None;
            }
            picture
                .row(y as usize)
                .get(x as usize)
                .map(|value| f64::from(*value))
        };
        for start in (0..columns.saturating_sub(POINT_SPACING_PX)).step_by(POINT_SPACING_PX) {
            let middle = start as f64 + POINT_SPACING_PX as f64 / 2.0;
            let Some(coarse) = at(middle) else { continue };
            // the columns are laid side by side along the path's slope
            let profile: Vec<Vec<f64>> = (-(reach as i64)..=reach as i64)
                .map(|row| {
                    (start..start + POINT_SPACING_PX)
                        .filter_map(|column| {
                            let shift = at(column as f64 + 0.5)? - coarse;
                            sample(column, (coarse + shift).round() as i64 + row)
                        })
                        .collect()
                })
                .collect();
            if let Some((offset, contrast)) = border_in(&profile) {
                let depth = coarse.round() + offset - reach as f64;
                points.push(side.place_of(middle, depth, width, height));
                contrasts.push(contrast);
            }
        }
        let contrast = Contrast::typical(&contrasts)?;
        let skyline = Self {
            ground: side,
            points,
            width: picture.width,
            height: picture.height,
            gain: f64::from(path.gain),
        };
        Some((skyline, contrast))
    }
}

/// The reduced picture without what rises above its background.
fn without_stars(mut small: Picture) -> Picture {
    let background = Background::measure(&small);
    let mut most = vec![0.0; small.width];
    for y in 0..small.height {
        background.threshold_row(y, CUT_SIGMAS, &mut most);
        let row = &mut small.pixels[y * small.width..(y + 1) * small.width];
        for (value, most) in row.iter_mut().zip(&most) {
            *value = value.min(*most);
        }
    }
    small
}

/// Levels and variances on either side of a border, where the ground is taken to be below.
#[derive(Debug, Clone, Copy)]
struct Contrast {
    sky_mean: f64,
    sky_variance: f64,
    ground_mean: f64,
    ground_variance: f64,
}

impl Contrast {
    /// Medians over a border.
    fn typical(all: &[Self]) -> Option<Self> {
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
    fn differs(&self) -> bool {
        let brighter = self.sky_mean.max(self.ground_mean);
        (self.sky_mean - self.ground_mean).abs() >= LEAST_DIFFERENCE * brighter
    }

    /// Whether the side taken for the ground is rougher than light's own noise allows (`true`), or
    /// the other is (`false`); `None` where neither is. A brighter side is noisier by itself.
    fn rougher(&self) -> Option<bool> {
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

/// A border in a picture with the ground below.
struct Path {
    /// Row of the first ground pixel of each column; `None` where there is no ground.
    rows: Vec<Option<usize>>,
    /// Sum of the gains less the costs of steps.
    total: f32,
    /// Mean gain of a column with ground.
    gain: f32,
}

impl Path {
    fn find(picture: &Picture) -> Option<Self> {
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

/// Depth of the border in a profile of rows, from the top of its first row: where the level is half
/// way between both sides, or where two roughnesses meet. `None` where neither is found.
fn border_in(profile: &[Vec<f64>]) -> Option<(f64, Contrast)> {
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
