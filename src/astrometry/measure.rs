//! All that a picture alone says: its stars, their strokes, the skyline, a knock.

use crate::astrometry::knock::Knock;
use crate::astrometry::picture::Picture;
use crate::astrometry::skyline::Skyline;
use crate::astrometry::star_list::StarList;
use crate::astrometry::strokes::{StrokeMeasure, measure_strokes};

/// What is measured in a picture, before anything is known of the sky.
#[derive(Debug, Clone, PartialEq)]
pub struct PictureMeasure {
    /// Stars of the sky, one image of each, brightest first.
    pub stars: StarList,
    /// The border between sky and ground.
    pub skyline: Option<Skyline>,
    /// The second images that a knock left.
    pub knock: Option<Knock>,
    /// Strokes in the middle and the corners, where there are stars enough.
    pub strokes: Vec<StrokeMeasure>,
}

impl PictureMeasure {
    /// Measures a picture.
    pub fn new(picture: &Picture) -> Self {
        let found = StarList::detect(picture);
        let skyline = Skyline::trace(picture, &found);
        let mut stars = match &skyline {
            Some(skyline) => found.in_sky(skyline),
            None => found,
        };
        let knock = stars.find_knock();
        if let Some(knock) = knock {
            stars = stars.without_second_images(knock);
        }
        let strokes = measure_strokes(picture, &stars, knock);
        Self {
            stars,
            skyline,
            knock,
            strokes,
        }
    }
}
