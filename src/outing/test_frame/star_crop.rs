//! One star of a part of the picture, cut out pixel by pixel.

use super::report::StarCrop;
use crate::astrometry::picture::{Picture, PicturePoint};
use crate::astrometry::star_list::DetectedStar;
use crate::camera::star_image::StarImage;

/// Half a side, px: at least, and at most.
const LEAST_HALF_PX: f64 = 5.0;
const MOST_HALF_PX: f64 = 24.0;

/// Stars farther from the place than this share of the picture's width are of another part.
const NEAR_SHARE: f64 = 0.2;

/// Peaks above this are spoilt by the camera's tone curve.
const HIGHEST_PEAK: f32 = 0.75;

/// The brightest star near a place that is not saturated, with `reach_px` of sky around it; `None`
/// where there is none.
pub fn crop(
    picture: &Picture,
    stars: &[DetectedStar],
    at: PicturePoint,
    reach_px: f64,
) -> Option<StarCrop> {
    let near_px = NEAR_SHARE * picture.width as f64;
    let half = reach_px.ceil().clamp(LEAST_HALF_PX, MOST_HALF_PX) as usize;
    let inside = |star: &&DetectedStar| {
        let (x, y) = (star.at.x_px as usize, star.at.y_px as usize);
        let fits = |place: usize, side: usize| place >= half && place + half < side;
        fits(x, picture.width) && fits(y, picture.height)
    };
    // stars stand in the order of falling flux
    let star = stars
        .iter()
        .filter(|star| !star.saturated && star.peak <= HIGHEST_PEAK)
        .filter(|star| star.at.distance_px(at) < near_px)
        .find(inside)?;
    let (x, y) = (star.at.x_px as usize, star.at.y_px as usize);
    let rows = || (y - half..=y + half).map(|row| &picture.row(row)[x - half..=x + half]);
    let mut edge: Vec<f32> = Vec::new();
    for (number, row) in rows().enumerate() {
        match number {
            0 => edge.extend(row),
            last if last == 2 * half => edge.extend(row),
            _ => edge.extend([row[0], row[2 * half]]),
        }
    }
    edge.sort_by(f32::total_cmp);
    let sky = edge[edge.len() / 2];
    let most = rows().flatten().fold(sky, |most, value| most.max(*value));
    let scale = 255.0 / (most - sky).max(f32::MIN_POSITIVE);
    let light = rows().flatten().map(|value| ((value - sky) * scale) as u8);
    Some(StarCrop {
        side: 2 * half as u32 + 1,
        light: light.collect(),
    })
}

impl StarCrop {
    /// As stars are drawn.
    pub fn image(&self) -> StarImage {
        let light = self.light.iter();
        StarImage {
            side: self.side as usize,
            light: light.map(|light| f64::from(*light) / 255.0).collect(),
        }
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::angle::Angle;

    fn star(x_px: f64, y_px: f64, peak: f32) -> DetectedStar {
        DetectedStar {
            at: PicturePoint { x_px, y_px },
            flux: 1.0,
            peak,
            saturated: peak > 0.9,
            long_px: 1.0,
            wide_px: 1.0,
            angle: Angle::ZERO,
        }
    }

    #[test]
    fn the_brightest_unspoilt_star_nearby_stands_in_the_middle() {
        let mut picture = Picture {
            width: 200,
            height: 100,
            pixels: vec![0.1; 20_000],
        };
        picture.pixels[50 * 200 + 60] = 0.5;
        picture.pixels[50 * 200 + 61] = 0.3;
        let stars = [
            star(61.5, 51.5, 1.0),  // saturated
            star(190.5, 50.5, 0.6), // far away
            star(60.5, 2.5, 0.6),   // at the edge
            star(60.5, 50.5, 0.5),
            star(70.5, 50.5, 0.4),
        ];
        let middle = PicturePoint {
            x_px: 65.0,
            y_px: 50.0,
        };
        let cut = crop(&picture, &stars, middle, 3.0).expect("a star");
        assert_eq!((cut.side, cut.light.len()), (11, 121));
        assert_eq!(cut.light[60], 255);
        assert!((i32::from(cut.light[61]) - 127).abs() <= 1);
        assert_eq!(cut.light[0], 0);
        assert_eq!(crop(&picture, &stars[..3], middle, 3.0), None);
        // a picture smaller than what is cut out has none
        let small = Picture {
            width: 3,
            height: 3,
            pixels: vec![0.0; 9],
        };
        assert_eq!(crop(&small, &stars, middle, 3.0), None);
    }
}
