//! Local maxima of a smoothed picture above its background: what may be a star.

use crate::astrometry::background::Background;
use crate::astrometry::picture::Picture;

/// Significance above which a maximum is kept, standard deviations of the smoothed picture's noise.
const LEAST_SIGMAS: f32 = 4.5;

/// Most maxima kept, the highest above the background.
const MOST_MAXIMA: usize = 40_000;

/// Most maxima listed before the lower half is dropped; bounds memory on noise and texture.
const MOST_LISTED: usize = 400_000;

/// A local maximum.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Maximum {
    /// Pixel.
    pub x: usize,
    pub y: usize,
    /// Height above the background.
    pub height: f32,
}

/// The maxima of a smoothed picture, highest first.
pub(super) fn maxima(smooth: &Picture, background: &Background) -> Vec<Maximum> {
    let mut found = Vec::new();
    let mut threshold = vec![0.0; smooth.width];
    for y in 1..smooth.height.saturating_sub(1) {
        background.threshold_row(y, LEAST_SIGMAS, &mut threshold);
        let (above, row, below) = (smooth.row(y - 1), smooth.row(y), smooth.row(y + 1));
        for x in 1..smooth.width - 1 {
            let value = row[x];
            if value <= threshold[x] {
                continue;
            }
            // of equal neighbours the last is the maximum
            let highest = value >= row[x - 1]
                && value > row[x + 1]
                && (x - 1..=x + 1).all(|near| value >= above[near] && value > below[near]);
            if highest {
                found.push(Maximum {
                    x,
                    y,
                    height: value - background.level_at(x, y),
                });
            }
        }
        if found.len() > MOST_LISTED {
            keep_highest(&mut found, MOST_LISTED / 2);
        }
    }
    keep_highest(&mut found, MOST_MAXIMA);
    found.sort_unstable_by(higher);
    found
}

fn keep_highest(list: &mut Vec<Maximum>, count: usize) {
    if list.len() > count {
        list.select_nth_unstable_by(count, higher);
        list.truncate(count);
    }
}

/// Order by height, then by place, so that it never depends on the order before.
fn higher(one: &Maximum, other: &Maximum) -> std::cmp::Ordering {
    let height = other.height.total_cmp(&one.height);
    height.then((one.y, one.x).cmp(&(other.y, other.x)))
}
