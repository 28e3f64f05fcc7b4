//! The words of Why track?.

use crate::camera::dial::Shutter;
use crate::decimal::{fixed, plain};
use crate::outing::exposure::by_focal_length::{
    ExposureByFocalLength, field_rotation, ground_smear_px,
};
use crate::outing::exposure::sequence::{MIN_S, Sequence};
use crate::outing::exposure::settings::SMALL_EXCESS;
use crate::outing::exposure::sky_brightness::SkyBrightness;
use crate::outing::exposure::strategies::{Strategies, Strategy};
use crate::outing::exposure::tracker_gain::{Compared, QUICK_WRITE_S, QUIET_READ_NOISE_E};
use crate::outing::plan::{Outing, Support};
use crate::ui::state::derived::tracking_analysis::TargetExposure;
use crate::ui::text::exposure;
use crate::ui::text::field_card::card;
use crate::ui::text::units::{self, GAP, seconds, trail, up_to};

/// Names of the chart's lines.
pub const TRIPOD: &str = "tripod";
/// On a tracker.
pub const TRACKED: &str = "tracker";

/// A trail so long is a line, and what it crosses is gone, pixels.
const LINES_PX: f64 = 30.0;

/// A focal length, to the millimetre.
pub fn lens(focal_mm: f64) -> String {
    fixed(focal_mm, 0) + GAP + "mm"
}

/// A number to two figures.
pub fn two_figures(number: f64) -> String {
    let places = match number.abs() {
        size if size >= 9.95 => 0,
        size if size >= 0.995 => 1,
        size if size >= 0.0995 => 2,
        _ => 3,
    };
    fixed(number, places)
}

/// How long a frame is: seconds, from a hundred on minutes to two figures.
pub fn frame_time(shutter: Shutter) -> String {
    let exact_s = shutter.exact_s();
    if exact_s < 100.0 {
        return units::shutter(shutter);
    }
    plain((exact_s / MIN_S * 10.0).round() / 10.0) + GAP + "min"
}

/// What a frame may last on either support, that in use first.
pub fn claim(support: Support, strategies: &Strategies) -> String {
    let at = lens(strategies.focal_mm);
    let [tripod, tracker] = [&strategies.stack, &strategies.tracked]
        .map(|strategy| frame_time(strategy.settings.series.shutter));
    match support {
        Support::Tripod => format!("At {at} a tripod gives {tripod}, a tracker {tracker}."),
        Support::Tracker => format!("At {at} your tracker gives {tracker}, a tripod {tripod}."),
    }
}

/// From which lens on a stack takes more than twice the time of a tracker: for the usual body, and
/// for the best one that it could be.
pub fn too_long(focal_mm: [Option<f64>; 2]) -> String {
    let from = match focal_mm.map(|mm| mm.map(lens)) {
        [None, _] => return "A stack keeps up with every lens.".to_owned(),
        [Some(usual), None] => usual,
        [Some(usual), Some(best)] => span(&usual, &best),
    };
    format!("From {from} stacks take twice as long.")
}

/// Where no stack matches.
pub const NO_MATCH: &str = "No number of frames does.";

/// Two values with one unit, as a range; one where they are the same.
fn span(least: &str, most: &str) -> String {
    match least.split_once(GAP).zip(most.split_once(GAP)) {
        _ if least == most => most.to_owned(),
        Some(((value, unit), (_, same))) if unit == same => [value, "–", most].concat(),
        _ => [least, " – ", most].concat(),
    }
}

/// How long a matching stack takes, and what the tracked frames take.
pub fn time_range(few: &Sequence, many: &Sequence, tracked: &Sequence) -> String {
    let stack = span(&up_to(few.lasts_s), &up_to(many.lasts_s));
    [&stack, ", not ", &up_to(tracked.lasts_s)].concat()
}

/// What it takes of the card.
pub fn card_range(few: &Sequence, many: &Sequence) -> String {
    span(&card(few), &card(many))
}

/// What it takes of a battery, in hundredths, rounded up.
pub fn battery_range(few: &Sequence, many: &Sequence) -> String {
    let percent = |series: &Sequence| fixed((series.charges * 100.0).ceil(), 0) + GAP + "%";
    span(&percent(few), &percent(many))
}

/// A card of a size.
pub fn card_name(size_gb: f64) -> String {
    ["card of ", &fixed(size_gb, 0), GAP, "GB"].concat()
}

