//! Subjects of the sample images of the four strategies.

use crate::light::sample_image::{SIDE, SampleImage};
use crate::outing::exposure::settings::{Settings, pixel_of};
use crate::outing::exposure::strategies::{Strategies, Strategy};
use crate::outing::plan::Outing;

/// Star counts: stars brighter than m per square degree near the core, 10^(0.45 m − 3) (from
/// memory; good to a factor of two).
const STARS_PER_MAGNITUDE: f64 = 0.45;
const STARS_LOG_AT_0: f64 = -3.0;

/// FWHM of a star with a good lens, pixels (common practice: 2, focus and colour filters together),
/// where the lens's is unknown.
const BLUR_PX: f64 = 2.0;

/// The patches of the four strategies, in order.
pub fn sample_images(outing: &Outing, ways: &Strategies) -> [SampleImage; 4] {
    let side_deg = SIDE as f64 * outing.kit.sensor.pitch_um() / 1000.0 / ways.focal_mm;
    let side_deg = side_deg.to_degrees();
    // the magnitude of which such a patch has one star
    let log_area = (side_deg * side_deg).ln() / std::f64::consts::LN_10;
    let magnitude = (-STARS_LOG_AT_0 - log_area) / STARS_PER_MAGNITUDE;
    ways.all()
        .map(|way| patch(outing, &way, ways.focal_mm, magnitude))
}

fn patch(outing: &Outing, way: &Strategy, focal_mm: f64, magnitude: f64) -> SampleImage {
    let settings: &Settings = &way.settings;
    let own = &outing.kit.lens;
    let measured = own.star_width.filter(|_| own.focal_mm == focal_mm);
    SampleImage {
        sky_e_s: settings.rates.sky_e_s,
        glow_e_s: settings.rates.signal_e_s,
        dark_e_s: settings.rates.dark_e_s,
        read_noise_e: settings.rates.read_noise_e,
        star_e_s: pixel_of(outing, settings.f_number).star_e_s(magnitude, focal_mm),
        blur_px: measured.map_or(BLUR_PX, |width| width.centre_px),
        trail_px: way.trail_px,
        frames: (f64::from(settings.series.frames) * way.fraction_kept).max(1.0),
        frame_s: settings.each_s(),
        white_e: settings.white_e,
    }
}
