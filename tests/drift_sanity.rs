//! Identities and sign conventions that drift must keep, against a brute-force rotation.
//!
//! The reference values are described in `tests/reference/README.md`.
#![cfg(not(target_arch = "wasm32"))]

mod reference;

use std::f64::consts::TAU;

use reference::{lens, number, parse, point, rows, view, word};
use serde_json::Value;
use tarnlight::angle::Angle;
use tarnlight::camera::drift::{Drift, EARTH_RATE, centre_speed_um_s};
use tarnlight::camera::lens::{Lens, Projection};
use tarnlight::camera::sensor::{FORMATS, Sensor};
use tarnlight::camera::view::{SensorPoint, View};

const SANITY: &str = include_str!("reference/drift_sanity.json");

/// The reference's own error: its speeds are central differences over a second, within 2.8e-9 of
/// the closed form, printed to eight decimals, or to seven.
const RELATIVE: f64 = 3e-9;
const EIGHT_DECIMALS: f64 = 0.5e-8;
const SEVEN_DECIMALS: f64 = 0.5e-7;

fn full_frame() -> Sensor {
    FORMATS[1].sensor(24.0)
}

fn lens_24_mm(projection: Projection) -> Lens {
    Lens {
        focal_mm: 24.0,
        f_number: 2.8,
        projection,
        ..Lens::default()
    }
}

/// The view of a row that gives its site and aim; without a roll the camera is level.
fn view_of(row: &Value, lens: Lens) -> View {
    let roll = row["roll_deg"].as_f64().unwrap_or(0.0);
    let aim = [number(row, "az_deg"), number(row, "alt_deg"), roll];
    view(full_frame(), lens, aim, number(row, "site_lat_deg"))
}

fn centre_drift(view: &View) -> Drift {
    view.drift_at(SensorPoint::CENTRE)
        .expect("the centre has an image")
}

fn assert_near(got: f64, want: f64, allowed: f64, of: &Value) {
    assert!(
        (got - want).abs() <= allowed,
        "{got}, want {want}, {:.1e} off and {allowed:.1e} allowed: {of}",
        got - want
    );
}

/// ω f cos δ, whatever the projection and the roll. The handbook's form with its rounded
/// constants, 15.041″/s and 206 265″, is 5.4e-6 lower.
#[test]
fn the_centre_moves_by_the_cosine_of_the_declination() {
    let file = parse(SANITY);
    let section = &file["centre_speed_15.041_cos_dec_f_over_206265"];
    let handbook = 1.0 - 15.041 / 206_265.0 / EARTH_RATE;
    assert!((handbook - 5.39e-6).abs() < 1e-8, "{handbook}");
    for row in rows(section, "rows") {
        let view = view_of(row, lens(row));
        let declination = view.declination_at(SensorPoint::CENTRE);
        let declination = declination.expect("the centre has an image");
        assert_near(declination.degrees(), number(row, "dec_deg"), 0.5e-6, row);
        let want = number(row, "computed_um_s");
        let allowed = RELATIVE * want + EIGHT_DECIMALS;
        assert_near(centre_drift(&view).speed_um_s(), want, allowed, row);
        let closed = centre_speed_um_s(view.lens.focal_mm, declination);
        assert_near(closed, want, allowed, row);
        let by_handbook = number(row, "expected_um_s");
        assert_near(closed * (1.0 - handbook), by_handbook, allowed, row);
    }
}

/// With the pole in the middle every star circles at ω r, in every projection and at every focal
/// length: counter-clockwise about the north pole, clockwise about the south pole.
#[test]
fn about_a_centred_pole_speed_is_the_rate_times_the_radius() {
    let file = parse(SANITY);
    for row in rows(&file["pole_centred_speed_omega_r"], "rows") {
        for focal_mm in [15.0, 24.0, 85.0] {
            let latitude = number(row, "site_lat_deg");
            let bearing = if latitude > 0.0 { 0.0 } else { 180.0 };
            let mut with_focal = row.clone();
            with_focal["focal_mm"] = focal_mm.into();
            let aim = [bearing, latitude.abs(), number(row, "roll_deg")];
            let view = view(full_frame(), lens(&with_focal), aim, latitude);
            let here = point(row);
            let drift = view.drift_at(here).expect("inside the projection");
            let allowed = 2.0 * EIGHT_DECIMALS;
            let want = number(row, "computed_um_s");
            assert_near(drift.speed_um_s(), want, allowed, row);
            assert_near(number(row, "expected_um_s"), want, allowed, row);
            let turn = here.x_mm * drift.up_um_s - here.y_mm * drift.right_um_s;
            let rotation = if turn > 0.0 {
                "counter-clockwise"
            } else {
                "clockwise"
            };
            assert_eq!(rotation, word(row, "rotation"), "{row}");
        }
    }
}

