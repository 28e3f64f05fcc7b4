//! The path of a drawing, in SVG's words.
//!
//! Source of the words: W3C, *Scalable Vector Graphics 1.1*, ch. 8.

use crate::decimal;

/// Places behind the point: a hundredth of a drawing's unit is finer than any
/// screen shows.
const PLACES: usize = 2;

/// A path being drawn.
#[derive(Default)]
pub struct SvgPath {
    text: String,
}

impl SvgPath {
    /// Lifts the pen and sets it down at a place.
    pub fn move_to(&mut self, place: (f64, f64)) -> &mut Self {
        self.command('M', place)
    }

    /// Draws a straight line to a place.
    pub fn line_to(&mut self, place: (f64, f64)) -> &mut Self {
        self.command('L', place)
    }

    /// A line through places; nothing where there are none.
    pub fn polyline(&mut self, places: impl IntoIterator<Item = (f64, f64)>) -> &mut Self {
        for (number, place) in places.into_iter().enumerate() {
            if number == 0 {
                self.move_to(place);
            } else {
                self.line_to(place);
            }
        }
        self
    }

    /// Draws a quadratic curve about a control point to a place.
    pub fn curve_to(&mut self, control: (f64, f64), place: (f64, f64)) -> &mut Self {
        self.command('Q', control).command(' ', place)
    }

    /// Draws half an ellipse or less with these radii to a place; `clockwise` as on the screen.
    pub fn arc_to(&mut self, radii: (f64, f64), clockwise: bool, place: (f64, f64)) -> &mut Self {
        self.command('A', radii);
        self.text
            .push_str(if clockwise { " 0 0 1" } else { " 0 0 0" });
        self.command(' ', place)
    }

    /// A dot: a line of no length, which a round pen draws.
    pub fn dot(&mut self, place: (f64, f64)) {
        self.command('M', place);
        self.text.push_str("h0");
    }

    /// Draws a square from its upper left corner.
    pub fn square(&mut self, (x, y): (f64, f64), size: f64) {
        self.move_to((x, y)).line_to((x + size, y));
        self.line_to((x + size, y + size)).line_to((x, y + size));
        self.text.push('Z');
    }

    /// Draws a bar one unit high from its upper left corner.
    pub fn bar(&mut self, place: (f64, f64), width: usize) {
        self.move_to(place);
        for (letter, length) in [("h", width as f64), ("v1h", -(width as f64))] {
            self.text.push_str(letter);
            decimal::put(&mut self.text, length, 0);
        }
        self.text.push('z');
    }

    /// The path as an attribute.
    pub fn finish(self) -> String {
        self.text
    }

    fn command(&mut self, letter: char, (x, y): (f64, f64)) -> &mut Self {
        self.text.push(letter);
        decimal::put(&mut self.text, x, PLACES);
        self.text.push(' ');
        decimal::put(&mut self.text, y, PLACES);
        self
    }
}
