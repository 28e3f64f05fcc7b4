//! The drift map: how long trails are all over the frame.
//!
//! Numbers at nine points give the trail of the star that is there when the shutter opens. Lines of
//! equal trail and the hatching beyond the allowed one come from the speed on a grid times the
//! shutter time, which for a minute agrees with the trail to a hundredth (10 mm and longer on full
//! frame).

use crate::angle::Angle;
use crate::camera::contours::{Grid, Piece};
use crate::camera::drift::Drift;
use crate::camera::lens::FIELD_LIMIT;
use crate::camera::view::{SensorPoint, View};

/// Grid spaces along the longer side of the frame.
const SPACES: f64 = 24.0;

/// Distance between hatching strokes, grid spaces.
const HATCH_SPACING: f64 = 1.0;

/// Line segments of the horizon.
const HORIZON_PIECES: u32 = 60;

/// Candidate levels of the lines, pixels.
const LEVELS: [f64; 22] = [
    0.1, 0.2, 0.3, 0.5, 0.7, 1.0, 1.5, 2.0, 2.5, 3.0, 4.0, 5.0, 6.0, 8.0, 10.0, 15.0, 20.0, 30.0,
    50.0, 100.0, 200.0, 500.0,
];

/// Maximum number of lines, thinned evenly.
const MOST_LINES: usize = 6;

/// The value at one of the nine points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub enum DriftReading {
    /// The trail there, pixels.
    Trail(f64),
    /// The ground: no stars.
    Ground,
    /// Outside a fisheye's image circle, or a star that leaves it.
    Nothing,
}

/// One of the nine points.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Mark {
    /// −1 at the left, 0 in the middle, 1 at the right.
    pub column: i8,
    /// −1 at the bottom, 0 in the middle, 1 at the top.
    pub row: i8,
    /// The value there.
    pub reading: DriftReading,
}

/// The drawing. Positions are fractions of the frame: 0 to 1 from the left, 0 to 1 from the top.
#[derive(Debug, Clone, PartialEq)]
pub struct DriftMap {
    /// Width over height of the frame.
    pub shape: f64,
    /// The nine points, row by row from the top left.
    pub marks: Vec<Mark>,
    /// Lines of equal trail, all levels together.
    pub lines: Vec<Piece>,
    /// The line along which the trail is exactly the allowed one.
    pub allowed: Vec<Piece>,
    /// Strokes over the part where it is longer.
    pub beyond: Vec<Piece>,
    /// The flat horizon, in pieces.
    pub horizon: Vec<Piece>,
}

impl View {
    /// The drift map for a shutter time, with the trail allowed in pixels.
    pub fn drift_map(&self, seconds: f64, allowed_px: f64) -> DriftMap {
        let (width, height) = (self.sensor.width_mm, self.sensor.height_mm);
        let spacing = width.max(height) / SPACES;
        let spaces = |side: f64| (side / spacing).round().clamp(2.0, SPACES) as usize;
        let (columns, rows) = (spaces(width), spaces(height));
        let px_per_speed = seconds / self.sensor.pitch_um();
        let grid = Grid::filled(columns + 1, rows + 1, |column, row| {
            let point = SensorPoint {
                x_mm: (column as f64 / columns as f64 - 0.5) * width,
                y_mm: (0.5 - row as f64 / rows as f64) * height,
            };
            self.sky_speed(point)
                .map_or(f64::NAN, |speed| speed * px_per_speed)
        });
        let shares = |pieces: Vec<Piece>| -> Vec<Piece> {
            let share = |(x, y): (f64, f64)| (x / columns as f64, y / rows as f64);
            pieces
                .into_iter()
                .map(|(from, to)| (share(from), share(to)))
                .collect()
        };
        let lines = levels_between(&grid, allowed_px);
        DriftMap {
            shape: width / height,
            marks: self.nine_marks(seconds),
            lines: shares(
                lines
                    .into_iter()
                    .flat_map(|level| grid.contour(level))
                    .collect(),
            ),
            allowed: shares(grid.contour(allowed_px)),
            beyond: shares(grid.hatching(allowed_px, HATCH_SPACING)),
            horizon: self.horizon_in_frame(),
        }
    }

    /// The reading at a point after the exposure.
    pub fn drift_reading_at(&self, point: SensorPoint, seconds: f64) -> DriftReading {
        let in_field = |angle: Angle| angle.radians() <= FIELD_LIMIT.radians();
        if !self.off_axis_at(point).is_some_and(in_field) {
            return DriftReading::Nothing;
        }
        if self
            .altitude_at(point)
            .is_none_or(|altitude| altitude < Angle::ZERO)
        {
            return DriftReading::Ground;
        }
        self.trail_um(point, seconds)
            .map_or(DriftReading::Nothing, |um| {
                DriftReading::Trail(um / self.sensor.pitch_um())
            })
    }

    fn nine_marks(&self, seconds: f64) -> Vec<Mark> {
        let places = [1, 0, -1].into_iter();
        let places = places.flat_map(|row| [-1, 0, 1].map(|column| (column, row)));
        places
            .map(|(column, row)| {
                let point = SensorPoint {
                    x_mm: f64::from(column) * self.sensor.width_mm / 2.0,
                    y_mm: f64::from(row) * self.sensor.height_mm / 2.0,
                };
                Mark {
                    column,
                    row,
                    reading: self.drift_reading_at(point, seconds),
                }
            })
            .collect()
    }

    /// Speed where the point shows sky.
    fn sky_speed(&self, point: SensorPoint) -> Option<f64> {
        let seen = self.direction_in_field(point)?;
        let up = self.is_above_horizon(seen);
        up.then(|| self.drift_of(seen))?.map(Drift::speed_um_s)
    }

