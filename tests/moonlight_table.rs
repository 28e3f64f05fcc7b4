//! What the Moon costs about its rising and setting: a table in `tests/moonlight-table.md`, which a
//! test keeps in step with the code, and what must hold of it whatever the sky.
#![cfg(not(target_arch = "wasm32"))]

use std::fmt::Write;
use std::path::PathBuf;

use proptest::prelude::*;
use tarnlight::angle::Angle;
use tarnlight::light::brightness::{DARK_ZENITH_V, SurfaceBrightness};
use tarnlight::light::moonlight::MoonGeometry;
use tarnlight::sky::positions::MEAN_LUNAR_DISTANCE_KM;
use tarnlight::vector::Vector;

/// Set to 1, it has the table written instead of compared.
const WRITE: &str = "TARNLIGHT_WRITE";

/// Directions of the sky: altitude, and bearing from the Moon's.
const DIRECTIONS: [(f64, f64); 4] = [(90.0, 0.0), (25.0, 0.0), (25.0, 90.0), (25.0, 180.0)];

/// Heights of the Moon in the table, degrees.
const HEIGHTS: [f64; 14] = [
    -6.0, -5.0, -4.0, -3.0, -2.0, -1.0, -0.57, 0.0, 1.0, 2.0, 3.0, 5.0, 7.0, 10.0,
];

fn degrees(degrees: f64) -> Angle {
    Angle::from_degrees(degrees)
}

/// The sky at an altitude and a bearing from the Moon's.
fn moonlit(moon_deg: f64, phase_deg: f64, (height, round): (f64, f64), k: f64) -> MoonGeometry {
    let there = Vector::from_spherical(degrees(round), degrees(height));
    let moon = Vector::from_spherical(degrees(0.0), degrees(moon_deg));
    MoonGeometry {
        phase_angle: degrees(phase_deg),
        moon_zenith: degrees(90.0 - moon_deg),
        target_zenith: degrees(90.0 - height),
        separation: there.angle_to(moon),
        extinction: k,
        distance_km: MEAN_LUNAR_DISTANCE_KM,
    }
}

fn cost(moon_deg: f64, direction: (f64, f64)) -> f64 {
    let sky = SurfaceBrightness::from_magnitude(DARK_ZENITH_V);
    moonlit(moon_deg, 0.0, direction, 0.172).cost(sky)
}

fn table() -> String {
    let mut table = "\
# What a full Moon costs about the horizon

Magnitudes by which a full Moon at its mean distance brightens a sky of 21.6 mag per square arcsecond
overhead, for an extinction of 0.172 mag, by the true height of its middle. Overhead, and 25° high
towards the Moon, square to it and opposite it. Made by `tests/moonlight_table.rs`.

| Moon | overhead | towards it | square to it | opposite |
|---:|---:|---:|---:|---:|
"
    .to_owned();
    for height in HEIGHTS {
        let costs = DIRECTIONS.map(|direction| format!("{:.2}", cost(height, direction)));
        writeln!(table, "| {height}° | {} |", costs.join(" | ")).expect("a String takes all");
    }
    table
}

#[test]
fn the_table_is_as_the_code_has_it() {
    let path = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("tests/moonlight-table.md");
    let table = table();
    if std::env::var_os(WRITE).is_some_and(|set| set == "1") {
        std::fs::write(&path, &table).expect("a place to write");
    }
    let held = std::fs::read_to_string(&path).unwrap_or_default();
    assert_eq!(held, table, "run with {WRITE}=1 to write it anew");
}

/// Through all heights no step of the cost is over 0.05 mag in a tenth of a degree at 45° and more
/// from the Moon, nor over 0.07 nearer to it, where the twilight that it makes is steeper against
/// the dark sky; and the higher Moon never costs less up to 5°.
#[test]
fn nothing_jumps_at_the_horizon() {
    for (separation_deg, most) in [
        (15.0, 0.07),
        (30.0, 0.07),
        (45.0, 0.05),
        (90.0, 0.05),
        (130.0, 0.05),
    ] {
        for height in [90.0, 60.0, 25.0, 15.0] {
            let at = |moon_deg: f64| {
                let mut sky = moonlit(moon_deg, 0.0, (height, 0.0), 0.172);
                sky.separation = degrees(separation_deg);
                sky.cost(SurfaceBrightness::from_magnitude(DARK_ZENITH_V))
            };
            let mut before = at(-10.0);
            for tenth in -99..=150 {
                let moon_deg = f64::from(tenth) / 10.0;
                let got = at(moon_deg);
                let step = got - before;
                let place = format!("{separation_deg}° from the Moon at {moon_deg}°: {step} mag");
                assert!(step.abs() < most + 0.001, "{place}");
                assert!(moon_deg > 5.0 || step >= 0.0, "{place}");
                before = got;
            }
        }
    }
}

/// Twelve degrees below the horizon the nearest, fullest Moon costs under 0.01 mag in any direction
/// 5° up and higher, so that windows need not compute it.
#[test]
fn a_moon_far_down_costs_nothing_worth_telling() {
    let mut worst: f64 = 0.0;
    for height in [5.0, 10.0, 25.0, 60.0, 90.0] {
        for round in [0.0, 20.0, 45.0, 90.0, 180.0] {
            for k in [0.12, 0.172, 0.28] {
                let mut sky = moonlit(-12.0, 0.0, (height, round), k);
                sky.distance_km = 356_400.0;
                worst = worst.max(sky.cost(SurfaceBrightness::from_magnitude(22.0)));
            }
        }
    }
    println!("{worst} mag");
    assert!(worst < 0.01, "{worst} mag");
}

proptest! {
    /// The same of the light itself over phase, height, direction and haze: no step of more than
    /// a sixth of a magnitude in a tenth of a degree, and never less as the Moon climbs.
    #[test]
    fn moonlight_grows_steadily_as_the_moon_climbs(
        phase_deg in 0.0..180.0,
        height in 0.0..90.0,
        round in 0.0..180.0,
        k in 0.01..1.5,
        tenth in -180..50,
    ) {
        let at = |moon_deg: f64| {
            // the same way from the Moon, so that its height alone changes
            let mut sky = moonlit(moon_deg, phase_deg, (height, round), k);
            sky.separation = moonlit(0.0, phase_deg, (height, round), k).separation;
            sky.moonlight().nanolamberts()
        };
        let low = f64::from(tenth) / 10.0;
        let (before, after) = (at(low), at(low + 0.1));
        prop_assert!(after >= before * (1.0 - 1e-12), "{low}°: {before}, then {after}");
        // in the last three degrees of twilight it is tapered to zero
        if low > -15.0 {
            prop_assert!(after <= before * 1.17, "{low}°: {before}, then {after}");
        }
    }
}
