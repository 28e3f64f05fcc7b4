//! How long a test frame of 24 megapixels takes, from the file to what is told of it.

#[path = "../rendered/mod.rs"]
mod rendered;

use rendered::Scene;
use rendered::true_sky::{FOCAL_MM, SENSOR_MM, jpeg};
use tarnlight::astrometry::decode::DecodedPicture;
use tarnlight::outing::test_frame::measured::report;
use tarnlight::outing::test_frame::report::{FramePriors, FrameReport};

fn main() {
    divan::main();
}

/// What the kit says beforehand.
const PRIORS: FramePriors = FramePriors {
    sensor_mm: SENSOR_MM,
    focal_mm: FOCAL_MM,
    site: None,
    clock_ahead_s: None,
    said_ahead_s: None,
    decoded: None,
};

fn told(file: &[u8]) -> Option<FrameReport> {
    let decoded = DecodedPicture::read(file).ok()?;
    Some(report(&decoded, &PRIORS))
}

/// Stars of the catalogue, which are identified.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn a_frame_of_24_megapixels(bencher: divan::Bencher<'_, '_>) {
    let (scene, _) = Scene::of_24_megapixels();
    let file = jpeg(&scene.render());
    let whole = told(&file).and_then(|report| report.solution.ok());
    assert!(
        whole.is_some_and(|solution| solution.matched > 300),
        "{whole:?}"
    );
    bencher.bench_local(|| told(divan::black_box(&file)));
}

/// Stars strewn at random: every focal length is tried before it is refused.
#[divan::bench(sample_count = 5, sample_size = 1)]
fn a_refusal_of_24_megapixels(bencher: divan::Bencher<'_, '_>) {
    let (scene, _) = Scene::of_24_megapixels();
    let scene = Scene {
        stars: Vec::new(),
        ..scene
    };
    let file = jpeg(&scene.render());
    assert!(told(&file).is_some_and(|report| report.solution.is_err()));
    bencher.bench_local(|| told(divan::black_box(&file)));
}