/// So many batteries.
pub fn battery_name(count: f64) -> String {
    if count > 1.0 {
        fixed(count, 0) + " batteries"
    } else {
        "battery".to_owned()
    }
}

/// A range to two figures, with a word between its ends; one number where both are told
/// alike.
fn range((least, most): (f64, f64), to: &str) -> String {
    let [least, most] = [least, most].map(two_figures);
    if least == most {
        most
    } else {
        [&least, to, &most].concat()
    }
}

/// How many times longer on a tripod, as a figure: `3.7×`, or `1.4–3.7×` where the body is
/// not known.
pub fn times(compared: &Compared) -> String {
    let times = compared.times_longer();
    times.map_or_else(|| "–".to_owned(), |times| range(times, "–") + "×")
}

/// How many times more signal to noise on a tracker, in the same way.
pub fn gain(compared: &Compared) -> String {
    range(compared.gain(), "–") + "×"
}

/// How many frames of a stack match the tracked ones, in the same way.
pub fn frames_to_match(compared: &Compared) -> String {
    match compared.matching() {
        None => "–".to_owned(),
        Some((few, many)) if few.frames == many.frames => many.frames.to_string(),
        Some((few, many)) => format!("{}–{}", few.frames, many.frames),
    }
}

/// What a range rests on, where there is one.
pub fn unknown_body(compared: &Compared, outing: &Outing) -> Option<String> {
    let body = &outing.kit.body;
    let usual_e = two_figures(compared.strategies.stack.settings.rates.read_noise_e);
    let noise = [
        "read noise ",
        &plain(QUIET_READ_NOISE_E),
        "–",
        &usual_e,
        " e⁻",
    ]
    .concat();
    let usual_s = plain(body.write_s());
    let gap = ["pause ", &plain(QUICK_WRITE_S), "–", &usual_s, " s"].concat();
    let what = match (body.read_noise.is_empty(), body.write_s) {
        (true, None) => [&noise, ", ", &gap].concat(),
        (true, Some(_)) => noise,
        (false, None) => gap,
        (false, Some(_)) => return None,
    };
    Some(["Hatched: body not measured, ", &what].concat())
}

/// Frames and their time: `66 × 8 s`.
pub fn frames(series: &Sequence) -> String {
    format!("{} × {}", series.frames, frame_time(series.shutter))
}

/// What a stack loses in the same time, and how it wins it back.
pub fn stack_loss(compared: &Compared, outing: &Outing) -> String {
    let strategies = &compared.strategies;
    let series = &strategies.stack.settings.series;
    if strategies.stack.settings.saturated() {
        return format!(
            "At this ISO a frame of {} is all white: choose a lower one.",
            units::shutter(series.shutter)
        );
    }
    let [stack, tracked] = [&strategies.stack, &strategies.tracked]
        .map(|strategy| two_figures(strategy.signal_to_noise()));
    let times_as_much = match unknown_body(compared, outing) {
        None => range(compared.gain(), " to ") + " times as much",
        Some(_) => format!(
            "{} times as much; with a quieter, quicker body less: {} times",
            two_figures(compared.usual.gain),
            range(compared.gain(), " to ")
        ),
    };
    format!(
        "In {} at {} a stack on the tripod reaches a signal to noise of {stack}, a tracker {tracked}: \
         {}. With a frame every {} s its shutter is open for {} % of the time. A stack \
         wins it back by going on: twice the signal to noise takes four times the frames.{}",
        up_to(outing.stack_min * 60.0),
        lens(strategies.focal_mm),
        times_as_much,
        series.interval_s,
        fixed(
            100.0 * series.shutter.exact_s() / f64::from(series.interval_s),
            0
        ),
        unknown_body(compared, outing).map_or_else(String::new, |message| [" ", &message].concat()),
    )
}

/// The signal to noise of a strategy: none of what is white, or drawn out into lines.
pub fn signal(strategy: &Strategy) -> String {
    if strategy.settings.saturated() || strategy.trail_px > LINES_PX {
        "–".to_owned()
    } else {
        two_figures(strategy.signal_to_noise())
    }
}

/// What the figures are for by day.
const BY_DAY: &str = " By day and in bright twilight the figures are for a dark sky.";

/// A sky brighter than a dark one by this is worth a warning, magnitudes.
const BRIGHT_MAG: f64 = 0.5;

