//! The real lens: drift and trails behind distortion, against brute force.
//!
//! Directions are turned about the pole by a rotation matrix and projected anew, by a projection
//! and a polynomial written here from their definitions; no drift formula is used.
#![cfg(not(target_arch = "wasm32"))]

use tarnlight::angle::Angle;
use tarnlight::camera::distortion::Distortion;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::FORMATS;
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::vector::Vector;

/// Earth's rotation, rad/s: IERS Conventions (2010), ch. 1 (place from memory).
const EARTH_RATE: f64 = 7.292_115e-5;

/// Relative, of speeds and trails.
const ALLOWED: f64 = 1e-6;

/// Pairs of coefficients: no distortion, usual lenses, strong ones, and one whose picture stops
/// growing just outside the corner.
const PAIRS: [(f64, f64); 7] = [
    (0.0, 0.0),
    (-0.03, 0.0),
    (-0.11, 0.04),
    (0.05, -0.01),
    (0.3, 0.2),
    (-0.3, 0.2),
    (-0.148, 0.0),
];

/// Places of the frame, in half its sides: middle, corners, edges, inside.
const PLACES: [(f64, f64); 11] = [
    (0.0, 0.0),
    (1.0, 1.0),
    (-1.0, 1.0),
    (1.0, -1.0),
    (-1.0, -1.0),
    (1.0, 0.0),
    (0.0, -1.0),
    (-1.0, 0.3),
    (0.4, 1.0),
    (0.5, -0.6),
    (1e-7, 0.0),
];

/// Latitude, bearing, tilt and roll, degrees.
const POINTINGS: [[f64; 4]; 5] = [
    [36.0, 180.0, 25.0, 0.0],
    [46.5, 137.0, 12.0, 4.0],
    [-33.0, 301.0, 70.0, -20.0],
    [45.0, 0.0, 45.0, 0.0],
    [0.0, 90.0, 5.0, 90.0],
];

type Axis = [f64; 3];

fn dot(a: Axis, b: Axis) -> f64 {
    a[0] * b[0] + a[1] * b[1] + a[2] * b[2]
}

fn cross(a: Axis, b: Axis) -> Axis {
    [
        a[1] * b[2] - a[2] * b[1],
        a[2] * b[0] - a[0] * b[2],
        a[0] * b[1] - a[1] * b[0],
    ]
}

fn sum(a: Axis, of_a: f64, b: Axis, of_b: f64) -> Axis {
    [0, 1, 2].map(|axis| of_a * a[axis] + of_b * b[axis])
}

fn unit(a: Axis) -> Axis {
    let length = dot(a, a).sqrt();
    a.map(|part| part / length)
}

/// A camera by definitions alone: east, north, up; x to the right, y up, z forward.
struct Brute {
    pole: Axis,
    axes: [Axis; 3],
    projection: Projection,
    focal_mm: f64,
    k: (f64, f64),
    half_diagonal_mm: f64,
}

impl Brute {
    fn new(pointing: [f64; 4], projection: Projection, focal_mm: f64, k: (f64, f64)) -> Self {
        let [latitude, bearing, tilt, roll] = pointing.map(f64::to_radians);
        let forward = [
            tilt.cos() * bearing.sin(),
            tilt.cos() * bearing.cos(),
            tilt.sin(),
        ];
        let level = unit(cross(forward, [0.0, 0.0, 1.0]));
        let upright = cross(level, forward);
        // clockwise as seen from behind: the right side moves down
        let right = sum(level, roll.cos(), upright, -roll.sin());
        let up = sum(level, roll.sin(), upright, roll.cos());
        Self {
            pole: [0.0, latitude.cos(), latitude.sin()],
            axes: [right, up, forward],
            projection,
            focal_mm,
            k,
            half_diagonal_mm: f64::hypot(18.0, 12.0),
        }
    }

    /// The radius without distortion, mm, at an angle from the axis.
    fn ideal_mm(&self, theta: f64) -> f64 {
        self.focal_mm
            * match self.projection {
                Projection::Rectilinear => theta.tan(),
                Projection::Stereographic => 2.0 * (theta / 2.0).tan(),
                Projection::Equidistant => theta,
                Projection::Equisolid => 2.0 * (theta / 2.0).sin(),
            }
    }

