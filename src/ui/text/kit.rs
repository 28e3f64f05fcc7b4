//! The words of the kit.

use crate::camera::lens::Projection;
use crate::decimal::{fixed, plain};
use crate::outing::plan::kit::Kit;
use crate::ui::text::units::{f_stop, focal};

/// The kit in a line.
pub fn summary(kit: &Kit, f_number: f64) -> String {
    let format = kit.sensor.format().map_or_else(
        || {
            format!(
                "{} × {} mm",
                plain(kit.sensor.width_mm),
                plain(kit.sensor.height_mm)
            )
        },
        |format| format.name.to_owned(),
    );
    let megapixels = fixed(kit.sensor.megapixels(), 0);
    // what makes the first figures those of this lens and no ideal one
    let real = if kit.lens.distortion.is_none() && kit.lens.star_width.is_none() {
        ""
    } else {
        " · your own lens"
    };
    format!(
        "{} · {} · {megapixels} MP {format}{real}",
        focal(kit.lens.focal_mm),
        f_stop(f_number)
    )
}

/// A projection as lenses are sold.
pub const fn projection(projection: Projection) -> &'static str {
    match projection {
        Projection::Rectilinear => "ordinary (rectilinear)",
        Projection::Equisolid => "fisheye, equisolid",
        Projection::Equidistant => "fisheye, equidistant",
        Projection::Stereographic => "fisheye, stereographic",
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::ui::text::units::GAP;

    #[test]
    fn the_kit_of_the_first_start_in_a_line() {
        assert_eq!(
            summary(&Kit::default(), 1.8).replace(GAP, " "),
            "20 mm · f/1.8 · 24 MP full frame"
        );
    }
}
