//! The words for what is worked out, and how numbers are shown.
//!
//! Rounding of what is worked out happens here, and goes the safe way: times down,
//! trails up.

use crate::angle::Angle;
use crate::browser::theme::Theme;
use crate::camera::clean_time::CleanTime;
use crate::camera::dial::{DialTime, Shutter};
use crate::camera::focus::{Focus, ground_disc_um};
use crate::camera::lens::Projection;
use crate::camera::sharpness::Sharpness;
use crate::decimal::{self, fixed, plain};
use crate::outing::exposure::{Answer, FrameSide, ShutterTrails, WorstPlace};
use crate::outing::plan::kit::Kit;
use crate::outing::plan::pointing::AimTarget;
use crate::outing::plan::{KeepSharp, Outing};
use crate::sky::subject::Subject;

/// Between a number and its unit: a space at which no line breaks.
const GAP: &str = "\u{a0}";

/// Rounding up must not lift a number that is only a hair above a step.
const HAIR: f64 = 1e-6;

/// From here on, a mark and what it lasts differ enough to be told.
const WORTH_TELLING: f64 = 0.03;

/// A trail, rounded up: `1.7 px`, from ten on without decimals.
pub fn trail(pixels: f64) -> String {
    if pixels < 9.95 {
        fixed((pixels * 10.0 - HAIR).ceil() / 10.0, 1) + GAP + "px"
    } else {
        fixed((pixels - HAIR).ceil(), 0) + GAP + "px"
    }
}

/// A trail that may not be there.
pub fn trail_or_dash(pixels: Option<f64>) -> String {
    pixels.map_or_else(|| "–".to_owned(), trail)
}

/// The same without its unit, which a heading gives.
pub fn bare_trail(pixels: Option<f64>) -> String {
    bare(&trail_or_dash(pixels))
}

/// A value without its unit, which a heading gives.
pub fn bare(value: &str) -> String {
    value.split('\u{a0}').next().unwrap_or_default().to_owned()
}

/// Seconds, rounded down: three digits below a second, two decimals below three, one
/// below a minute. A mark of 1.3 s lasts 1.25 s, and one sees it.
pub fn seconds(seconds: f64) -> String {
    if seconds < 1.0 {
        fixed((seconds * 1000.0 + HAIR).floor() / 1000.0, 3) + GAP + "s"
    } else if seconds < 3.0 {
        fixed((seconds * 100.0 + HAIR).floor() / 100.0, 2) + GAP + "s"
    } else if seconds < 60.0 {
        fixed((seconds * 10.0 + HAIR).floor() / 10.0, 1) + GAP + "s"
    } else {
        fixed((seconds + HAIR).floor(), 0) + GAP + "s"
    }
}

/// A stretch of time, rounded up: seconds, from two minutes on minutes, from an hour and
/// a half on hours; below ten of those with a decimal.
pub fn up_to(seconds: f64) -> String {
    const MIN_S: f64 = 60.0;
    const HOUR_S: f64 = 60.0 * MIN_S;
    let (value, unit) = match seconds {
        short if short < 2.0 * MIN_S => (short, "s"),
        middle if middle < 1.5 * HOUR_S => (middle / MIN_S, "min"),
        long => (long / HOUR_S, "h"),
    };
    let steps = if unit == "s" || value >= 10.0 {
        1.0
    } else {
        10.0
    };
    plain((value * steps - HAIR).ceil() / steps) + GAP + unit
}

/// A shutter setting as the camera shows it.
pub fn shutter(shutter: Shutter) -> String {
    shutter.mark() + GAP + "s"
}

/// The dial time in one word and, apart, its unit.
pub fn dial(dial: DialTime) -> (String, &'static str) {
    match dial {
        DialTime::Set(shutter) => (shutter.mark(), "s"),
        DialTime::TooShort => ("under 1/8000".to_owned(), "s"),
        DialTime::NoLimit => ("no limit".to_owned(), ""),
    }
}

/// What the setting really lasts, where that differs from its mark.
pub fn lasts(shutter: Shutter) -> Option<String> {
    match shutter {
        Shutter::Bulb(_) => Some("bulb or a timer".to_owned()),
        Shutter::Marked(_) => {
            let exact = shutter.exact_s();
            let mark = decimal::read(&shutter.mark())?;
            let differs = (exact / mark - 1.0).abs() > WORTH_TELLING;
            differs.then(|| format!("this mark stays open {}", seconds(exact)))
        }
    }
}

/// A clean time as a sentence's end.
pub fn clean(clean: CleanTime) -> String {
    match clean {
        CleanTime::Seconds(exact) => seconds(exact),
        CleanTime::NoLimit => "no limit".to_owned(),
    }
}

/// What a target in the middle of the frame is called.
pub const fn target(target: AimTarget) -> &'static str {
    match target {
        AimTarget::Subject(subject) => subject.with_article(),
        AimTarget::Equator => "the celestial equator",
    }
}

