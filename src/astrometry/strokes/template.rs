//! The image of a star: a Gaussian or a disc run along a stroke, integrated over pixels.

use super::error_function::erf;

/// Samples of a stroke for a disc, per px of its length.
const DISC_SAMPLES_PER_PX: f64 = 2.0;

/// Points of a tabulated profile per px.
const PROFILE_POINTS_PER_PX: f64 = 32.0;

/// Strokes shorter than this, px, are computed as of this length.
const SHORTEST_PX: f64 = 0.02;

/// What is run along the stroke.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub(super) enum Spot {
    /// A Gaussian; its size is the variance, square pixels.
    Gaussian,
    /// An even disc; its size is the radius, px. The edge is softened by the lens, which draws a point
    /// as a Gaussian of the fourth parameter, px.
    Disc,
}

/// Number of parameters of a shape.
pub(super) const SHAPE_PARAMETERS: usize = 4;

/// A star's shape. The stroke enters by its variance tensor, in which a stroke of no length is
/// nothing special: u = L²/12 cos 2θ, v = L²/12 sin 2θ, θ from the picture's right downwards.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct Shape {
    pub spot: Spot,
    /// u, v, the size of the spot, and the softness of a disc's edge.
    pub parameters: [f64; SHAPE_PARAMETERS],
    /// A second, weaker image of every star, where the camera was knocked.
    pub second: Option<SecondImage>,
}

/// Where a second image stands from the first, px to the right and down, and its share of the
/// first's light.
#[derive(Debug, Clone, Copy, PartialEq)]
pub(super) struct SecondImage {
    pub dx_px: f64,
    pub dy_px: f64,
    pub share: f64,
}

impl Shape {
    /// Length of the stroke, px.
    pub fn length_px(self) -> f64 {
        let [u, v, ..] = self.parameters;
        (12.0 * u.hypot(v)).sqrt()
    }

    /// Direction of the stroke, radians from the picture's right, downwards.
    pub fn downward(self) -> f64 {
        let [u, v, ..] = self.parameters;
        0.5 * v.atan2(u)
    }

    /// Light per square pixel at places from the centre of the first image, for that image's flux
    /// of one.
    fn density(self) -> impl Fn(f64, f64) -> f64 {
        let image = self.image_density();
        let second = self.second;
        move |x, y| {
            let light = image(x, y);
            second.map_or(light, |second| {
                light + second.share * image(x - second.dx_px, y - second.dy_px)
            })
        }
    }

    /// Light per square pixel of one image.
    fn image_density(self) -> impl Fn(f64, f64) -> f64 {
        let length = self.length_px().max(SHORTEST_PX);
        let (sin, cos) = self.downward().sin_cos();
        let size = self.parameters[2];
        let spot = self.spot;
        let samples = (length * DISC_SAMPLES_PER_PX).ceil() as usize + 1;
        // evenly spaced samples have a little less variance than the stroke
        let stretch = 1.0 / (1.0 - (samples as f64).powi(-2)).sqrt();
        let (along_profile, across_profile) = match spot {
            Spot::Gaussian => {
                let deviation = size.max(0.0).sqrt();
                let scale = std::f64::consts::FRAC_1_SQRT_2 / deviation;
                let norm = 2.0 * length * std::f64::consts::TAU.sqrt() * deviation;
                let reach = 6.0 * deviation;
                (
                    Profile::new(length / 2.0 + reach, |along| {
                        let ends = [along + length / 2.0, along - length / 2.0];
                        let [far, near] = ends.map(|end| erf(end * scale));
                        (far - near) / norm
                    }),
                    Profile::new(reach, |across| (-0.5 * across * across / size).exp()),
                )
            }
            Spot::Disc => {
                // the softened edge adds the variance of its Gaussian to the area
                let soft = self.parameters[3];
                let area = std::f64::consts::PI * (size * size + soft * soft);
                let norm = area * samples as f64;
                let radial = Profile::new(size + 6.0 * soft, |radius| {
                    let edge = (radius - size) * std::f64::consts::FRAC_1_SQRT_2;
                    (0.5 - 0.5 * erf(edge / soft)) / norm
                });
                (radial, Profile::default())
            }
        };
        move |x, y| {
            let (along, across) = (x * cos + y * sin, y * cos - x * sin);
            match spot {
                Spot::Gaussian => along_profile.at(along.abs()) * across_profile.at(across.abs()),
                Spot::Disc => (0..samples)
                    .map(|index| {
                        let place = (index as f64 + 0.5) / samples as f64 - 0.5;
                        let along = along - place * length * stretch;
                        along_profile.at((along * along + across * across).sqrt())
                    })
                    .sum(),
            }
        }
    }
}

