//! Simulated patches of sky against the equation of the CCD.
#![cfg(not(target_arch = "wasm32"))]

use tarnlight::light::noise::{Frames, Rates};
use tarnlight::light::sample_image::{HEIGHT, SampleImage, WIDTH};

/// A patch of sky alone.
fn flat(sky_e_s: f64, read_noise_e: f64, frames: f64, frame_s: f64) -> SampleImage {
    SampleImage {
        sky_e_s,
        glow_e_s: 0.0,
        dark_e_s: 0.05,
        read_noise_e,
        star_e_s: 0.0,
        blur_px: 2.0,
        trail_px: 0.0,
        frames,
        frame_s,
        white_e: 1e9,
    }
}

fn mean_and_variance(values: &[f64]) -> (f64, f64) {
    let count = values.len() as f64;
    let mean = values.iter().sum::<f64>() / count;
    let variance = values
        .iter()
        .map(|value| (value - mean) * (value - mean))
        .sum::<f64>();
    (mean, variance / (count - 1.0))
}

/// The equation of the CCD (Merline & Howell 1995, from memory): the mean is n t r, the variance
/// n (t r + R²). Of N pixels the mean is uncertain by σ/√N, the variance by √(2/(N − 1)) of itself
/// and, for few electrons, by Poisson's fourth moment; five times that is allowed.
#[test]
fn flat_patches_have_the_mean_and_variance_worked_out() {
    let count = (WIDTH * HEIGHT) as f64;
    for (sky, read, frames, each) in [
        // a third of an electron a frame; light and reading alike; reading rules; light rules
        (0.3, 2.5, 1.0, 1.0),
        (0.3, 0.0, 1.0, 1.0),
        (3.7, 2.5, 400.0, 1.26),
        (0.05, 8.0, 600.0, 1.0),
        (3.7, 2.5, 5.0, 119.0),
        (60.0, 2.5, 1.0, 600.0),
    ] {
        for seed in [1, 2, 3] {
            let patch = flat(sky, read, frames, each);
            let light = frames * each * (sky + 0.05);
            let want = light + frames * read * read;
            let (mean, variance) = mean_and_variance(&patch.electrons(seed));
            let off = (mean - light).abs();
            let near = 5.0 * (want / count).sqrt();
            assert!(off < near, "{patch:?}: mean {mean}, want {light} ± {near}");
            let off = (variance - want).abs();
            let near = 5.0 * (2.0 * want * want / (count - 1.0) + light / count).sqrt();
            assert!(
                off < near,
                "{patch:?}: variance {variance}, want {want} ± {near}"
            );
        }
    }
}

/// The signal to noise shown by the page is the one in the picture: a pixel of the cloud against
/// its own scatter over many lots.
#[test]
fn the_picture_has_the_signal_to_noise_told() {
    let (sky, glow, read, frames, each) = (3.7, 1.5, 2.5, 66.0, 8.0);
    let rates = Rates {
        signal_e_s: glow,
        sky_e_s: sky,
        dark_e_s: 0.05,
        read_noise_e: read,
    };
    let message = rates.signal_to_noise(Frames {
        count: frames,
        each_s: each,
    });
    // a flat patch as bright as sky and cloud together
    let (mean, variance) = mean_and_variance(&flat(sky + glow, read, frames, each).electrons(7));
    let got = (mean - frames * each * (sky + 0.05)) / variance.sqrt();
    // the scatter of N pixels is known to 1/√(2 N), and five times that is allowed
    let near = 5.0 / (2.0 * (WIDTH * HEIGHT) as f64).sqrt();
    assert!((got / message - 1.0).abs() < near, "{got}, told {message}");
}

fn starry(trail_px: f64) -> SampleImage {
    SampleImage {
        glow_e_s: 1.5,
        star_e_s: 900.0,
        trail_px,
        ..flat(3.7, 2.5, 66.0, 8.0)
    }
}

#[test]
fn the_same_seed_gives_the_same_picture() {
    let patch = starry(2.0);
    assert_eq!(patch.render(1), patch.render(1));
    assert_ne!(patch.render(1), patch.render(2));
    assert_eq!(patch.render(1).len(), WIDTH * HEIGHT);
}

/// A trail moves light about; what leaves the patch at one side comes in at the other. Within a
/// tenth, since no two neighbouring patches have the same stars.
#[test]
fn trails_keep_the_light() {
    let all = |patch: SampleImage| patch.expected_electrons().iter().sum::<f64>();
    let still = all(starry(0.0));
    for trail_px in [0.5, 2.0, 10.0, 60.0] {
        let got = all(starry(trail_px));
        assert!(
            (got / still - 1.0).abs() < 0.1,
            "{trail_px} px: {got}, {still}"
        );
    }
}

