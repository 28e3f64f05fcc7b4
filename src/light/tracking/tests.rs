//! Tracking errors against worked values and closed forms.

use super::*;
use crate::light::tracking_residual::{KEEP_FRACTION, trail_on_sky};

const ARCSEC: f64 = PI / 180.0 / 3600.0;

fn deg(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// A mount with these errors in degrees and no periodic error.
fn mount(azimuth_deg: f64, altitude_deg: f64) -> Mount {
    Mount {
        azimuth_error: deg(azimuth_deg),
        altitude_error: deg(altitude_deg),
        periodic: Angle::ZERO,
        ..Mount::default()
    }
}

/// The star of an hour angle and declination at a latitude, in east, north, up.
fn star(latitude: Angle, hour: Angle, declination: Angle) -> Vector {
    // towards the meridian's equator, west, and the pole
    let (h, d) = (hour, declination);
    let (x, y, z) = (d.cos() * h.cos(), d.cos() * h.sin(), d.sin());
    Vector::new(
        -y,
        x * -latitude.sin() + z * latitude.cos(),
        x * latitude.cos() + z * latitude.sin(),
    )
}

/// First principles, by hand: 1° of error drifts by 0.26252″ a second at most, which is 15.751″
/// a minute, and an arcminute by 0.26252″ a minute. A misprint in circulation has 0.262″ a
/// minute for a degree, sixty times too little.
#[test]
fn a_degree_beside_the_pole() {
    let creep = |off: f64| {
        let residual = mount(0.0, off).tracking_residual(
            deg(40.0),
            star(deg(40.0), deg(90.0), Angle::ZERO),
            TrackingRate::Sidereal,
        );
        residual.drift_rate_rad_s() / ARCSEC
    };
    assert!((creep(1.0) - 0.262_48).abs() < 5e-5, "{}", creep(1.0));
    let minute = creep(1.0 / 60.0) * 60.0;
    assert!(
        (minute - 0.2625).abs() < 1e-4,
        "{minute} ″/min for an arcminute"
    );
    let misprint = 0.262 / 60.0;
    assert!(creep(1.0) / misprint > 50.0);
}

/// The same at 40° N: with azimuth 1° a star on the meridian at the equator drifts by
/// 0.20108″/s in declination; with altitude 1° by nothing in declination and 0.00229″/s along.
#[test]
fn azimuth_and_altitude_have_their_own_stars() {
    let phi = deg(40.0);
    let south = star(phi, Angle::ZERO, Angle::ZERO);
    let residual = mount(1.0, 0.0).tracking_residual(phi, south, TrackingRate::Sidereal);
    assert!(
        (residual.across_rad_s / ARCSEC - 0.201_08).abs() < 5e-5,
        "{residual:?}"
    );
    let residual = mount(0.0, 1.0).tracking_residual(phi, south, TrackingRate::Sidereal);
    assert!(residual.across_rad_s / ARCSEC < 1e-6, "{residual:?}");
    assert!(
        (residual.along_rad_s.abs() / ARCSEC - 0.002_29).abs() < 5e-5,
        "{residual:?}"
    );
}

/// Computed by hand: 1° to the side is 0.766° at 40° N, and as much at 40° S; 0.0044° a minute
/// of turn at most.
#[test]
fn how_far_beside_the_pole() {
    for phi in [40.0, -40.0] {
        let off = mount(1.0, 0.0).polar_error(deg(phi)).degrees();
        assert!((off - 0.766).abs() < 5e-4, "φ {phi}: {off}°");
        let off = mount(0.0, -1.0).polar_error(deg(phi)).degrees();
        assert!((off - 1.0).abs() < 1e-9, "φ {phi}: {off}°");
    }
    let phi = deg(40.0);
    let side = star(phi, Angle::ZERO, Angle::ZERO);
    let turn = mount(0.0, 1.0).field_rotation_rad_s(phi, side, TrackingRate::Sidereal);
    let turn = turn.to_degrees() * 60.0;
    assert!((turn.abs() - 0.004_375).abs() < 1e-5, "{turn}° a minute");
}

/// First principles, by hand: at half rate half of the sky's 0.2507° a minute is left
/// of the turn about the pole, nothing of that about the equator, and about the core
/// (declination −29°) sin 29° of it the other way round.
#[test]
fn half_rate_turns_the_picture() {
    let phi = deg(40.0);
    for (dec, want) in [(90.0, 0.125_34), (0.0, 0.0), (-29.0, -0.060_77)] {
        let star = star(phi, deg(20.0), deg(dec));
        let turn = mount(0.0, 0.0).field_rotation_rad_s(phi, star, TrackingRate::Half);
        let turn = turn.to_degrees() * 60.0;
        assert!((turn - want).abs() < 1e-5, "δ {dec}: {turn}, want {want}");
    }
}

/// Against two neighbouring stars turned about both axes: how the direction from the one to the
/// other rotates.
#[test]
fn the_turn_agrees_with_turning_two_stars() {
    const SECONDS: f64 = 20.0;
    /// Distance of the two, rad: small enough to be straight.
    const APART: f64 = 1e-4;
    for phi in [-60.0, -33.0, 0.0, 36.0, 70.0].map(deg) {
        let pole = pole(phi);
        for (hour, dec) in [(0.0, -29.0), (40.0, 10.0), (-75.0, 60.0), (0.0, 89.0)] {
            let one = star(phi, deg(hour), deg(dec));
            let east = pole.cross(one);
            let east = east.times(1.0 / east.length());
            let other = one.rotated_about(one.cross(east), APART);
            for (side, up) in [(0.0, 0.0), (8.0, 6.0), (-90.0, 60.0), (300.0, 0.0)] {
                let mount = mount(side / 60.0, up / 60.0);
                for rate in [TrackingRate::Sidereal, TrackingRate::Half] {
                    let follow = EARTH_RATE * rate.share() * SECONDS;
                    let seen = |star: Vector| {
                        star.rotated_about(pole, -EARTH_RATE * SECONDS)
                            .rotated_about(mount.axis(phi), follow)
                    };
                    let before = other.plus(one.times(-1.0));
                    let after = seen(other).plus(seen(one).times(-1.0));
                    // right-handed about the star is clockwise as seen from inside
                    let turn = before.cross(after).dot(one) / before.dot(after);
                    let got = mount.field_rotation_rad_s(phi, one, rate) * SECONDS;
                    // the star itself moves by up to 0.04° meanwhile
                    assert!(
                        (got + turn).abs() < 2e-6 + 1e-3 * got.abs(),
                        "φ {}, δ {dec}, {side}′, {up}′, {rate:?}: {got}, want {}",
                        phi.degrees(),
                        -turn
                    );
                }
            }
        }
    }
}

/// Computed by hand: 25″ either way in 600 s runs at 0.2618″/s at worst, in 480 s at 0.3272″/s.
#[test]
fn the_worst_of_the_swing() {
    for (period_s, want) in [(600.0, 0.2618), (480.0, 0.3272)] {
        let residual = Mount {
            period_s,
            ..Mount::default()
        }
        .tracking_residual(
            deg(40.0),
            star(deg(40.0), deg(30.0), Angle::ZERO),
            TrackingRate::Sidereal,
        );
        let got = residual.periodic_amplitude_rad * residual.periodic_frequency_rad_s / ARCSEC;
        assert!((got - want).abs() < 5e-5, "{period_s} s: {got}");
    }
}

/// Two rotations in sequence, plus the periodic error, sampled finely: the bounding box of the
/// path in the tracker's frame.
fn brute(
    mount: &Mount,
    latitude: Angle,
    star: Vector,
    rate: TrackingRate,
    seconds: f64,
    phase: Angle,
) -> f64 {
    let (pole, axis) = (pole(latitude), mount.axis(latitude));
    let turn = EARTH_RATE * rate.share();
    let swing = |at: f64| {
        let angle = 2.0 * PI * rate.share() * at / mount.period_s + phase.radians();
        mount.periodic.radians() * (angle.sin() - phase.radians().sin())
    };
    // the daily path at the start, and across it
    let daily = pole.cross(star).times(-1.0);
    let daily = daily.times(1.0 / daily.length());
    let other = star.cross(daily);
    const STEPS: u32 = 4000;
    let (mut along, mut across) = ((0.0_f64, 0.0_f64), (0.0_f64, 0.0_f64));
    for step in 0..=STEPS {
        let at = seconds * f64::from(step) / f64::from(STEPS);
        let sky = star.rotated_about(pole, -EARTH_RATE * at);
        let seen = sky
            .rotated_about(axis, turn * at)
            .rotated_about(axis, -swing(at));
        let off = seen.plus(star.times(-1.0));
        let (a, c) = (off.dot(daily), off.dot(other));
        along = (along.0.min(a), along.1.max(a));
        across = (across.0.min(c), across.1.max(c));
    }
    (along.1 - along.0).hypot(across.1 - across.0)
}

/// Against brute force at many latitudes, stars, errors, times and phases.
#[test]
fn agrees_with_turning_the_star_about_both_axes() {
    let mut worst: f64 = 0.0;
    for phi in [-60.0, -33.0, 0.0, 36.0, 46.5, 70.0] {
        let phi = deg(phi);
        for (hour, dec) in [(0.0, -29.0), (40.0, 10.0), (-75.0, 60.0), (120.0, -5.0)] {
            let star = star(phi, deg(hour), deg(dec));
            for (side, up) in [(0.0, 0.0), (8.0, 6.0), (-30.0, 10.0), (0.0, -60.0)] {
                for amplitude in [0.0, 25.0] {
                    let mount = Mount {
                        azimuth_error: deg(side / 60.0),
                        altitude_error: deg(up / 60.0),
                        periodic: deg(amplitude / 3600.0),
                        ..Mount::default()
                    };
                    for rate in [TrackingRate::Sidereal, TrackingRate::Half] {
                        let residual = mount.tracking_residual(phi, star, rate);
                        for seconds in [20.0, 120.0, 600.0] {
                            for phase in [0.0, 100.0, 250.0] {
                                let got = residual.trail(seconds, deg(phase)).radians();
                                let want = brute(&mount, phi, star, rate, seconds, deg(phase));
                                // the drift's direction rotates with the sky by 2.5° in ten
                                // minutes
                                let creep = EARTH_RATE * mount.polar_error(phi).radians();
                                let near = 0.025 * creep * seconds + 0.05 * ARCSEC;
                                let off = (got - want).abs() - near;
                                worst = worst.max(off / want.max(1e-9));
                            }
                        }
                    }
                }
            }
        }
    }
    assert!(worst < 1e-3, "{worst} of the trail");
}

/// The sky, the tracker at half rate and the ground: half of the untracked smear
/// each (first principles).
#[test]
fn half_rate_shares_the_smear() {
    let phi = deg(36.0);
    let south = star(phi, Angle::ZERO, deg(-29.0));
    let residual = mount(0.0, 0.0).tracking_residual(phi, south, TrackingRate::Half);
    let untracked = EARTH_RATE * deg(-29.0).cos();
    assert!(
        (residual.drift_rate_rad_s() / untracked - 0.5).abs() < 1e-9,
        "{residual:?}"
    );
    let ground = ground_smear_rad_s(phi, south, TrackingRate::Half);
    assert!((ground / untracked - 0.5).abs() < 1e-9, "{ground}");
    assert_eq!(ground_smear_rad_s(phi, pole(phi), TrackingRate::Half), 0.0);
}

#[test]
fn longer_frames_and_larger_errors_never_keep_more() {
    let phi = deg(46.0);
    let star = star(phi, deg(20.0), deg(-29.0));
    let allowed = trail_on_sky(2.0, 6.0, 135.0);
    let residual = |times: f64| {
        Mount {
            azimuth_error: deg(times * 8.0 / 60.0),
            altitude_error: deg(times * 6.0 / 60.0),
            periodic: deg(times * 25.0 / 3600.0),
            ..Mount::default()
        }
        .tracking_residual(phi, star, TrackingRate::Sidereal)
    };
    let mut before = f64::INFINITY;
    for times in [0.1, 0.5, 1.0, 2.0, 5.0, 20.0] {
        let residual = residual(times);
        let got = residual
            .longest_s(allowed, KEEP_FRACTION)
            .unwrap_or(f64::MAX);
        assert!(got <= before, "× {times}: {got} s after {before} s");
        before = got;
        assert!(
            residual.fraction_kept(got, allowed) >= KEEP_FRACTION,
            "× {times}"
        );
        assert!(
            residual.fraction_kept(got * 1.001, allowed) < KEEP_FRACTION,
            "× {times}"
        );
        assert!(
            residual.longest_s(allowed, 1.0).unwrap_or(f64::MAX) <= got,
            "× {times}"
        );
        let mut kept = 1.0;
        for seconds in 1..400 {
            let now = residual.fraction_kept(f64::from(seconds), allowed);
            assert!(now <= kept, "× {times}, {seconds} s: {now} after {kept}");
            kept = now;
        }
        let trail = residual.trail_at_fraction(got, KEEP_FRACTION);
        let off = trail.radians() / allowed.radians() - 1.0;
        assert!(off.abs() < 1e-4, "× {times}: {off}");
    }
}

#[test]
fn any_number_gives_a_number() {
    let odd = [0.0, f64::NAN, f64::INFINITY, -1e300, 1e-300, 7.0];
    for a in odd {
        for b in odd {
            let mount = Mount {
                azimuth_error: Angle::from_radians(a),
                altitude_error: Angle::from_radians(b),
                periodic: Angle::from_radians(b),
                period_s: a,
                rate: TrackingRate::Sidereal,
            };
            let star = star(deg(30.0), deg(10.0), deg(5.0));
            let residual = mount.tracking_residual(deg(30.0), star, TrackingRate::Sidereal);
            let kept = residual.fraction_kept(10.0, deg(0.01));
            assert!((0.0..=1.0).contains(&kept), "{mount:?}");
            if let Some(longest_s) = residual.longest_s(deg(0.01), KEEP_FRACTION) {
                assert!(
                    longest_s.is_finite() && longest_s > 0.0,
                    "{mount:?}: {longest_s}"
                );
            }
            assert!(
                residual.trail_at_fraction(10.0, KEEP_FRACTION).radians() >= 0.0
                    || a.is_nan()
                    || b.is_nan()
                    || a.is_infinite()
                    || b.is_infinite()
            );
        }
    }
}