/// The same in one word.
pub fn target_short(target: AimTarget) -> &'static str {
    match target {
        AimTarget::Subject(subject) => subject.word(),
        AimTarget::Equator => "equator",
    }
}

/// The place that must stay sharp, after "for".
pub fn kept_sharp(keep: KeepSharp, at: AimTarget) -> String {
    match keep {
        KeepSharp::Core => target(at).to_owned(),
        KeepSharp::WholeFrame => "the whole frame".to_owned(),
        KeepSharp::Centre => "the middle of the frame".to_owned(),
        KeepSharp::Declination(angle) => format!("declination {}", degrees(angle)),
    }
}

/// The same in one or two words, for a button.
pub fn kept_sharp_short(keep: KeepSharp, subject: Subject) -> String {
    match keep {
        KeepSharp::Core => subject.word().to_owned(),
        KeepSharp::WholeFrame => "whole frame".to_owned(),
        KeepSharp::Centre => "middle".to_owned(),
        KeepSharp::Declination(angle) => format!("δ {}", degrees(angle)),
    }
}

/// The worst place of the frame by name.
pub const fn worst(worst: &WorstPlace) -> &'static str {
    match (worst.height, worst.across) {
        (FrameSide::High, FrameSide::Low) => "upper left corner",
        (FrameSide::High, FrameSide::High) => "upper right corner",
        (FrameSide::High, FrameSide::Both) => "upper corners",
        (FrameSide::High, FrameSide::Middle) => "top edge",
        (FrameSide::Low, FrameSide::Low) => "lower left corner",
        (FrameSide::Low, FrameSide::High) => "lower right corner",
        (FrameSide::Low, FrameSide::Both) => "lower corners",
        (FrameSide::Low, FrameSide::Middle) => "bottom edge",
        (_, FrameSide::Low) => "left edge",
        (_, FrameSide::High) => "right edge",
        (_, FrameSide::Both) => "left and right edges",
        (_, FrameSide::Middle) => "a place inside the frame",
    }
}

/// The sentence under the answer: the exact clean time and what the shutter
/// leaves.
pub fn clean_time_summary(answer: &Answer, trial: &ShutterTrails) -> String {
    let exact = match answer.clean {
        CleanTime::Seconds(_) => format!("Exactly {}.", clean(answer.clean)),
        CleanTime::NoLimit => "The star there never draws so long a trail.".to_owned(),
    };
    let mut left = format!(
        " At {}: {} {}, centre {}",
        shutter(trial.shutter),
        target_short(answer.target),
        trail_or_dash(trial.core_px),
        trail_or_dash(trial.centre_px),
    );
    if let Some(place) = &answer.worst {
        left += &format!(", {} {}", worst(place), trail_or_dash(trial.worst_px));
    }
    format!("{exact}{left}.")
}

