//! A terrain tile in the form of SRTM's files, with a wall in it.

/// Name of the tile: its south-western corner.
pub const NAME: &str = "N46E009.hgt";

/// Points on a side of a tile of one arc second.
pub const SIDE: usize = 3601;

/// Two bytes a point, rows from north to south: rough ground up to 2000 m, and a wall 3000 m high at
/// 46.39–46.40° N.
pub fn with_a_wall() -> Vec<u8> {
    let mut bytes = Vec::with_capacity(2 * SIDE * SIDE);
    for row in 0..SIDE {
        let latitude = 47.0 - row as f64 / (SIDE - 1) as f64;
        let wall = (46.39..46.40).contains(&latitude);
        let y = row as f64;
        let (wide_y, narrow_y) = ((y * 0.005).cos() * 300.0, (y * 0.041).cos() * 150.0);
        for column in 0..SIDE {
            let x = column as f64;
            let wide = (x * 0.004).sin() * wide_y;
            let narrow = (x * 0.031 + y * 0.017).sin() * narrow_y;
            let rough = 1500.0 + wide + narrow + (x * 0.7).sin() * 25.0;
            let height = if wall { 3000 } else { rough as i16 };
            bytes.extend(height.to_be_bytes());
        }
    }
    bytes
}
