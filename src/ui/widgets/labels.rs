//! Where the words in a picture stand: beside their places, never over one another, over what is
//! to be seen, or cut by an edge.

/// A rectangle, px from the upper left corner of a picture.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Rect {
    /// Left edge.
    pub x: f64,
    /// Upper edge.
    pub y: f64,
    /// Width.
    pub width: f64,
    /// Height.
    pub height: f64,
}

/// Height of a word, px, and the room about it.
const HIGH_PX: f64 = 18.0;
const ROOM_PX: f64 = 3.0;

/// Width of a letter or figure of 16 px at the most, px: of the typeface's figures 8.6, and what
/// a phone without it takes.
const LETTER_PX: f64 = 9.6;

/// From a place to the word beside it, px.
const OFF_PX: f64 = 11.0;

impl Rect {
    /// Whether two of them overlap.
    pub fn overlaps(&self, other: &Self) -> bool {
        self.x < other.x + other.width
            && other.x < self.x + self.width
            && self.y < other.y + other.height
            && other.y < self.y + self.height
    }

    /// Whether another one lies in it as a whole.
    pub fn contains(&self, other: &Self) -> bool {
        self.x <= other.x
            && self.y <= other.y
            && other.x + other.width <= self.x + self.width
            && other.y + other.height <= self.y + self.height
    }

    /// A square about a place.
    pub fn square_at((x, y): (f64, f64), half: f64) -> Self {
        Self {
            x: x - half,
            y: y - half,
            width: 2.0 * half,
            height: 2.0 * half,
        }
    }
}

/// The side of its place on which a word stands.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Side {
    /// Under it, as on a plumb line.
    Below,
    /// Over it.
    Above,
    /// At its right.
    Right,
    /// At its left.
    Left,
}

/// A word that has found its place: the middle of its line.
#[derive(Debug, Clone, PartialEq)]
pub struct Label {
    /// The word.
    pub word: String,
    /// Middle of the word, px.
    pub at: (f64, f64),
    /// Which side of its place that is.
    pub side: Side,
}

/// The words of a picture, as far as they find a place.
pub struct Labels {
    within: Rect,
    taken: Vec<Rect>,
}

impl Labels {
    /// Words that stay in a part of the picture and out of others.
    pub fn new(within: Rect, taken: Vec<Rect>) -> Self {
        Self { within, taken }
    }

    /// Keeps later words off a rectangle.
    pub fn reserve(&mut self, rect: Rect) {
        self.taken.push(rect);
    }

    /// Puts a word beside a place that is `far` px wide, on the first of the sides where it fits;
    /// `None` where it fits nowhere.
    pub fn put(
        &mut self,
        word: String,
        (x, y): (f64, f64),
        far: f64,
        sides: [Side; 2],
    ) -> Option<Label> {
        let half = word.chars().count() as f64 * LETTER_PX / 2.0 + ROOM_PX;
        let (down, aside) = (far + OFF_PX + ROOM_PX, far + half + ROOM_PX);
        let place = |side| match side {
            Side::Below => (x, y + down),
            Side::Above => (x, y - down),
            Side::Right => (x + aside, y),
            Side::Left => (x - aside, y),
        };
        let rect = |(x, y): (f64, f64)| Rect {
            x: x - half,
            y: y - HIGH_PX / 2.0 - ROOM_PX,
            width: 2.0 * half,
            height: HIGH_PX + 2.0 * ROOM_PX,
        };
        let side = sides.into_iter().find(|side| {
            let here = rect(place(*side));
            self.within.contains(&here) && !self.taken.iter().any(|other| other.overlaps(&here))
        })?;
        let at = place(side);
        self.taken.push(rect(at));
        Some(Label { word, at, side })
    }
}

/// The sides to try for a word on a line with this slope: those off the line, since beside a
/// place along the line it would pass for another's.
pub fn sides_of(slope: (f64, f64)) -> [Side; 2] {
    if slope.0.abs() >= slope.1.abs() {
        [Side::Below, Side::Above]
    } else {
        [Side::Right, Side::Left]
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    const PICTURE: Rect = Rect {
        x: 0.0,
        y: 0.0,
        width: 360.0,
        height: 240.0,
    };

    /// Hours along lines of many slopes, close to one another and to the edges: whatever is
    /// placed lies in the picture, and no two words meet.
    #[test]
    fn words_never_meet_and_are_never_cut() {
        for (step_x, step_y) in [(30.0, 2.0), (14.0, -6.0), (3.0, 19.0), (60.0, 0.0)] {
            let headline = Rect {
                width: 200.0,
                height: 90.0,
                ..PICTURE
            };
            let mut labels = Labels::new(PICTURE, vec![headline]);
            let mut placed: Vec<Rect> = vec![headline];
            let mut found = 0;
            for hour in 0..14 {
                let at = (
                    -5.0 + step_x * f64::from(hour),
                    150.0 + step_y * f64::from(hour),
                );
                let sides = sides_of((step_x, step_y));
                let Some(label) = labels.put(format!("{hour:02}:00"), at, 4.0, sides) else {
                    continue;
                };
                found += 1;
                // five figures of 16 px are 43 px wide, by the typeface
                let rect = Rect {
                    x: label.at.0 - 21.5,
                    y: label.at.1 - 9.0,
                    width: 43.0,
                    height: 18.0,
                };
                assert!(PICTURE.contains(&rect), "{label:?}");
                assert!(
                    !placed.iter().any(|other| other.overlaps(&rect)),
                    "{label:?}"
                );
                placed.push(rect);
            }
            assert!(found >= 3, "{step_x} {step_y}: {found}");
        }
    }

    #[test]
    fn a_word_stands_off_its_line() {
        let mut labels = Labels::new(PICTURE, Vec::new());
        let level = labels.put("01:00".into(), (100.0, 100.0), 4.0, sides_of((10.0, 1.0)));
        assert_eq!(level.map(|label| label.side), Some(Side::Below));
        let steep = labels.put("02:00".into(), (200.0, 100.0), 4.0, sides_of((1.0, -10.0)));
        assert_eq!(steep.map(|label| label.side), Some(Side::Right));
        // at the lower edge there is room above alone
        let low = labels.put("03:00".into(), (300.0, 230.0), 4.0, sides_of((10.0, 0.0)));
        assert_eq!(low.map(|label| label.side), Some(Side::Above));
        let out = labels.put("04:00".into(), (100.0, 400.0), 4.0, sides_of((10.0, 0.0)));
        assert_eq!(out, None);
    }
}
