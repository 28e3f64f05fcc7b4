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

/// In dusk the tones of dark skies and of the Milky Way have the ramp to here; those of twilight
/// and moonlight go little further along it, so that they spare the eyes and words stand out.
const DUSK_KNEE: (f32, f32) = (0.55, 0.56);
const DUSK_MOST: f32 = 0.62;

/// How far along dusk's ramp a tone is, both 0 to 1.
fn along_dusk(tone: f32) -> f32 {
    let (knee, there) = DUSK_KNEE;
    if tone < knee {
        tone / knee * there
    } else {
        there + (tone - knee) / (1.0 - knee) * (DUSK_MOST - there)
    }
}

/// The colours of the 256 tones of the sky. In red a picture is not shaded but stippled, so
/// there is none.
pub fn sky_ramp(theme: Theme) -> Option<[Colour; 256]> {
    let (stops, along): (_, fn(f32) -> f32) = match theme {
        Theme::Dusk => (DUSK, along_dusk),
        Theme::Paper => (PAPER, std::convert::identity),
        Theme::Red => return None,
    };
    Some(std::array::from_fn(|tone| {
        let at = along(tone as f32 / 255.0) * (stops.len() - 1) as f32;
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
        for (theme, sign) in [(Theme::Dusk, 1), (Theme::Paper, -1)] {
            let ramp = sky_ramp(theme).expect("a ramp");
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
        assert_eq!(sky_ramp(Theme::Red), None);
    }
}
