//! How fast stars cross the sensor behind a lens of which all is known, by finite differences: nothing of
//! the library's drift is used.

/// A camera on a tripod.
#[derive(Debug, Clone, Copy)]
pub struct Camera {
    /// Width and height of the sensor as it is held, mm.
    pub sensor_mm: (f64, f64),
    /// Pixels along the longer side.
    pub pixels: f64,
    /// Focal length, mm.
    pub focal_mm: f64,
    /// Whether the lens is a fisheye of equal areas; else it is rectilinear.
    pub equisolid: bool,
    /// Distortion, by half diagonals.
    pub distortion: (f64, f64),
    /// Latitude, degrees.
    pub lat_deg: f64,
    /// Bearing, height and roll of the axis, degrees.
    pub pointing_deg: (f64, f64, f64),
}

/// East, north and up.
type Direction = [f64; 3];

/// Rotation of the sky, radians a second (IERS Conventions 2010, ch. 1).
const EARTH_RATE: f64 = 7.292_115e-5;

/// Time between the places of a star of which the speed is taken, s.
const BETWEEN_S: f64 = 0.5;

/// Places along each side of the sensor that are tried for the fastest star.
const PLACES: u32 = 60;

fn dot(one: Direction, other: Direction) -> f64 {
    one.iter().zip(other).map(|(one, other)| one * other).sum()
}

impl Camera {
    fn half_diagonal_mm(&self) -> f64 {
        self.sensor_mm.0.hypot(self.sensor_mm.1) / 2.0
    }

    /// Right, up and forward.
    fn axes(&self) -> [Direction; 3] {
        let (bearing, tilt, roll) = self.pointing_deg;
        let (sin_b, cos_b) = bearing.to_radians().sin_cos();
        let (sin_t, cos_t) = tilt.to_radians().sin_cos();
        let (sin_r, cos_r) = roll.to_radians().sin_cos();
        let level = [cos_b, -sin_b, 0.0];
        let upright = [-sin_b * sin_t, -cos_b * sin_t, cos_t];
        [
            std::array::from_fn(|axis| cos_r * level[axis] - sin_r * upright[axis]),
            std::array::from_fn(|axis| sin_r * level[axis] + cos_r * upright[axis]),
            [sin_b * cos_t, cos_b * cos_t, sin_t],
        ]
    }

    /// Distance from the axis of the image of a star, mm.
    fn radius_mm(&self, off_axis: f64) -> f64 {
        let ideal = self.focal_mm
            * if self.equisolid {
                2.0 * (off_axis / 2.0).sin()
            } else {
                off_axis.tan()
            };
        let q = (ideal / self.half_diagonal_mm()).powi(2);
        let (k1, k2) = self.distortion;
        ideal * (1.0 + k1 * q + k2 * q * q)
    }

    /// The image of a direction, mm to the right and up.
    fn image(&self, direction: Direction) -> (f64, f64) {
        let [right, up, forward] = self.axes();
        let (x, y) = (dot(direction, right), dot(direction, up));
        let off_axis = x.hypot(y).atan2(dot(direction, forward));
        let radius = self.radius_mm(off_axis) / x.hypot(y).max(1e-12);
        (radius * x, radius * y)
    }

    /// The direction imaged at a place, by halving the angle.
    fn direction(&self, x_mm: f64, y_mm: f64) -> Direction {
        let radius_mm = x_mm.hypot(y_mm);
        let (mut least, mut most) = (0.0, 1.55);
        for _ in 0..60 {
            let middle = (least + most) / 2.0;
            if self.radius_mm(middle) < radius_mm {
                least = middle;
            } else {
                most = middle;
            }
        }
        let [right, up, forward] = self.axes();
        let (sin, cos) = least.sin_cos();
        let (x, y) = (x_mm / radius_mm.max(1e-12), y_mm / radius_mm.max(1e-12));
        std::array::from_fn(|axis| sin * (x * right[axis] + y * up[axis]) + cos * forward[axis])
    }

    /// A direction turned with the sky.
    fn turned(&self, direction: Direction, seconds: f64) -> Direction {
        let (sin_lat, cos_lat) = self.lat_deg.to_radians().sin_cos();
        let pole = [0.0, cos_lat, sin_lat];
        let (sin, cos) = (-EARTH_RATE * seconds).sin_cos();
        let along = dot(pole, direction) * (1.0 - cos);
        let cross = [
            pole[1] * direction[2] - pole[2] * direction[1],
            pole[2] * direction[0] - pole[0] * direction[2],
            pole[0] * direction[1] - pole[1] * direction[0],
        ];
        std::array::from_fn(|axis| direction[axis] * cos + cross[axis] * sin + pole[axis] * along)
    }

    /// Time in which a star in a direction moves by so many pixels, s.
    fn seconds(&self, direction: Direction, pixels: f64) -> f64 {
        let (x, y) = self.image(self.turned(direction, -BETWEEN_S / 2.0));
        let (u, v) = self.image(self.turned(direction, BETWEEN_S / 2.0));
        let pixel_mm = self.sensor_mm.0.max(self.sensor_mm.1) / self.pixels;
        pixels * pixel_mm * BETWEEN_S / (u - x).hypot(v - y)
    }

    /// The same for a star of a bearing and a true altitude, degrees.
    pub fn seconds_at(&self, (bearing_deg, altitude_deg): (f64, f64), pixels: f64) -> f64 {
        let (sin_b, cos_b) = bearing_deg.to_radians().sin_cos();
        let (sin_h, cos_h) = altitude_deg.to_radians().sin_cos();
        self.seconds([sin_b * cos_h, cos_b * cos_h, sin_h], pixels)
    }

    /// The same for the fastest star of the picture that is above the level horizon.
    pub fn seconds_of_frame(&self, pixels: f64) -> f64 {
        let place = |step: u32, side: f64| side * (f64::from(step) / f64::from(PLACES) - 0.5);
        let mut least = f64::INFINITY;
        for across in 0..=PLACES {
            for up in 0..=PLACES {
                let direction =
                    self.direction(place(across, self.sensor_mm.0), place(up, self.sensor_mm.1));
                if direction[2] >= 0.0 {
                    least = least.min(self.seconds(direction, pixels));
                }
            }
        }
        least
    }
}
