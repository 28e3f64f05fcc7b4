//! What must hold for every outing.
//!
//! Inputs are drawn at random; a failure prints the smallest input that still fails.
#![cfg(not(target_arch = "wasm32"))]

mod distortion;
#[path = "../drawn/mod.rs"]
mod drawn;
mod in_bounds;
mod numbers;
mod places;
mod trails;

use drawn::{cases, outing};
use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::camera::clean_time::{CleanTime, LONGEST_S};
use tarnlight::camera::contours::Piece;
use tarnlight::camera::dial::Shutter;
use tarnlight::camera::drift_map::{DriftMap, DriftReading};
use tarnlight::camera::view::SensorPoint;
use tarnlight::outing::exposure::{Answer, ShutterTrails};
use tarnlight::outing::plan::Outing;
use tarnlight::outing::plan::bounds;
use tarnlight::outing::share::query;

/// Digits after the fifteenth are dropped when a number is read.
const FIFTEEN_DIGITS: f64 = 1e-14;

// --- Nothing typed can break the answer -----------------------------------------------------

/// Text that means harm, or a slip of a cold thumb.
fn hostile_value() -> impl Strategy<Value = String> {
    let odd = [
        "",
        "x",
        "NaN",
        "inf",
        "-0",
        "1e999",
        "−90",
        "٣",
        "+",
        ".",
        "dec",
        "dec90",
        "print0x0",
        "36x",
        "x24",
        "1x1x1",
        "%",
        "%00",
        "%FF",
        "&",
        "0.0000000001",
        "-1",
        "90 N",
        "1/8000",
        "-0.3_0",
        "-0.03_0.01",
        "1_2",
    ];
    prop_oneof![
        proptest::sample::select(odd.to_vec()).prop_map(str::to_owned),
        any::<String>(),
        any::<f64>().prop_map(|number| number.to_string()),
        any::<f64>().prop_map(|number| format!("{number:e}")),
        (any::<f64>(), any::<f64>()).prop_map(|(one, two)| format!("{one}x{two}")),
        (any::<u32>(), any::<u32>()).prop_map(|(one, two)| format!("{one}x{two}")),
        "[0-9]{1,500}",
        "[-−+]?[0-9]{0,3}[.,]?[0-9]{0,9}[ xX°NSEW]?",
    ]
}

fn hostile_text() -> impl Strategy<Value = String> {
    // the version, and an unknown key
    let keys: Vec<_> = query::key_names().chain(["v", "other"]).collect();
    let pair = (proptest::sample::select(keys), hostile_value());
    let pair = pair.prop_map(|(key, value)| format!("&{key}={value}"));
    prop_oneof![
        1 => any::<String>(),
        9 => proptest::collection::vec(pair, 0..12).prop_map(|pairs| format!("v=1{}", pairs.concat())),
    ]
}

fn finite(value: Option<f64>) -> bool {
    value.is_none_or(f64::is_finite)
}

fn a_length(value: Option<f64>) -> bool {
    value.is_none_or(|value| value.is_finite() && value >= 0.0)
}

fn a_clean_time(time: CleanTime) -> bool {
    let inside = |seconds: f64| seconds > 0.0 && seconds <= LONGEST_S;
    time.seconds().is_none_or(inside)
}

fn drawable(pieces: &[Piece]) -> bool {
    let real = |(x, y): (f64, f64)| x.is_finite() && y.is_finite();
    pieces.iter().all(|(from, to)| real(*from) && real(*to))
}

fn map_is_sound(map: &DriftMap) -> bool {
    let sound = |reading| match reading {
        DriftReading::Trail(pixels) => a_length(Some(pixels)),
        DriftReading::Ground | DriftReading::Nothing => true,
    };
    map.marks.len() == 9
        && map.shape.is_finite()
        && map.marks.iter().all(|mark| sound(mark.reading))
        && [&map.lines, &map.allowed, &map.beyond, &map.horizon]
            .into_iter()
            .all(|pieces| drawable(pieces))
}

