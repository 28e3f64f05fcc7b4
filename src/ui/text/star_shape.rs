//! The words for what a star looks like.

use crate::camera::point_spread::Appearance;
use crate::decimal::fixed;
use crate::ui::text::units::{ROUNDING_TOLERANCE, trail};

/// Nobody sees that a star is so many times as long as wide.
const ROUND: f64 = 1.05;

/// From here on it is no longer a star drawn out.
const LINE: f64 = 10.0;

/// What a star looks like: `looks 1.4 times as long as wide`, rounded up; or a disc.
pub fn looks(appearance: Appearance) -> String {
    match appearance {
        Appearance::Disc(disc_px) => ["a disc of ", &trail(disc_px)].concat(),
        Appearance::Elongated(times) if times < ROUND => "looks round".to_owned(),
        Appearance::Elongated(times) if times < LINE => {
            let times = fixed((times * 10.0 - ROUNDING_TOLERANCE).ceil() / 10.0, 1);
            ["looks ", &times, " times as long as wide"].concat()
        }
        Appearance::Elongated(_) => "a line".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::camera::point_spread::PointSpread;

    /// A trail of 2 px over a star of 1.5 px: 1.35, worked independently.
    #[test]
    fn a_star_is_told_as_it_looks() {
        let star = PointSpread {
            sigma_px: 1.5 / 2.3548,
            disc_px: 0.0,
        };
        let message = |spread: PointSpread, trail_px| {
            looks(spread.appearance(trail_px)).replace('\u{a0}', " ")
        };
        assert_eq!(message(star, 2.0), "looks 1.4 times as long as wide");
        assert_eq!(message(star, 0.3), "looks round");
        assert_eq!(message(star, 90.0), "a line");
        let soft = PointSpread {
            disc_px: 5.0,
            ..star
        };
        assert_eq!(message(soft, 2.0), "a disc of 5.0 px");
    }
}