/// What is smeared has less contrast, the more so the longer the trail.
#[test]
fn trails_take_detail_away() {
    let mut before = f64::INFINITY;
    for trail_px in [0.0, 3.0, 12.0, 60.0, 250.0] {
        let patch = SampleImage {
            star_e_s: 0.0,
            ..starry(trail_px)
        };
        let (_, variance) = mean_and_variance(&patch.expected_electrons());
        assert!(
            variance < before,
            "{trail_px} px: {variance} after {before}"
        );
        before = variance;
    }
}

/// Mean shade of a picture.
fn grey(patch: SampleImage) -> f64 {
    let bytes = patch.render(5);
    bytes.iter().map(|byte| f64::from(*byte)).sum::<f64>() / bytes.len() as f64
}

/// All ways have one scale: where noise reaches neither black nor the knee, an empty sky is the same
/// grey however long it was exposed, and at any f-number.
#[test]
fn one_scale_for_all() {
    let base = SampleImage {
        star_e_s: 0.0,
        ..starry(0.0)
    };
    let want = grey(SampleImage {
        frames: 1e5,
        ..base
    });
    for patch in [
        SampleImage {
            frames: 5.0,
            frame_s: 119.0,
            ..base
        },
        SampleImage {
            sky_e_s: 3.7 * 0.4,
            glow_e_s: 1.5 * 0.4,
            frames: 2000.0,
            ..base
        },
    ] {
        // half a step of 255
        assert!(
            (grey(patch) - want).abs() < 0.6,
            "{} and {want}",
            grey(patch)
        );
    }
}

#[test]
fn no_frame_holds_more_than_white() {
    let patch = SampleImage {
        white_e: 100.0,
        ..starry(0.0)
    };
    assert!(
        patch
            .expected_electrons()
            .iter()
            .all(|e| *e <= 100.0 * 66.0)
    );
}

/// A sky that fills every pixel is white all over, not black.
#[test]
fn what_is_burnt_is_white() {
    let patch = starry(0.0);
    let white_e = patch.sky_e_s * patch.frame_s;
    let saturated = SampleImage { white_e, ..patch };
    assert!(saturated.render(1).iter().all(|shade| *shade == 214));
    let held = SampleImage {
        white_e: 20.0 * white_e,
        ..patch
    };
    assert!(grey(held) < 200.0, "{}", grey(held));
}

#[test]
fn any_number_gives_a_picture() {
    for odd in [0.0, -1.0, f64::NAN, f64::INFINITY, 1e300, -1e300] {
        for set in [
            |patch: &mut SampleImage, odd| patch.sky_e_s = odd,
            |patch: &mut SampleImage, odd| patch.glow_e_s = odd,
            |patch: &mut SampleImage, odd| patch.dark_e_s = odd,
            |patch: &mut SampleImage, odd| patch.read_noise_e = odd,
            |patch: &mut SampleImage, odd| patch.star_e_s = odd,
            |patch: &mut SampleImage, odd| patch.blur_px = odd,
            |patch: &mut SampleImage, odd| patch.trail_px = odd,
            |patch: &mut SampleImage, odd| patch.frames = odd,
            |patch: &mut SampleImage, odd| patch.frame_s = odd,
            |patch: &mut SampleImage, odd| patch.white_e = odd,
        ] as [fn(&mut SampleImage, f64); 10]
        {
            let mut patch = starry(2.0);
            set(&mut patch, odd);
            assert_eq!(patch.render(1).len(), WIDTH * HEIGHT, "{patch:?}");
        }
    }
}

/// What cannot be told from black is black: a sky without light, exposed for no time.
#[test]
fn nothing_is_black() {
    let nothing = SampleImage {
        sky_e_s: 0.0,
        dark_e_s: 0.0,
        read_noise_e: 0.0,
        frame_s: 0.0,
        ..starry(0.0)
    };
    assert!(nothing.render(1).iter().all(|tone| *tone == 0));
}

/// Pictures drawn together are those drawn one by one.
#[test]
fn pictures_drawn_together_are_the_same() {
    let stack = starry(2.0);
    let frame = SampleImage {
        frames: 1.0,
        ..stack
    };
    let longer = SampleImage {
        frame_s: 60.0,
        ..frame
    };
    let smeared = SampleImage {
        trail_px: 9.0,
        ..frame
    };
    let faint = SampleImage {
        star_e_s: 90.0,
        ..stack
    };
    let images = [frame, longer, smeared, stack, faint];
    let want: Vec<Vec<u8>> = images.iter().map(|image| image.render(3)).collect();
    assert_eq!(SampleImage::render_all(&images, 3), want);
}
