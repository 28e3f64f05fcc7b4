//! How long the calculations take on the desktop; a phone takes several times as long.

use divan::{Bencher, black_box};
use tarnlight::angle::Angle;
use tarnlight::camera::fastest::Search;
use tarnlight::camera::frame::Frame;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::FORMATS;
use tarnlight::camera::view::{SensorPoint, View};
use tarnlight::outing::exposure::{Answer, ShutterTrails};
use tarnlight::outing::plan::Outing;

const UPPER_RIGHT: SensorPoint = SensorPoint {
    x_mm: 18.0,
    y_mm: 12.0,
};

/// Full-frame cameras at 36° N whose fastest place is found in different ways.
#[derive(Debug, Clone, Copy)]
enum Camera {
    /// 20 mm at the core: an upper corner.
    WideAtTheCore,
    /// A 15 mm fisheye at the core: inside the frame.
    FisheyeAtTheCore,
    /// An 8 mm fisheye at the zenith: inside a round picture with the whole horizon in it.
    RoundFisheyeUp,
    /// 20 mm at the pole, which is fixed in the middle.
    WideAtThePole,
}

const CAMERAS: [Camera; 4] = [
    Camera::WideAtTheCore,
    Camera::FisheyeAtTheCore,
    Camera::RoundFisheyeUp,
    Camera::WideAtThePole,
];

impl Camera {
    fn view(self) -> View {
        let (focal_mm, projection, bearing, tilt) = match self {
            Self::WideAtTheCore => (20.0, Projection::Rectilinear, 180.0, 25.0),
            Self::FisheyeAtTheCore => (15.0, Projection::Equisolid, 180.0, 25.0),
            Self::RoundFisheyeUp => (8.0, Projection::Equisolid, 180.0, 90.0),
            Self::WideAtThePole => (20.0, Projection::Rectilinear, 0.0, 36.0),
        };
        let lens = Lens {
            focal_mm,
            f_number: 2.8,
            projection,
            ..Lens::default()
        };
        let frame = Frame {
            bearing: Angle::from_degrees(bearing),
            tilt: Angle::from_degrees(tilt),
            roll: Angle::ZERO,
        };
        let sensor = FORMATS[1].sensor(24.0);
        View::new(sensor, lens, frame, Angle::from_degrees(36.0))
    }
}

fn main() {
    divan::main();
}

#[divan::bench(args = Projection::ALL)]
fn drift_at_a_point(bencher: Bencher, projection: Projection) {
    let mut view = Camera::WideAtTheCore.view();
    view.lens.projection = projection;
    bencher.bench_local(|| view.drift_at(black_box(UPPER_RIGHT)));
}

/// By the shutter time, s.
#[divan::bench(args = [8.0, 30.0, 3600.0])]
fn trail(bencher: Bencher, seconds: f64) {
    let view = Camera::WideAtTheCore.view();
    bencher.bench_local(|| view.trail_um(black_box(UPPER_RIGHT), black_box(seconds)));
}

#[divan::bench]
fn clean_time(bencher: Bencher) {
    let view = Camera::WideAtTheCore.view();
    bencher.bench_local(|| view.clean_time_at(black_box(UPPER_RIGHT), black_box(12.0)));
}

#[divan::bench(args = CAMERAS)]
fn fastest_place(bencher: Bencher, camera: Camera) {
    let view = camera.view();
    bencher.bench_local(|| black_box(&view).fastest(Search::AboveHorizon));
}

#[divan::bench(args = CAMERAS)]
fn drift_map(bencher: Bencher, camera: Camera) {
    let view = camera.view();
    bencher.bench_local(|| black_box(&view).drift_map(black_box(8.0), black_box(2.0)));
}

#[divan::bench]
fn answer(bencher: Bencher) {
    let outing = Outing::default();
    bencher.bench_local(|| Answer::compute(black_box(&outing)));
}

#[divan::bench]
fn trial(bencher: Bencher) {
    let answer = Answer::compute(&Outing::default());
    let shutter = answer.shutter();
    bencher.bench_local(|| ShutterTrails::new(black_box(&answer), black_box(shutter)));
}

/// By the diameter of a defocused star's disc, µm.
#[divan::bench(args = [0.0, 30.0, 120.0])]
fn star_image(bencher: Bencher, disc_um: f64) {
    let view = Camera::WideAtTheCore.view();
    let spread = view.point_spread_at(UPPER_RIGHT, disc_um);
    let side = view.patch_side(5.0, spread);
    bencher.bench_local(|| view.star_image(black_box(UPPER_RIGHT), black_box(15.0), spread, side));
}
