//! Colours of the three themes for canvases: the same as in `styles/tokens.css`.

use crate::browser::theme::Theme;

/// A colour: red, green, blue.
pub type Colour = [u8; 3];

/// Tones of the sky from the darkest to the brightest. On paper the picture is a negative: light
/// is ink.
const DUSK: [Colour; 6] = [
    [0x09, 0x10, 0x16],
    [0x10, 0x1d, 0x26],
    [0x28, 0x3e, 0x4d],
    [0x5e, 0x79, 0x8d],
    [0xa0, 0xb7, 0xcb],
    [0xde, 0xe8, 0xf2],
];
const PAPER: [Colour; 6] = [
    [0xfb, 0xf6, 0xea],
    [0xef, 0xe7, 0xd7],
    [0xd8, 0xd5, 0xcc],
    [0xb0, 0xb8, 0xbb],
    [0x7c, 0x8f, 0x9c],
    [0x42, 0x5c, 0x74],
];

/// The three tones of red, shares of its light: 100, 60 and 30 %.
pub const RED: Colour = [0xff, 0, 0];
/// See [`RED`].
pub const RED_60: Colour = [0xcb, 0, 0];
/// See [`RED`].
pub const RED_30: Colour = [0x95, 0, 0];

/// The unlit screen.
pub const BLACK: Colour = [0, 0, 0];

/// What tones stand for.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Shading {
    /// Light of the sky: twilight and moonlight go little further along the ramp than the Milky Way,
    /// so that they spare the eyes and words stand out.
    Sky,
    /// Pixels of a camera, from black to white.
    Pixels,
}

/// The tone up to which a sky is a dark one, with the Milky Way in it; how far along its ramp that
/// leads, and the brightest twilight, in dusk and on paper.
const KNEE: f32 = 0.66;
const DUSK_KNEE_AND_MOST: (f32, f32) = (0.58, 0.64);
const PAPER_KNEE_AND_MOST: (f32, f32) = (0.5, 0.56);

/// How far along a ramp a tone of the sky is, both 0 to 1.
fn along_ramp(tone: f32, (knee, most): (f32, f32)) -> f32 {
    if tone < KNEE {
        tone / KNEE * knee
    } else {
        knee + (tone - KNEE) / (1.0 - KNEE) * (most - knee)
    }
}

/// The colours of 256 tones. In red a picture is not shaded but stippled, so there is none.
pub fn tone_ramp(theme: Theme, shading: Shading) -> Option<[Colour; 256]> {
    let (stops, ends) = match theme {
        Theme::Dusk => (DUSK, DUSK_KNEE_AND_MOST),
        Theme::Paper => (PAPER, PAPER_KNEE_AND_MOST),
        Theme::Red => return None,
    };
    Some(std::array::from_fn(|tone| {
        let tone = tone as f32 / 255.0;
        let along = match shading {
            Shading::Sky => along_ramp(tone, ends),
            Shading::Pixels => tone,
        };
        let at = along * (stops.len() - 1) as f32;
        let first = (at as usize).min(stops.len() - 2);
        let share = at - first as f32;
        std::array::from_fn(|channel| {
            let (from, to) = (
                f32::from(stops[first][channel]),
                f32::from(stops[first + 1][channel]),
            );
            (from + (to - from) * share).round() as u8
        })
    }))
}

/// Colour of stars.
pub const fn star(theme: Theme) -> &'static str {
    match theme {
        Theme::Dusk => "#e9eff4",
        Theme::Paper => "#22261f",
        Theme::Red => "#ff0000",
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// Each ramp goes one way: a brighter sky is never drawn darker, nor on paper lighter.
    #[test]
    fn ramps_go_one_way() {
        let looks = [Shading::Sky, Shading::Pixels]
            .map(|shading| [(Theme::Dusk, 1, shading), (Theme::Paper, -1, shading)]);
        for (theme, sign, shading) in looks.into_iter().flatten() {
            let ramp = tone_ramp(theme, shading).expect("a ramp");
            for pair in ramp.windows(2) {
                let light =
                    |colour: Colour| colour.iter().map(|part| i32::from(*part)).sum::<i32>();
                assert!(
                    sign * (light(pair[1]) - light(pair[0])) >= 0,
                    "{theme:?} {pair:?}"
                );
            }
            assert_ne!(ramp[0], ramp[255]);
        }
        assert_eq!(tone_ramp(Theme::Red, Shading::Sky), None);
    }
}
