//! The words of How long?, and of what it is worked out from.

use crate::angle::Angle;
use crate::browser::theme::Theme;
use crate::camera::clean_time::CleanTime;
use crate::camera::dial::{DialTime, Shutter};
use crate::camera::focus::{Focus, ground_disc_um};
use crate::camera::point_spread::Appearance;
use crate::camera::rules::Rule;
use crate::camera::sharpness::{Sharpness, Viewing};
use crate::decimal::{self, fixed, plain};
use crate::outing::exposure::sequence::Sequence;
use crate::outing::exposure::{Answer, FrameSide, ShutterTrails, WorstPlace};
use crate::outing::plan::pointing::AimTarget;
use crate::outing::plan::{KeepSharp, Outing};
use crate::outing::test_frame::measured_stars::{MeasuredStar, SAME_TRAIL};
use crate::sky::subject::Subject;
use crate::ui::text::units::{GAP, degrees, seconds, shutter, trail, trail_or_dash, up_to};

/// From here on, a mark and what it lasts differ enough to be told.
const WORTH_TELLING: f64 = 0.03;

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

/// The same in one word.
pub const fn worst_short(worst: &WorstPlace) -> &'static str {
    match (worst.height, worst.across) {
        (FrameSide::Middle | FrameSide::Both, FrameSide::Middle) => "worst",
        (FrameSide::Middle | FrameSide::Both, _) | (_, FrameSide::Middle) => "edge",
        _ => "corner",
    }
}

/// How long a run takes, rounded up: whole minutes from three on.
fn run_time(seconds: f64) -> String {
    const WHOLE_MIN: std::ops::Range<f64> = 3.0..90.0;
    let minutes = seconds / 60.0;
    if WHOLE_MIN.contains(&minutes) {
        fixed(minutes.ceil(), 0) + GAP + "min"
    } else {
        up_to(seconds)
    }
}

/// The frames: `66 frames, every 9 s, 10 min`; an interval counts from start to start.
pub fn frames(series: &Sequence) -> String {
    let count = series.frames.to_string();
    let lasts = run_time(series.lasts_s);
    if series.frames < 2 {
        return [&count, " frame, ", &lasts].concat();
    }
    let interval = series.interval_s.to_string();
    [&count, " frames, every ", &interval, GAP, "s, ", &lasts].concat()
}

/// The caption of a star: its trail, or the disc that hides it.
pub fn star(trail_px: Option<f64>, appearance: Option<Appearance>) -> String {
    match appearance {
        Some(Appearance::Disc(disc_px)) => "disc ".to_owned() + &whole(disc_px),
        _ => trail_or_dash(trail_px),
    }
}

/// What was measured of a star beside one that is drawn with this trail; and what the sky drew where
/// it stands, where that is another.
pub fn measured(star: &MeasuredStar, drawn_px: Option<f64>) -> String {
    let differs = |drawn_px: f64| (star.predicted_px - drawn_px).abs() > SAME_TRAIL * drawn_px;
    let other = drawn_px
        .is_none_or(differs)
        .then(|| trail(star.predicted_px));
    match other {
        // one unit for both
        Some(predicted) => {
            let measured = star.words.trim_end_matches("px").trim_end();
            ["measured ", measured, " for ", &predicted].concat()
        }
        None => "measured ".to_owned() + &star.words,
    }
}

/// A length without needless decimals: `2 px`, rounded up.
pub fn whole(pixels: f64) -> String {
    trail(pixels).replacen(".0", "", 1)
}

/// A rule of thumb in the least words.
pub const fn rule_short(rule: Rule) -> &'static str {
    match rule {
        Rule::PixelPitchFull => "pixel pitch",
        Rule::PixelPitchShort => "pitch, short",
        other => other.note().name,
    }
}

/// A rule's time: as a dial would have it, whole seconds from ten on.
pub fn rule_time(time_s: f64) -> String {
    if time_s < 10.0 {
        seconds(time_s)
    } else {
        fixed(time_s.floor(), 0) + GAP + "s"
    }
}

/// Where to focus, in a line, and what that makes of a star.
pub fn focus_short(outing: &Outing) -> String {
    let mut words = match outing.focus {
        Focus::Stars => return "focus on a star".to_owned(),
        Focus::Hyperfocal => "hyperfocal focus".to_owned(),
        Focus::At(metres) => ["focus at ", &plain(metres), GAP, "m"].concat(),
    };
    let sensor = outing.kit.sensor;
    let disc_um = outing.focus.disc_um(outing.lens(), sensor.diagonal_mm());
    let disc_px = disc_um.map(|um| um / sensor.pitch_um());
    if let Some(disc_px) = disc_px.filter(|px| *px > 1.0) {
        words += ": stars are discs of ";
        words += &whole(disc_px);
    }
    words
}

/// What a picture may be for, and the trail that allows.
pub fn purposes(pixels_along: u32) -> [(&'static str, String); 4] {
    [
        ("every pixel", Sharpness::EveryPixel),
        ("close look at 100 %", Sharpness::CloseLook),
        ("usual print", Sharpness::Print(Viewing::USUAL_PRINT)),
        ("usual screen", Sharpness::Screen(Viewing::USUAL_SCREEN)),
    ]
    .map(|(name, sharpness)| (name, trail(sharpness.pixels(pixels_along))))
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

/// A height of the skyline: `8.0° high`, or `1.6° below level`.
pub fn skyline_height(height: Angle) -> String {
    let text = degrees(height);
    match text.strip_prefix('−') {
        Some("0.0°") => "0.0° high".to_owned(),
        Some(below) => format!("{below} below level"),
        None => text + " high",
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
        Sharpness::CloseLook => "On screen at 100 %, two pixels look like a point.".to_owned(),
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
        return "Too near for any lens to focus.".to_owned();
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
    use crate::outing::plan::kit::Kit;

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
    fn the_first_start_reads_aloud() {
        let outing = Outing::default();
        let answer = Answer::compute(&outing);
        let trial = ShutterTrails::new(&answer, answer.shutter());
        assert_eq!(
            spaced(&clean_time_summary(&answer, &trial)),
            "Exactly 8.4 s. At 8 s: core 1.9 px, centre 1.7 px, upper right corner 3.8 px."
        );
    }

    #[test]
    fn frames_are_told_by_their_interval() {
        let kit = Kit::default();
        let frames = |seconds, total_min| {
            let shutter = Shutter::at_most(seconds).expect("a mark");
            let series = Sequence::new(shutter, total_min, &kit.body, kit.sensor);
            spaced(&frames(&series))
        };
        assert_eq!(frames(8.0, 10.0), "66 frames, every 9 s, 10 min");
        assert_eq!(frames(0.5, 2.0), "60 frames, every 2 s, 119 s");
        assert_eq!(frames(32.0, 0.5), "1 frame, 32 s");
    }

    #[test]
    fn a_disc_is_called_so() {
        let caption = |appearance| spaced(&star(Some(1.73), Some(appearance)));
        assert_eq!(caption(Appearance::Disc(5.0)), "disc 5 px");
        assert_eq!(caption(Appearance::Elongated(1.4)), "1.8 px");
        assert_eq!(spaced(&whole(2.0)), "2 px");
        assert_eq!(spaced(&whole(12.0)), "12 px");
        assert_eq!(spaced(&whole(2.5)), "2.5 px");
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
