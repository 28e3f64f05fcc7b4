//! Why a tracker, in a few plain sentences with the user's own numbers.

use crate::decimal::plain;
use crate::outing::exposure::settings::{SMALL_EXCESS, Settings};
use crate::outing::exposure::tracker_gain::Compared;
use crate::outing::plan::Outing;
use crate::ui::text::tracking::{lens, limit, long_enough, times, two_figures};
use crate::ui::text::units::{self, trail};

/// Arcseconds of sky a pixel of 1 µm spans behind a lens of 1 mm: 10⁻³ radian.
const ARCSEC: f64 = 206.265;

/// Lenses draw wings on stars in the corners at smaller f-numbers than this (common
/// practice).
const WINGS_BELOW_F: f64 = 4.0;

/// A reason for a tracker.
pub struct Reason {
    /// In a line.
    pub claim: String,
    /// At length, with what it takes for granted.
    pub explanation: String,
}

/// Fills the gaps of a sentence, marked by `@`, in turn.
fn fill(sentence: &str, gaps: &[String]) -> String {
    let mut message = String::with_capacity(sentence.len() + 8 * gaps.len());
    let mut gaps = gaps.iter();
    for piece in sentence.split_inclusive('@') {
        match piece.strip_suffix('@') {
            Some(before) => {
                message.push_str(before);
                message.push_str(gaps.next().map_or("", String::as_str));
            }
            None => message.push_str(piece),
        }
    }
    message
}

/// The reasons, with the user's own numbers.
pub fn reasons(
    outing: &Outing,
    compared: &Compared,
    longest_s: f64,
) -> impl Iterator<Item = Reason> {
    let strategies = &compared.strategies;
    let pitch_um = outing.kit.sensor.pitch_um();
    let scale = |mm: f64| two_figures(ARCSEC * pitch_um / mm) + "″";
    let own_mm = outing.kit.lens.focal_mm;
    let (stack, tracked) = (&strategies.stack.settings, &strategies.tracked.settings);
    let at = lens(strategies.focal_mm);
    let short = units::shutter(stack.series.shutter);
    let reason = |claim: &str, claims: &[String], explanation: &str, gaps: &[String]| Reason {
        claim: fill(claim, claims),
        explanation: fill(explanation, gaps),
    };
    let stopped_down = plain(strategies.stopped_down.settings.f_number);
    let electrons = |settings: &Settings| {
        let sky_e = settings.sky_e();
        [two_figures(sky_e), two_figures(sky_e.sqrt())]
    };
    let ([short_e, short_noise], [long_e, long_noise]) = (electrons(stack), electrons(tracked));
    let drowned = tracked.rates.read_excess(tracked.each_s()) <= SMALL_EXCESS;
    let drowns = if drowned {
        ", which swamps the read noise"
    } else {
        ""
    };
    // the last reason does not apply to a lens that is stopped down already
    let wings = outing.f_number < WINGS_BELOW_F;
    let reasons = [
        reason(
            "At @ a pixel spans @ of sky, and the sky turns 15″ a second",
            &[at.clone(), scale(strategies.focal_mm)],
            "Less towards the poles. At @ a pixel spans @: twice the focal length, half the time \
             until a star is a line of @. Corners of wide lenses run faster.",
            &[lens(own_mm), scale(own_mm), trail(outing.allowed_px())],
        ),
        reason(
            "In @ a pixel catches @ electrons of sky, and read noise adds @",
            &[
                short,
                short_e.clone(),
                two_figures(stack.rates.read_noise_e),
            ],
            "Photon noise is the root of the electrons: of @ it is @. Read noise \
             comes on top, the same in every frame. In @ on a tracker the sky gives @, \
             with a noise of @@. @",
            &[
                short_e,
                short_noise,
                units::shutter(tracked.series.shutter),
                long_e,
                long_noise,
                drowns.to_owned(),
                long_enough(strategies),
            ],
        ),
        reason(
            "A stack adds up the light, and the read noise of @ frames with it",
            &[stack.series.frames.to_string()],
            "Four times the frames halve the noise, however short they are; but every one is read \
             once. At @ the same signal to noise takes @ the time of a tracker. What you lose with \
             a stack is time, card and battery; and what is fainter than the noise that is left \
             stays unseen.",
            &[at.clone(), times(compared)],
        ),
        reason(
            "A tracker has an end too: @ at @",
            &[limit(longest_s), at],
            "Its axis never points exactly at the pole, and its gears have a periodic error. \
             And what follows the sky smears the ground: take that apart, with the tracker off. \
             Half rate shares the smear out, for one frame of both.",
            &[],
        ),
        reason(
            "A tracker lets you stop down, to f/@",
            std::slice::from_ref(&stopped_down),
            "Wide open, corners show coma. On a tripod there is no light to spare; on a \
             tracker f/@ gives S/N @ instead of @, and better corners. More time makes up for it.",
            &[
                stopped_down.clone(),
                two_figures(strategies.stopped_down.signal_to_noise()),
                two_figures(strategies.tracked.signal_to_noise()),
            ],
        ),
    ];
    let count = if wings {
        reasons.len()
    } else {
        reasons.len() - 1
    };
    reasons.into_iter().take(count)
}
