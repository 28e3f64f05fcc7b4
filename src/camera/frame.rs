//! The frame: where the camera points and how it is held.

use crate::angle::Angle;
use crate::vector::Vector;

/// Where the optical axis points, and the camera's roll about it.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Frame {
    /// True bearing of the optical axis, from north through east.
    pub bearing: Angle,
    /// Height of the optical axis above the flat horizon, −90° to +90°.
    pub tilt: Angle,
    /// Turn of the camera about its axis, clockwise as seen from behind it;
    /// 0 holds the sensor's width level.
    pub roll: Angle,
}

/// The camera's own axes, given in east, north, up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Axes {
    /// To the right in the upright picture.
    pub right: Vector,
    /// Up in the upright picture.
    pub up: Vector,
    /// Along the optical axis.
    pub forward: Vector,
}

impl Frame {
    /// The camera turned by so many degrees to the right and up, no farther than to the zenith or
    /// straight down.
    pub fn turned(self, right_deg: f64, up_deg: f64) -> Self {
        let bearing_deg = (self.bearing.degrees() + right_deg).rem_euclid(360.0);
        let tilt_deg = (self.tilt.degrees() + up_deg).clamp(-90.0, 90.0);
        Self {
            bearing: Angle::from_degrees(bearing_deg),
            tilt: Angle::from_degrees(tilt_deg),
            ..self
        }
    }

    /// The camera's axes. At tilts of ±90° they are the limit at the given bearing, so they always
    /// exist.
    pub fn axes(self) -> Axes {
        let (sin_b, cos_b) = self.bearing.radians().sin_cos();
        let (sin_t, cos_t) = self.tilt.radians().sin_cos();
        let (sin_r, cos_r) = self.roll.radians().sin_cos();
        let level_right = Vector::new(cos_b, -sin_b, 0.0);
        let level_up = Vector::new(-sin_b * sin_t, -cos_b * sin_t, cos_t);
        Axes {
            right: level_right.times(cos_r).plus(level_up.times(-sin_r)),
            up: level_right.times(sin_r).plus(level_up.times(cos_r)),
            forward: Vector::new(sin_b * cos_t, cos_b * cos_t, sin_t),
        }
    }
}

impl Axes {
    /// From east, north, up to right, up, forward.
    pub fn to_camera(self, direction: Vector) -> Vector {
        Vector::new(
            direction.dot(self.right),
            direction.dot(self.up),
            direction.dot(self.forward),
        )
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn axes_stay_square_everywhere() {
        for bearing in [0.0, 77.0, 180.0, 359.9] {
            for tilt in [-90.0, -3.0, 0.0, 45.0, 90.0] {
                for roll in [-180.0, 0.0, 33.0, 90.0] {
                    let axes = Frame {
                        bearing: Angle::from_degrees(bearing),
                        tilt: Angle::from_degrees(tilt),
                        roll: Angle::from_degrees(roll),
                    }
                    .axes();
                    let handed = axes.up.cross(axes.right).dot(axes.forward);
                    assert!((handed - 1.0).abs() < 1e-12, "{bearing} {tilt} {roll}");
                    assert!(axes.right.dot(axes.up).abs() < 1e-12);
                }
            }
        }
    }

    #[test]
    fn it_turns_through_north_and_stops_overhead() {
        let frame = Frame {
            bearing: Angle::from_degrees(359.0),
            tilt: Angle::from_degrees(80.0),
            roll: Angle::from_degrees(3.0),
        };
        let turned = frame.turned(2.5, 20.0);
        assert!((turned.bearing.degrees() - 1.5).abs() < 1e-9);
        assert!((turned.tilt.degrees() - 90.0).abs() < 1e-9);
        assert_eq!(turned.roll, frame.roll);
    }

    #[test]
    fn facing_south_west_is_on_the_right() {
        let axes = Frame {
            bearing: Angle::from_degrees(180.0),
            tilt: Angle::ZERO,
            roll: Angle::ZERO,
        }
        .axes();
        assert!((axes.right.x + 1.0).abs() < 1e-12, "{axes:?}");
    }
}