    fn radius_mm(&self, theta: f64) -> f64 {
        let ideal_mm = self.ideal_mm(theta);
        let q = (ideal_mm / self.half_diagonal_mm).powi(2);
        ideal_mm * (1.0 + self.k.0 * q + self.k.1 * q * q)
    }

    fn image(&self, star: Axis) -> [f64; 2] {
        let [x, y, z] = self.axes.map(|axis| dot(axis, star));
        let radius_mm = self.radius_mm(x.hypot(y).atan2(z));
        let turn = y.atan2(x);
        [radius_mm * turn.cos(), radius_mm * turn.sin()]
    }

    /// The angle from the axis up to which radii are distinct: to where the picture stops growing,
    /// 100°, or nearly 90° for a rectilinear lens.
    fn widest(&self) -> f64 {
        let most = if self.projection == Projection::Rectilinear {
            89.0_f64
        } else {
            100.0
        };
        let steps = (1..=100_000).map(|step| most.to_radians() * f64::from(step) / 1e5);
        let mut last = 0.0;
        let grows = |theta: &f64| {
            let radius_mm = self.radius_mm(*theta);
            radius_mm > std::mem::replace(&mut last, radius_mm)
        };
        steps.take_while(grows).last().expect("grows at first")
    }

    /// The angle from the axis of what falls at a radius, by halving.
    fn theta(&self, radius_mm: f64, widest: f64) -> Option<f64> {
        let (mut low, mut high) = (0.0, widest);
        if self.radius_mm(high) < radius_mm {
            return None;
        }
        while (low + high) / 2.0 > low && (low + high) / 2.0 < high {
            let middle = (low + high) / 2.0;
            if self.radius_mm(middle) < radius_mm {
                low = middle;
            } else {
                high = middle;
            }
        }
        Some(high)
    }

    fn direction(&self, [x, y]: [f64; 2], theta: f64) -> Axis {
        let turn = y.atan2(x);
        let [right, up, forward] = self.axes;
        let outwards = sum(right, turn.cos(), up, turn.sin());
        sum(outwards, theta.sin(), forward, theta.cos())
    }

    /// The sky turns from east to west: by −ω t about the pole.
    fn after(&self, star: Axis, seconds: f64) -> Axis {
        let (sin, cos) = (-EARTH_RATE * seconds).sin_cos();
        let beside = cross(self.pole, star);
        let along = dot(self.pole, star) * (1.0 - cos);
        let turned = sum(star, cos, beside, sin);
        sum(turned, 1.0, self.pole, along)
    }

    /// Velocity, µm/s, by central differences over half a second to either side.
    fn velocity(&self, star: Axis) -> [f64; 2] {
        let (before, after) = (
            self.image(self.after(star, -0.5)),
            self.image(self.after(star, 0.5)),
        );
        [0, 1].map(|axis| 1000.0 * (after[axis] - before[axis]))
    }

    /// Length of the trail, µm, by 4000 chords; `None` where it leaves that range.
    fn trail_um(&self, star: Axis, seconds: f64, widest: f64) -> Option<f64> {
        let mut trail = 0.0;
        let mut last = self.image(star);
        for chord in 1..=4000 {
            let star = self.after(star, seconds * f64::from(chord) / 4000.0);
            let [x, y, z] = self.axes.map(|axis| dot(axis, star));
            if x.hypot(y).atan2(z) > widest {
                return None;
            }
            let here = self.image(star);
            trail += 1000.0 * (here[0] - last[0]).hypot(here[1] - last[1]);
            last = here;
        }
        Some(trail)
    }
}

fn view(pointing: [f64; 4], projection: Projection, focal_mm: f64, k: (f64, f64)) -> View {
    let lens = Lens {
        focal_mm,
        projection,
        distortion: Distortion { k1: k.0, k2: k.1 },
        ..Lens::default()
    };
    let [latitude, bearing, tilt, roll] = pointing.map(Angle::from_degrees);
    let frame = Frame {
        bearing,
        tilt,
        roll,
    };
    View::new(FORMATS[1].sensor(24.0), lens, frame, latitude)
}

/// A camera, its brute-force twin, the angle up to which that is unique, and the pair.
fn cameras() -> impl Iterator<Item = (View, Brute, f64)> {
    let lenses = [
        (Projection::Rectilinear, 14.0),
        (Projection::Rectilinear, 85.0),
        (Projection::Stereographic, 12.0),
        (Projection::Equidistant, 15.0),
        (Projection::Equisolid, 8.0),
        (Projection::Equisolid, 15.0),
    ];
    lenses.into_iter().flat_map(|(projection, focal_mm)| {
        PAIRS.into_iter().flat_map(move |k| {
            POINTINGS.into_iter().map(move |pointing| {
                let brute = Brute::new(pointing, projection, focal_mm, k);
                let widest = brute.widest();
                (view(pointing, projection, focal_mm, k), brute, widest)
            })
        })
    })
}

