//! Star lists, strokes, knocks and skylines of rendered frames against what was drawn.
#![cfg(not(target_arch = "wasm32"))]

mod accuracy;
#[path = "../rendered/mod.rs"]
mod rendered;

use rendered::{DrawnStar, Rendered, Scene};
use tarnlight::astrometry::measure::PictureMeasure;
use tarnlight::astrometry::skyline::Side;
use tarnlight::astrometry::star_list::{DetectedStar, StarList};
use tarnlight::astrometry::strokes::{Profile, StrokeMeasure};

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

fn median(sorted: &[f64]) -> f64 {
    sorted.get(sorted.len() / 2).copied().unwrap_or(f64::NAN)
}

/// Asserts that of the brightest stars at most `lost` are missing and the median miss is small.
fn assert_found(name: &str, frame: &Rendered, measure: &PictureMeasure, lost: usize, miss: f64) {
    let (found, missing) = misses(frame, measure, 60);
    assert!(missing <= lost, "{name}: {missing} of 60 stars are missing");
    let got = median(&found);
    assert!(got < miss, "{name}: median miss {got:.3} px");
}

/// Asserts that strokes are as drawn. Compared are squares of lengths along twice the directions, in
/// which short strokes add to a star's width.
fn assert_strokes(name: &str, frame: &Rendered, strokes: &[StrokeMeasure], within: f64) {
    assert!(
        strokes.len() >= 3,
        "{name}: {} zones measured",
        strokes.len()
    );
    for stroke in strokes {
        let (dx, dy) = frame.trail_at(stroke.at);
        let (length, turned) = (dx.hypot(dy), (-dy).atan2(dx));
        let twice = 2.0 * stroke.angle.radians();
        let (u, v) = (
            stroke.length_px.powi(2) * twice.cos() - length * length * (2.0 * turned).cos(),
            stroke.length_px.powi(2) * twice.sin() - length * length * (2.0 * turned).sin(),
        );
        let off = u.hypot(v) / (2.0 * length.max(1.5));
        assert!(
            off < within,
            "{name}: {stroke:?}, drawn {length:.2} px at {:.0}°, off by {off:.2} px",
            turned.to_degrees()
        );
    }
}

#[test]
fn a_sharp_frame() {
    let frame = Scene::small().render();
    let measure = PictureMeasure::new(&frame.picture);
    assert_found("sharp", &frame, &measure, 1, 0.04);
    assert_strokes("sharp", &frame, &measure.strokes, 0.2);
    for stroke in &measure.strokes {
        let Profile::Gaussian { sigma_px } = stroke.profile else {
            panic!("{stroke:?}");
        };
        assert!((sigma_px - 0.85).abs() < 0.05, "{stroke:?}");
    }
    assert_eq!((measure.knock, measure.skyline), (None, None));
}

/// A Bayer pattern interpolated, red and blue of other sizes than green: the star is a little wider,
/// and its place is that of the mean colour.
#[test]
fn a_bayer_pattern_with_lateral_colour() {
    let scene = Scene {
        seed: 2,
        bayer: true,
        lateral_colour: 6e-4,
        ..Scene::small()
    };
    let frame = scene.render();
    let measure = PictureMeasure::new(&frame.picture);
    assert_found("bayer", &frame, &measure, 2, 0.15);
    assert_strokes("bayer", &frame, &measure.strokes, 0.5);
}

#[test]
fn a_long_exposure() {
    let scene = Scene {
        seed: 4,
        exposure_s: 120.0,
        zero_electrons: 8.0e6,
        ..Scene::small()
    };
    let frame = scene.render();
    let measure = PictureMeasure::new(&frame.picture);
    assert_found("long", &frame, &measure, 3, 0.12);
    assert_strokes("long", &frame, &measure.strokes, 0.4);
}

#[test]
fn a_defocused_frame() {
    let scene = Scene {
        seed: 6,
        disc_px: 5.0,
        faintest: 6.0,
        zero_electrons: 8.0e6,
        ..Scene::small()
    };
    let frame = scene.render();
    let measure = PictureMeasure::new(&frame.picture);
    assert_found("disc", &frame, &measure, 6, 0.2);
    assert!(!measure.strokes.is_empty());
    for stroke in &measure.strokes {
        let Profile::Disc { radius_px } = stroke.profile else {
            panic!("{stroke:?}");
        };
        assert!((radius_px - 5.0).abs() < 0.3, "{stroke:?}");
    }
}

