//! All that a picture alone says: its stars, their strokes, the skyline, a knock.

use crate::astrometry::knock::Knock;
use crate::astrometry::picture::{Picture, SHORTEST_SIDE_PX};
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
    /// Measures a picture. A picture of less than 64 px across or down has no stars.
    pub fn new(picture: &Picture) -> Self {
        if picture.width.min(picture.height) < SHORTEST_SIDE_PX {
            return Self::nothing(picture);
        }
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

    fn nothing(picture: &Picture) -> Self {
        Self {
            stars: StarList {
                stars: Vec::new(),
                noise: 0.0,
                width: picture.width,
                height: picture.height,
            },
            skyline: None,
            knock: None,
            strokes: Vec::new(),
        }
    }
}