/// A warning where it is not dark at the moment looked at.
pub fn not_dark(sky: &SkyBrightness) -> Option<&'static str> {
    if sky.whole.is_none() {
        Some(BY_DAY.trim_start())
    } else if sky.moon_mag + sky.twilight_mag >= BRIGHT_MAG {
        Some("The sky is bright then. When? shows darker hours.")
    } else {
        None
    }
}

/// Brightness of the sky where the camera points.
pub fn sky(sky: &SkyBrightness) -> String {
    let whole = sky.for_exposure();
    let v = whole.magnitude().unwrap_or(f64::NAN);
    let mut message = format!(
        "The sky where the camera points: {} mag/arcsec², {} mcd/m².",
        fixed(v, 1),
        two_figures(whole.luminance_cd_m2() * 1000.0)
    );
    if sky.whole.is_none() {
        message += BY_DAY;
    }
    for (what, mag) in [("The Moon", sky.moon_mag), ("Twilight", sky.twilight_mag)] {
        if mag >= 0.05 {
            message += &format!(" {what} adds {} mag.", fixed(mag, 1));
        }
    }
    message
        + &format!(
            " Through {} air masses {} mag of the subject are lost.",
            fixed(sky.air_masses, 1),
            fixed(sky.lost_mag, 1)
        )
}

/// ISO and where the sky stands in the histogram.
pub fn iso(strategy: &Strategy, chosen: bool) -> String {
    let settings = &strategy.settings;
    let stops = settings.exposure_level.stops;
    let side = if stops < 0.0 { "below" } else { "above" };
    format!(
        "ISO {} {}, for {} at f/{}: the sky {} stops {side} middle grey, {} stops of light from \
         white.",
        fixed(settings.iso, 0),
        if chosen { "chosen" } else { "suggested" },
        units::shutter(settings.series.shutter),
        crate::decimal::plain(settings.f_number),
        fixed(stops.abs(), 1),
        fixed(settings.below_white(), 1),
    )
}

/// How long a frame must be for reading to matter little.
pub fn long_enough(strategies: &Strategies) -> String {
    let stack = &strategies.stack.settings;
    let Some(enough_s) = stack.rates.long_enough_s(SMALL_EXCESS) else {
        return String::new();
    };
    let excess = stack.rates.read_excess(stack.each_s());
    format!(
        "From {} on, read noise adds no more than a tenth to a frame's noise; to {} it adds {} %.",
        seconds(enough_s),
        units::shutter(stack.series.shutter),
        two_figures(100.0 * excess)
    )
}

/// What half rate does to the ground, and to the corners.
pub fn half_rate(outing: &Outing, reach: &ExposureByFocalLength) -> String {
    if !reach.half_s.is_finite() {
        return String::new();
    }
    let smear = ground_smear_px(outing, reach.focal_mm, reach.half_s);
    let (_, corner_px) = field_rotation(outing, reach.half_s);
    format!(
        "In {} at half rate the ground under the sky smears by {}, and the sky turns in the \
         picture, by {} in the corners.",
        seconds(reach.half_s),
        trail(smear),
        trail(corner_px)
    )
}

/// What a target asks for.
pub fn target(target: &TargetExposure) -> String {
    let compared = &target.compared;
    let lens = lens(compared.strategies.focal_mm);
    if !target.rises {
        return lens + ": never rises over this site";
    }
    format!(
        "{lens}: {} on a tripod, {} the time",
        exposure::clean(compared.strategies.clean),
        times(compared)
    )
}

/// The tracker in a line.
pub fn mount(outing: &Outing) -> String {
    let mount = &outing.mount;
    format!(
        "{}′ off the pole, ±{}″ in {}",
        fixed(mount.polar_error(outing.site.latitude).degrees() * 60.0, 0),
        fixed(mount.periodic.degrees() * 3600.0, 0),
        up_to(mount.period_s),
    )
}

/// A limit in words.
pub fn limit(limit_s: f64) -> String {
    if limit_s.is_finite() {
        seconds(limit_s)
    } else {
        "over half an hour".to_owned()
    }
}

/// The chart in one sentence, for a screen reader.
pub fn lens_message(strategies: &Strategies, half_s: f64, longest_s: f64) -> String {
    format!(
        "{}: tripod {}, half rate {}, tracker {}",
        lens(strategies.focal_mm),
        exposure::clean(strategies.clean),
        limit(half_s),
        limit(longest_s)
    )
}
