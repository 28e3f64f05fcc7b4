//! The words of what the outing takes of a test frame: aim, lens, skyline, the camera's clock.

use crate::angle::Angle;
use crate::camera::lens::{Lens, Projection};
use crate::decimal::fixed;
use crate::outing::night::local_time::format_date;
use crate::outing::plan::camera_body::CameraClock;
use crate::outing::test_frame::clock_time::error_s;
use crate::outing::test_frame::offers::TakenFrame;
use crate::outing::test_frame::report::{FrameReport, TimeSource};
use crate::ui::text::night::bearing;
use crate::ui::text::test_frame::px;
use crate::ui::text::units::{GAP, degrees};

/// How sure bearing and altitude are.
pub const CLOCK_MATTERS: &str = "A clock 4 s wrong turns the aim by 1′.";

/// What the skyline says of the clock: by how much the picture was taken later than it says.
pub fn misfit(later_s: f64) -> String {
    const MINUTE_S: f64 = 60.0;
    let size_min = (later_s.abs() / MINUTE_S).round().max(1.0);
    let way = if later_s > 0.0 { "later" } else { "earlier" };
    format!(
        "The skyline fits a clock {}{GAP}min {way}.",
        fixed(size_min, 0)
    )
}

/// Where it pointed.
pub fn aim(taken: &TakenFrame) -> String {
    format!(
        "{}, {} up, turned {}; with its night and minute",
        bearing(taken.frame.bearing),
        degrees(taken.frame.tilt),
        degrees(taken.frame.roll)
    )
}

/// The site's time, with its zone.
pub fn site_time(zone: &str) -> String {
    format!("the site's time, {zone}")
}

/// Where it would have pointed.
pub fn aim_preview((towards, altitude): (Angle, Angle)) -> String {
    if altitude < Angle::ZERO {
        return "under the horizon: not this one".to_owned();
    }
    format!("{}, {} up", bearing(towards), degrees(altitude))
}

/// The lens.
pub fn lens(lens: &Lens) -> String {
    let kind = match lens.projection {
        Projection::Rectilinear => "",
        Projection::Equisolid => ", equisolid",
        Projection::Equidistant => ", equidistant",
        Projection::Stereographic => ", stereographic",
    };
    let width = match lens.star_width {
        Some(width) => format!(
            ", stars {} to {}",
            fixed(width.centre_px, 1),
            px(width.corner_px)
        ),
        None => String::new(),
    };
    format!(
        "{}{GAP}mm{kind}{width}; distortion k1 {}",
        fixed(lens.focal_mm, 2),
        fixed(lens.distortion.k1, 3).replace('-', "−")
    )
}

/// Why an aim or a skyline cannot be taken.
pub fn no_aim(report: &FrameReport, site_is_set: bool) -> &'static str {
    match (&report.solution, report.time) {
        (Err(_), _) => "its stars are not identified",
        (_, TimeSource::None) => "the file has no time",
        (_, TimeSource::UnknownZone) => "say above whose time its clock shows",
        _ if !site_is_set => "choose the site first",
        _ => "site or clock do not fit its stars",
    }
}

/// The skyline.
pub fn skyline(skyline: &[(Angle, Angle)]) -> String {
    let heights = skyline.iter().map(|(_, altitude)| altitude.degrees());
    let (least, most) = heights.fold((f64::MAX, f64::MIN), |(least, most), height| {
        (least.min(height), most.max(height))
    });
    let number = |height: f64| fixed(height, 1).replace('-', "−");
    format!(
        "{}° to {}° high, into the site",
        number(least),
        number(most)
    )
}

/// Why a skyline cannot be taken.
pub fn no_skyline(report: &FrameReport, site_is_set: bool) -> &'static str {
    let aimed = report.solution.is_ok_and(|solved| solved.aim.is_some());
    if aimed {
        "none is seen in it"
    } else {
        no_aim(report, site_is_set)
    }
}

/// Why the lens cannot be taken.
pub fn no_lens(report: &FrameReport) -> &'static str {
    match report.solution {
        Err(_) => "its stars are not identified",
        Ok(_) => "it is not of the kit in use; choose that first",
    }
}

/// How the moment is known where the clock was set by the skyline.
pub const BY_SKYLINE: &str = "Time by the skyline.";

/// How the moment is known.
pub fn time(source: TimeSource) -> &'static str {
    match source {
        TimeSource::None | TimeSource::UnknownZone => "",
        TimeSource::Said => "Time as you said, if the camera's clock is right.",
        TimeSource::File => "Time by the file, if the camera's clock is right.",
        TimeSource::FileCorrected | TimeSource::Measured => {
            "Time by the camera's clock as measured."
        }
    }
}

/// What a clock is off its zone.
fn off(ahead_s: f64) -> String {
    let error = error_s(ahead_s);
    let size = fixed(error.abs(), 0) + GAP + "s";
    match error {
        error if error.abs() < 1.0 => "right to 1".to_owned() + GAP + "s",
        error if error > 0.0 => format!("{size} fast"),
        _ => format!("{size} slow"),
    }
}

/// What came of a photo of the code.
pub fn clock_read(ahead_s: f64) -> String {
    format!("The camera's clock is {}. Kept with the kit.", off(ahead_s))
}

/// The kit's clock.
pub fn clock(clock: Option<CameraClock>) -> String {
    match clock {
        Some(clock) => format!("{} on {}", off(clock.ahead_s), format_date(clock.date)),
        None => "never measured".to_owned(),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn clocks_are_told_by_their_error_not_their_zone() {
        for (ahead_s, want) in [
            (7213.0, "13 s fast"),
            (-3604.0, "4 s slow"),
            (3600.4, "right to 1 s"),
        ] {
            assert_eq!(off(ahead_s).replace(GAP, " "), want);
        }
        assert_eq!(clock(None), "never measured");
    }

    #[test]
    fn a_misfit_is_told_in_minutes() {
        for (later_s, want) in [
            (3590.0, "The skyline fits a clock 60 min later."),
            (-95.0, "The skyline fits a clock 2 min earlier."),
        ] {
            assert_eq!(misfit(later_s).replace(GAP, " "), want);
        }
    }
}
