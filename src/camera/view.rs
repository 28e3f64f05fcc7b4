//! The view: a sensor and a lens, pointed, under the sky of one latitude.
//!
//! Drift follows from two directions in camera axes: the celestial pole, about which the sky turns,
//! and the zenith, which separates sky from ground. Refraction is neglected: it compresses the sky
//! in altitude, by 0.8 % at 10° above the horizon and 0.1 % at 30°, and slows drift by no more.

use crate::angle::Angle;
use crate::camera::frame::{Axes, Frame};
use crate::camera::lens::{FIELD_LIMIT, Lens};
use crate::camera::sensor::Sensor;
use crate::vector::Vector;

/// Cosine of an angle over the field's limit by no more than rounding.
const FIELD_MARGIN: f64 = 2e-12;

/// Sine of an altitude that counts as level: a fifth of an arc second.
const HORIZON_MARGIN: f64 = 1e-6;

/// A point on the sensor, mm from its centre, in the upright picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct SensorPoint {
    /// To the right.
    pub x_mm: f64,
    /// Up.
    pub y_mm: f64,
}

impl SensorPoint {
    /// The centre of the sensor.
    pub const CENTRE: Self = Self {
        x_mm: 0.0,
        y_mm: 0.0,
    };

    /// Distance from the centre, mm.
    pub fn from_centre_mm(self) -> f64 {
        // neither overflows: quicker than hypot
        (self.x_mm * self.x_mm + self.y_mm * self.y_mm).sqrt()
    }

    /// Scaled about the centre.
    fn scaled(self, times: f64) -> Self {
        Self {
            x_mm: times * self.x_mm,
            y_mm: times * self.y_mm,
        }
    }
}

/// A camera pointed at the sky of a latitude.
///
/// Directions inside are right, up and forward. These three are left-handed, so rotations have the
/// opposite sign to those in east, north, up.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct View {
    /// The sensor, as it is held.
    pub sensor: Sensor,
    /// The lens.
    pub lens: Lens,
    axes: Axes,
    pole: Vector,
    zenith: Vector,
}

impl View {
    /// A camera with this sensor, lens and frame at a latitude.
    pub fn new(sensor: Sensor, lens: Lens, frame: Frame, latitude: Angle) -> Self {
        let axes = frame.axes();
        let pole = Vector::new(0.0, latitude.cos(), latitude.sin());
        Self {
            sensor,
            lens,
            axes,
            pole: axes.to_camera(pole),
            zenith: axes.to_camera(Vector::new(0.0, 0.0, 1.0)),
        }
    }

    /// The north celestial pole in camera axes.
    pub(super) fn pole(&self) -> Vector {
        self.pole
    }

    /// From east, north, up to camera axes: right, up, forward.
    pub fn to_camera(&self, direction: Vector) -> Vector {
        self.axes.to_camera(direction)
    }

    /// From camera axes to east, north, up.
    pub fn to_enu(&self, seen: Vector) -> Vector {
        let Axes { right, up, forward } = self.axes;
        right
            .times(seen.x)
            .plus(up.times(seen.y))
            .plus(forward.times(seen.z))
    }

    /// The image point of a true bearing and altitude, if it is on the sensor.
    pub fn place_of(&self, bearing: Angle, altitude: Angle) -> Option<SensorPoint> {
        let point = self.image_of(self.to_camera(Vector::from_bearing(bearing, altitude)))?;
        let inside = point.x_mm.abs() <= self.sensor.width_mm / 2.0
            && point.y_mm.abs() <= self.sensor.height_mm / 2.0;
        inside.then_some(point)
    }

    /// The direction imaged at a point; `None` where the lens has no image.
    pub fn direction_at(&self, point: SensorPoint) -> Option<Vector> {
        let ideal = self.ideal_of(point)?;
        let radius = ideal.from_centre_mm() / self.lens.focal_mm;
        let (cos, scale) = self.lens.projection.cosine_and_scale(radius)?;
        let scale = self.lens.focal_mm * scale;
        let seen = Vector::new(ideal.x_mm / scale, ideal.y_mm / scale, cos);
        (seen.x.is_finite() && seen.y.is_finite()).then_some(seen)
    }

    /// The image point of a direction; `None` where the lens has no image of it.
    pub fn image_of(&self, seen: Vector) -> Option<SensorPoint> {
        let (scale, _) = self.lens.projection.scale_and_bend(sine_and_cosine(seen))?;
        let scale = self.lens.focal_mm * scale;
        let (x_mm, y_mm) = (scale * seen.x, scale * seen.y);
        let point = self.distorted(SensorPoint { x_mm, y_mm })?;
        (point.x_mm.is_finite() && point.y_mm.is_finite()).then_some(point)
    }

