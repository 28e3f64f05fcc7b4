//! Plans against worked rows, and what holds for all of them.

use super::*;
use crate::camera::lens::Projection;
use crate::camera::sensor::FORMATS;
use crate::outing::framing::panorama::click_stops::HEAD_STOPS_DEG;

/// 36 × 24 mm upright with a rectilinear lens, for an area; 25 s and no pause.
fn upright(focal_mm: f64, width: f64, low: f64, high: f64) -> PanoramaSettings {
    let [width, low, high] = [width, low, high].map(Angle::from_degrees);
    PanoramaSettings {
        sensor: FORMATS[1].sensor(24.0).turned(),
        lens: Lens {
            focal_mm,
            f_number: 2.8,
            projection: Projection::Rectilinear,
            ..Lens::default()
        },
        area: Area {
            left: Angle::from_degrees(350.0),
            width,
            low,
            high,
        },
        overlap: OVERLAP,
        clicks: ClickStops::Free,
        exposure_s: 25.0,
        pause_s: 0.0,
    }
}

/// Level rows by n = ⌈(W − F)/(F (1 − o))⌉ + 1, full turns by ⌈360/(F (1 − o))⌉, computed
/// independently for F = 2 atan(12/f). The area is as high as the frame's corners.
#[test]
fn agrees_with_the_worked_rows() {
    for (focal, part, round) in [(24.0, 5, 10), (14.0, 4, 7), (35.0, 8, 14), (50.0, 11, 20)] {
        for (width, want) in [(200.0, part), (360.0, round)] {
            let corner = 18.0 / f64::hypot(focal, 12.0);
            let high = corner.atan().to_degrees() - 0.01;
            let plan = upright(focal, width, -high, high).plan().expect("a plan");
            // a full turn has no end frames, so its tilt may be a little higher
            assert!(plan.rows[0].tilt.degrees().abs() < 0.1, "{plan:?}");
            assert_eq!(
                (plan.rows.len(), plan.count()),
                (1, want),
                "{focal} mm, {width}° {plan:?}"
            );
        }
    }
}

/// 5 frames of 25 s, computed independently from 0.2507° a minute: 0.42° and 0.52°.
#[test]
fn the_sky_slips_as_worked() {
    let wanted = upright(24.0, 200.0, -30.0, 30.0);
    let plan = wanted.plan().expect("a plan");
    assert_eq!(plan.time_s(plan.count()), 125.0);
    let slip = plan.sky_rotation(plan.count());
    assert!(
        (slip.between_starts.degrees() - 0.4178).abs() < 1e-4,
        "{slip:?}"
    );
    assert!((slip.total.degrees() - 0.5223).abs() < 1e-4, "{slip:?}");
    let paused = PanoramaSettings {
        pause_s: 5.0,
        ..wanted
    };
    let plan = paused.plan().expect("a plan");
    assert_eq!(plan.time_s(5), 145.0);
    assert!((plan.sky_rotation(5).between_starts.degrees() - 120.0 * 0.2507 / 60.0).abs() < 1e-4);
    assert_eq!(plan.sky_rotation(1).between_starts.degrees(), 0.0);
    assert_eq!(plan.sky_rotation(0).total.degrees(), 0.0);
}

#[test]
fn upper_rows_need_fewer_frames_and_come_first() {
    let plan = upright(24.0, 200.0, -20.0, 85.0).plan().expect("a plan");
    assert!(plan.rows.len() > 1, "{plan:?}");
    for two in plan.rows.windows(2) {
        assert!(two[0].tilt > two[1].tilt, "{plan:?}");
        assert!(two[0].columns <= two[1].columns, "{plan:?}");
        assert!(two[0].frame_width > two[1].frame_width, "{plan:?}");
    }
    let land = upright(24.0, 90.0, -80.0, 40.0).plan().expect("a plan");
    assert!(land.count_with_sky() < land.count(), "{land:?}");
}

/// Fewer rows than the area needs cover its lower part, one of them as high as one row covers.
#[test]
fn so_many_rows_cover_what_they_can() {
    let wanted = upright(50.0, 200.0, -10.0, 80.0);
    let whole = wanted.plan().expect("a plan");
    assert!(whole.rows.len() > 2, "{whole:?}");
    let mut before = wanted.area.low;
    for rows in 1..=2 {
        let plan = wanted.plan_within(rows).expect("a plan");
        assert!(plan.rows.len() <= rows, "{plan:?}");
        assert!(plan.top() > before && plan.top() < wanted.area.high);
        before = plan.top();
    }
    let one = wanted.plan_within(1).expect("a plan").top().degrees();
    let most = wanted.one_row().expect("a row").degrees();
    // with more columns than the overlap requires it may reach a little higher
    assert!(one > most - 0.1 && one < most + 2.0, "{one}, {most}");
    assert_eq!(wanted.plan_within(9), Ok(whole));
    let low = upright(24.0, 200.0, -10.0, 20.0);
    assert_eq!(low.plan_within(1), low.plan());
    let bad = upright(24.0, 0.0, 0.0, 30.0);
    assert_eq!(bad.plan_within(1), Err(NoPanorama::InvalidArea));
}

