//! Tones of the sky as the pixels of a canvas, in each theme's own way: shaded in dusk; on paper in
//! seven steps of ink with a line between them, or shaded where they are a camera's pixels; in red even
//! light is drawn as level lines and
//! what stands out of it is stippled.

use std::sync::OnceLock;

use crate::browser::theme::Theme;
use crate::outing::sky_picture::SkyTones;
use crate::ui::palette::{BLACK, Colour, RED_30, RED_60, Shading, tone_ramp};
use crate::unit_hash::unit_hash;

/// Steps of ink on paper.
const STEPS: usize = 7;

/// In red, tones under this are left black: the dark sky.
const BARE: f32 = 0.17;

/// The same of pixels of a camera: their sky is grey with noise.
const BARE_PIXELS: f32 = 0.34;

/// In red no more than this share of the pixels is dotted: a bright sky would cost the eyes what the
/// theme is for.
const MOST_LIT: f32 = 0.42;

/// In red, tones that stand out by more than this have dots of the middle tone among those of the
/// lowest.
const BRIGHT: f32 = 0.22;

/// In red, the share of a column's pixels that are no brighter than its even light, and the tone
/// from which even light is drawn as lines: twilight's and the Moon's, not the Milky Way's.
const EVEN_SHARE: f32 = 0.25;
const LINES_FROM: f32 = 0.3;

/// In red, the share of the rows that the brightest even light fills with lines.
const MOST_LINES: f32 = 0.2;

/// Lines come and go in a pattern of so many rows, a power of two.
const LINE_ROWS: usize = 16;

/// Pixels of a canvas.
#[derive(Debug, Clone, PartialEq, Eq)]
pub struct Pixels {
    /// Pixels from left to right.
    pub width: usize,
    /// Pixels from top to bottom.
    pub height: usize,
    /// Red, green, blue and opacity of each, row by row from the top left.
    pub rgba: Vec<u8>,
}

/// The pixels of a picture that will be this large on the screen, CSS px. In dusk they are the
/// picture's own, since a canvas that is enlarged smoothly is as good; pixels of a camera are on paper
/// too.
pub fn painted(
    tones: &SkyTones,
    (theme, shading): (Theme, Shading),
    size: (usize, usize),
) -> Pixels {
    let shaded = |ramp: [Colour; 256]| {
        let colours = tones.values.iter().map(|tone| ramp[usize::from(*tone)]);
        filled((tones.width, tones.height), colours)
    };
    match (tone_ramp(theme, shading), theme, shading) {
        (Some(ramp), Theme::Dusk, _) | (Some(ramp), _, Shading::Pixels) => shaded(ramp),
        (Some(ramp), ..) => stepped(tones, &ramp, size),
        (None, ..) => stippled(tones, shading, size),
    }
}

fn filled((width, height): (usize, usize), colours: impl Iterator<Item = Colour>) -> Pixels {
    let mut rgba = Vec::with_capacity(width * height * 4);
    for [red, green, blue] in colours {
        rgba.extend([red, green, blue, 255]);
    }
    rgba.resize(width * height * 4, 0);
    Pixels {
        width,
        height,
        rgba,
    }
}

/// Steps of ink, with a line of the next darker one where they meet.
fn stepped(tones: &SkyTones, ramp: &[Colour; 256], (width, height): (usize, usize)) -> Pixels {
    let sampler = Sampler::new(tones, (width, height));
    let step = |x: usize, y: usize| {
        let tone = sampler.at(x, y);
        ((tone * STEPS as f32) as usize).min(STEPS - 1)
    };
    let mut above = vec![0; width];
    let mut colours = Vec::with_capacity(width * height);
    for y in 0..height {
        let mut left = None;
        for (x, over) in above.iter_mut().enumerate() {
            let here = step(x, y);
            let edge = left.is_some_and(|left| left != here) || (y > 0 && *over != here);
            let shown = if edge {
                here.max(left.unwrap_or(here)).max(*over) + 1
            } else {
                here
            };
            colours.push(ramp[(shown * 255 / STEPS).min(255)]);
            left = Some(here);
            *over = here;
        }
    }
    filled((width, height), colours.into_iter())
}

/// The even light of each column, twilight's or the Moon's, as level lines, the more the brighter;
/// what stands out of it as dots.
fn stippled(tones: &SkyTones, shading: Shading, (width, height): (usize, usize)) -> Pixels {
    let sampler = Sampler::new(tones, (width, height));
    let (bare, even) = match shading {
        Shading::Sky => (BARE, even_light(tones)),
        Shading::Pixels => (BARE_PIXELS, Vec::new()),
    };
    let lined = |x: usize| {
        let column = x * tones.width / width.max(1);
        let even = even.get(column).copied().unwrap_or_default();
        (even - LINES_FROM).max(0.0)
    };
    let thresholds = thresholds();
    let colours = (0..height).flat_map(|y| {
        let (sampler, lined) = (&sampler, &lined);
        let rank = (y % LINE_ROWS).reverse_bits() >> (usize::BITS - LINE_ROWS.trailing_zeros());
        let line_from = (rank as f32 + 0.5) / LINE_ROWS as f32;
        (0..width).map(move |x| {
            let lined = lined(x);
            let out = ((sampler.at(x, y) - lined - bare) / (1.0 - bare)).min(MOST_LIT);
            let threshold = thresholds[(y % NOISE_SIDE) * NOISE_SIDE + x % NOISE_SIDE];
            if threshold < out - BRIGHT {
                RED_60
            } else if threshold < out || line_from < lined / (1.0 - LINES_FROM) * MOST_LINES {
                RED_30
            } else {
                BLACK
            }
        })
    });
    filled((width, height), colours)
}

