//! Lens and skyline learned from one frame, and a plan made with them: what changes, against what the frame
//! was drawn with.
//!
//! A drawn frame is measured as the worker does, lens and skyline are taken over by the edits of the page,
//! and the plan is asked for before and after. What it says afterwards is held to figures that come from
//! the frame's true lens and true skyline by other formulas ([`lens`], [`sky`]). The table is
//! `tests/learned-plan-table.md`; a test keeps it in step with the code.
#![cfg(not(target_arch = "wasm32"))]

mod lens;
mod sky;
mod truth;

use std::fmt::Write;
use std::path::PathBuf;

use chrono::{DateTime, NaiveDate, Utc};
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::astrometry::decode::DecodedPicture;
use tarnlight::camera::dial::Shutter;
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::Sensor;
use tarnlight::outing::document::Document;
use tarnlight::outing::exposure::Answer;
use tarnlight::outing::night::Window;
use tarnlight::outing::night::local_time::{Rounding, event_minute, minute_instant};
use tarnlight::outing::night::site_sky::SiteSky;
use tarnlight::outing::plan::limits::{Limits, MoonLimit};
use tarnlight::outing::plan::{NIGHT_MIN, Outing, kit::Kit, site::Site};
use tarnlight::outing::test_frame::measured::report;
use tarnlight::outing::test_frame::offers::{measured_lens, skyline_with};
use tarnlight::outing::test_frame::report::{FramePriors, FrameReport};
use tarnlight::outing::test_frame::zone_preview::aim_if_ahead;
use tarnlight::sky::subject::Subject;
use tarnlight::ui::state::document::Edit;
use tarnlight::ui::state::document::kit::KitEdit;
use tarnlight::ui::state::document::ridge::RidgeEdit;
use truth::{assert_times, assert_window, camera};

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// A frame, and what is planned where it was taken.
struct Plan {
    frame: &'static str,
    subject: Subject,
    /// Year, month and day of the noon at which the night begins.
    night: (i32, u32, u32),
    /// Whether the subject rises in it, else it sets.
    rises: bool,
    /// Whether over a level horizon it does so in the dark, else twilight bounds the window there.
    level_in_the_dark: bool,
}

const PLANS: [Plan; 4] = [
    Plan {
        frame: "open-11",
        subject: Subject::Core,
        night: (2023, 2, 20),
        rises: true,
        level_in_the_dark: true,
    },
    Plan {
        frame: "open-01",
        subject: Subject::SouthernBand,
        night: (2028, 9, 15),
        rises: false,
        level_in_the_dark: false,
    },
    Plan {
        frame: "open-02",
        subject: Subject::SouthernBand,
        night: (2026, 10, 3),
        rises: true,
        level_in_the_dark: true,
    },
    Plan {
        frame: "open-07",
        subject: Subject::SummerBand,
        night: (2028, 5, 1),
        rises: true,
        level_in_the_dark: true,
    },
];

fn path(name: &str) -> PathBuf {
    let tests = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests");
    tests.join(name)
}

fn number(of: &Value, key: &str) -> f64 {
    of[key].as_f64().unwrap_or_else(|| panic!("{key} of {of}"))
}

fn case(name: &str) -> Value {
    let file = std::fs::read(path("frames/frames.json")).expect("the list of frames");
    let all: Value = serde_json::from_slice(&file).expect("JSON");
    let cases = all["cases"].as_array().expect("cases").iter();
    let mut cases = cases.filter(|case| case["id"] == name);
    cases.next().expect("a case").clone()
}

