//! The two images of each star that a knocked tripod leaves.
//!
//! When the camera moves during the exposure and stays there, each star is drawn twice, always the
//! same way apart and in the same ratio of light. The differences in place between bright stars and
//! their neighbours are counted in a plane; those of chance are spread over it, those of a knock fall
//! together.

use serde::{Deserialize, Serialize};

use crate::astrometry::picture::PicturePoint;
use crate::astrometry::star_list::{DetectedStar, StarList};

/// Farthest second image sought, px.
const REACH_PX: i64 = 100;

/// Bright stars whose neighbours are counted.
const BRIGHT_STARS: usize = 300;

/// The weaker image has at least this share of the stronger's flux.
const LEAST_SHARE: f64 = 0.04;

/// Least pairs, and least share of the bright stars that must have one.
const LEAST_PAIRS: f64 = 8.0;
const LEAST_PAIR_SHARE: f64 = 0.12;

/// Least excess over the pairs of chance, in their standard deviations.
const LEAST_SIGMAS: f64 = 8.0;

/// How far a pair may be off, px.
const TOLERANCE_PX: f64 = 1.6;

/// Factor by which a pair's ratio of flux may differ from the typical one.
const RATIO_TOLERANCE: f64 = 1.8;

/// The second image of each star.
#[derive(Debug, Clone, Copy, PartialEq, Serialize, Deserialize)]
pub struct Knock {
    /// From the stronger image to the weaker, px to the right.
    pub dx_px: f64,
    /// And down.
    pub dy_px: f64,
    /// Flux of the weaker image over that of the stronger, 0 to 1: the time the camera stood there.
    pub share: f64,
    /// Pairs found among the bright stars.
    pub pairs: usize,
}

/// Stars by cells of the picture.
struct Neighbours<'a> {
    stars: &'a [DetectedStar],
    columns: usize,
    cells: Vec<Vec<u32>>,
}

impl<'a> Neighbours<'a> {
    fn new(list: &'a StarList) -> Self {
        let side = REACH_PX as usize;
        let (columns, rows) = (list.width / side + 1, list.height / side + 1);
        let mut cells = vec![Vec::new(); columns * rows];
        for (index, star) in list.stars.iter().enumerate() {
            let column = (star.at.x_px.max(0.0) as usize / side).min(columns - 1);
            let row = (star.at.y_px.max(0.0) as usize / side).min(rows - 1);
            cells[row * columns + column].push(index as u32);
        }
        Self {
            stars: &list.stars,
            columns,
            cells,
        }
    }

    /// Indices of the stars in the cell of a place and those around it.
    fn around(&self, at: PicturePoint) -> impl Iterator<Item = usize> {
        let side = REACH_PX as usize;
        let column = at.x_px.max(0.0) as usize / side;
        let row = at.y_px.max(0.0) as usize / side;
        let rows = self.cells.len() / self.columns;
        let near = |at: usize, count: usize| at.saturating_sub(1)..(at + 2).min(count);
        near(row, rows)
            .flat_map(move |row| near(column, self.columns).map(move |column| (row, column)))
            .flat_map(|(row, column)| &self.cells[row * self.columns + column])
            .map(|index| *index as usize)
    }

    /// Stars that may be second images of a star: how far right and down, and the ratio of flux.
    fn seconds(&self, first: usize) -> impl Iterator<Item = (usize, f64, f64, f64)> {
        let star = self.stars[first];
        self.around(star.at).filter_map(move |index| {
            let other = self.stars[index];
            let (dx, dy) = (other.at.x_px - star.at.x_px, other.at.y_px - star.at.y_px);
            let ratio = other.flux / star.flux;
            let near = dx.abs() < REACH_PX as f64 && dy.abs() < REACH_PX as f64;
            // the list is by flux, so what comes later is weaker
            (index > first && near && ratio >= LEAST_SHARE).then_some((index, dx, dy, ratio))
        })
    }
}

impl StarList {
    /// Finds the second images of a knocked camera; `None` where stars have one image.
    pub fn find_knock(&self) -> Option<Knock> {
        let neighbours = Neighbours::new(self);
        let bright = self.stars.len().min(BRIGHT_STARS);
        let side = (2 * REACH_PX + 1) as usize;
        let mut plane = vec![0.0_f64; side * side];
        let mut all = 0.0;
        for first in 0..bright {
            for (_, dx, dy, _) in neighbours.seconds(first) {
                let column = (dx.floor() as i64 + REACH_PX) as usize;
                let row = (dy.floor() as i64 + REACH_PX) as usize;
                plane[row * side + column] += 1.0;
                all += 1.0;
            }
        }
        let sum_around = |row: usize, column: usize| -> f64 {
            let rows = row - 1..=row + 1;
            rows.map(|row| {
                plane[row * side + column - 1..=row * side + column + 1]
                    .iter()
                    .sum::<f64>()
            })
            .sum()
        };
        let mut best = (0.0, 0, 0);
        for row in 1..side - 1 {
            for column in 1..side - 1 {
                let count = sum_around(row, column);
                if count > best.0 {
                    best = (count, row, column);
                }
            }
        }
        let by_chance = 9.0 * all / (side * side) as f64;
        let (count, row, column) = best;
        let enough = count >= LEAST_PAIRS
            && count >= LEAST_PAIR_SHARE * bright as f64
            && count > by_chance + LEAST_SIGMAS * by_chance.sqrt().max(1.0);
        if !enough {
            return None;
        }
        let near = (
            column as f64 + 0.5 - REACH_PX as f64,
            row as f64 + 0.5 - REACH_PX as f64,
        );
        let mut pairs: Vec<(f64, f64, f64)> = Vec::new();
        for first in 0..bright {
            pairs.extend(
                neighbours
                    .seconds(first)
                    .map(|(_, dx, dy, ratio)| (dx, dy, ratio))
                    .filter(|(dx, dy, _)| (dx - near.0).hypot(dy - near.1) < TOLERANCE_PX + 0.5),
            );
        }
        let median = |part: fn(&(f64, f64, f64)) -> f64| {
            let mut values: Vec<f64> = pairs.iter().map(part).collect();
            values.sort_unstable_by(f64::total_cmp);
            values.get(values.len() / 2).copied()
        };
        Some(Knock {
            dx_px: median(|pair| pair.0)?,
            dy_px: median(|pair| pair.1)?,
            share: median(|pair| pair.2)?,
            pairs: pairs.len(),
        })
    }

    /// The list without the weaker image of each star.
    pub fn without_second_images(&self, knock: Knock) -> Self {
        let neighbours = Neighbours::new(self);
        let mut second = vec![false; self.stars.len()];
        for first in 0..self.stars.len() {
            if second[first] {
                continue;
            }
            let image = neighbours.seconds(first).find(|(index, dx, dy, ratio)| {
                let off = (dx - knock.dx_px).hypot(dy - knock.dy_px);
                let as_usual = ratio / knock.share;
                // a saturated star shows too little of its flux
                let alike = as_usual < RATIO_TOLERANCE && as_usual > 1.0 / RATIO_TOLERANCE;
                off < TOLERANCE_PX && !second[*index] && (alike || self.stars[first].saturated)
            });
            if let Some((index, ..)) = image {
                second[index] = true;
            }
        }
        let mut kept = self.clone();
        let mut is_second = second.iter();
        kept.stars.retain(|_| is_second.next() == Some(&false));
        kept
    }
}