/// The camera stands elsewhere for a part of the time: near, far, and nearly half of it.
#[test]
fn a_knocked_frame() {
    for (seed, knock) in [
        (9, (4.5, 2.0, 0.2)),
        (10, (-9.0, 4.0, 0.15)),
        (11, (3.0, 30.0, 0.45)),
    ] {
        let scene = Scene {
            seed,
            knock: Some(knock),
            ..Scene::small()
        };
        let frame = scene.render();
        let measure = PictureMeasure::new(&frame.picture);
        let found = measure.knock.expect("a knock");
        let off = (found.dx_px - knock.0).hypot(found.dy_px - knock.1);
        assert!(off < 0.2, "{found:?}, drawn {knock:?}");
        let share = knock.2 / (1.0 - knock.2);
        assert!(
            (found.share - share).abs() < 0.06,
            "{found:?}, drawn {share}"
        );
        assert_found(&format!("{found:?}"), &frame, &measure, 4, 0.06);
        // the second images are gone from the list
        let second = |star: &&DrawnStar| {
            measure.stars.stars.iter().any(|other| {
                let (dx, dy) = (other.at.x_px - star.at.x_px, other.at.y_px - star.at.y_px);
                (dx - knock.0).hypot(dy - knock.1) < 1.0
            })
        };
        let left = frame.stars.iter().take(60).filter(second).count();
        assert!(left <= 6, "{left} of 60 second images are left");
        assert_strokes("knocked", &frame, &measure.strokes, 0.35);
    }
}

#[test]
fn a_star_list_without_pairs_has_no_knock() {
    for seed in 21..24 {
        let frame = Scene {
            seed,
            ..Scene::small()
        }
        .render();
        let measure = PictureMeasure::new(&frame.picture);
        assert_eq!(measure.knock, None, "seed {seed}");
    }
}

/// The skyline of dark ground, before a bright sky and before one of a few steps of 8 bits.
#[test]
fn a_frame_with_ground() {
    for (seed, sky_electrons) in [(3, 300.0), (31, 60.0)] {
        let scene = Scene {
            seed,
            sky_electrons,
            ground: Some(0.35),
            ..Scene::small()
        };
        let frame = scene.render();
        let measure = PictureMeasure::new(&frame.picture);
        let skyline = measure.skyline.as_ref().expect("a skyline");
        assert_eq!(skyline.ground, Side::Bottom);
        let drawn = frame.skyline.as_ref().expect("drawn ground");
        let mut off: Vec<f64> = skyline
            .points
            .iter()
            .map(|point| (point.y_px - drawn[point.x_px as usize]).abs())
            .collect();
        off.sort_by(f64::total_cmp);
        assert!(off.len() > 200, "{} points", off.len());
        assert!(
            median(&off) < 0.6,
            "seed {seed}: median {:.2} px",
            median(&off)
        );
        assert!(
            off[off.len() * 9 / 10] < 2.5,
            "{:?}",
            off[off.len() * 9 / 10]
        );
        let below = |star: &&DetectedStar| star.at.y_px > drawn[star.at.x_px as usize] + 3.0;
        assert_eq!(measure.stars.stars.iter().filter(below).count(), 0);
    }
}

/// Noise and hot pixels alone have no stars.
#[test]
fn a_frame_without_stars() {
    let scene = Scene {
        faintest: -3.0,
        hot_pixels: 200,
        ..Scene::small()
    };
    let measure = PictureMeasure::new(&scene.render().picture);
    let count = measure.stars.stars.len();
    assert!(count < 10, "{count} stars");
    assert!(measure.strokes.is_empty());
}

/// An aircraft's line, its blinking lights, a lamp's glow and a cloud's edge add next to no stars.
#[test]
fn what_is_no_star() {
    let frame = Scene::small().render();
    let mut picture = frame.picture.clone();
    let before = StarList::detect(&picture).stars.len();
    for y in 0..picture.height {
        for x in 0..picture.width {
            let (dx, dy) = (x as f32, y as f32);
            // across the picture, two px wide; half way up on the right a glow of 40 px; a soft edge
            let line = (dy - 0.37 * dx - 90.0) / 1.2;
            let glow = ((dx - 700.0) / 40.0).powi(2) + ((dy - 480.0) / 40.0).powi(2);
            let cloud = 1.0 / (1.0 + (-(dx - 200.0) / 12.0).exp());
            let add = 0.05 * (-0.5 * line * line).exp() + 0.2 * (-glow).exp() + 0.006 * cloud;
            picture.pixels[y * picture.width + x] += add;
        }
    }
    let on_line = |star: &&DetectedStar| (star.at.y_px - 0.37 * star.at.x_px - 90.0).abs() < 6.0;
    let list = StarList::detect(&picture);
    let on_line = list.stars.iter().filter(on_line).count();
    assert!(on_line <= 6, "{on_line} stars on a line");
    let after = list.stars.len();
    assert!(after <= before + 6, "{before} stars, then {after}");
}

/// The same picture gives the same measures.
#[test]
fn measures_are_deterministic() {
    let picture = Scene::small().render().picture;
    assert_eq!(PictureMeasure::new(&picture), PictureMeasure::new(&picture));
}
