//! Pictures of the night sky in tones: of a frame, of a strip of the horizon, of a night.
//!
//! All of them give the same tone to the same direction at the same moment. Altitudes are apparent.

mod projection;

pub use projection::{Projection, Slit, Strip};

use crate::outing::night::site_sky::SiteSky;
use crate::sky::night::Night;

/// Largest width and height of a picture, pixels; larger ones are made this large.
pub const MAX_SIDE: usize = 2048;

/// The tones of a picture of the sky.
#[derive(Debug, Clone, PartialEq, Eq, Default)]
pub struct SkyTones {
    /// Pixels from left to right.
    pub width: usize,
    /// Pixels from top to bottom.
    pub height: usize,
    /// Row by row from the top left: 0 the darkest tone, 255 the brightest.
    pub values: Vec<u8>,
}

/// A star in a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct PictureStar {
    /// Fraction of the width, 0 to 1 from the left.
    pub x: f32,
    /// Fraction of the height, 0 to 1 from the top.
    pub y: f32,
    /// Magnitude after extinction.
    pub magnitude: f32,
}

/// The sky of a site over a night, to be pictured.
#[derive(Debug, Clone, Copy)]
pub struct SkyPicture<'a> {
    site_sky: &'a SiteSky,
    night: &'a Night<'a>,
}

impl<'a> SkyPicture<'a> {
    /// The sky of a site over one of its nights.
    pub const fn new(site_sky: &'a SiteSky, night: &'a Night<'a>) -> Self {
        Self { site_sky, night }
    }

    /// Tones of a projection, `at` days into the night, in a picture of a width and a height.
    pub fn tones(&self, at: f64, projection: &Projection, size: (usize, usize)) -> SkyTones {
        let _ = (self.site_sky, self.night, at, projection);
        SkyTones::dark(size)
    }

    /// Stars of a projection down to a magnitude, as far as this sky lets them be seen; bright ones
    /// first.
    pub fn stars(&self, at: f64, projection: &Projection, faintest: f64) -> Vec<PictureStar> {
        let _ = (at, projection, faintest);
        Vec::new()
    }

    /// Tones of a night as a slit picture: see [`Slit`].
    pub fn slit_tones(&self, slit: &Slit, size: (usize, usize)) -> SkyTones {
        let _ = slit;
        SkyTones::dark(size)
    }

    /// Stars that pass the slit, each where and when it does.
    pub fn slit_stars(&self, slit: &Slit, faintest: f64) -> Vec<PictureStar> {
        let _ = (slit, faintest);
        Vec::new()
    }
}

impl SkyTones {
    fn dark((width, height): (usize, usize)) -> Self {
        let (width, height) = (width.min(MAX_SIDE), height.min(MAX_SIDE));
        Self {
            width,
            height,
            values: vec![0; width * height],
        }
    }
}
