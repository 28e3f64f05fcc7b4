//! Turning a picture upright as its file asks.

use super::Samples;

/// How the stored rows and columns are seen: the values of EXIF tag 0x0112 (CIPA DC-008).
#[derive(Debug, Clone, Copy, PartialEq, Eq, Default)]
pub struct Orientation {
    /// Stored rows are the picture's columns.
    pub transposed: bool,
    /// Then mirrored left to right.
    pub mirrored: bool,
    /// Then turned upside down, top to bottom.
    pub flipped: bool,
}

impl Orientation {
    /// From the value of the tag; anything unknown is as stored.
    pub fn from_tag(value: u32) -> Self {
        let (transposed, mirrored, flipped) = match value {
            2 => (false, true, false),
            3 => (false, true, true),
            4 => (false, false, true),
            5 => (true, false, false),
            6 => (true, true, false),
            7 => (true, true, true),
            8 => (true, false, true),
            _ => (false, false, false),
        };
        Self {
            transposed,
            mirrored,
            flipped,
        }
    }
}

/// The samples as seen upright.
pub(super) fn upright<T: Copy>(samples: Samples<T>, orientation: Orientation) -> Samples<T> {
    let Samples {
        width,
        height,
        mut values,
    } = samples;
    if !orientation.transposed {
        if orientation.flipped && orientation.mirrored {
            values.reverse();
        } else if orientation.mirrored {
            values.chunks_mut(width).for_each(<[T]>::reverse);
        } else if orientation.flipped {
            for y in 0..height / 2 {
                let (upper, lower) = values.split_at_mut((height - 1 - y) * width);
                upper[y * width..(y + 1) * width].swap_with_slice(&mut lower[..width]);
            }
        }
        return Samples {
            width,
            height,
            values,
        };
    }
    let mut turned = Vec::with_capacity(values.len());
    for row in 0..width {
        let from_x = if orientation.flipped {
            width - 1 - row
        } else {
            row
        };
        let column = (0..height).map(|y| values[y * width + from_x]);
        if orientation.mirrored {
            turned.extend(column.rev());
        } else {
            turned.extend(column);
        }
    }
    Samples {
        width: height,
        height: width,
        values: turned,
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    /// The eight pictures of the standard: where the stored first row and first column stand.
    #[test]
    fn each_value_turns_as_the_standard_says() {
        // stored: 1 2 3 / 4 5 6
        let table: [(u32, usize, [u8; 6]); 8] = [
            (1, 3, [1, 2, 3, 4, 5, 6]),
            (2, 3, [3, 2, 1, 6, 5, 4]),
            (3, 3, [6, 5, 4, 3, 2, 1]),
            (4, 3, [4, 5, 6, 1, 2, 3]),
            (5, 2, [1, 4, 2, 5, 3, 6]),
            (6, 2, [4, 1, 5, 2, 6, 3]),
            (7, 2, [6, 3, 5, 2, 4, 1]),
            (8, 2, [3, 6, 2, 5, 1, 4]),
        ];
        for (tag, width, want) in table {
            let stored = Samples {
                width: 3,
                height: 2,
                values: vec![1, 2, 3, 4, 5, 6],
            };
            let got = upright(stored, Orientation::from_tag(tag));
            assert_eq!(
                (got.width, got.values.as_slice()),
                (width, &want[..]),
                "{tag}"
            );
        }
    }
}