/// Places of the frame and the star at each, as far as there is one within the widest angle.
fn stars<'a>(
    brute: &'a Brute,
    widest: f64,
) -> impl Iterator<Item = (SensorPoint, Axis, f64)> + use<'a> {
    PLACES.into_iter().filter_map(move |(across, up)| {
        let at = [18.0 * across, 12.0 * up];
        let theta = brute.theta(at[0].hypot(at[1]), widest)?;
        let point = SensorPoint {
            x_mm: at[0],
            y_mm: at[1],
        };
        Some((point, brute.direction(at, theta), theta))
    })
}

#[test]
fn drift_agrees_with_brute_force() {
    let (mut compared, mut worst) = (0, 0.0_f64);
    for (view, brute, widest) in cameras() {
        for (point, star, theta) in stars(&brute, widest) {
            let about = || format!("{:?} at {point:?}", view.lens);
            let got = view.off_axis_at(point).expect("an image").radians();
            assert!(
                (got - theta).abs() < 1e-11,
                "{}: {got}, want {theta}",
                about()
            );
            let drift = view.drift_at(point).expect("an image");
            let [right, up] = brute.velocity(star);
            let (miss, speed) = (
                (drift.right_um_s - right).hypot(drift.up_um_s - up),
                right.hypot(up),
            );
            assert!(
                miss <= ALLOWED * speed + 1e-9,
                "{}: {drift:?}, want {right}, {up}",
                about()
            );
            worst = worst.max(miss / speed.max(0.01));
            compared += 1;
        }
    }
    println!("drift: {worst} in {compared}");
    assert!(compared > 1900, "{compared}");
}

#[test]
fn trails_agree_with_brute_force() {
    let (mut compared, mut worst, mut left) = (0, 0.0_f64, 0);
    for (view, brute, widest) in cameras() {
        for (point, star, _) in stars(&brute, widest) {
            for seconds in [20.0, 1200.0] {
                let about = || format!("{:?} at {point:?}, {seconds} s", view.lens);
                let got = view.trail_um(point, seconds);
                let Some(want) = brute.trail_um(star, seconds, widest) else {
                    left += 1;
                    continue;
                };
                let got = got.unwrap_or_else(|| panic!("{}: no trail", about()));
                let allowed = ALLOWED * want + 1e-6;
                assert!(
                    (got - want).abs() <= allowed,
                    "{}: {got}, want {want}",
                    about()
                );
                worst = worst.max((got - want).abs() / want.max(1.0));
                let end = view.star_after(point, seconds).expect("in the picture");
                let [x, y] = brute.image(brute.after(star, seconds));
                let miss = (end.x_mm - x).hypot(end.y_mm - y);
                assert!(miss < 1e-9, "{}: {end:?}, want {x}, {y}", about());
                compared += 1;
            }
        }
    }
    println!("trails: {worst} in {compared}, {left} left the picture");
    assert!(compared > 3800 && left > 0, "{compared} {left}");
}

/// Beyond where the picture stops growing there is none, on the sensor or off it.
#[test]
fn a_picture_does_not_fold_back() {
    let view = view(POINTINGS[0], Projection::Rectilinear, 14.0, (-0.1, 0.0));
    let half_diagonal_mm = f64::hypot(18.0, 12.0);
    // dr_d/dr is 0 at q = 1/(3 · 0.1), where r_d is 2/3 of r
    let limit_mm = half_diagonal_mm * (10.0_f64 / 3.0).sqrt();
    for (share, imaged) in [(0.999, true), (1.001, false)] {
        let at = SensorPoint {
            x_mm: share * 2.0 / 3.0 * limit_mm,
            y_mm: 0.0,
        };
        assert_eq!(view.direction_at(at).is_some(), imaged, "{at:?}");
        let theta = (share * limit_mm / 14.0).atan();
        let seen = Vector::new(theta.sin(), 0.0, theta.cos());
        assert_eq!(view.image_of(seen).is_some(), imaged, "{theta}");
    }
}
