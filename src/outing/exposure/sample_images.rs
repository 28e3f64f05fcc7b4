//! One patch of sky as it comes of a tripod and of a tracker: in one frame, and stacked.

use crate::camera::star_image::{LONGEST_SIDES, StarImage};
use crate::camera::view::SensorPoint;
use crate::light::sample_image::{ALONG, HEIGHT, SampleImage, WIDTH};
use crate::outing::exposure::settings::pixel_of;
use crate::outing::exposure::strategies::{Strategies, Strategy};
use crate::outing::plan::Outing;

/// Star counts: stars brighter than m per square degree near the core, 10^(0.45 m − 3) (from
/// memory; good to a factor of two).
const STARS_PER_MAGNITUDE: f64 = 0.45;
const STARS_LOG_AT_0: f64 = -3.0;

/// FWHM of a star with a good lens, pixels (common practice: 2, focus and colour filters together),
/// where the lens's is unknown.
const BLUR_PX: f64 = 2.0;

/// Patches of a set.
pub const SAMPLES: usize = 4;

/// The same patch in one frame on the tripod and on the tracker, and in all frames of both.
pub fn sample_images(outing: &Outing, strategies: &Strategies) -> [SampleImage; SAMPLES] {
    let focal_mm = strategies.focal_mm;
    let pixel_deg = (outing.kit.sensor.pitch_um() / 1000.0 / focal_mm).to_degrees();
    let area = pixel_deg * pixel_deg * (WIDTH * HEIGHT) as f64;
    // the magnitude of which such a patch has one star
    let log_area = area.ln() / std::f64::consts::LN_10;
    let magnitude = (-STARS_LOG_AT_0 - log_area) / STARS_PER_MAGNITUDE;
    let [tripod, tracker] = [strategies.stack, strategies.tracked]
        .map(|strategy| patch(outing, &strategy, focal_mm, magnitude));
    let one = |image: SampleImage| SampleImage {
        frames: 1.0,
        ..image
    };
    [one(tripod), one(tracker), tripod, tracker]
}

/// A star of one frame on the tripod and on the tracker, in patches of one size: as wide as the lens
/// draws it in the middle of the frame, without focus and colour filters, as under the loupes of How
/// long?.
pub fn sample_stars(outing: &Outing, strategies: &Strategies) -> [StarImage; 2] {
    let mut view = outing.view();
    if outing.kit.lens.focal_mm != strategies.focal_mm {
        view.lens.star_width = None;
    }
    let spread = view.point_spread_at(SensorPoint::CENTRE, 0.0);
    let trails_px = [strategies.stack, strategies.tracked].map(|strategy| strategy.trail_px);
    let side = view.patch_side(trails_px[0].max(trails_px[1]), spread);
    trails_px.map(|trail_px| {
        // what is longer leaves the patch
        let trail_px = trail_px.min(LONGEST_SIDES * side as f64);
        let path = |share: f64| {
            let (off, middle) = ((share - 0.5) * trail_px, side as f64 / 2.0);
            Some((middle + off * ALONG.0, middle + off * ALONG.1))
        };
        StarImage::along(path, trail_px, spread, side)
    })
}

/// All frames of a strategy.
fn patch(outing: &Outing, strategy: &Strategy, focal_mm: f64, magnitude: f64) -> SampleImage {
    let settings = &strategy.settings;
    let own = &outing.kit.lens;
    let measured = own.star_width.filter(|_| own.focal_mm == focal_mm);
    SampleImage {
        sky_e_s: settings.rates.sky_e_s,
        glow_e_s: settings.rates.signal_e_s,
        dark_e_s: settings.rates.dark_e_s,
        read_noise_e: settings.rates.read_noise_e,
        star_e_s: pixel_of(outing, settings.f_number).star_e_s(magnitude, focal_mm),
        blur_px: measured.map_or(BLUR_PX, |width| width.centre_px),
        trail_px: strategy.trail_px,
        frames: (f64::from(settings.series.frames) * strategy.fraction_kept).max(1.0),
        frame_s: settings.each_s(),
        white_e: settings.white_e,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;
    use crate::light::brightness::SurfaceBrightness;
    use crate::outing::exposure::by_focal_length::ExposureCurves;
    use crate::outing::exposure::sky_brightness::SkyBrightness;
    use crate::sky::altitude::ApparentAltitude;

    fn dark_sky() -> SkyBrightness {
        SkyBrightness {
            altitude: ApparentAltitude(Angle::from_degrees(90.0)),
            dark: SurfaceBrightness::from_magnitude(21.5),
            whole: Some(SurfaceBrightness::from_magnitude(21.5)),
            moon_mag: 0.0,
            twilight_mag: 0.0,
            air_masses: 1.0,
            lost_mag: 0.0,
        }
    }

    fn samples(outing: &Outing, focal_mm: f64) -> [SampleImage; SAMPLES] {
        let sky = dark_sky();
        let tracked = ExposureCurves::new(outing).tracked(outing, focal_mm);
        sample_images(outing, &Strategies::new(outing, focal_mm, &sky, tracked))
    }

    /// Both sides show the same stars and cloud, by their rates; a tracked frame gathers more of
    /// them, and a stack is its frame many times.
    #[test]
    fn both_sides_show_the_same_sky() {
        for focal_mm in [20.0, 135.0] {
            let [frame, tracked_frame, stack, tracked] = samples(&Outing::default(), focal_mm);
            assert_eq!(frame.star_e_s, tracked.star_e_s, "{focal_mm} mm");
            assert_eq!(frame.sky_e_s, tracked.sky_e_s, "{focal_mm} mm");
            assert!(tracked_frame.frame_s > 5.0 * frame.frame_s, "{focal_mm} mm");
            assert_eq!((frame.frames, tracked_frame.frames), (1.0, 1.0));
            assert_eq!(
                SampleImage {
                    frames: 1.0,
                    ..stack
                },
                frame
            );
            assert!(stack.frames > tracked.frames, "{focal_mm} mm");
        }
    }

    /// The tripod's star is longer than the tracker's, and as wide.
    #[test]
    fn enlarged_stars_have_their_trails() {
        let outing = Outing::default();
        let sky = dark_sky();
        let tracked = ExposureCurves::new(&outing).tracked(&outing, 20.0);
        let strategies = Strategies::new(&outing, 20.0, &sky, tracked);
        let [tripod, tracker] = sample_stars(&outing, &strategies);
        assert_eq!(tripod.side, tracker.side);
        let lit = |star: &StarImage| {
            let places = star.light.iter().enumerate();
            let columns = places.filter(|(_, light)| **light > 0.2);
            let columns: Vec<usize> = columns.map(|(place, _)| place % star.side).collect();
            columns.iter().max().expect("light") - columns.iter().min().expect("light")
        };
        assert!(lit(&tripod) > lit(&tracker), "{tripod:?}, {tracker:?}");
    }

    /// The trail drawn is the one that the shutter leaves: within the pixels allowed, and within a
    /// third of a stop and a mark's rounding of them.
    #[test]
    fn the_trail_is_the_shutters_own() {
        let outing = Outing::default();
        let [frame, ..] = samples(&outing, 20.0);
        let share = frame.trail_px / outing.allowed_px();
        assert!((0.75..=1.0).contains(&share), "{share}");
    }
}
