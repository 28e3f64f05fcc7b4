//! A complete question of each kind.

use serde_json::{Value, json};

/// What a question is about.
#[derive(Debug, Clone, Copy)]
pub enum Kind {
    Night,
    Drift,
    Stars,
    Sky,
    Pixel,
    Noise,
    Tracker,
    Skyline,
    Frame,
}

pub const KINDS: [Kind; 9] = [
    Kind::Night,
    Kind::Drift,
    Kind::Stars,
    Kind::Sky,
    Kind::Pixel,
    Kind::Noise,
    Kind::Tracker,
    Kind::Skyline,
    Kind::Frame,
];

/// The first so many kinds are fast enough for thousands of questions. A skyline and a frame are not;
/// invalid tiles and pictures have tests of their own.
pub const QUICK: usize = 7;

/// A question with every field its kind can have.
pub fn complete(kind: Kind) -> Value {
    let camera = json!({"sensor_w_mm": 36, "sensor_h_mm": 24, "pixel_pitch_um": 5.95,
        "focal_mm": 20, "projection": "rectilinear", "k1": -0.03, "k2": 0.2});
    let pointing = json!({"az_deg": 170, "alt_deg": 25, "roll_deg": 3});
    let site = json!({"lat_deg": 46.52, "lon_deg": 8.4, "elev_m": 2000, "tz": "Europe/Zurich",
        "extinction": 0.2, "zenith_v": 21.4});
    match kind {
        Kind::Night => json!({
            "id": 7,
            "site": site,
            "night": {"date_lmt": "2026-06-14"},
            "time": {"dut1_s": -0.1},
            "ridge_alt_deg": [4.5],
            "ridge_line": [[150, 8.5], {"az_deg": 190, "alt_deg": 3}],
            "ridge_level_deg": 2,
            "subject": "winter",
            "darkness_deg": 15,
            "least_core_deg": 6,
            "moon": "any",
            "core": {"ridge": [{"alt_deg": 9}]},
            "instants": ["2026-06-14T23:10:00Z", {"utc": "2026-06-15T01:00:00+02:00"}],
        }),
        Kind::Sky => json!({
            "id": "moonlit",
            "sky": {"zenith_v": 21.6, "alt_deg": 25, "height_m": 1000, "extinction": 0.2,
                "sun_alt_deg": -16, "sun_separation_deg": 70,
                "moon": {"alt_deg": 30, "phase_angle_deg": 90, "separation_deg": 60,
                    "distance_km": 384400}},
        }),
        Kind::Pixel => json!({
            "id": "pixel",
            "pixel": {"surface_v": 21.5, "pitch_um": 6, "f_number": 2.8, "transmitted": 0.9,
                "quantum": 0.5, "exposure_s": 20, "iso": 3200},
        }),
        Kind::Noise => json!({
            "id": "stack",
            "noise": {"signal_e_s": 0.3, "sky_e_s": 1.5, "dark_e_s": 0.05, "read_noise_e": 2.5,
                "frames": 30, "each_s": 10, "excess": 0.1, "against_s": 120, "wanted": 4},
        }),
        Kind::Tracker => json!({
            "id": "tracker",
            "tracker": {"lat_deg": 40, "az_deg": 180, "alt_deg": 21, "azimuth_error_deg": 0.1,
                "altitude_error_deg": 0.1, "periodic_arcsec": 25, "period_s": 600,
                "rate": "full", "exposure_s": 60, "phase_deg": 0, "allowed_arcsec": 13,
                "share": 0.8},
        }),
        Kind::Skyline => json!({
            "id": "valley",
            "site": {"lat_deg": 36.58225, "lon_deg": -84.220333},
            "tiles": [concat!(env!("CARGO_MANIFEST_DIR"), "/tests/reference/ground.tif")],
            "eye_m": 400,
            "k": 0.13,
        }),
        Kind::Frame => json!({
            "id": "dusk",
            "site": site,
            "utc": "2026-06-14T23:10:00Z",
            "frame": {
                "path": concat!(env!("CARGO_MANIFEST_DIR"), "/tests/frames/dusk.png"),
                "sensor": {"width_mm": 36, "height_mm": 24},
                "focal_mm": 20,
            },
        }),
        Kind::Drift => json!({
            "id": "corner",
            "camera": camera,
            "pointing": pointing,
            "site_lat_deg": 46.5,
            "exposure_s": 20,
            "points": [{"name": "centre", "x_mm": 0, "y_mm": 0}],
        }),
        Kind::Stars => json!({
            "id": null,
            "site": site,
            "utc": "2026-06-14T23:10:00Z",
            "time": {"dut1_s": -0.1},
            "camera": camera,
            "pointing": pointing,
            "refraction": true,
            "stars": [{"name": "core", "ra_deg": 266.4168, "dec_deg": -29.0078}],
        }),
    }
}