/// A function of a distance, in a table from which it is interpolated.
#[derive(Debug, Clone, Default)]
struct Profile {
    values: Vec<f64>,
}

impl Profile {
    /// Tabulates a function out to a distance, px, beyond which it is zero.
    fn new(reach: f64, function: impl Fn(f64) -> f64) -> Self {
        let count = (reach * PROFILE_POINTS_PER_PX).ceil() as usize + 2;
        let place = |index: usize| index as f64 / PROFILE_POINTS_PER_PX;
        Self {
            values: (0..count).map(|index| function(place(index))).collect(),
        }
    }

    fn at(&self, distance: f64) -> f64 {
        let place = distance * PROFILE_POINTS_PER_PX;
        let first = place as usize;
        match self.values.get(first..first + 2) {
            Some(pair) => pair[0] + (pair[1] - pair[0]) * (place - first as f64),
            None => 0.0,
        }
    }
}

/// What a template knows of a place: the light of a flux of one in a pixel there, its derivatives by
/// the shape's parameters, and by the star's place to the right and down. One more fills the registers.
pub(super) type Entry = [f32; 8];

/// Where in an [`Entry`] the derivatives by the star's place are.
const BY_X: usize = 1 + SHAPE_PARAMETERS;
const BY_Y: usize = BY_X + 1;

/// Steps of the shape's parameters for derivatives, square px and px.
const STEP: f64 = 0.02;

/// A star's light in a pixel by the pixel's place, on a grid finer than pixels.
#[derive(Debug, Clone)]
pub(super) struct Template {
    /// Points per px.
    fineness: usize,
    /// Points across and down.
    points: usize,
    entries: Vec<Entry>,
}

/// Weights of four neighbouring points between which one interpolates (E. Catmull & R. Rom 1974, from
/// memory).
fn cubic_weights(t: f64) -> [f32; 4] {
    let (t2, t3) = (t * t, t * t * t);
    [
        -0.5 * t + t2 - 0.5 * t3,
        1.0 - 2.5 * t2 + 1.5 * t3,
        0.5 * t + 2.0 * t2 - 1.5 * t3,
        -0.5 * t2 + 0.5 * t3,
    ]
    .map(|weight| weight as f32)
}

/// The light of a shape in pixels, on a grid of `points` by `points`.
fn light(shape: Shape, points: usize, fineness: usize) -> Vec<f64> {
    // samples stand between the points, `fineness` of them to a pixel
    let samples = points + fineness;
    let first = 0.5 - (points / 2 + fineness / 2) as f64;
    let place = |index: usize| (first + index as f64) / fineness as f64;
    let density = shape.density();
    let rows: Vec<Vec<f64>> = (0..samples)
        .map(|row| {
            let y = place(row);
            let line: Vec<f64> = (0..samples)
                .map(|column| density(place(column), y))
                .collect();
            let windows = line.windows(fineness).take(points);
            windows.map(|window| window.iter().sum()).collect()
        })
        .collect();
    let scale = 1.0 / (fineness * fineness) as f64;
    let mut values = Vec::with_capacity(points * points);
    for lines in rows.windows(fineness).take(points) {
        let sum = |column: usize| lines.iter().map(|line| line[column]).sum::<f64>();
        values.extend((0..points).map(|column| scale * sum(column)));
    }
    values
}

/// The four points each way around a place, and their weights.
#[derive(Debug, Clone, Copy)]
pub(super) struct Between {
    first: i64,
    weights: [f32; 4],
}

impl Between {
    /// The same place some whole pixels on.
    fn moved(self, points: i64) -> i64 {
        self.first + points
    }
}

impl Template {
    /// Computes a shape out to `reach` px from its centre, in both directions.
    pub fn new(shape: Shape, reach: usize, fineness: usize) -> Self {
        let points = 2 * reach * fineness + 1;
        let here = light(shape, points, fineness);
        let mut entries: Vec<Entry> = vec![[0.0; 8]; here.len()];
        for (entry, value) in entries.iter_mut().zip(&here) {
            entry[0] = *value as f32;
        }
        // a Gaussian has no edge
        let used = match shape.spot {
            Spot::Gaussian => SHAPE_PARAMETERS - 1,
            Spot::Disc => SHAPE_PARAMETERS,
        };
        for parameter in 0..used {
            let mut moved = shape;
            moved.parameters[parameter] += STEP;
            let moved = light(moved, points, fineness);
            for ((entry, here), moved) in entries.iter_mut().zip(&here).zip(&moved) {
                entry[1 + parameter] = ((moved - here) / STEP) as f32;
            }
        }
        // the light moves with the star, against the pixel's place
        let per_px = -0.5 * fineness as f64;
        for row in 1..points - 1 {
            for column in 1..points - 1 {
                let at = row * points + column;
                entries[at][BY_X] = (per_px * (here[at + 1] - here[at - 1])) as f32;
                entries[at][BY_Y] = (per_px * (here[at + points] - here[at - points])) as f32;
            }
        }
        Self {
            fineness,
            points,
            entries,
        }
    }