/// The plan before the frame: the lens as it is marked, and no skyline. No height is asked of the subject
/// but that it is over the skyline, and nothing of the Moon.
fn before(plan: &Plan, case: &Value) -> Document {
    let (sensor, site) = (&case["sensor"], &case["site"]);
    let pixels = |key| number(sensor, key) as u32;
    let kit = Kit {
        sensor: Sensor {
            width_mm: number(sensor, "width_mm"),
            height_mm: number(sensor, "height_mm"),
            pixels_across: pixels("px_across"),
            pixels_down: pixels("px_down"),
        },
        lens: Lens {
            focal_mm: number(case, "focal_marked_mm"),
            ..Kit::default().lens
        },
        ..Kit::default()
    };
    let (year, month, day) = plan.night;
    Document {
        outing: Outing {
            site: Site {
                latitude: Angle::from_degrees(number(site, "lat_deg")),
                longitude: Angle::from_degrees(number(site, "lon_deg")),
                height_m: number(site, "elev_m"),
                ..Site::default()
            },
            subject: plan.subject,
            limits: Limits {
                least_core: Angle::ZERO,
                moon: MoonLimit::Any,
                ..Limits::default()
            },
            night: NaiveDate::from_ymd_opt(year, month, day),
            kit,
            ..Outing::default()
        },
        ..Document::default()
    }
}

/// The frame as the worker measures it for this outing, with what was said of its clock.
fn measured(case: &Value, outing: &Outing, said_ahead_s: Option<f64>) -> FrameReport {
    let name = case["file"].as_str().expect("a name");
    let file = std::fs::read(path("frames").join(name)).expect("a frame");
    let sensor = outing.kit.sensor;
    let priors = FramePriors {
        sensor_mm: (sensor.width_mm, sensor.height_mm),
        focal_mm: outing.kit.lens.focal_mm,
        site: Some(outing.site.on_earth()),
        clock_ahead_s: None,
        said_ahead_s,
        decoded: None,
    };
    report(&DecodedPicture::read(&file).expect("a picture"), &priors)
}

/// Where the camera would have pointed by each of two zones is told before the clock is: by the right one it
/// is where the frame was drawn, by UTC elsewhere.
#[test]
fn the_aim_is_told_for_each_zone() {
    /// How sure it is said to be, degrees.
    const WITHIN_DEG: f64 = 0.1;
    let plan = &PLANS[2];
    let case = case(plan.frame);
    let outing = before(plan, &case).outing;
    let frame = measured(&case, &outing, None);
    assert_eq!(frame.start_ms, None);
    let aim = |ahead_s| aim_if_ahead(&frame, outing.site.on_earth(), ahead_s).expect("an aim");
    let (bearing, altitude) = aim(3600.0 * number(&case, "exif_offset_h"));
    let truth = &case["truth"];
    let across = (bearing.degrees() - number(truth, "middle_az_deg")) * altitude.cos();
    let off_deg = across.hypot(altitude.degrees() - number(truth, "middle_alt_deg"));
    assert!(off_deg < WITHIN_DEG, "{off_deg}°");
    let (elsewhere, _) = aim(0.0);
    assert!((elsewhere.degrees() - bearing.degrees()).abs() > 5.0);
}

/// Takes lens and skyline over.
fn learn(document: &mut Document, frame: &FrameReport) {
    let lens = measured_lens(frame, &document.outing.kit).expect("a lens");
    Edit::Kit(KitEdit::Lens(lens)).apply(document);
    let survey = skyline_with(&document.outing.site.ridge, &frame.skyline).expect("a skyline");
    Edit::Ridge(RidgeEdit::Survey(survey)).apply(document);
}

/// What a plan says.
struct Figures {
    window: Window,
    /// The moments of its ends.
    ends: [DateTime<Utc>; 2],
    /// As the page writes them.
    written: [String; 2],
    answer: Answer,
}

/// Asks for the window into which the subject rises, or in which it sets, and for the shutter times at its
/// middle.
fn figures(outing: &mut Outing, rises: bool) -> Figures {
    let date = outing.night.expect("a night");
    let night = SiteSky::over(&outing.site, outing.subject, date, 1);
    let windows = night.night_windows(date, &outing.limits);
    let mut open = windows.usable.windows.iter().copied();
    let window = if rises { open.next_back() } else { open.next() };
    let window = window.expect("a window");
    let middle = (window.span.start + window.span.end) / 2.0;
    outing.minute = Some((f64::from(NIGHT_MIN) * middle).round() as u16);
    let at = |days: f64| windows.start.plus_days(days);
    let written = |days: f64, rounding| {
        let minute = minute_instant(event_minute(at(days), rounding));
        minute.format("%H:%M").to_string()
    };
    Figures {
        window,
        ends: [window.span.start, window.span.end].map(|days| at(days).instant()),
        written: [
            written(window.span.start, Rounding::Opening),
            written(window.span.end, Rounding::Closing),
        ],
        answer: Answer::compute(outing),
    }
}

