//! Tables: lines of the JSON-lines interface, and a skyline as rows of bearing and height.

use serde_json::Value;
use tarnlight::land::table;

use super::{MB, MemoryLimit, Target, text};
use crate::answer;

pub const TARGET: Target = Target {
    name: "tables",
    seeds,
    run,
    memory: MemoryLimit {
        // a night's almanac, and thousands of stars
        least: 16 * MB,
        per_byte: 4000,
        most: 256 * MB,
    },
};

const QUESTIONS: [&str; 7] = [
    r#"{"id":1,"site":{"lat_deg":46.52,"lon_deg":8.4,"elev_m":2000,"tz":"Europe/Zurich"},"night":{"date_lmt":"2026-06-14"},"ridge_line":[[150,8.5],{"az_deg":190,"alt_deg":3}],"moon":"any","instants":["2026-06-14T23:10:00Z"]}"#,
    r#"{"id":2,"camera":{"sensor_w_mm":36,"sensor_h_mm":24,"pixel_pitch_um":5.95,"focal_mm":20,"projection":"rectilinear","k1":-0.03},"pointing":{"az_deg":170,"alt_deg":25,"roll_deg":3},"site_lat_deg":46.5,"exposure_s":13,"points":[[0,0],[17,-11]]}"#,
    r#"{"sky":{"zenith_v":21.6,"alt_deg":25,"height_m":1000,"extinction":0.2}}"#,
    r#"{"pixel":{"sky_v":21,"f_number":1.8,"pixel_pitch_um":6}}"#,
    r#"{"noise":{"sky_e_s":1.5,"read_e":2,"frame_s":10,"frames":60}}"#,
    r#"{"tracker":{"az_error_arcmin":8,"alt_error_arcmin":6,"lat_deg":46}}"#,
    "bearing, height\n150, 8.5\n# the notch\n165°30′, 3\n1 2 3 4 5 6\n",
];

fn seeds() -> Vec<Vec<u8>> {
    QUESTIONS.map(|line| line.as_bytes().to_vec()).to_vec()
}

fn run(input: &[u8]) {
    let text = text(input);
    if let Ok(rows) = table::read(&text) {
        for row in rows {
            assert!(row.bearing.degrees().is_finite() && row.height.degrees().is_finite());
        }
    }
    // questions that name files are of the targets for tiles and frames
    let line = text.lines().next().unwrap_or_default();
    let question: Option<Value> = serde_json::from_str(line).ok();
    let names_files =
        question.is_some_and(|all| all.get("tiles").is_some() || all.get("frame").is_some());
    if !names_files {
        let reply = answer::reply(line);
        assert!(reply.is_object(), "{line}");
    }
}
