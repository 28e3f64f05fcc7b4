//! The words for what the corners gather.

use crate::decimal::{fixed, plain};
use crate::outing::exposure::corner::{Corner, ReadNoiseLimited};
use crate::outing::exposure::settings::Settings;
use crate::outing::plan::{Outing, Support};
use crate::ui::text::tracking::two_figures;
use crate::ui::text::units::{GAP, up_to};

/// Light of the corners over that of the middle: `1/4`, or a percentage.
fn share(light: f64) -> String {
    /// A fraction is told where it is as good as whole.
    const WHOLE: f64 = 0.05;
    let under = 1.0 / light;
    let whole = under.round();
    if whole > 1.0 && (under - whole).abs() < WHOLE {
        "1/".to_owned() + &fixed(whole, 0)
    } else {
        fixed(100.0 * light, 0) + GAP + "%"
    }
}

/// How much light the corners get, and what that makes of sky and subject; with the
/// signal to noise where a share of the frames is known to be good.
pub fn corners(corner: &Corner, middle: &Settings, kept: Option<f64>) -> String {
    let stops = corner.falloff.stops;
    let typical = if corner.falloff.typical {
        ", typical of a fast wide lens"
    } else {
        ""
    };
    let mut message = format!(
        "Corners get {} of the light ({} stops less{typical}): {} electrons of sky a frame for {} in \
         the middle",
        share(corner.falloff.transmission()),
        fixed(stops, 1),
        two_figures(corner.sky_e()),
        two_figures(middle.sky_e()),
    );
    if let Some(kept) = kept {
        message += &format!(
            ", S/N{GAP}{} for {}",
            two_figures(corner.signal_to_noise(kept)),
            two_figures(middle.signal_to_noise(kept))
        );
    }
    message + "."
}

/// What to do where reading rules the corners alone; nothing where it does not.
pub fn advice(corner: &Corner, outing: &Outing, middle: &Settings) -> Option<String> {
    let limited = corner.read_noise_limited(outing, middle)?;
    let ReadNoiseLimited {
        excess,
        excess_middle,
        iso,
        frame_s,
    } = limited;
    let percent = |share: f64| two_figures(100.0 * share) + GAP + "%";
    let mut message = format!(
        "There read noise adds {} to a frame's noise, in the middle {}.",
        percent(excess),
        percent(excess_middle)
    );
    match (iso, frame_s) {
        (Some(iso), _) => {
            message += &format!(" ISO {} reads quietly enough for both.", plain(iso.into()));
        }
        // on a tripod stars set the length of a frame
        (None, Some(_)) if outing.support == Support::Tripod => {
            message += " No ISO helps; a wider aperture or a tracker would.";
        }
        (None, Some(frame_s)) => {
            message += &format!(" No ISO helps; frames of {} would.", up_to(frame_s));
        }
        (None, None) => {}
    }
    Some(message)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::light::exposure::exposure_level;
    use crate::light::noise::Rates;
    use crate::outing::exposure::sequence::Sequence;
    use crate::outing::exposure::settings::shutter_below;

    /// A frame of 20 s, which lasts 20.16 s.
    fn settings(outing: &Outing, sky_e_s: f64) -> Settings {
        let kit = &outing.kit;
        let iso = outing.iso.unwrap_or(3200.0);
        Settings {
            f_number: 1.8,
            series: Sequence::new(shutter_below(20.5), 10.0, &kit.body, kit.sensor),
            iso,
            exposure_level: exposure_level(4.0 * iso, iso),
            rates: Rates {
                signal_e_s: 0.5,
                sky_e_s,
                dark_e_s: 0.0,
                read_noise_e: kit.body.read_noise_e(iso),
            },
            white_e: 1500.0,
        }
    }

    fn message(outing: &Outing, sky_e_s: f64) -> (String, Option<String>) {
        let middle = settings(outing, sky_e_s);
        let corner = Corner::new(outing, &middle).expect("darker corners");
        let spaced = |text: String| text.replace(GAP, " ");
        (
            spaced(corners(&corner, &middle, None)),
            advice(&corner, outing, &middle).map(spaced),
        )
    }

    /// 3 e⁻/s for 20.16 s are 60; reading 2.5 e⁻ adds 5.1 % to their noise, and 19 % to
    /// that of a quarter, which 29.8 electrons or 39.7 s would make a tenth: worked
    /// independently.
    #[test]
    fn darker_corners_are_told_with_what_helps() {
        let mut outing = Outing::default();
        outing.kit.body.insert_read_noise(3200.0, 2.5);
        let (light, advice) = message(&outing, 3.0);
        assert_eq!(
            light,
            "Corners get 1/4 of the light (2.0 stops less, typical of a fast wide lens): 15 \
             electrons of sky a frame for 60 in the middle."
        );
        assert_eq!(
            advice.as_deref(),
            Some(
                "There read noise adds 19 % to a frame's noise, in the middle 5.0 %. No ISO helps; \
                 a wider aperture or a tracker would."
            )
        );
        outing.support = Support::Tracker;
        let advice = message(&outing, 3.0).1.expect("advice");
        assert!(
            advice.ends_with("No ISO helps; frames of 40 s would."),
            "{advice}"
        );
        outing.support = Support::Tripod;
        // four times the sky drowns the reading in the corners too
        assert_eq!(message(&outing, 12.0).1, None);
    }

    #[test]
    fn a_lens_that_is_known_is_not_called_typical() {
        let mut outing = Outing::default();
        outing.kit.lens.corner_falloff_stops = Some(1.3);
        let (light, _) = message(&outing, 3.0);
        let want = "Corners get 41 % of the light (1.3 stops less): 25 electrons";
        assert!(light.starts_with(want), "{light}");
    }
}
