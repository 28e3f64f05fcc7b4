//! A question about a skyline: tiles of heights, a site, the bend of light.

use std::fs::File;
use std::io::BufReader;
use std::path::Path;

use serde::Serialize;
use tarnlight::land::sighting::BEND;
use tarnlight::land::skyline::{SkylinePoint, Viewpoint, skyline};
use tarnlight::land::terrain::Terrain;
use tarnlight::land::tile::Tile;

use super::field::{Field, FieldError};

#[derive(Serialize)]
pub struct SkylineAnswer {
    eye_used_m: f64,
    skyline: Vec<Direction>,
}

/// All but the bearing are `None` where the tiles know no height.
#[derive(Serialize)]
struct Direction {
    az_deg: f64,
    alt_deg: Option<f64>,
    distance_m: Option<f64>,
    sea: Option<bool>,
    edge: Option<bool>,
}

impl From<&SkylinePoint> for Direction {
    fn from(point: &SkylinePoint) -> Self {
        let top = point.top;
        Self {
            az_deg: point.bearing.degrees(),
            alt_deg: top.map(|top| top.height.degrees()),
            distance_m: top.map(|top| top.distance_m),
            sea: top.map(|top| top.sea),
            edge: top.map(|top| top.model_edge),
        }
    }
}

/// Answers it.
pub fn answer(question: &Field) -> Result<SkylineAnswer, FieldError> {
    let eye = Viewpoint {
        latitude: question.at("site.lat_deg").angle(-90.0..=90.0)?,
        longitude: question.at("site.lon_deg").angle(-180.0..=360.0)?,
        height_m: question.at("eye_m").optional_number(-500.0..=9000.0)?,
    };
    let bend = question.at("k").number_or(-1.0..=0.9, BEND)?;
    let paths = question.at("tiles");
    let tiles: Result<Vec<_>, _> = paths.list()?.iter().map(tile).collect();
    let seen = Terrain::read(tiles?, eye.latitude, eye.longitude)
        .and_then(|terrain| skyline(&terrain, eye, bend))
        .map_err(|why| paths.error(why.to_string()))?;
    Ok(SkylineAnswer {
        eye_used_m: seen.eye_m,
        skyline: seen.points.iter().map(Direction::from).collect(),
    })
}

fn tile(field: &Field) -> Result<Tile<BufReader<File>>, FieldError> {
    let path = field.value().and_then(|value| value.as_str());
    let path = path.ok_or_else(|| field.error("must be the path of a file"))?;
    let file = File::open(path).map_err(|why| field.error(format!("cannot be read: {why}")))?;
    let name = Path::new(path).file_name().unwrap_or_default();
    Ok(Tile {
        name: name.to_string_lossy().into_owned(),
        bytes: BufReader::with_capacity(1 << 20, file),
    })
}
