//! The sharp pool: the part of the frame in which trails stay within the sharpness asked for.
//!
//! Its edge closes about the place where stars are slowest, as a shore does about a tarn. Short
//! strokes over the frame give the direction and length of the trails there. Edge and strokes come
//! from the speed times the shutter time, which for a minute agrees with the trail to a hundredth
//! (10 mm and longer on full frame).

use crate::camera::contours::{Grid, Piece};
use crate::camera::view::{SensorPoint, View};

/// Grid spaces along the longer side of the frame: with straight pieces between them the shore still
/// has the allowed trail to a hundredth.
const SPACES: f64 = 32.0;

/// How the pool is asked for.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PoolGrid {
    /// Strokes along the width.
    pub columns: u32,
    /// Strokes along the height.
    pub rows: u32,
    /// Distance between hatching strokes along the edges, shares of the longer side.
    pub hatch: f64,
}

/// The trail of the star at one place.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Stroke {
    /// Its middle: shares of the frame, from the left and from the top.
    pub middle: (f64, f64),
    /// From its start to its end, shares of the frame's width, to the right and down.
    pub trail: (f64, f64),
    /// Whether it is longer than the trail allowed.
    pub beyond: bool,
}

impl Stroke {
    /// Its length, shares of the frame's width.
    pub fn length(&self) -> f64 {
        self.trail.0.hypot(self.trail.1)
    }
}

/// The drawing. Positions are shares of the frame: 0 to 1 from the left, 0 to 1 from the top. The
/// flat horizon is not minded: land is drawn over it.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct SharpPool {
    /// The line along which the trail is exactly the allowed one.
    pub shore: Vec<Piece>,
    /// Hatching where it is longer.
    pub beyond: Vec<Piece>,
    /// Trails of stars above the flat horizon.
    pub strokes: Vec<Stroke>,
}

impl View {
    /// The sharp pool for a shutter time, with the trail allowed in pixels.
    pub fn sharp_pool(&self, seconds: f64, allowed_px: f64, pool: PoolGrid) -> SharpPool {
        let (width, height) = (self.sensor.width_mm, self.sensor.height_mm);
        let longer = width.max(height);
        let spaces = |side: f64| (side / longer * SPACES).round().max(2.0) as usize;
        let (columns, rows) = (spaces(width), spaces(height));
        let px_per_speed = seconds / self.sensor.pitch_um();
        let point = |x: f64, y: f64| SensorPoint {
            x_mm: (x - 0.5) * width,
            y_mm: (0.5 - y) * height,
        };
        let grid = Grid::filled(columns + 1, rows + 1, |column, row| {
            let point = point(column as f64 / columns as f64, row as f64 / rows as f64);
            let drift = self.direction_in_field(point);
            let drift = drift.and_then(|seen| self.drift_of(seen));
            drift.map_or(f64::NAN, |drift| drift.speed_um_s() * px_per_speed)
        });
        let shares = |pieces: Vec<Piece>| -> Vec<Piece> {
            let share = |(x, y): (f64, f64)| (x / columns as f64, y / rows as f64);
            let piece = |(from, to)| (share(from), share(to));
            pieces.into_iter().map(piece).collect()
        };
        let stroke = |place: u32| {
            let share = |at: u32, of: u32| (f64::from(at) + 0.5) / f64::from(of);
            let (x, y) = (
                share(place % pool.columns, pool.columns),
                share(place / pool.columns, pool.rows),
            );
            let seen = self.direction_in_field(point(x, y))?;
            let up = self.is_above_horizon(seen);
            let drift = up.then(|| self.drift_of(seen))??;
            // µm to shares of the width
            let scale = seconds / 1000.0 / width;
            Some(Stroke {
                middle: (x, y),
                trail: (drift.right_um_s * scale, -drift.up_um_s * scale),
                beyond: drift.speed_um_s() * px_per_speed > allowed_px,
            })
        };
        SharpPool {
            shore: shares(grid.contour(allowed_px)),
            beyond: shares(grid.hatching(allowed_px, pool.hatch * SPACES)),
            strokes: (0..pool.columns * pool.rows).filter_map(stroke).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::camera::frame::Frame;
    use crate::camera::lens::Lens;
    use crate::camera::sensor::FORMATS;

    const POOL: PoolGrid = PoolGrid {
        columns: 9,
        rows: 6,
        hatch: 0.03,
    };

    fn view(tilt_deg: f64) -> View {
        let frame = Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(tilt_deg),
            roll: Angle::ZERO,
        };
        let lens = Lens {
            focal_mm: 20.0,
            ..Lens::default()
        };
        View::new(
            FORMATS[1].sensor(24.0),
            lens,
            frame,
            Angle::from_degrees(36.0),
        )
    }

    /// Strokes beyond the shore are longer than those within, and each runs as far as the star
    /// does by the trail's own integral, in its direction.
    #[test]
    fn strokes_are_the_trails() {
        let (view, seconds) = (view(25.0), 8.0);
        let pool = view.sharp_pool(seconds, 2.0, POOL);
        let longest = |beyond| {
            let kind = pool.strokes.iter().filter(|it| it.beyond == beyond);
            kind.map(Stroke::length).fold(0.0, f64::max)
        };
        let shortest_beyond = pool.strokes.iter().filter(|it| it.beyond);
        let shortest_beyond = shortest_beyond.map(Stroke::length).fold(1.0, f64::min);
        assert!(longest(false) > 0.0 && longest(false) <= shortest_beyond);
        assert!(longest(true) > 1.5 * longest(false), "{pool:?}");
        for stroke in &pool.strokes {
            let (x, y) = stroke.middle;
            let point = SensorPoint {
                x_mm: (x - 0.5) * 36.0,
                y_mm: (0.5 - y) * 24.0,
            };
            let trail = view.trail_um(point, seconds).expect("a trail") / 36_000.0;
            assert!((stroke.length() / trail - 1.0).abs() < 1e-3, "{stroke:?}");
            let [before, after] = [-0.5, 0.5].map(|share| {
                view.star_after(point, share * seconds)
                    .expect("in the picture")
            });
            let run = (
                (after.x_mm - before.x_mm) / 36.0,
                (before.y_mm - after.y_mm) / 36.0,
            );
            let miss = (run.0 - stroke.trail.0).hypot(run.1 - stroke.trail.1);
            assert!(miss < 1e-3 * stroke.length(), "{stroke:?}");
        }
    }

    /// On the shore the trail is the one allowed, also under the horizon.
    #[test]
    fn the_shore_has_the_allowed_trail() {
        let view = view(15.0);
        let pool = view.sharp_pool(8.0, 2.0, POOL);
        assert!(!pool.shore.is_empty() && !pool.beyond.is_empty());
        for ((x, y), _) in pool.shore {
            let point = SensorPoint {
                x_mm: (x - 0.5) * 36.0,
                y_mm: (0.5 - y) * 24.0,
            };
            let trail_px = view.speed_at(point).expect("sky") * 8.0 / view.sensor.pitch_um();
            assert!((trail_px / 2.0 - 1.0).abs() < 0.01, "{trail_px} at {x} {y}");
        }
    }

    /// No stroke stands below the horizon.
    #[test]
    fn the_ground_has_no_strokes() {
        let pool = view(0.0).sharp_pool(8.0, 2.0, POOL);
        assert_eq!(pool.strokes.len(), 27, "the upper half of 9 by 6");
        assert!(pool.strokes.iter().all(|it| it.middle.1 < 0.5));
    }
}