    /// Angle from the optical axis at a point.
    pub fn off_axis_at(&self, point: SensorPoint) -> Option<Angle> {
        self.off_axis_of(self.ideal_of(point)?)
    }

    /// Angle from the optical axis at an undistorted point.
    fn off_axis_of(&self, ideal: SensorPoint) -> Option<Angle> {
        let radius = ideal.from_centre_mm() / self.lens.focal_mm;
        self.lens
            .projection
            .off_axis(radius)
            .map(Angle::from_radians)
    }

    /// The undistorted point of an image point; `None` where there is no image.
    fn ideal_of(&self, point: SensorPoint) -> Option<SensorPoint> {
        let distortion = self.lens.distortion;
        if distortion.is_none() {
            return Some(point);
        }
        let ideal = distortion.ideal(self.in_half_diagonals(point))?;
        Some(point.scaled(1.0 / distortion.tangential_scale(ideal)))
    }

    /// The image point of an undistorted one; `None` beyond the growth limit.
    pub(super) fn distorted(&self, ideal: SensorPoint) -> Option<SensorPoint> {
        let distortion = self.lens.distortion;
        if distortion.is_none() {
            return Some(ideal);
        }
        let radius = self.in_half_diagonals(ideal);
        distortion.distorted(radius)?;
        Some(ideal.scaled(distortion.tangential_scale(radius)))
    }

    /// Distance of a point from the centre in the unit of [`Distortion`]'s radii.
    ///
    /// [`Distortion`]: crate::camera::distortion::Distortion
    pub(super) fn in_half_diagonals(&self, point: SensorPoint) -> f64 {
        2.0 * point.from_centre_mm() / self.sensor.diagonal_mm()
    }

    /// The direction imaged at a point, where it is within [`FIELD_LIMIT`].
    pub(super) fn direction_in_field(&self, point: SensorPoint) -> Option<Vector> {
        // the limit is a right angle
        self.direction_at(point)
            .filter(|seen| seen.z >= -FIELD_MARGIN)
    }

    /// Whether a direction is above the flat horizon, or on it but for rounding.
    pub(super) fn is_above_horizon(&self, seen: Vector) -> bool {
        seen.dot(self.zenith) >= -HORIZON_MARGIN
    }

    /// Altitude imaged at a point.
    pub fn altitude_at(&self, point: SensorPoint) -> Option<Angle> {
        self.direction_at(point)
            .map(|seen| angle_above(seen, self.zenith))
    }

    /// Declination of the star imaged at a point.
    pub fn declination_at(&self, point: SensorPoint) -> Option<Angle> {
        self.direction_at(point)
            .map(|seen| angle_above(seen, self.pole))
    }

    /// A direction on the flat horizon, `turn` radians from the bearing of the optical axis (any
    /// bearing where that is vertical).
    pub(super) fn along_horizon(&self, turn: f64) -> Vector {
        const AXIS: Vector = Vector::new(0.0, 0.0, 1.0);
        const UP: Vector = Vector::new(0.0, 1.0, 0.0);
        let upright = self.zenith.z.abs() > 1.0 - 1e-12;
        let towards = if upright { UP } else { AXIS };
        let start = towards.plus(self.zenith.times(-self.zenith.dot(towards)));
        let start = start.times(1.0 / start.dot(start).sqrt());
        start.rotated_about(self.zenith, turn)
    }

    /// Half the range of bearings, radians, over which the horizon is within the circle about the
    /// frame. `None` when it is outside.
    ///
    /// A direction on the horizon at the relative bearing t is γ from the axis, with cos γ = cos
    /// tilt · cos t.
    pub(super) fn horizon_reach(&self) -> Option<f64> {
        let corner = SensorPoint {
            x_mm: self.sensor.width_mm / 2.0,
            y_mm: self.sensor.height_mm / 2.0,
        };
        let widest = self.off_axis_at(corner).unwrap_or(FIELD_LIMIT);
        let widest = widest.radians().min(FIELD_LIMIT.radians());
        let level = self.zenith.x.hypot(self.zenith.y);
        if widest.cos() > level {
            return None;
        }
        let cos = widest.cos() / level;
        Some((1.0 - cos * cos).max(0.0).sqrt().atan2(cos))
    }
}

/// The components of a direction across the optical axis and along it.
pub(super) fn sine_and_cosine(seen: Vector) -> (f64, f64) {
    ((seen.x * seen.x + seen.y * seen.y).sqrt(), seen.z)
}

/// Angle between a direction and the optical axis, radians.
pub(super) fn off_axis(seen: Vector) -> f64 {
    seen.x.hypot(seen.y).atan2(seen.z)
}

/// Angle of a direction above the plane normal to `axis`.
fn angle_above(seen: Vector, axis: Vector) -> Angle {
    let across = axis.cross(seen);
    Angle::from_radians(seen.dot(axis).atan2(across.dot(across).sqrt()))
}