/// The tone that a quarter of each column's pixels do not exceed, 0 to 1.
fn even_light(tones: &SkyTones) -> Vec<f32> {
    let mut column: Vec<u8> = Vec::with_capacity(tones.height);
    let of_column = |x: usize| {
        column.clear();
        column.extend(tones.values.iter().skip(x).step_by(tones.width.max(1)));
        column.sort_unstable();
        let place = (column.len() as f32 * EVEN_SHARE) as usize;
        column
            .get(place)
            .map_or(0.0, |tone| f32::from(*tone) / 255.0)
    };
    (0..tones.width).map(of_column).collect()
}

/// Side of the square of thresholds that is laid over a picture again and again, pixels.
const NOISE_SIDE: usize = 64;

static THRESHOLDS: OnceLock<Vec<f32>> = OnceLock::new();

/// Thresholds from 0 to 1, each as often as any other, of which neighbours differ: dots keep apart
/// without a pattern.
///
/// Random numbers less what their neighbours have in common, ranked, a few times over: blue noise
/// by filtering (R. A. Ulichney, *Proc. IEEE* 76 (1988) 56, from memory).
fn thresholds() -> &'static [f32] {
    const PASSES: usize = 4;
    const COUNT: usize = NOISE_SIDE * NOISE_SIDE;
    THRESHOLDS.get_or_init(|| {
        let mut values: Vec<f32> = (0..COUNT as u64).map(|at| unit_hash(at) as f32).collect();
        for _ in 0..PASSES {
            let at = |x: usize, y: usize| values[(y % NOISE_SIDE) * NOISE_SIDE + x % NOISE_SIDE];
            let around = |place: usize| {
                let (x, y) = (
                    place % NOISE_SIDE + NOISE_SIDE,
                    place / NOISE_SIDE + NOISE_SIDE,
                );
                let sides = at(x - 1, y) + at(x + 1, y) + at(x, y - 1) + at(x, y + 1);
                let corners =
                    at(x - 1, y - 1) + at(x + 1, y - 1) + at(x - 1, y + 1) + at(x + 1, y + 1);
                at(x, y) - (2.0 * sides + corners) / 12.0
            };
            let sharpened: Vec<f32> = (0..COUNT).map(around).collect();
            let mut order: Vec<usize> = (0..COUNT).collect();
            order.sort_by(|one, other| sharpened[*one].total_cmp(&sharpened[*other]));
            for (rank, place) in order.into_iter().enumerate() {
                values[place] = (rank as f32 + 0.5) / COUNT as f32;
            }
        }
        values
    })
}

/// Tones between the picture's pixels, 0 to 1.
struct Sampler<'a> {
    tones: &'a SkyTones,
    scale: (f32, f32),
}

impl<'a> Sampler<'a> {
    fn new(tones: &'a SkyTones, (width, height): (usize, usize)) -> Self {
        Self {
            tones,
            scale: (
                tones.width as f32 / width.max(1) as f32,
                tones.height as f32 / height.max(1) as f32,
            ),
        }
    }

