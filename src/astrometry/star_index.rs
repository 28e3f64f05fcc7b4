//! Stars by direction, so that those near a direction are found at once.
//!
//! The sphere is divided into cells on the faces of a cube. A star stands in every cell that it is
//! within the reach of, so that a look-up reads one cell.

use crate::vector::Vector;

/// Most cells along the edge of a face.
const MOST_CELLS: usize = 128;

/// Where points are tried around a star, in reaches to the right and up.
const STEPS: [f64; 7] = [-1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5];

/// The index.
pub struct StarIndex {
    cells: usize,
    /// Where each cell's list starts; one more than there are cells.
    starts: Vec<u32>,
    /// Stars, cell by cell.
    rows: Vec<u32>,
}

impl StarIndex {
    /// An index of unit vectors for look-ups within `reach` radians.
    pub fn new(directions: &[Vector], reach: f64) -> Self {
        // A cell is narrowest in a face's corner, where its sides are a third of those in its
        // middle; the points tried around a star are then less than half a cell apart.
        let cells = (0.6 / reach.max(1e-4)) as usize;
        let cells = cells.clamp(1, MOST_CELLS);
        let mut found: Vec<(u32, u32)> = Vec::with_capacity(directions.len() * 2);
        for (row, &direction) in directions.iter().enumerate() {
            let (right, up) = square_to(direction);
            for step_right in STEPS {
                for step_up in STEPS {
                    let tried = direction
                        .plus(right.times(step_right * reach.tan()))
                        .plus(up.times(step_up * reach.tan()));
                    found.push((cell_of(tried, cells), row as u32));
                }
            }
        }
        found.sort_unstable();
        found.dedup();
        let mut starts = vec![0_u32; 6 * cells * cells + 1];
        for &(cell, _) in &found {
            starts[cell as usize + 1] += 1;
        }
        for cell in 1..starts.len() {
            starts[cell] += starts[cell - 1];
        }
        Self {
            cells,
            starts,
            rows: found.into_iter().map(|(_, row)| row).collect(),
        }
    }

    /// Stars that may be within reach of a direction.
    pub fn near(&self, direction: Vector) -> &[u32] {
        let cell = cell_of(direction, self.cells) as usize;
        &self.rows[self.starts[cell] as usize..self.starts[cell + 1] as usize]
    }
}

/// Two unit vectors at right angles to a unit vector and to each other.
fn square_to(direction: Vector) -> (Vector, Vector) {
    let helper = if direction.z.abs() < 0.7 {
        Vector::new(0.0, 0.0, 1.0)
    } else {
        Vector::new(1.0, 0.0, 0.0)
    };
    let right = helper.cross(direction);
    let right = right.times(1.0 / right.length());
    (right, direction.cross(right))
}

/// The cell of a direction of any length but zero.
fn cell_of(direction: Vector, cells: usize) -> u32 {
    let Vector { x, y, z } = direction;
    let (size, face, first, second) = if x.abs() >= y.abs() && x.abs() >= z.abs() {
        (x.abs(), usize::from(x < 0.0), y, z)
    } else if y.abs() >= z.abs() {
        (y.abs(), 2 + usize::from(y < 0.0), x, z)
    } else {
        (z.abs(), 4 + usize::from(z < 0.0), x, y)
    };
    let half = cells as f64 / 2.0;
    let scale = half / size;
    // the cast takes what is not finite to zero
    let step = |along: f64| ((along * scale + half) as usize).min(cells - 1);
    ((face * cells + step(first)) * cells + step(second)) as u32
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;

    /// Against a search through all of them.
    #[test]
    fn every_star_within_reach_is_found() {
        let spread = |index: u32| {
            let turn = Angle::from_degrees(f64::from(index) * 137.507_764);
            let height = (f64::from(index % 997) / 498.5 - 1.0).asin();
            Vector::from_spherical(turn, Angle::from_radians(height))
        };
        let stars: Vec<_> = (0..3000).map(spread).collect();
        for reach in [0.3, 0.05, 0.01] {
            let index = StarIndex::new(&stars, reach);
            for place in (0..3000).map(|index| spread(index * 7 + 3)) {
                let near = index.near(place);
                for (row, star) in stars.iter().enumerate() {
                    if star.angle_to(place).radians() < reach {
                        assert!(near.contains(&(row as u32)), "{reach}: {place:?}");
                    }
                }
            }
        }
    }
}
