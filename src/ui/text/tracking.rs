//! The words of Why track?.

use crate::camera::clean_time::CleanTime;
use crate::decimal::{fixed, plain};
use crate::outing::exposure::by_focal_length::{
    ExposureByFocalLength, field_rotation, ground_smear_px,
};
use crate::outing::exposure::sequence::Sequence;
use crate::outing::exposure::settings::SMALL_EXCESS;
use crate::outing::exposure::sky_brightness::SkyBrightness;
use crate::outing::exposure::strategies::{Strategies, Strategy, TOO_MANY_TIMES, clean_at};
use crate::outing::exposure::tracker_gain::{Compared, QUICK_WRITE_S, QUIET_READ_NOISE_E};
use crate::outing::plan::{KeepSharp, Outing};
use crate::ui::state::derived::tracking_analysis::TargetExposure;
use crate::ui::text::exposure::{self, seconds, trail, up_to};
use crate::ui::text::field_card::card;

/// Names of the chart's lines.
pub const TRIPOD: &str = "tripod";
/// On a tracker.
pub const TRACKED: &str = "tracker";

/// A trail so long is a line, and what it crosses is gone, pixels.
const LINES_PX: f64 = 30.0;

/// A tripod takes little longer up to here.
const LITTLE_MORE: f64 = 1.25;

/// Between a number and its unit.
const GAP: &str = "\u{a0}";

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

/// How long stars stay round, or that they do.
fn round_for(clean: CleanTime) -> String {
    match clean {
        CleanTime::Seconds(_) => format!("for {}", exposure::clean(clean)),
        CleanTime::NoLimit => "as long as you like".to_owned(),
    }
}

/// The plain sentence that opens the screen: the lens in use and another one.
pub fn opening(outing: &Outing, tried_mm: f64) -> String {
    const LONG_MM: f64 = 135.0;
    const WIDE_MM: f64 = 20.0;
    let own_mm = outing.kit.lens.focal_mm;
    let other_mm = match tried_mm {
        tried if tried != own_mm => tried,
        own if own < LONG_MM / 1.5 => LONG_MM,
        _ => WIDE_MM,
    };
    let [own, other] = [own_mm, other_mm].map(|mm| round_for(clean_at(outing, mm)));
    let stars = match outing.keep_sharp {
        KeepSharp::Declination(_) => "your stars".to_owned(),
        KeepSharp::Centre => "stars in the middle of the frame".to_owned(),
        _ => [
            "stars like ",
            exposure::target(outing.pointing().target),
            ", in mid-frame,",
        ]
        .concat(),
    };
    format!(
        "At {} {stars} stay round {own}; at {} {other}.",
        exposure::focal(own_mm),
        exposure::focal(other_mm)
    )
}

/// What to take, in a word; by the middle of the range where the body is not known.
pub fn recommendation(compared: &Compared) -> &'static str {
    let times = compared.times_longer();
    match times.map(|(least, most)| (least * most).sqrt()) {
        Some(times) if times < LITTLE_MORE => "tripod",
        Some(times) if times <= TOO_MANY_TIMES => "stack",
        _ => "tracker",
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
fn unknown_body(compared: &Compared, outing: &Outing) -> Option<String> {
    let body = &outing.kit.body;
    let usual_e = two_figures(compared.strategies.stack.settings.rates.read_noise_e);
    let noise = [
        &plain(QUIET_READ_NOISE_E),
        " to ",
        &usual_e,
        " e⁻ of read noise",
    ]
    .concat();
    let usual_s = plain(body.write_s());
    let gap = [&plain(QUICK_WRITE_S), " to ", &usual_s, " s between frames"].concat();
    let what = match (body.read_noise.is_empty(), body.write_s) {
        (true, None) => [&noise, " and ", &gap].concat(),
        (true, Some(_)) => noise,
        (false, None) => gap,
        (false, Some(_)) => return None,
    };
    Some(format!(
        "The range is for {what}: type your body's under Frames and ISO."
    ))
}

/// Frames and their time: `66 × 8 s`.
pub fn frames(series: &Sequence) -> String {
    format!("{} × {}", series.frames, exposure::shutter(series.shutter))
}

/// The sentence under the headline: what matches what.
pub fn match_summary(compared: &Compared, outing: &Outing) -> String {
    let tracked = &compared.strategies.tracked.settings.series;
    let by_clock = up_to(outing.stack_min * 60.0);
    let Some((few, many)) = compared.matching() else {
        return format!(
            "On a tracker {} give what no number of frames on a tripod does.",
            frames(tracked)
        );
    };
    // the least of a range comes before the most, where the two are told apart
    let more = |least: String, most: String| {
        if least == most {
            String::new()
        } else {
            least + " to "
        }
    };
    let both = |message: fn(&Sequence) -> String| {
        let (least, most) = (message(&few), message(&many));
        more(least, most.clone()) + &most
    };
    let count = |series: &Sequence| series.frames.to_string();
    format!(
        "{by_clock} on a tracker ({}) are matched on the tripod by {}{}: {} by the clock, {} on \
         the card.",
        frames(tracked),
        more(count(&few), count(&many)),
        frames(&many),
        both(|series| up_to(series.lasts_s)),
        both(card),
    )
}

/// What a stack loses in the same time, and how it wins it back.
pub fn stack_loss(compared: &Compared, outing: &Outing) -> String {
    let strategies = &compared.strategies;
    let series = &strategies.stack.settings.series;
    if strategies.stack.settings.saturated() {
        return format!(
            "At this ISO a frame of {} is all white: choose a lower one.",
            exposure::shutter(series.shutter)
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

/// What stands under a picture of a strategy: frames, then trail and signal to noise.
pub fn strategy(strategy: &Strategy) -> (String, String) {
    let message = if strategy.settings.saturated() {
        "all white: too much light".to_owned()
    } else if strategy.trail_px > LINES_PX {
        format!("lines of {}", trail(strategy.trail_px))
    } else {
        format!(
            "trail {}, S/N\u{a0}{}",
            trail(strategy.trail_px),
            signal(strategy)
        )
    };
    (frames(&strategy.settings.series), message)
}

/// What is reckoned with by day.
const BY_DAY: &str = " By day and in bright twilight the dark sky is reckoned with.";

/// A sky brighter than a dark one by this is worth a warning, magnitudes.
const BRIGHT_MAG: f64 = 0.5;

/// A warning where it is not dark at the moment looked at.
pub fn not_dark(sky: &SkyBrightness) -> Option<String> {
    if sky.whole.is_none() {
        Some(BY_DAY.trim_start().to_owned())
    } else if sky.moon_mag + sky.twilight_mag >= BRIGHT_MAG {
        Some(sky_short(sky) + " When? tells darker hours.")
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

/// The sky in a line, for under the pictures.
pub fn sky_short(sky: &SkyBrightness) -> String {
    let v = sky.for_exposure().magnitude().unwrap_or(f64::NAN);
    let mut message = format!("Under a sky of {} mag/arcsec²", fixed(v, 1));
    for (what, mag) in [("the Moon", sky.moon_mag), ("twilight", sky.twilight_mag)] {
        if mag >= 0.05 {
            message += &format!(", {what} adding {}", fixed(mag, 1));
        }
    }
    message + "."
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
        exposure::shutter(settings.series.shutter),
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
        "From {} on, reading adds no more than a tenth to a frame's noise; to {} it adds {} %.",
        seconds(enough_s),
        exposure::shutter(stack.series.shutter),
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