fn mark(seconds: Option<f64>) -> String {
    let shutter = seconds.and_then(Shutter::at_most);
    format!("{} s", shutter.expect("a setting").mark())
}

/// Without a sign before nothing.
fn thousandths(value: f64) -> String {
    format!("{:.3}", (1000.0 * value).round() / 1000.0 + 0.0)
}

/// Asks for the plan before and after, holds it to the truth, and writes the row.
fn row(table: &mut String, plan: &Plan) {
    let case = case(plan.frame);
    let (name, truth) = (plan.frame, &case["truth"]);
    let mut document = before(plan, &case);
    let first = figures(&mut document.outing, plan.rises);
    let marked_mm = document.outing.kit.lens.focal_mm;
    let marked = camera(&document.outing, marked_mm, false, (0.0, 0.0));
    assert_times(&first.answer, &document.outing, marked, name);

    let ahead_s = 3600.0 * number(&case, "exif_offset_h");
    let frame = measured(&case, &document.outing, Some(ahead_s));
    learn(&mut document, &frame);
    let after = figures(&mut document.outing, plan.rises);
    let lens = document.outing.kit.lens;
    let equisolid = truth["projection"] == "equisolid";
    let want = if equisolid {
        Projection::Equisolid
    } else {
        Projection::Rectilinear
    };
    assert_eq!(lens.projection, want, "{name}");
    let distortion = (number(truth, "k1"), number(truth, "k2"));
    let drawn = camera(
        &document.outing,
        number(truth, "focal_mm"),
        equisolid,
        distortion,
    );
    assert_times(&after.answer, &document.outing, drawn, name);

    assert_window(plan, &document.outing, (&first, &after), truth);
    let (one, other) = (&first.answer, &after.answer);
    let change = |one: Option<f64>, other: Option<f64>| {
        let exact = |of: Option<f64>| of.expect("a limit");
        format!(
            "{} → {} ({:.2} → {:.2})",
            mark(one),
            mark(other),
            exact(one),
            exact(other)
        )
    };
    let width = lens.star_width.map_or_else(String::new, |width| {
        format!(
            ", stars {:.1} px, in the corners {:.1} px",
            width.centre_px, width.corner_px
        )
    });
    writeln!(
        table,
        "| {name} | {} | {marked_mm:.0} → {:.2} mm {:?}, k1 {}, k2 {}{width} | {} | {} | {}–{} → {}–{} |",
        plan.subject.word(),
        lens.focal_mm,
        lens.projection,
        thousandths(lens.distortion.k1),
        thousandths(lens.distortion.k2),
        change(one.clean_core.seconds(), other.clean_core.seconds()),
        change(one.clean_frame.seconds(), other.clean_frame.seconds()),
        first.written[0],
        first.written[1],
        after.written[0],
        after.written[1],
    )
    .expect("a text takes any line");
}

#[test]
fn what_a_frame_changes_in_a_plan() {
    let mut table = "# What a frame changes in a plan

What `tests/learned_plan` makes of frames in `tests/frames`, whose README says where they are from. Before:
the lens as it is marked, without distortion, and a level horizon. After: the lens and the skyline that the
frame shows. Dial times leave two pixels or less; in brackets what the dial is rounded from, at the
window's middle with the frame that is proposed for it. Windows are in UTC, of the dark part of a night whatever the
Moon, with the subject over the skyline.

| frame | subject | lens | dial time at the subject | of the whole frame | window |
|---|---|---|---:|---:|---:|
"
    .to_owned();
    for plan in &PLANS {
        row(&mut table, plan);
    }
    let path = path("learned-plan-table.md");
    if std::env::var(WRITE).is_ok_and(|value| value == "1") {
        std::fs::write(&path, &table).expect("tests/learned-plan-table.md can be written");
    }
    let written = std::fs::read_to_string(&path).expect("tests/learned-plan-table.md is there");
    assert_eq!(written, table, "write it anew with {WRITE}=1");
}
