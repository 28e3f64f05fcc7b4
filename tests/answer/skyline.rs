//! A question about a skyline: tiles of heights, a site, the bend of light.

use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use serde_json::{Value, json};
use tarnlight::land::sighting::BEND;
use tarnlight::land::skyline::{Viewpoint, skyline};
use tarnlight::land::terrain::Terrain;
use tarnlight::land::tile::Tile;

use super::question::{Bad, angle, at, bad, list, number, number_or};

/// Answers it.
pub fn answer(question: &Value) -> Result<Value, Bad> {
    let eye = Viewpoint {
        latitude: angle(question, "site.lat_deg", -90.0, 90.0)?,
        longitude: angle(question, "site.lon_deg", -180.0, 360.0)?,
        height_m: match at(question, "eye_m") {
            None | Some(Value::Null) => None,
            Some(_) => Some(number(question, "eye_m", -500.0, 9000.0)?),
        },
    };
    let bend = number_or(question, "k", (-1.0, 0.9), BEND)?;
    let mut tiles = Vec::new();
    for (place, path) in list(question, "tiles")?.iter().enumerate() {
        let field = format!("tiles.{place}");
        let path = path
            .as_str()
            .ok_or_else(|| bad(&field, "must be the path of a file"))?;
        let file = File::open(path).map_err(|why| bad(&field, format!("cannot be read: {why}")))?;
        let name = Path::new(path).file_name().unwrap_or_default();
        tiles.push(Tile {
            name: name.to_string_lossy().into_owned(),
            bytes: BufReader::with_capacity(1 << 20, file),
        });
    }
    let seen = Terrain::read(tiles, eye.latitude, eye.longitude)
        .and_then(|terrain| skyline(&terrain, eye, bend))
        .map_err(|why| bad("tiles", why.to_string()))?;
    let rows = seen.points.iter().map(|point| {
        let top = point.top;
        json!({
            "az_deg": point.bearing.degrees(),
            "alt_deg": top.map(|top| top.height.degrees()),
            "distance_m": top.map(|top| top.distance_m),
            "sea": top.map(|top| top.sea),
            "edge": top.map(|top| top.model_edge),
        })
    });
    let rows: Vec<Value> = rows.collect();
    Ok(json!({"eye_used_m": seen.eye_m, "skyline": rows}))
}