    fn at(&self, x: usize, y: usize) -> f32 {
        let SkyTones { width, height, .. } = *self.tones;
        let along = |pixel: usize, scale: f32, pixels: usize| {
            let at = ((pixel as f32 + 0.5) * scale - 0.5).max(0.0);
            let first = (at as usize).min(pixels.saturating_sub(1));
            (
                first,
                (first + 1).min(pixels.saturating_sub(1)),
                at - first as f32,
            )
        };
        let (left, right, across) = along(x, self.scale.0, width);
        let (top, foot, down) = along(y, self.scale.1, height);
        let tone = |x: usize, y: usize| {
            let tone = self.tones.values.get(y * width + x);
            tone.map_or(0.0, |tone| f32::from(*tone) / 255.0)
        };
        let row = |y| tone(left, y) + (tone(right, y) - tone(left, y)) * across.clamp(0.0, 1.0);
        row(top) + (row(foot) - row(top)) * down.clamp(0.0, 1.0)
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn even(tone: u8) -> SkyTones {
        SkyTones {
            width: 4,
            height: 3,
            values: vec![tone; 12],
        }
    }

    fn lit(pixels: &Pixels) -> f32 {
        let lit = pixels.rgba.chunks(4).filter(|pixel| pixel[0] > 0).count();
        lit as f32 / (pixels.width * pixels.height) as f32
    }

    /// Bright even light is lines, the more the brighter, over the dots of a sky that has none; the
    /// dark sky is black.
    #[test]
    fn even_light_is_lines() {
        let even_lit = |tone| painted(&even(tone), (Theme::Red, Shading::Sky), (128, 128));
        assert_eq!((lit(&even_lit(0)), lit(&even_lit(20))), (0.0, 0.0));
        for tone in [60_u8, 128, 200, 255] {
            let pixels = even_lit(tone);
            let full = |row: &&[u8]| row.chunks(4).all(|pixel| pixel[0] > 0);
            let lines = pixels.rgba.chunks(128 * 4).filter(full).count() as f32 / 128.0;
            let bright = (f32::from(tone) / 255.0 - LINES_FROM).max(0.0);
            let want = bright / (1.0 - LINES_FROM) * MOST_LINES;
            let near = 0.5 / LINE_ROWS as f32 + 1e-6;
            assert!((lines - want).abs() <= near, "{tone}: {lines}, not {want}");
        }
    }

    /// What stands out of a dark column is dotted as densely as its tone says, up to the most that is
    /// lit, in any part of the picture.
    #[test]
    fn stipple_is_as_dense_as_the_tone() {
        for tone in [60_u8, 100, 140, 220] {
            let band = SkyTones {
                width: 1,
                height: 256,
                values: (0..256).map(|y| if y < 128 { 0 } else { tone }).collect(),
            };
            let pixels = painted(&band, (Theme::Red, Shading::Sky), (256, 256));
            let quarter = Pixels {
                width: 100,
                height: 100,
                rgba: (140..240)
                    .flat_map(|y| pixels.rgba[(y * 256 + 20) * 4..(y * 256 + 120) * 4].to_vec())
                    .collect(),
            };
            let want = ((f32::from(tone) / 255.0 - BARE) / (1.0 - BARE)).min(MOST_LIT);
            assert!(
                (lit(&quarter) - want).abs() < 0.02,
                "{tone}: {}",
                lit(&quarter)
            );
        }
    }

    /// Thresholds are spread evenly, and neighbours keep apart: those under a tenth touch one
    /// another far more seldom than dots thrown at random would.
    #[test]
    fn dots_keep_apart() {
        let mut values = thresholds().to_vec();
        let low =
            |x: usize, y: usize| thresholds()[(y % NOISE_SIDE) * NOISE_SIDE + x % NOISE_SIDE] < 0.1;
        let touching = (0..values.len())
            .map(|place| (place % NOISE_SIDE, place / NOISE_SIDE))
            .filter(|(x, y)| low(*x, *y) && (low(x + 1, *y) || low(*x, y + 1)))
            .count();
        // at random a fifth of 410 dots
        assert!(touching < 20, "{touching}");
        values.sort_by(f32::total_cmp);
        for (rank, value) in values.iter().enumerate() {
            let even = (rank as f32 + 0.5) / (NOISE_SIDE * NOISE_SIDE) as f32;
            assert!((value - even).abs() < 1e-6);
        }
    }

    /// In red nothing but the three tones of red and black is painted.
    #[test]
    fn red_has_three_tones() {
        let picture = SkyTones {
            width: 256,
            height: 1,
            values: (0..=255).collect(),
        };
        for shading in [Shading::Sky, Shading::Pixels] {
            let pixels = painted(&picture, (Theme::Red, shading), (256, 50));
            for pixel in pixels.rgba.chunks(4) {
                let colour = [pixel[0], pixel[1], pixel[2]];
                assert!([BLACK, RED_30, RED_60].contains(&colour), "{colour:?}");
            }
        }
    }

    #[test]
    fn every_size_is_filled() {
        for theme in Theme::ALL {
            for look in [Shading::Sky, Shading::Pixels].map(|shading| (theme, shading)) {
                for size in [(1, 1), (7, 5), (300, 2)] {
                    let pixels = painted(&even(90), look, size);
                    assert_eq!(pixels.rgba.len(), pixels.width * pixels.height * 4);
                }
                let none = painted(&SkyTones::default(), look, (3, 3));
                assert_eq!(none.rgba.len(), none.width * none.height * 4);
            }
        }
    }

    /// On paper the sky has steps of ink, and a camera's pixels have each their own tone.
    #[test]
    fn paper_steps_the_sky_alone() {
        let picture = SkyTones {
            width: 256,
            height: 1,
            values: (0..=255).collect(),
        };
        let tones = |shading| {
            let pixels = painted(&picture, (Theme::Paper, shading), (256, 8));
            let mut colours: Vec<&[u8]> = pixels.rgba.chunks(4).collect();
            colours.sort_unstable();
            colours.dedup();
            colours.len()
        };
        assert!(tones(Shading::Sky) <= STEPS + 1);
        assert!(tones(Shading::Pixels) > 100);
    }
}