/// The kit in a line.
pub fn kit(kit: &Kit, f_number: f64) -> String {
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

/// A focal length.
pub fn focal(focal_mm: f64) -> String {
    plain((focal_mm * 10.0).round() / 10.0) + GAP + "mm"
}

/// An f-number.
pub fn f_stop(f_number: f64) -> String {
    format!("f/{}", plain((f_number * 100.0).round() / 100.0))
}

/// Degrees to one decimal.
pub fn degrees(angle: Angle) -> String {
    degrees_to(angle, 1)
}

/// Degrees to so many decimals, with a true minus.
pub fn degrees_to(angle: Angle, decimals: usize) -> String {
    fixed(angle.degrees(), decimals).replace('-', "−") + "°"
}

/// A height of the skyline: `8.0° high`, or `1.6° below level`.
pub fn skyline_height(height: Angle) -> String {
    let text = degrees(height);
    match text.strip_prefix('−') {
        Some("0.0°") => "0.0° high".to_owned(),
        Some(below) => format!("{below} below level"),
        None => text + " high",
    }
}

/// A latitude with its side of the equator.
pub fn latitude(angle: Angle) -> String {
    let side = if angle < Angle::ZERO { "S" } else { "N" };
    format!(
        "{}° {side}",
        plain((angle.degrees().abs() * 100.0).round() / 100.0)
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

/// A look's name and what it is for.
pub const fn theme(theme: Theme) -> (&'static str, &'static str) {
    match theme {
        Theme::Paper => ("Paper", "by day"),
        Theme::Dusk => ("Dusk", "dark, at home"),
        Theme::Red => ("Red", "in the field"),
    }
}

/// How a purpose becomes pixels.
pub fn conversion(sharpness: Sharpness, pixels_along: u32) -> String {
    let pixels = trail(sharpness.pixels(pixels_along));
    match sharpness {
        Sharpness::EveryPixel => "No star longer than the pixel it falls on.".to_owned(),
        Sharpness::CloseLook => "On screen at 100 %, two pixels pass for a point.".to_owned(),
        Sharpness::Pixels(_) => format!("Trails up to {pixels}."),
        Sharpness::Print(seen) | Sharpness::Screen(seen) => {
            let pixel_mm = fixed(seen.width_cm * 10.0 / f64::from(pixels_along), 3);
            format!(
                "From {} cm the eye parts {} mm (one minute of arc). {} pixels over {} cm are \
                 {pixel_mm} mm each: {pixels}.",
                plain(seen.distance_cm),
                fixed(seen.resolved_mm(), 2),
                pixels_along,
                plain(seen.width_cm),
            )
        }
    }
}

/// What the focus does to stars and to the ground.
pub fn focus(outing: &Outing) -> String {
    const NEAR_GROUND_M: f64 = 5.0;
    let (lens, sensor) = (outing.lens(), outing.kit.sensor);
    let pixels = |disc_um: f64| disc_um / sensor.pitch_um();
    let Some(disc_um) = outing.focus.disc_um(lens, sensor.diagonal_mm()) else {
        return "No lens focuses so near.".to_owned();
    };
    let disc = trail(pixels(disc_um));
    match outing.focus {
        Focus::Stars => {
            let ground = ground_disc_um(lens, NEAR_GROUND_M * 1000.0).map_or(0.0, pixels);
            format!(
                "Stars are points. Ground {}{GAP}m away blurs to {}: focus a second \
                 frame for it.",
                plain(NEAR_GROUND_M),
                trail(ground)
            )
        }
        Focus::Hyperfocal => {
            let distance_mm = outing.focus.distance_mm(lens, sensor.diagonal_mm());
            let distance = fixed(distance_mm.unwrap_or(0.0) / 1000.0, 1);
            format!(
                "A trap: at the hyperfocal distance, {distance} m, every star becomes a disc of \
                 {disc}. It passes for sharp by day only."
            )
        }
        Focus::At(metres) => format!(
            "Focused at {} m, every star becomes a disc of {disc}.",
            plain(metres)
        ),
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// With ordinary spaces, as one reads it.
    fn spaced(text: &str) -> String {
        text.replace(GAP, " ")
    }

    #[test]
    fn a_skyline_is_high_or_below_level() {
        for (degrees, want) in [
            (8.0, "8.0° high"),
            (0.0, "0.0° high"),
            (-0.01, "0.0° high"),
            (-1.64, "1.6° below level"),
        ] {
            let message = skyline_height(Angle::from_degrees(degrees));
            assert_eq!(message, want, "{degrees}");
        }
    }

    #[test]
    fn trails_round_up_and_times_down() {
        let trails = [
            (1.61, "1.7 px"),
            (1.7, "1.7 px"),
            (2.000_000_01, "2.0 px"),
            (0.0, "0.0 px"),
            (9.96, "10 px"),
            (12.1, "13 px"),
        ];
        for (pixels, want) in trails {
            assert_eq!(spaced(&trail(pixels)), want, "{pixels}");
        }
        let times = [
            (9.49, "9.4 s"),
            (0.2399, "0.239 s"),
            (1.2599, "1.25 s"),
            (61.9, "61 s"),
            (16.0, "16.0 s"),
        ];
        for (exact, want) in times {
            assert_eq!(spaced(&seconds(exact)), want, "{exact}");
        }
    }

    #[test]
    fn stretches_of_time_round_up() {
        for (stretch_s, want) in [
            (7.3, "8 s"),
            (90.0, "90 s"),
            (119.5, "120 s"),
            (120.0, "2 min"),
            (149.0, "2.5 min"),
            (593.1, "9.9 min"),
            (600.0, "10 min"),
            (601.0, "11 min"),
            (5400.0, "1.5 h"),
            (10_800.0, "3 h"),
        ] {
            assert_eq!(spaced(&up_to(stretch_s)), want);
        }
    }

    #[test]
    fn the_first_start_reads_aloud() {
        let outing = Outing::default();
        let answer = Answer::compute(&outing);
        let trial = ShutterTrails::new(&answer, answer.shutter());
        assert_eq!(
            spaced(&clean_time_summary(&answer, &trial)),
            "Exactly 8.4 s. At 8 s: core 1.9 px, centre 1.7 px, upper right corner 3.8 px."
        );
        assert_eq!(
            spaced(&kit(&outing.kit, 1.8)),
            "20 mm · f/1.8 · 24 MP full frame"
        );
    }

    #[test]
    fn a_mark_that_misleads_says_so() {
        let lasts = |limit| {
            Shutter::at_most(limit)
                .and_then(lasts)
                .map(|message| spaced(&message))
        };
        assert_eq!(lasts(32.0).as_deref(), Some("this mark stays open 32.0 s"));
        assert_eq!(lasts(8.0), None);
        assert_eq!(lasts(70.0).as_deref(), Some("bulb or a timer"));
    }
}