    fn horizon_in_frame(&self) -> Vec<Piece> {
        let Some(reach) = self.horizon_reach() else {
            return Vec::new();
        };
        let (width, height) = (self.sensor.width_mm, self.sensor.height_mm);
        let place = |point: u32| {
            let share = 2.0 * f64::from(point) / f64::from(HORIZON_PIECES) - 1.0;
            let at = self.image_of(self.along_horizon(share * reach))?;
            Some((at.x_mm / width + 0.5, 0.5 - at.y_mm / height))
        };
        (0..HORIZON_PIECES)
            .filter_map(|point| Some((place(point)?, place(point + 1)?)))
            .collect()
    }
}

/// Levels within the grid's range, thinned, without the allowed one, which has its own line.
fn levels_between(grid: &Grid, allowed_px: f64) -> Vec<f64> {
    let real = || {
        grid.values
            .iter()
            .copied()
            .filter(|value| value.is_finite())
    };
    let (lowest, highest) = (
        real().fold(f64::INFINITY, f64::min),
        real().fold(0.0, f64::max),
    );
    let other = |level: &f64| (level / allowed_px - 1.0).abs() > 0.1;
    let inside = |level: &f64| *level > lowest && *level < highest;
    let levels: Vec<f64> = LEVELS.into_iter().filter(inside).filter(other).collect();
    let every = levels.len().div_ceil(MOST_LINES).max(1);
    levels.into_iter().rev().step_by(every).collect()
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::frame::Frame;
    use crate::camera::lens::{Lens, Projection};
    use crate::camera::sensor::FORMATS;

    fn view(projection: Projection, focal_mm: f64, tilt: f64) -> View {
        let lens = Lens {
            focal_mm,
            f_number: 2.8,
            projection,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::from_degrees(tilt),
            roll: Angle::ZERO,
        };
        View::new(
            FORMATS[1].sensor(24.0),
            lens,
            frame,
            Angle::from_degrees(45.0),
        )
    }

    /// 45° N, due south, 20° up, 24 mm: the reference speeds times 20 s over 6 µm.
    #[test]
    fn the_numbers_are_the_worked_speeds_times_the_shutter() {
        let map = view(Projection::Rectilinear, 24.0, 20.0).drift_map(20.0, 2.0);
        let reading = |column, row| {
            let here = |mark: &&Mark| mark.column == column && mark.row == row;
            map.marks.iter().find(here).map(|mark| mark.reading)
        };
        for (column, row, speed) in [(0, 0, 1.5861), (1, 1, 2.8484), (0, 1, 1.9559)] {
            let Some(DriftReading::Trail(got)) = reading(column, row) else {
                panic!("no trail at {column}, {row}");
            };
            let want = speed * 20.0 / 6.0;
            assert!((got / want - 1.0).abs() < 0.01, "{got} px, want {want} px");
        }
        assert_eq!(reading(0, -1), Some(DriftReading::Ground));
    }

    #[test]
    fn the_allowed_line_has_the_allowed_trail() {
        let view = view(Projection::Rectilinear, 24.0, 45.0);
        let map = view.drift_map(10.0, 3.0);
        assert!(!map.allowed.is_empty() && !map.beyond.is_empty());
        for ((x, y), _) in map.allowed {
            let point = SensorPoint {
                x_mm: (x - 0.5) * 36.0,
                y_mm: (0.5 - y) * 24.0,
            };
            let trail = view.speed_at(point).expect("sky") * 10.0 / 6.0;
            assert!((trail / 3.0 - 1.0).abs() < 0.01, "{trail} px at {x}, {y}");
        }
    }

    #[test]
    fn a_round_fisheye_shows_nothing_in_its_corners() {
        let map = view(Projection::Equisolid, 8.0, 45.0).drift_map(10.0, 2.0);
        assert_eq!(map.marks[0].reading, DriftReading::Nothing);
        assert!(matches!(map.marks[4].reading, DriftReading::Trail(_)));
    }

    /// The horizon's segments lie on the horizon and cross the frame from side to side, with the
    /// longest lens too.
    #[test]
    fn the_horizon_is_drawn_whole() {
        for (focal_mm, tilt, k1) in [
            (14.0, 20.0, 0.0),
            (24.0, 0.0, 0.0),
            (800.0, 0.5, 0.0),
            (14.0, 20.0, -0.1),
            (14.0, 20.0, 0.1),
        ] {
            let mut view = view(Projection::Rectilinear, focal_mm, tilt);
            view.lens.distortion.k1 = k1;
            let pieces = view.drift_map(1.0, 2.0).horizon;
            for &((x, y), _) in &pieces {
                let point = SensorPoint {
                    x_mm: (x - 0.5) * 36.0,
                    y_mm: (0.5 - y) * 24.0,
                };
                let height = view.altitude_at(point).expect("a direction").degrees();
                assert!(height.abs() < 1e-6, "{focal_mm} mm: {height}°");
            }
            let left = pieces.iter().map(|piece| piece.0.0).fold(1.0, f64::min);
            let right = pieces.iter().map(|piece| piece.1.0).fold(0.0, f64::max);
            assert!(
                left <= 0.0 && right >= 1.0,
                "{focal_mm} mm: {left} to {right}"
            );
        }
    }

    #[test]
    fn looking_straight_up_has_no_horizon() {
        let map = view(Projection::Rectilinear, 24.0, 90.0).drift_map(10.0, 2.0);
        assert!(map.horizon.is_empty());
    }
}
