//! Tones of the sky as the pixels of a canvas, in each theme's own way: shaded in dusk, in seven
//! steps of ink with a line between them on paper, stippled in red.

use crate::browser::theme::Theme;
use crate::outing::sky_picture::SkyTones;
use crate::ui::palette::{BLACK, Colour, RED_30, RED_60, sky_ramp};

/// Steps of ink on paper.
const STEPS: usize = 7;

/// In red, tones under this are left black: the dark sky.
const BARE: f32 = 0.10;

/// In red no more than this share of the pixels is lit: a bright sky would cost the eyes what the
/// theme is for.
const MOST_LIT: f32 = 0.5;

/// In red, tones from this on have dots of the middle tone among those of the lowest.
const BRIGHT: f32 = 0.3;

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
/// picture's own, since a canvas that is enlarged smoothly is as good.
pub fn painted(tones: &SkyTones, theme: Theme, size: (usize, usize)) -> Pixels {
    let shaded = |ramp: [Colour; 256]| {
        let colours = tones.values.iter().map(|tone| ramp[usize::from(*tone)]);
        filled((tones.width, tones.height), colours)
    };
    match (theme, sky_ramp(theme)) {
        (Theme::Dusk, Some(ramp)) => shaded(ramp),
        (_, Some(ramp)) => stepped(tones, &ramp, size),
        (_, None) => stippled(tones, size),
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

/// Dots whose density is the tone.
fn stippled(tones: &SkyTones, (width, height): (usize, usize)) -> Pixels {
    let sampler = Sampler::new(tones, (width, height));
    let colours = (0..height).flat_map(|y| {
        let sampler = &sampler;
        (0..width).map(move |x| {
            let tone = ((sampler.at(x, y) - BARE) / (1.0 - BARE)).min(MOST_LIT);
            let threshold = noise(x as u32, y as u32);
            if tone <= 0.0 || threshold > tone {
                BLACK
            } else if tone > BRIGHT && threshold < tone - BRIGHT {
                RED_60
            } else {
                RED_30
            }
        })
    });
    filled((width, height), colours)
}

/// An even spread of thresholds from 0 to 1 over the pixels, the same each time.
///
/// Interleaved gradient noise (J. Jimenez, course *Advances in Real-Time Rendering*, SIGGRAPH 2014,
/// from memory): neighbours differ much, so that dots keep apart.
fn noise(x: u32, y: u32) -> f32 {
    let along = 0.067_110_56 * x as f32 + 0.005_837_15 * y as f32;
    (52.982_918 * along.fract()).fract()
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

    /// The share of lit pixels of an even sky follows its tone, and the dark sky is black.
    #[test]
    fn stipple_is_as_dense_as_the_tone() {
        let lit = |tone: u8| {
            let pixels = painted(&even(tone), Theme::Red, (120, 120));
            let lit = pixels.rgba.chunks(4).filter(|pixel| pixel[0] > 0).count();
            lit as f32 / (120.0 * 120.0)
        };
        assert_eq!(lit(0), 0.0);
        assert_eq!(lit(20), 0.0);
        for tone in [60_u8, 128, 200] {
            let want = ((f32::from(tone) / 255.0 - BARE) / (1.0 - BARE)).min(MOST_LIT);
            assert!((lit(tone) - want).abs() < 0.02, "{tone}: {}", lit(tone));
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
        let pixels = painted(&picture, Theme::Red, (256, 50));
        for pixel in pixels.rgba.chunks(4) {
            let colour = [pixel[0], pixel[1], pixel[2]];
            assert!([BLACK, RED_30, RED_60].contains(&colour), "{colour:?}");
        }
    }

    #[test]
    fn every_size_is_filled() {
        for theme in Theme::ALL {
            for size in [(1, 1), (7, 5), (300, 2)] {
                let pixels = painted(&even(90), theme, size);
                assert_eq!(pixels.rgba.len(), pixels.width * pixels.height * 4);
            }
            let none = painted(&SkyTones::default(), theme, (3, 3));
            assert_eq!(none.rgba.len(), none.width * none.height * 4);
        }
    }
}
