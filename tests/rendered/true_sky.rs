//! A frame of the true sky: stars of the catalogue over a site, and fainter ones strewn among them.

use tarnlight::angle::Angle;
use tarnlight::astrometry::catalogue::catalogue;
use tarnlight::astrometry::horizon::Horizon;
use tarnlight::astrometry::matching::SkyStar;
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::GeoPosition;

use super::{Rendered, Scene};

/// Longer and shorter side of the sensor, mm, and the focal length.
pub const SENSOR_MM: (f64, f64) = (36.0, 24.0);
pub const FOCAL_MM: f64 = 24.0;

/// Days since 2000 January 1.5: in the night of 4 June 2027.
const MOMENT_DAYS: f64 = 10_016.4;

/// Quality of the JPEG, as cameras have it at their finest, %.
const QUALITY: u8 = 95;

impl Scene {
    /// A frame of 24 megapixels with a lens of 24 mm, of some thousands of stars over ground; and
    /// the site.
    pub fn of_24_megapixels() -> (Self, GeoPosition) {
        let site = GeoPosition {
            latitude: Angle::from_degrees(36.0),
            longitude: Angle::from_degrees(-5.0),
            height_m: 900.0,
        };
        let base = Self {
            seed: 24,
            width: 6000,
            height: 4000,
            focal_px: 6000.0 * FOCAL_MM / SENSOR_MM.0,
            centre: (3004.0, 1997.0),
            lat_deg: site.latitude.degrees(),
            exposure_s: 10.0,
            faintest: 9.5,
            zero_electrons: 1.2e7,
            sky_electrons: 300.0,
            sigma_px: 1.0,
            ground: Some(0.2),
            hot_pixels: 200,
            ..Self::default()
        };
        let moment = Moment::from_days(MOMENT_DAYS);
        let horizon = Horizon::new(site, moment, base.exposure_s);
        let stars = horizon.seen(&catalogue(2027.4));
        let own = |star: &SkyStar| {
            let towards = star.direction;
            ([towards.x, towards.y, towards.z], star.magnitude)
        };
        let scene = Self {
            stars: stars.iter().map(own).collect(),
            ..base
        };
        (scene, site)
    }
}

/// A frame as a JPEG.
pub fn jpeg(frame: &Rendered) -> Vec<u8> {
    encoded(frame, false)
}

/// The same, with its coefficients in one scan or in several.
pub fn encoded(frame: &Rendered, progressive: bool) -> Vec<u8> {
    let mut file = Vec::new();
    let size = (frame.picture.width, frame.picture.height);
    let side = |pixels: usize| u16::try_from(pixels).expect("no more than a JPEG can have");
    let mut encoder = jpeg_encoder::Encoder::new(&mut file, QUALITY);
    encoder.set_progressive(progressive);
    encoder
        .encode(
            &frame.rgb,
            side(size.0),
            side(size.1),
            jpeg_encoder::ColorType::Rgb,
        )
        .expect("a JPEG");
    file
}