/// Along the celestial equator a star runs straight across the frame at ω f times the stretch of
/// the projection along the radius.
#[test]
fn along_the_equator_speed_is_the_radial_stretch() {
    let file = parse(SANITY);
    for row in rows(&file["along_celestial_equator"], "rows") {
        let view = view(full_frame(), lens(row), [180.0, 45.0, 0.0], 45.0);
        let here = SensorPoint {
            x_mm: number(row, "x_mm"),
            y_mm: 0.0,
        };
        let theta = view.off_axis_at(here).expect("inside the projection");
        assert_near(theta.degrees(), number(row, "theta_deg"), 0.5e-6, row);
        let declination = view.declination_at(here).expect("inside the projection");
        assert_near(declination.degrees(), 0.0, 1e-12, row);

        let drift = view.drift_at(here).expect("inside the projection");
        let want = number(row, "computed_vx_um_s");
        assert_near(drift.right_um_s, want, RELATIVE * want + 0.5e-9, row);
        assert_near(drift.up_um_s, number(row, "computed_vy_um_s"), 1e-12, row);
        let half = theta.radians() / 2.0;
        let stretch = match view.lens.projection {
            Projection::Rectilinear => theta.cos().powi(-2),
            Projection::Stereographic => half.cos().powi(-2),
            Projection::Equidistant => 1.0,
            Projection::Equisolid => half.cos(),
        };
        let closed = centre_speed_um_s(view.lens.focal_mm, Angle::ZERO) * stretch;
        assert_near(drift.right_um_s, closed, 1e-12, row);
    }
}

#[test]
fn stars_move_the_way_one_sees_them_move() {
    let file = parse(SANITY);
    for row in rows(&file, "directions") {
        for projection in Projection::ALL {
            let drift = centre_drift(&view_of(row, lens_24_mm(projection)));
            assert_near(
                drift.right_um_s,
                number(row, "vx_um_s"),
                SEVEN_DECIMALS,
                row,
            );
            assert_near(drift.up_um_s, number(row, "vy_um_s"), SEVEN_DECIMALS, row);
            let ways = [
                ("right", drift.right_um_s > SEVEN_DECIMALS),
                ("left", drift.right_um_s < -SEVEN_DECIMALS),
                ("up", drift.up_um_s > SEVEN_DECIMALS),
                ("down", drift.up_um_s < -SEVEN_DECIMALS),
            ];
            for (way, moves) in ways {
                let message = word(row, "moves").contains(way);
                assert_eq!(moves, message, "{way}: {drift:?}, {row}");
            }
        }
    }
}

/// A camera turned clockwise sees the sky turned counter-clockwise.
#[test]
fn a_roll_turns_the_motion_the_other_way() {
    let file = parse(SANITY);
    for row in rows(&file["roll_convention"], "rows") {
        let aim = [180.0, 45.0, number(row, "roll_deg")];
        let lens = lens_24_mm(Projection::Rectilinear);
        let drift = centre_drift(&view(full_frame(), lens, aim, 45.0));
        assert_near(
            drift.right_um_s,
            number(row, "vx_um_s"),
            SEVEN_DECIMALS,
            row,
        );
        assert_near(drift.up_um_s, number(row, "vy_um_s"), SEVEN_DECIMALS, row);
    }
}

/// A star 9.43 mm from a centred pole draws 2 π r in one turn and is back where it began.
#[test]
fn a_full_turn_draws_a_full_circle() {
    let file = parse(SANITY);
    let row = &file["full_turn"];
    let turn_s = TAU / EARTH_RATE;
    assert_near(turn_s, number(row, "period_s"), 0.5e-4, row);
    let radius_mm = number(row, "expected_2_pi_r_mm") / TAU;
    for projection in Projection::ALL {
        let aim = [0.0, 45.0, 0.0];
        let view = view(full_frame(), lens_24_mm(projection), aim, 45.0);
        let start = SensorPoint {
            x_mm: 0.0,
            y_mm: radius_mm,
        };
        let trail = view.trail_um(start, turn_s).expect("stays in the field");
        assert_near(trail / 1000.0, number(row, "path_mm"), 2e-6, row);
        let end = view.star_after(start, turn_s).expect("stays in the field");
        let chord = (end.x_mm - start.x_mm).hypot(end.y_mm - start.y_mm);
        assert_near(chord, number(row, "chord_mm"), 1e-9, row);
    }
}

/// One rigid turn at the nominal rate against real stars propagated by an ephemeris library, which
/// also knows precession, nutation and aberration. What those change is given in each row; the
/// start is printed to 1e-5°, which moves the end of an hour's arc by up to 0.005″.
#[test]
fn real_stars_move_as_far_as_the_rigid_sky() {
    let file = parse(SANITY);
    for row in rows(&file["skyfield_check_of_rotation_model"], "rows") {
        let aim = ["start_az_deg", "start_alt_deg"].map(|key| number(row, key));
        let lens = lens_24_mm(Projection::Stereographic);
        let latitude = number(row, "site_lat_deg");
        let view = view(full_frame(), lens, [aim[0], aim[1], 0.0], latitude);
        let end = view
            .star_after(SensorPoint::CENTRE, number(row, "seconds"))
            .expect("inside the projection");
        let moved = view.off_axis_at(end).expect("inside the projection");
        let allowed = number(row, "model_error_arcsec") + 0.005;
        assert_near(
            moved.degrees() * 3600.0,
            number(row, "moved_arcsec"),
            allowed,
            row,
        );
    }
}