    /// How to interpolate at a place `offset` px from the centre along one axis.
    pub fn between(&self, offset: f64) -> Between {
        let place = offset * self.fineness as f64 + (self.points / 2) as f64;
        let whole = place.floor();
        Between {
            first: whole as i64 - 1,
            weights: cubic_weights(place - whole),
        }
    }

    /// The entry at a place some whole pixels to the right and below one; zeros beyond the grid.
    pub fn at(&self, across: Between, down: Between, pixels: (i64, i64)) -> Entry {
        let (points, fineness) = (self.points as i64, self.fineness as i64);
        let column = across.moved(pixels.0 * fineness);
        let row = down.moved(pixels.1 * fineness);
        let mut sum = [0.0; 8];
        if column < 0 || row < 0 || column + 4 > points || row + 4 > points {
            return sum;
        }
        for (line, below) in down.weights.iter().enumerate() {
            let start = (row as usize + line) * self.points + column as usize;
            let four = &self.entries[start..start + 4];
            for (entry, right) in four.iter().zip(across.weights) {
                let weight = below * right;
                for (sum, value) in sum.iter_mut().zip(entry) {
                    *sum += weight * value;
                }
            }
        }
        sum
    }
}

/// Parts of an entry: the light, by the star's place, by the shape.
pub(super) fn parts(entry: Entry) -> (f64, [f64; 2], [f64; SHAPE_PARAMETERS]) {
    (
        f64::from(entry[0]),
        [f64::from(entry[BY_X]), f64::from(entry[BY_Y])],
        std::array::from_fn(|index| f64::from(entry[1 + index])),
    )
}

#[cfg(test)]
mod tests {
    use super::*;

    const SHAPES: [Shape; 4] = [
        Shape {
            spot: Spot::Gaussian,
            second: None,
            parameters: [0.0, 0.0, 0.64, 0.6],
        },
        Shape {
            spot: Spot::Gaussian,
            second: None,
            parameters: [0.5, -1.5, 0.8, 0.6],
        },
        Shape {
            spot: Spot::Disc,
            second: None,
            parameters: [0.0, 0.0, 4.0, 0.6],
        },
        Shape {
            spot: Spot::Disc,
            second: None,
            parameters: [-1.0, 1.0, 3.0, 0.6],
        },
    ];

    /// The light of all pixels is the flux, and its second moments are stroke, spot and pixel.
    #[test]
    fn light_and_moments_are_kept() {
        for shape in SHAPES {
            let template = Template::new(shape, 14, 4);
            for shift in [0.0, 0.31] {
                let (across, down) = (template.between(-12.0 - shift), template.between(-12.0));
                let (mut sum, mut xx, mut xy) = (0.0, 0.0, 0.0);
                for y in 0..25 {
                    for x in 0..25 {
                        let (value, _, _) = parts(template.at(across, down, (x, y)));
                        let (dx, dy) = (x as f64 - 12.0 - shift, y as f64 - 12.0);
                        sum += value;
                        xx += value * dx * dx;
                        xy += value * dx * dy;
                    }
                }
                let [u, v, size, soft] = shape.parameters;
                let spot = match shape.spot {
                    Spot::Gaussian => size,
                    Spot::Disc => size * size / 4.0 + soft * soft,
                };
                let want = (shape.length_px().powi(2) / 12.0 + u) / 2.0 + spot + 1.0 / 12.0;
                let tolerance = if shape.spot == Spot::Disc { 0.15 } else { 0.02 };
                assert!((sum - 1.0).abs() < 5e-3, "{shape:?}: light {sum}");
                assert!(
                    (xx - want).abs() < tolerance,
                    "{shape:?}: {xx}, want {want}"
                );
                assert!((xy - v / 2.0).abs() < tolerance, "{shape:?}: {xy}");
            }
        }
    }
}
