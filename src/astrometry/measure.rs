//! All that a picture alone says: its stars, their strokes, the skyline, a knock.

use crate::astrometry::knock::Knock;
use crate::astrometry::picture::{Picture, SHORTEST_SIDE_PX};
use crate::astrometry::skyline::{Side, Skyline};
use crate::astrometry::stage::Stage;
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
        Self::with_progress(picture, &mut |_| {})
    }

    /// The same; `on_stage` hears of each stage.
    pub fn with_progress(picture: &Picture, on_stage: &mut dyn FnMut(Stage)) -> Self {
        if picture.width.min(picture.height) < SHORTEST_SIDE_PX {
            return Self::nothing(picture);
        }
        on_stage(Stage::Finding);
        let found = StarList::detect(picture);
        let skyline =
            Skyline::trace(picture, &found).and_then(|line| with_stars_above(line, &found));
        let mut stars = match &skyline {
            Some(skyline) => skyline.stars_above(found),
            None => found,
        };
        let knock = stars.find_knock();
        if let Some(knock) = knock {
            stars = stars.without_second_images(knock);
        }
        on_stage(Stage::Measuring);
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

/// The border with its ground on the side of fewer stars: a bright sky is rougher than dark ground.
/// `None` where most stars are on neither side.
fn with_stars_above(traced: Skyline, found: &StarList) -> Option<Skyline> {
    let mostly_above = |line: &Skyline| {
        let above = found.stars.iter().filter(|star| line.is_sky(star.at));
        2 * above.count() >= found.stars.len()
    };
    if mostly_above(&traced) {
        return Some(traced);
    }
    let ground = match traced.ground {
        Side::Bottom => Side::Top,
        Side::Top => Side::Bottom,
        Side::Left => Side::Right,
        Side::Right => Side::Left,
    };
    let turned = Skyline { ground, ..traced };
    mostly_above(&turned).then_some(turned)
}
