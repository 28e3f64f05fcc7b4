//! Edits of the site in use.

use crate::angle::Angle;
use crate::outing::gazetteer::parse::Coordinates;
use crate::outing::plan::bounds::SITE_HEIGHT_M;
use crate::outing::plan::site::{Site, Zone};
use crate::outing::share::query::LONGEST_NAME;

/// An edit of the site in use.
#[derive(Debug, Clone)]
pub enum SiteEdit {
    /// What it is called.
    Name(String),
    /// Geographic latitude.
    Latitude(Angle),
    /// Longitude.
    Longitude(Angle),
    /// Height above the sea, m.
    Elevation(f64),
    /// Its clock.
    Zone(Zone),
    /// Coordinates that were pasted; without a height the site keeps its own.
    Pasted(Coordinates),
    /// Where the phone is; without a height, at the level of the sea.
    Located(Coordinates),
    /// Brightness of the sky overhead, V magnitudes per square arcsecond.
    SkyBrightness(f64),
    /// Light lost in its air, magnitudes per air mass; `None` = a clear night's.
    Extinction(Option<f64>),
    /// Another site, from the gazetteer or the saved ones.
    Use(Box<Site>),
}

impl SiteEdit {
    /// Applies the edit. One that would leave the site outside the bounds of a place changes
    /// nothing.
    pub(super) fn apply(self, site: &mut Site) {
        let mut edited = site.clone();
        self.apply_unchecked(&mut edited);
        if edited.is_within_bounds() {
            *site = edited;
        }
    }

    fn apply_unchecked(self, site: &mut Site) {
        match self {
            Self::Name(name) => site.name = name.trim().chars().take(LONGEST_NAME).collect(),
            Self::Latitude(latitude) => site.latitude = latitude,
            Self::Longitude(longitude) => site.longitude = longitude,
            Self::Elevation(height_m) => site.height_m = height_m,
            Self::Zone(zone) => site.zone = zone,
            Self::Pasted(place) => {
                let height_m = place.height_m.unwrap_or(site.height_m);
                site.move_to(place.latitude, place.longitude, height_m);
            }
            Self::Located(place) => {
                let height_m = place.height_m.map(|height_m| SITE_HEIGHT_M.check(height_m));
                let height_m = height_m.and_then(Result::ok).unwrap_or(0.0);
                site.move_to(place.latitude, place.longitude, height_m);
            }
            Self::SkyBrightness(magnitude) => site.sky_brightness = magnitude,
            Self::Extinction(magnitude) => site.extinction_mag = magnitude,
            Self::Use(other) => *site = *other,
        }
    }
}
