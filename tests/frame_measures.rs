//! Star lists, strokes, knocks and skylines of rendered frames against what was drawn.

mod rendered;

use rendered::{DrawnStar, Rendered, Scene};
use tarnlight::astrometry::measure::PictureMeasure;
use tarnlight::astrometry::strokes::{Profile, StrokeMeasure};
use tarnlight::camera::lens::Projection;

/// Distances of the brightest drawn stars to the nearest found one, px, in order; and how many have
/// none within 3 px.
fn misses(frame: &Rendered, measure: &PictureMeasure, count: usize) -> (Vec<f64>, usize) {
    let margin = 12.0;
    let inside = |star: &&DrawnStar| {
        let (x, y) = (star.at.x_px, star.at.y_px);
        let depth = frame
            .skyline
            .as_ref()
            .map_or(frame.picture.height as f64, |line| {
                line[(x as usize).min(line.len() - 1)]
            });
        x > margin && y > margin && x < frame.picture.width as f64 - margin && y < depth - margin
    };
    let mut found = Vec::new();
    let mut lost = 0;
    for star in frame.stars.iter().filter(inside).take(count) {
        let nearest = measure
            .stars
            .stars
            .iter()
            .map(|other| other.at.distance_px(star.at))
            .fold(f64::INFINITY, f64::min);
        if nearest < 3.0 {
            found.push(nearest);
        } else {
            lost += 1;
        }
    }
    found.sort_by(f64::total_cmp);
    (found, lost)
}

/// Trail at a stroke's place: the mean of the nearest drawn stars' weighted by nearness.
fn drawn_trail(frame: &Rendered, stroke: &StrokeMeasure) -> (f64, f64) {
    let (mut sum, mut weights) = ((0.0, 0.0), 0.0);
    for star in &frame.stars {
        let near = star.at.distance_px(stroke.at) / 60.0;
        let weight = (-near * near).exp();
        // trails have no sense along them; here all stars of a neighbourhood move alike
        sum = (sum.0 + weight * star.trail.0, sum.1 + weight * star.trail.1);
        weights += weight;
    }
    (sum.0 / weights, sum.1 / weights)
}

fn check(name: &str, scene: &Scene) -> PictureMeasure {
    if std::env::var("ONLY").is_ok_and(|only| only != name) {
        return PictureMeasure::new(
            &Scene {
                width: 64,
                height: 64,
                faintest: 1.0,
                ..scene.clone()
            }
            .render()
            .picture,
        );
    }
    let frame = scene.render();
    let start = std::time::Instant::now();
    let measure = PictureMeasure::new(&frame.picture);
    let time = start.elapsed();
    let (found, lost) = misses(&frame, &measure, 120);
    let at = |share: f64| found.get((found.len() as f64 * share) as usize).copied();
    println!(
        "{name}: {} stars, of 120 lost {lost}, miss median {:.3} 90% {:.3} px, knock {:?}, {time:.0?}",
        measure.stars.stars.len(),
        at(0.5).unwrap_or(f64::NAN),
        at(0.9).unwrap_or(f64::NAN),
        measure
            .knock
            .map(|knock| (knock.dx_px, knock.dy_px, knock.share)),
    );
    for stroke in &measure.strokes {
        let (dx, dy) = drawn_trail(&frame, stroke);
        let turned = (-dy).atan2(dx).to_degrees();
        println!(
            "   {:?} {} stars: {:.2} ± {:.2} px at {:.0}°, {:?}; drawn {:.2} at {turned:.0}°",
            stroke.zone,
            stroke.stars,
            stroke.length_px,
            stroke.length_error_px,
            stroke.angle.degrees(),
            stroke.profile,
            dx.hypot(dy),
        );
    }
    if let Some(drawn) = &frame.skyline {
        let traced = measure.skyline.as_ref().map(|skyline| {
            let mut off: Vec<f64> = skyline
                .points
                .iter()
                .map(|point| (point.y_px - drawn[point.x_px as usize]).abs())
                .collect();
            off.sort_by(f64::total_cmp);
            (off.len(), off[off.len() / 2], off[off.len() * 9 / 10])
        });
        println!("   skyline {traced:?}");
    } else {
        println!(
            "   skyline {:?}",
            measure
                .skyline
                .as_ref()
                .map(|s| (s.ground, s.points.len(), s.gain))
        );
    }
    measure
}

#[test]
fn table() {
    let base = Scene::default();
    check("plain", &base);
    check(
        "bayer",
        &Scene {
            seed: 2,
            bayer: true,
            lateral_colour: 6e-4,
            ..base.clone()
        },
    );
    check(
        "ground",
        &Scene {
            seed: 3,
            ground: Some(0.3),
            ..base.clone()
        },
    );
    check(
        "dim ground",
        &Scene {
            seed: 31,
            ground: Some(0.4),
            sky_electrons: 30.0,
            ..base.clone()
        },
    );
    check(
        "long",
        &Scene {
            seed: 4,
            exposure_s: 120.0,
            ..base.clone()
        },
    );
    check(
        "very long",
        &Scene {
            seed: 5,
            exposure_s: 400.0,
            ..base.clone()
        },
    );
    check(
        "disc 3",
        &Scene {
            seed: 6,
            disc_px: 3.0,
            ..base.clone()
        },
    );
    check(
        "disc 9",
        &Scene {
            seed: 7,
            disc_px: 9.0,
            ..base.clone()
        },
    );
    check(
        "coma",
        &Scene {
            seed: 8,
            coma_px: 5.0,
            ..base.clone()
        },
    );
    for (seed, knock) in [
        (9, 2.0),
        (10, 3.0),
        (11, 4.0),
        (12, 5.0),
        (13, 8.0),
        (14, 25.0),
    ] {
        check(
            &format!("knock {knock}"),
            &Scene {
                seed,
                knock: Some((knock, 0.4 * knock, 0.2)),
                ..base.clone()
            },
        );
    }
    check(
        "half knock",
        &Scene {
            seed: 15,
            knock: Some((9.0, -4.0, 0.45)),
            ..base.clone()
        },
    );
    check(
        "polluted",
        &Scene {
            seed: 16,
            sky_electrons: 8000.0,
            ..base.clone()
        },
    );
    check(
        "long lens",
        &Scene {
            seed: 17,
            focal_px: 9000.0,
            exposure_s: 2.0,
            faintest: 10.0,
            ..base.clone()
        },
    );
    check(
        "fisheye",
        &Scene {
            seed: 18,
            focal_px: 600.0,
            projection: Projection::Equisolid,
            k1: 0.0,
            k2: 0.0,
            ..base.clone()
        },
    );
    check(
        "blur",
        &Scene {
            seed: 19,
            sigma_px: 2.5,
            ..base.clone()
        },
    );
    check(
        "sharp bayer",
        &Scene {
            seed: 20,
            sigma_px: 0.5,
            bayer: true,
            ..base.clone()
        },
    );
    let _ = Profile::Gaussian { sigma_px: 1.0 };
}
