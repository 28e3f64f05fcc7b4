//! The Milky Way's glow, as it is drawn, against counts of stars in 384 cells of the sky.
//!
//! How the counts were made: `tests/reference/README.md`. They are of stars to G 10.0, most of them
//! within some thousand light years, and the map is partly made from the same stars: they bear out
//! that it was written and is read rightly, but neither the bulge about the core nor the far clouds,
//! whose light comes from fainter stars. So where those shine the glow may outdo the counts.
#![cfg(not(target_arch = "wasm32"))]

#[allow(dead_code, reason = "other tests read the rest")]
mod reference;

use reference::{number, parse, rows};
use tarnlight::angle::Angle;
use tarnlight::sky::galaxy::milky_way;

const COUNTS: &str = include_str!("reference/star_counts.json");

/// Places along each side of a cell at which the glow is looked up.
const STEPS: usize = 6;

/// Extent of the bulge from longitude 0°, and from the equator.
const BULGE_DEG: (f64, f64) = (45.0, 25.0);

struct Cell {
    longitude_deg: f64,
    latitude_deg: f64,
    /// Stars a square degree.
    stars: f64,
    /// Mean glow.
    glow: f64,
}

impl Cell {
    fn new(west: f64, width: f64, [south, north]: [f64; 2], count: f64) -> Self {
        let band = Angle::from_degrees(north).sin() - Angle::from_degrees(south).sin();
        let square_degrees = width * band.to_degrees();
        let (mut light, mut weight) = (0.0, 0.0);
        for step in 0..STEPS * STEPS {
            let part = |step: usize| (step as f64 + 0.5) / STEPS as f64;
            let latitude = Angle::from_degrees(south + (north - south) * part(step / STEPS));
            let longitude = Angle::from_degrees(west + width * part(step % STEPS));
            light += latitude.cos() * milky_way(longitude, latitude);
            weight += latitude.cos();
        }
        Self {
            longitude_deg: west + width / 2.0,
            latitude_deg: (south + north) / 2.0,
            stars: count / square_degrees,
            glow: light / weight,
        }
    }

    fn all() -> Vec<Self> {
        let file = parse(COUNTS);
        let width = number(&file, "longitude_step_deg");
        let edge = |value: &serde_json::Value| value.as_f64().expect("a number");
        let edges: Vec<f64> = rows(&file, "latitude_edges_deg").iter().map(edge).collect();
        let mut cells = Vec::new();
        for (band, row) in edges.windows(2).zip(rows(&file, "counts")) {
            for (place, count) in row.as_array().expect("a row").iter().enumerate() {
                let west = width * place as f64;
                cells.push(Self::new(west, width, [band[0], band[1]], edge(count)));
            }
        }
        assert_eq!(cells.len(), 384, "cells in the reference");
        cells
    }

    fn in_the_bulge(&self) -> bool {
        let from_core = self.longitude_deg.min(360.0 - self.longitude_deg);
        from_core < BULGE_DEG.0 && self.latitude_deg.abs() < BULGE_DEG.1
    }
}

/// Each value's place in order of size.
fn ranks(values: &[f64]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..values.len()).collect();
    order.sort_by(|a, b| values[*a].total_cmp(&values[*b]));
    let mut ranks = vec![0.0; values.len()];
    for (rank, place) in order.into_iter().enumerate() {
        ranks[place] = rank as f64;
    }
    ranks
}

/// C. Spearman's coefficient: 1 where two lists are in the same order.
fn rank_correlation(cells: &[Cell]) -> f64 {
    let stars = ranks(&cells.iter().map(|cell| cell.stars).collect::<Vec<_>>());
    let glow = ranks(&cells.iter().map(|cell| cell.glow).collect::<Vec<_>>());
    let apart = stars.iter().zip(&glow).map(|(a, b)| (a - b) * (a - b));
    let n = cells.len() as f64;
    1.0 - 6.0 * apart.sum::<f64>() / (n * (n * n - 1.0))
}

#[test]
fn glows_in_the_order_of_the_counts() {
    let cells = Cell::all();
    let got = rank_correlation(&cells);
    println!("rank correlation over 384 cells: {got:.3}");
    assert!(got > 0.92, "{got}");
    // and within the band, where being near the equator is not enough
    let band = cells
        .into_iter()
        .filter(|cell| cell.latitude_deg.abs() < 16.0);
    let got = rank_correlation(&band.collect::<Vec<_>>());
    println!("within 15° of the equator: {got:.3}");
    assert!(got > 0.7, "{got}");
}

#[test]
fn glows_in_proportion_away_from_the_bulge() {
    let ratio = |cell: &Cell| cell.glow / cell.stars;
    let cells = Cell::all();
    let away = cells.iter().filter(|cell| !cell.in_the_bulge());
    let mut ratios: Vec<f64> = away.map(ratio).collect();
    ratios.sort_by(f64::total_cmp);
    let middle = ratios[ratios.len() / 2];
    let [least, most] = [ratios[0], ratios[ratios.len() - 1]].map(|ratio| ratio / middle);
    println!("ratio of glow to counts: {least:.2} to {most:.2} of its middle");
    assert!(least > 0.5 && most < 2.0, "{least} to {most}");
    let within = cells.iter().filter(|cell| cell.in_the_bulge()).map(ratio);
    let [least, most] = [
        within.clone().fold(f64::MAX, f64::min),
        within.fold(0.0, f64::max),
    ]
    .map(|ratio| ratio / middle);
    println!("towards the bulge: {least:.2} to {most:.2}");
    assert!(least > 0.5 && most < 4.0, "{least} to {most}");
}

/// The rift shows in both: north of the equator between the core and the Eagle there is less than
/// as far south of it, and the other way round nowhere there.
#[test]
fn the_rift_lies_where_the_counts_dip() {
    let cells = Cell::all();
    let mut compared = 0;
    for north in cells.iter().filter(|cell| cell.longitude_deg < 30.0) {
        if !(3.0..15.0).contains(&north.latitude_deg) {
            continue;
        }
        let mirrored = cells.iter().find(|cell| {
            cell.longitude_deg == north.longitude_deg && cell.latitude_deg == -north.latitude_deg
        });
        let south = mirrored.expect("a cell on the other side");
        let [stars, glow] = [north.stars / south.stars, north.glow / south.glow];
        println!(
            "longitude {}, latitude {}: stars {stars:.2}, glow {glow:.2} of the other side's",
            north.longitude_deg, north.latitude_deg
        );
        assert!(stars < 1.0 && glow < 1.0, "{stars}, {glow}");
        compared += 1;
    }
    assert_eq!(compared, 6, "cells compared");
}
