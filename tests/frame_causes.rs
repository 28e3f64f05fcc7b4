//! What explains a frame: causes drawn one by one and by twos, against what is told of them.
#![cfg(not(target_arch = "wasm32"))]

mod rendered;

use rendered::Scene;
use tarnlight::astrometry::cause::{Cause, causes};
use tarnlight::astrometry::measure::PictureMeasure;
use tarnlight::astrometry::predicted_stroke::PredictedStroke;
use tarnlight::astrometry::tilt::SoftSide;

/// A minute, in which the sky draws two to three px.
fn minute() -> Scene {
    Scene {
        exposure_s: 60.0,
        zero_electrons: 8.0e6,
        ..Scene::small()
    }
}

/// The causes told of a scene, by the strokes that its sky draws.
fn told(scene: &Scene) -> Vec<Cause> {
    let frame = scene.render();
    let measure = PictureMeasure::new(&frame.picture);
    assert!(measure.strokes.len() >= 3, "{:?}", measure.strokes);
    let predicted: Vec<_> = measure
        .strokes
        .iter()
        .map(|stroke| PredictedStroke::new(stroke.zone, stroke.at, frame.trail_at(stroke.at)))
        .collect();
    causes(measure.knock, &measure.strokes, &predicted)
}

fn assert_told(table: &[(&str, Scene, &[Cause])], seeds: &[u64]) {
    for (name, scene, want) in table {
        for &seed in seeds {
            let scene = Scene {
                seed,
                ..scene.clone()
            };
            assert_eq!(told(&scene), *want, "{name}, seed {seed}");
        }
    }
}

/// Frames of one cause or none tell no second.
#[test]
fn one_cause_is_not_taken_for_two() {
    let askew = |askew_px| Scene {
        askew_px,
        ..minute()
    };
    assert_told(
        &[
            ("sharp", minute(), &[]),
            (
                "short",
                Scene {
                    exposure_s: 10.0,
                    ..minute()
                },
                &[],
            ),
            (
                "coma",
                Scene {
                    coma_px: 8.0,
                    ..minute()
                },
                &[Cause::Lens],
            ),
            (
                "discs",
                Scene {
                    disc_px: 5.0,
                    ..minute()
                },
                &[Cause::Defocused],
            ),
            (
                "knock",
                Scene {
                    knock: Some((9.0, 14.0, 0.25)),
                    ..minute()
                },
                &[Cause::Knocked],
            ),
            (
                "tracked",
                Scene {
                    tracked: true,
                    ..minute()
                },
                &[Cause::Tracked],
            ),
            ("askew", askew(6.0), &[Cause::Tilted(SoftSide::Left)]),
        ],
        &[3],
    );
}

#[test]
fn two_causes_are_both_told() {
    assert_told(
        &[
            (
                "discs and coma",
                Scene {
                    disc_px: 4.0,
                    coma_px: 12.0,
                    ..minute()
                },
                &[Cause::Defocused, Cause::Lens],
            ),
            (
                "knock and coma",
                Scene {
                    knock: Some((9.0, 14.0, 0.25)),
                    coma_px: 8.0,
                    ..minute()
                },
                &[Cause::Knocked, Cause::Lens],
            ),
            (
                "knock and discs",
                Scene {
                    knock: Some((18.0, 25.0, 0.3)),
                    disc_px: 3.0,
                    ..minute()
                },
                &[Cause::Knocked, Cause::Defocused],
            ),
            (
                "knock, askew",
                Scene {
                    knock: Some((18.0, 25.0, 0.3)),
                    askew_px: 6.0,
                    ..minute()
                },
                &[Cause::Knocked, Cause::Tilted(SoftSide::Left)],
            ),
            (
                "tracked, out of focus",
                Scene {
                    tracked: true,
                    disc_px: 4.0,
                    ..minute()
                },
                &[Cause::Defocused, Cause::Tracked],
            ),
        ],
        &[4],
    );
}
