//! Solutions of frames: a rendered one against what it was drawn with, and lists of stars drawn from the
//! catalogue with lenses of 8 to 135 mm.
#![cfg(not(target_arch = "wasm32"))]

mod simulated;

use simulated::{Kind, Random, simulate};
use tarnlight::angle::Angle;
use tarnlight::astrometry::frame::{FrameHints, measure_frame};
use tarnlight::astrometry::solution::{Hints, NoSolution, solve};
use tarnlight::astrometry::verdict::Verdict;
use tarnlight::camera::lens::Projection;
use tarnlight::sky::moment::Moment;
use tarnlight::sky::observer::GeoPosition;
use tarnlight::vector::Vector;

const FULL_FRAME_MM: (f64, f64) = (36.0, 24.0);
const FOUR_THIRDS_MM: (f64, f64) = (17.3, 13.0);

/// `tests/frames/open-09.jpg`, from the file to the verdict; its README says how it was drawn. Some
/// of its stars at mid-exposure, from the program that drew it.
#[test]
fn a_rendered_frame_is_solved() {
    const STARS: [(u32, f64, f64); 6] = [
        (24_436, 732.09, 913.83),
        (24_608, 251.29, 370.48),
        (21_421, 620.74, 610.45),
        (25_428, 399.54, 588.90),
        (15_863, 436.15, 162.52),
        (28_360, 129.44, 435.15),
    ];
    let utc = chrono::DateTime::parse_from_rfc3339("2026-09-21T00:57:27Z").expect("an instant");
    let hints = FrameHints {
        sensor_mm: Some((35.9, 24.0)),
        focal_mm: Some(14.0),
        site: Some(GeoPosition {
            latitude: Angle::from_degrees(33.9),
            longitude: Angle::from_degrees(8.1),
            height_m: 60.0,
        }),
        start: Some(Moment::from_utc(utc.into())),
    };
    let file = include_bytes!("../frames/open-09.jpg");
    let frame = measure_frame(file, &hints).expect("a picture");
    assert_eq!(frame.verdict, Verdict::AsPredicted);
    let solution = frame.solution.expect("a solution");
    assert_eq!(solution.camera.projection, Projection::Rectilinear);
    let focal_mm = solution.camera.focal_px * frame.pitch_mm.expect("a sensor");
    assert!((focal_mm / 13.8325 - 1.0).abs() < 5e-4, "{focal_mm} mm");
    let pointing = solution.pointing().expect("a horizon");
    let want = Vector::from_bearing(Angle::from_degrees(124.4048), Angle::from_degrees(53.2314));
    let got = Vector::from_bearing(pointing.bearing, pointing.altitude);
    let off_arcmin = got.angle_to(want).degrees() * 60.0;
    assert!(off_arcmin < 0.3, "{off_arcmin}′");
    assert!(
        (pointing.roll.degrees() - 1.2433).abs() < 0.02,
        "{pointing:?}"
    );
    let mut compared = 0;
    for (hip, x_px, y_px) in STARS {
        if let Some(star) = solution.stars.iter().find(|star| star.hip == hip) {
            let off_px = (star.at.x_px - x_px).hypot(star.at.y_px - y_px);
            assert!(off_px < 0.1, "HIP {hip}: {off_px} px");
            compared += 1;
        }
    }
    assert!(compared >= 4, "{compared} stars compared");
    // 15 s of drift in the lower left corner, by the stars' own trails there: 0.9 to 1.3 px
    let corner = &frame.predicted[3];
    assert!((0.9..1.6).contains(&corner.length_px), "{corner:?}");
}

/// Lists of stars with the kit's focal length, a few per cent off, or none: the camera is found
/// to a fraction of a pixel, and a lens is not taken for another.
#[test]
fn any_lens_is_solved() {
    use Projection::{Equidistant, Equisolid, Rectilinear};
    let table = [
        // mm, projection, sensor, limit of magnitude, known beforehand
        (8.0, Equisolid, FOUR_THIRDS_MM, 5.0, true),
        (8.0, Equisolid, FOUR_THIRDS_MM, 5.0, false),
        (12.0, Equidistant, FULL_FRAME_MM, 5.0, true),
        (12.0, Rectilinear, FULL_FRAME_MM, 4.5, true),
        (24.0, Rectilinear, FULL_FRAME_MM, 5.0, true),
        (24.0, Rectilinear, FULL_FRAME_MM, 5.5, false),
        (35.0, Rectilinear, FULL_FRAME_MM, 6.0, true),
        (50.0, Rectilinear, FULL_FRAME_MM, 6.5, false),
        (85.0, Rectilinear, FULL_FRAME_MM, 7.0, true),
        (135.0, Rectilinear, FULL_FRAME_MM, 7.0, true),
    ];
    let mut random = Random(20_261_126);
    for (focal_mm, projection, sensor_mm, limit, known) in table {
        let frame = simulate(
            Kind {
                focal_mm,
                projection,
                sensor_mm,
                across: 3000,
                limit,
                false_share: 0.2,
                false_depth: 3.0,
                lamps: 2,
                sigma_px: 0.08,
            },
            &mut random,
        );
        assert!(frame.stars >= 15, "{focal_mm} mm: {} stars", frame.stars);
        let hints = Hints {
            focal_px: known.then_some(frame.marked_px),
            horizon: Some(frame.horizon),
            year: None,
        };
        let solution = solve(&frame.list, &hints).expect("a solution");
        let camera = solution.camera;
        assert!(solution.horizon.is_some(), "{focal_mm} mm");
        assert_eq!(camera.projection, projection, "{focal_mm} mm");
        let middle = frame
            .camera
            .direction(solution.middle)
            .expect("a direction");
        let image = camera.image(middle).expect("an image");
        let off_px = image.distance_px(solution.middle);
        assert!(off_px < 0.3, "{focal_mm} mm: {off_px} px");
        let share = camera.focal_px / frame.camera.focal_px - 1.0;
        assert!(share.abs() < 1e-3, "{focal_mm} mm: {share}");
    }
}

/// Places that are no stars are not taken for any.
#[test]
fn what_are_no_stars_is_refused() {
    let mut random = Random(3);
    let mut frame = simulate(
        Kind {
            focal_mm: 24.0,
            projection: Projection::Rectilinear,
            sensor_mm: FULL_FRAME_MM,
            across: 3000,
            limit: 5.0,
            false_share: 0.0,
            false_depth: 0.0,
            lamps: 0,
            sigma_px: 0.1,
        },
        &mut random,
    );
    frame.list.stars.truncate(14);
    let (width, height) = (frame.list.width as f64, frame.list.height as f64);
    for star in &mut frame.list.stars {
        star.at.x_px = random.between(0.0, width);
        star.at.y_px = random.between(0.0, height);
    }
    let hints = Hints {
        focal_px: Some(frame.marked_px),
        ..Hints::default()
    };
    assert_eq!(solve(&frame.list, &hints), Err(NoSolution::NoStars));
}
