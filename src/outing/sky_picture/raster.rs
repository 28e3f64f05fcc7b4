//! Filling a picture: the light by direction on a coarse grid, the Milky Way at each pixel.

use super::sky_light::LightThere;
use super::tone::tone;
use super::{MAX_SIDE, SkyTones};
use crate::light::brightness::SurfaceBrightness;
use crate::light::visibility_limit::BRIGHTEST_CLOUDS_V;
use crate::sky::milky_way;

/// Numbers interpolated: galactic components, ln of the background, passed.
type Node = [f32; 5];

/// Where the background of neighbours differs by more than this power of e, as close to the Moon,
/// the light is computed at each pixel.
const STEEP: f32 = 0.35;

/// How much stronger the Milky Way is drawn than it shines, as pictures of it are processed (own
/// choice: the brightest clouds are then four times as bright as a dark sky, and lanes can be seen).
const PROCESSED_CONTRAST: f64 = 2.5;

/// The Milky Way is left out where its brightest clouds would add less than this share.
const LEAST_SHARE: f32 = 0.005;

/// No image.
const NOTHING: Node = [f32::NAN; 5];

fn node(light: Option<LightThere>) -> Node {
    light.map_or(NOTHING, |light| {
        let [x, y, z] = light.galactic;
        [x, y, z, light.background.ln(), light.passed]
    })
}

/// Whether the light between these may be interpolated; false beside the edge of a lens's image.
fn is_even(corners: [Node; 4]) -> bool {
    let [a, b, c, d] = corners.map(|corner| corner[3]);
    let (least, most) = (a.min(b).min(c).min(d), a.max(b).max(c).max(d));
    // false for NaN, which min and max ignore
    (a + b + c + d).is_finite() && most - least < STEEP
}

fn mixed(a: Node, b: Node, way: f32) -> Node {
    let mut mixed = a;
    for (value, other) in mixed.iter_mut().zip(b) {
        *value += (other - *value) * way;
    }
    mixed
}

/// A picture of a width and height whose light at a fraction of the width and of the height is
/// `light`; computed every `step` pixels across and down, and interpolated between.
///
/// Where the light is `None`, the tone is the darkest. With `one_by_one` columns are asked for one
/// after the other, and only those at steps.
pub fn filled(
    (width, height): (usize, usize),
    ((across, down), one_by_one): ((usize, usize), bool),
    mut light: impl FnMut(f64, f64) -> Option<LightThere>,
) -> SkyTones {
    let (width, height) = (width.min(MAX_SIDE), height.min(MAX_SIDE));
    let mut values = vec![0; width * height];
    let nothing = values.is_empty();
    let middle = |pixel: usize, pixels: usize| (pixel as f64 + 0.5) / pixels as f64;
    // nodes lie on the middles of pixels; the last may be outside the picture
    let rows = height.div_ceil(down) + 1;
    let column = |x: usize, light: &mut dyn FnMut(f64, f64) -> Option<LightThere>| {
        let nodes = (0..rows).map(|row| light(middle(x, width), middle(row * down, height)));
        nodes.map(node).collect::<Vec<Node>>()
    };
    let clouds = SurfaceBrightness::from_magnitude(BRIGHTEST_CLOUDS_V).times(PROCESSED_CONTRAST);
    let clouds = clouds.nanolamberts() as f32;
    let dark_share = milky_way::FAINTEST as f32;
    let mut left = if nothing {
        Vec::new()
    } else {
        column(0, &mut light)
    };
    for start in (0..if nothing { 0 } else { width }).step_by(across) {
        let right = column(start + across, &mut light);
        for y in 0..height {
            let (row, way) = (y / down, (y % down) as f32 / down as f32);
            let corners = [left[row], left[row + 1], right[row], right[row + 1]];
            let west = mixed(corners[0], corners[1], way);
            let east = mixed(corners[2], corners[3], way);
            let exactly = !one_by_one && !is_even(corners);
            for x in start..(start + across).min(width) {
                let there = if exactly {
                    node(light(middle(x, width), middle(y, height)))
                } else {
                    mixed(west, east, (x - start) as f32 / across as f32)
                };
                let [ahead, beside, up, background, passed] = there;
                if background.is_nan() {
                    continue;
                }
                let mut sum = background.exp();
                let most = clouds * passed;
                if most > LEAST_SHARE * sum {
                    // the site's dark sky has the starlight away from the band in it
                    sum += most * (milky_way::towards([ahead, beside, up]) - dark_share);
                }
                values[y * width + x] = tone(sum);
            }
        }
        left = right;
    }
    SkyTones {
        width,
        height,
        values,
    }
}