/// Everything the page shows of an outing is a number, or marked as missing.
fn assert_all_is_sound(outing: &Outing) -> Result<(), TestCaseError> {
    let answer = Answer::compute(outing);
    for time in [answer.clean, answer.clean_core, answer.clean_frame] {
        prop_assert!(a_clean_time(time), "{time:?}");
    }
    prop_assert!(answer.allowed_px.is_finite() && answer.allowed_px > 0.0);
    let worst = answer.worst.map(|worst| worst.point);
    if let Some(worst) = answer.worst {
        prop_assert!(worst.point.from_centre_mm().is_finite(), "{worst:?}");
        prop_assert!(finite(worst.times_centre), "{worst:?}");
    }
    for row in &answer.rules {
        let all = [row.seconds, row.centre_px, row.worst_px];
        prop_assert!(all.into_iter().all(a_length), "{row:?}");
    }

    let longest = Shutter::Marked(0).stepped(i32::MAX);
    let shortest = Shutter::Marked(0).stepped(i32::MIN);
    for shutter in [answer.shutter(), shortest, longest] {
        let trial = ShutterTrails::new(&answer, shutter);
        let all = [trial.core_px, trial.centre_px, trial.worst_px];
        prop_assert!(all.into_iter().all(a_length), "{trial:?}");
        let map = answer.view.drift_map(shutter.exact_s(), answer.allowed_px);
        prop_assert!(map_is_sound(&map), "{map:?}");
    }

    let view = answer.view;
    let disc = outing.focus.disc_um(view.lens, view.sensor.diagonal_mm());
    prop_assert!(a_length(disc), "{disc:?}");
    let seconds = answer.shutter().exact_s();
    for point in [Some(SensorPoint::CENTRE), worst].into_iter().flatten() {
        let spread = view.point_spread_at(point, disc.unwrap_or(0.0));
        let side = view.patch_side(answer.allowed_px, spread);
        let Some(image) = view.star_image(point, seconds, spread, side) else {
            continue;
        };
        prop_assert_eq!(image.light.len(), side * side);
        let shares = image.light.iter().all(|light| (0.0..=1.0).contains(light));
        prop_assert!(shares, "{:?}", image);
    }
    Ok(())
}

proptest! {
    #![proptest_config(cases(100))]

    #[test]
    fn any_outing_that_can_be_typed_has_a_sound_answer(outing in outing()) {
        assert_all_is_sound(&outing)?;
    }

    #[test]
    fn hostile_text_gives_a_sound_outing_and_a_sentence(text in hostile_text()) {
        let reading = query::read(&text);
        in_bounds::assert_in_bounds(&reading.outing)?;
        assert_all_is_sound(&reading.outing)?;
        for error in reading.errors {
            prop_assert!(!error.is_empty() && error.chars().count() < 200, "{}", error);
        }
    }
}

proptest! {
    #![proptest_config(cases(1000))]

    #[test]
    fn a_number_is_read_inside_its_bounds_or_not_at_all(
        value in prop_oneof![any::<f64>(), -200.0..200.0, 0.0..1e5]
    ) {
        for bounds in bounds::ALL {
            let within = (bounds.least..=bounds.most).contains(&value);
            match bounds.read(&value.to_string()) {
                Ok(read) => {
                    prop_assert_eq!(bounds.check(read), Ok(read));
                    let allowed = FIFTEEN_DIGITS * value.abs().max(1.0);
                    prop_assert!((read - value).abs() <= allowed, "{}: {}", bounds.name, read);
                }
                Err(why) => prop_assert!(!within, "{}", why),
            }
        }
    }

    #[test]
    fn odd_text_is_never_a_number_outside_the_bounds(text in hostile_value()) {
        for bounds in bounds::ALL {
            for value in [
                bounds.read(&text),
                bounds.read_angle(&text).map(Angle::degrees),
                bounds.read_whole(&text).map(f64::from),
            ].into_iter().flatten() {
                prop_assert!((bounds.least..=bounds.most).contains(&value), "{}: {}", bounds.name, value);
            }
        }
    }

    #[test]
    fn any_text_is_an_angle_or_a_sentence(
        text in prop_oneof![any::<String>(), "[-−+0-9 .,:°′″'\"NSEWnsew]{0,14}", hostile_value()]
    ) {
        match Angle::parse(&text) {
            Ok(angle) => prop_assert!(angle.degrees().is_finite()),
            Err(why) => prop_assert!(!why.to_string().is_empty()),
        }
    }
}

// --- The dial ---------------------------------------------------------------------------------

proptest! {
    #![proptest_config(cases(2000))]

    /// Never longer than the limit, and no longer setting would do.
    #[test]
    fn the_dial_rounds_down(limit in prop_oneof![any::<f64>(), 0.0..100.0, 0.0..1e5]) {
        let longest_bulb = 43_200.0;
        match Shutter::at_most(limit) {
            None => prop_assert!(limit.is_nan() || limit < 1.0 / 8192.0),
            Some(Shutter::Bulb(seconds)) => {
                let seconds = f64::from(seconds);
                prop_assert!(seconds <= limit && (seconds + 1.0 > limit || seconds == longest_bulb));
            }
            Some(marked) => {
                let next = marked.stepped(1).exact_s().min(33.0);
                prop_assert!(marked.exact_s() <= limit && limit < next, "{:?}", marked);
            }
        }
    }

    #[test]
    fn steps_stay_on_the_dial(seconds in 1_u32.., thirds in any::<i32>()) {
        let to = Shutter::Bulb(seconds).stepped(thirds);
        prop_assert!((1.0 / 8192.0..=LONGEST_S).contains(&to.exact_s()), "{:?}", to);
        prop_assert!(!to.mark().is_empty());
    }
}
