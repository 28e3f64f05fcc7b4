//! Trails of a frame that was drawn.

use tarnlight::astrometry::picture::PicturePoint;

use super::Rendered;

impl Rendered {
    /// Trail at a place, px to the right and down: a plane through those of the drawn stars, the near
    /// ones weighing more.
    pub fn trail_at(&self, at: PicturePoint) -> (f64, f64) {
        // normal equations of value = a + b dx + c dy, for both parts of the trail
        let mut rows = [[0.0; 5]; 3];
        for star in &self.stars {
            let (dx, dy) = (
                (star.at.x_px - at.x_px) / 100.0,
                (star.at.y_px - at.y_px) / 100.0,
            );
            let weight = (-0.5 * (dx * dx + dy * dy)).exp();
            let terms = [1.0, dx, dy, star.trail.0, star.trail.1];
            for row in 0..3 {
                for column in 0..5 {
                    rows[row][column] += weight * terms[row] * terms[column];
                }
            }
        }
        for pivot in 0..3 {
            let scale = rows[pivot][pivot];
            rows[pivot] = rows[pivot].map(|value| value / scale);
            let pivot_row = rows[pivot];
            for (index, row) in rows.iter_mut().enumerate() {
                if index != pivot {
                    let factor = row[pivot];
                    for (value, own) in row.iter_mut().zip(pivot_row) {
                        *value -= factor * own;
                    }
                }
            }
        }
        (rows[0][3], rows[0][4])
    }
}
