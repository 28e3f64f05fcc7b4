//! How well scenes of all kinds are measured, printed.

use tarnlight::astrometry::knock::Knock;
use tarnlight::astrometry::measure::PictureMeasure;
use tarnlight::astrometry::skyline::Skyline;
use tarnlight::astrometry::strokes::{StrokeMeasure, measure_strokes};
use tarnlight::camera::lens::Projection;

use super::rendered::{Rendered, Scene};
use super::{median, misses};

/// Prints what is reached on many scenes of 1.7 MP: `cargo test --release --test frame_measures --
/// --ignored --nocapture`.
#[test]
#[ignore = "prints a table"]
fn accuracy_table() {
    let base = Scene::default();
    let knocked = |seed, size: f64, share| Scene {
        seed,
        knock: Some((size, 0.4 * size, share)),
        ..base.clone()
    };
    let table = [
        ("plain", base.clone()),
        (
            "bayer",
            Scene {
                seed: 2,
                bayer: true,
                lateral_colour: 6e-4,
                ..base.clone()
            },
        ),
        (
            "bayer, narrow",
            Scene {
                seed: 20,
                sigma_px: 0.5,
                bayer: true,
                ..base.clone()
            },
        ),
        (
            "wide",
            Scene {
                seed: 19,
                sigma_px: 2.5,
                ..base.clone()
            },
        ),
        (
            "120 s",
            Scene {
                seed: 4,
                exposure_s: 120.0,
                ..base.clone()
            },
        ),
        (
            "400 s",
            Scene {
                seed: 5,
                exposure_s: 400.0,
                ..base.clone()
            },
        ),
        (
            "disc of 3 px",
            Scene {
                seed: 6,
                disc_px: 3.0,
                ..base.clone()
            },
        ),
        (
            "disc of 9 px",
            Scene {
                seed: 7,
                disc_px: 9.0,
                ..base.clone()
            },
        ),
        (
            "coma",
            Scene {
                seed: 8,
                coma_px: 5.0,
                ..base.clone()
            },
        ),
        ("knock of 2 px", knocked(9, 2.0, 0.2)),
        ("knock of 3 px", knocked(10, 3.0, 0.2)),
        ("knock of 4 px", knocked(11, 4.0, 0.2)),
        ("knock of 8 px", knocked(13, 8.0, 0.2)),
        ("knock of 25 px", knocked(14, 25.0, 0.45)),
        (
            "bright sky",
            Scene {
                seed: 16,
                sky_electrons: 8000.0,
                ..base.clone()
            },
        ),
        (
            "long lens",
            Scene {
                seed: 17,
                focal_px: 9000.0,
                exposure_s: 2.0,
                faintest: 10.0,
                ..base.clone()
            },
        ),
        (
            "fisheye",
            Scene {
                seed: 18,
                focal_px: 600.0,
                projection: Projection::Equisolid,
                k1: 0.0,
                k2: 0.0,
                ..base.clone()
            },
        ),
        (
            "ground",
            Scene {
                seed: 3,
                ground: Some(0.3),
                ..base.clone()
            },
        ),
        (
            "dim ground",
            Scene {
                seed: 31,
                ground: Some(0.4),
                sky_electrons: 30.0,
                ..base.clone()
            },
        ),
        (
            "24 MP",
            Scene {
                seed: 40,
                width: 6000,
                height: 4000,
                focal_px: 4000.0,
                centre: (3000.0, 2000.0),
                ..base.clone()
            },
        ),
    ];
    for (name, scene) in table {
        let frame = scene.render();
        let start = std::time::Instant::now();
        let measure = PictureMeasure::new(&frame.picture);
        let took = start.elapsed();
        let (found, lost) = misses(&frame, &measure, 120);
        let nine_tenths = found.get(found.len() * 9 / 10).copied().unwrap_or(f64::NAN);
        println!(
            "{name}: {} stars, {lost} of 120 lost, miss {:.3} px, 90 % under {nine_tenths:.3}; {:?}; {took:.1?}",
            measure.stars.stars.len(),
            median(&found),
            measure.knock.map(
                |Knock {
                     dx_px,
                     dy_px,
                     share,
                     ..
                 }| (dx_px, dy_px, share)
            ),
        );
        print_strokes(&frame, &measure.strokes);
        print_skyline(&frame, measure.skyline.as_ref());
        if measure.knock.is_none() && scene.knock.is_some() {
            println!("   the knock is not found");
            print_strokes(
                &frame,
                &measure_strokes(&frame.picture, &measure.stars, None),
            );
        }
    }
}

fn print_strokes(frame: &Rendered, strokes: &[StrokeMeasure]) {
    for stroke in strokes {
        let (dx, dy) = frame.trail_at(stroke.at);
        println!(
            "   {:?}, {} stars: {:.2} ± {:.2} px at {:.0}°, {:?}; drawn {:.2} px at {:.0}°",
            stroke.zone,
            stroke.stars,
            stroke.length_px,
            stroke.length_error_px,
            stroke.angle.degrees(),
            stroke.profile,
            dx.hypot(dy),
            (-dy).atan2(dx).to_degrees(),
        );
    }
}

fn print_skyline(frame: &Rendered, skyline: Option<&Skyline>) {
    let Some(skyline) = skyline else {
        println!("   no skyline, drawn: {}", frame.skyline.is_some());
        return;
    };
    let Some(drawn) = &frame.skyline else {
        println!("   a skyline that is not drawn: {:?}", skyline.ground);
        return;
    };
    let mut off: Vec<f64> = skyline
        .points
        .iter()
        .map(|point| (point.y_px - drawn[(point.x_px as usize).min(drawn.len() - 1)]).abs())
        .collect();
    off.sort_by(f64::total_cmp);
    println!(
        "   skyline: {} points, median {:.2} px",
        off.len(),
        median(&off)
    );
}
