//! Stars by direction, so that those near a direction are found at once.
//!
//! The sphere is divided into cells on the faces of a cube. A star stands in every cell that it is
//! within the reach of, so that a look-up reads one cell.

use crate::vector::Vector;

/// Most cells along the edge of a face.
const MOST_CELLS: usize = 128;

/// Edge of a cube in reaches, and most cubes along an edge of the space: 256 kB of bits.
const CUBE_REACHES: f64 = 3.0;
const MOST_CUBES: usize = 128;

/// Where points are tried around a star, in reaches to the right and up.
const STEPS: [f64; 7] = [-1.5, -1.0, -0.5, 0.0, 0.5, 1.0, 1.5];

/// The index.
pub struct StarIndex {
    cells: usize,
    occupied: Occupied,
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
        let mut found: Vec<(u32, u32)> = Vec::with_capacity(directions.len() * 4);
        let mut starts = vec![0_u32; 6 * cells * cells + 1];
        let mut own = Vec::with_capacity(STEPS.len() * STEPS.len());
        let steps = STEPS.map(|step| step * reach.tan());
        for (row, &direction) in directions.iter().enumerate() {
            let (right, up) = square_to(direction);
            own.clear();
            for step_right in steps {
                let beside = direction.plus(right.times(step_right));
                own.extend(steps.map(|step_up| cell_of(beside.plus(up.times(step_up)), cells)));
            }
            own.sort_unstable();
            own.dedup();
            for &cell in &own {
                found.push((cell, row as u32));
                starts[cell as usize + 1] += 1;
            }
        }
        for cell in 1..starts.len() {
            starts[cell] += starts[cell - 1];
        }
        let mut next = starts.clone();
        let mut rows = vec![0; found.len()];
        for (cell, row) in found {
            let place = &mut next[cell as usize];
            rows[*place as usize] = row;
            *place += 1;
        }
        Self {
            cells,
            occupied: Occupied::new(directions, reach),
            starts,
            rows,
        }
    }

    /// Stars that may be within reach of a direction.
    pub fn near(&self, direction: Vector) -> &[u32] {
        if !self.occupied.contains(direction) {
            return &[];
        }
        let cell = cell_of(direction, self.cells) as usize;
        &self.rows[self.starts[cell] as usize..self.starts[cell + 1] as usize]
    }
}

/// Where there are stars at all: a bit for each cube of the space around the sphere. It is asked
/// first, since most directions have none near them and a cube is found without a division.
struct Occupied {
    /// Cubes along an edge.
    cubes: usize,
    bits: Vec<u64>,
}

impl Occupied {
    /// Of unit vectors, for look-ups within `reach` of them.
    fn new(directions: &[Vector], reach: f64) -> Self {
        let cubes = ((CUBE_REACHES * reach).recip() * 2.0) as usize;
        let cubes = cubes.clamp(1, MOST_CUBES);
        let mut occupied = Self {
            cubes,
            bits: vec![0; cubes.pow(3).div_ceil(64)],
        };
        for &Vector { x, y, z } in directions {
            let around = |along: f64| occupied.step(along - reach)..=occupied.step(along + reach);
            let (across, deep, high) = (around(x), around(y), around(z));
            for high in high {
                for deep in deep.clone() {
                    for across in across.clone() {
                        let cube = (high * cubes + deep) * cubes + across;
                        occupied.bits[cube / 64] |= 1 << (cube % 64);
                    }
                }
            }
        }
        occupied
    }

    /// The cube along an axis; the cast takes what is outside or not finite to an end.
    fn step(&self, along: f64) -> usize {
        let half = self.cubes as f64 / 2.0;
        ((along * half + half) as usize).min(self.cubes - 1)
    }

    fn contains(&self, Vector { x, y, z }: Vector) -> bool {
        let cube = (self.step(z) * self.cubes + self.step(y)) * self.cubes + self.step(x);
        self.bits[cube / 64] >> (cube % 64) & 1 == 1
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