/// Definition: neighbours have at least the overlap asked for in common, along a row of the
/// middle line's bearings and from row to row of the height.
#[test]
fn neighbours_overlap_as_asked() {
    let wanted = upright(24.0, 200.0, -20.0, 85.0);
    let plan = wanted.plan().expect("a plan");
    for row in plan.rows.iter().filter(|row| row.columns > 1) {
        let share = row.overlap().expect("two frames").degrees() / row.frame_width.degrees();
        assert!((OVERLAP - 1e-9..1.0).contains(&share), "{row:?}");
    }
    // 36 mm high at 24 mm
    let height = Angle::from_radians(2.0 * (18.0_f64 / 24.0).atan());
    let overlaps: Vec<_> = plan.row_overlaps(height).collect();
    assert_eq!(overlaps.len(), plan.rows.len() - 1);
    for overlap in overlaps {
        let share = overlap.degrees() / height.degrees();
        assert!(share >= OVERLAP - 1e-6, "{share}");
    }
}

#[test]
fn turns_by_what_the_head_allows() {
    let free = upright(24.0, 200.0, -10.0, 20.0);
    let turn = |clicks| {
        let plan = PanoramaSettings { clicks, ..free }.plan().expect("a plan");
        let [row] = plan.rows[..] else {
            panic!("{plan:?}");
        };
        // the excess at both ends is equal
        let middle = row.first.degrees() + row.turn.degrees() * f64::from(row.columns - 1) / 2.0;
        assert!((middle - 90.0).abs() < 1e-9, "{plan:?}");
        row.turn.degrees()
    };
    let whole = turn(ClickStops::WholeDegrees);
    assert!(whole.fract().min(1.0 - whole.fract()) < 1e-9, "{whole}");
    let stop = turn(ClickStops::Stops(&HEAD_STOPS_DEG));
    let known = HEAD_STOPS_DEG
        .iter()
        .any(|known| (known - stop).abs() < 1e-9);
    assert!(known, "{stop}");
    let long = PanoramaSettings {
        clicks: ClickStops::Stops(&HEAD_STOPS_DEG),
        ..upright(200.0, 60.0, 0.0, 5.0)
    };
    assert_eq!(long.plan(), Err(NoPanorama::NoStop));
}

#[test]
fn absurd_input_is_told_so() {
    let cases = [
        (upright(600.0, 360.0, -30.0, 90.0), NoPanorama::TooMany),
        (upright(1e9, 200.0, 0.0, 30.0), NoPanorama::TooMany),
        (upright(3000.0, 0.01, -90.0, 90.0), NoPanorama::TooMany),
        (upright(5000.0, 300.0, 0.0, 0.1), NoPanorama::TooMany),
        (
            upright(f64::NAN, 200.0, 0.0, 30.0),
            NoPanorama::InvalidInput,
        ),
        (upright(0.0, 200.0, 0.0, 30.0), NoPanorama::InvalidInput),
        (upright(24.0, 0.0, 0.0, 30.0), NoPanorama::InvalidArea),
        (upright(24.0, 361.0, 0.0, 30.0), NoPanorama::InvalidArea),
        (upright(24.0, 200.0, 30.0, 30.0), NoPanorama::InvalidArea),
        (
            upright(24.0, 200.0, f64::NAN, 30.0),
            NoPanorama::InvalidArea,
        ),
        (upright(24.0, f64::NAN, 0.0, 30.0), NoPanorama::InvalidArea),
    ];
    for (wanted, want) in cases {
        assert_eq!(wanted.plan(), Err(want), "{wanted:?}");
    }
    let sound = upright(24.0, 200.0, 0.0, 30.0);
    for odd in [
        PanoramaSettings {
            overlap: 0.95,
            ..sound
        },
        PanoramaSettings {
            overlap: f64::NAN,
            ..sound
        },
        PanoramaSettings {
            pause_s: -1.0,
            ..sound
        },
    ] {
        assert_eq!(odd.plan(), Err(NoPanorama::InvalidInput));
        assert_eq!(odd.one_row(), None);
    }
}

/// The edges of a rectilinear frame are great circles: at the bearing b from its middle the
/// lower one is at tan a = tan(tilt − v) cos b and the upper one at tan(tilt + v) cos b, with
/// tan v = 18/24. With an overlap of 0.3 a frame is used for 0.7 of its width.
#[test]
fn one_row_covers_a_low_arch() {
    let wanted = upright(24.0, 190.0, -5.0, 30.0);
    let got = wanted.one_row().map_or(f64::NAN, Angle::degrees);
    let v = 0.75_f64.atan();
    let cos = |tilt: f64| (0.7 * (0.5 / tilt.cos()).atan()).cos();
    let lower = |tilt: f64| ((tilt - v).tan() * cos(tilt)).atan().to_degrees();
    let tilt = (0..=90_000).map(|step| f64::from(step) * 1e-3_f64.to_radians());
    let tilt = tilt
        .take_while(|tilt| lower(*tilt) <= -5.0)
        .last()
        .expect("a tilt");
    let want = ((tilt + v).tan() * cos(tilt)).atan().to_degrees();
    assert!((got - want).abs() < 5e-3, "{got}, {want}");

    let area = Area {
        high: Angle::from_degrees(got),
        ..wanted.area
    };
    let plan = PanoramaSettings { area, ..wanted }.plan().expect("a plan");
    assert_eq!(plan.rows.len(), 1, "{plan:?}");
}
