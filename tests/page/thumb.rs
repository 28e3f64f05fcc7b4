//! A thumb on a picture.

use serde_json::json;

use super::input::TAP;
use super::phone::Phone;

/// Moves of the finger in a drag: browsers report a finger that goes by as several.
const MOVES: u32 = 4;

impl Phone {
    /// The point of an element at shares of its width and height, CSS px of the screen.
    pub async fn point_of(&self, locator: &str, (right, down): (f64, f64)) -> (f64, f64) {
        let place = self
            .run(&format!(
                "const element = locate({});
                 if (!element) return null;
                 const box = element.getBoundingClientRect();
                 return [box.x + {right} * box.width, box.y + {down} * box.height]",
                json!(locator)
            ))
            .await;
        serde_json::from_value(place).unwrap_or_else(|_| panic!("no {locator}"))
    }

    /// Taps a point of the screen.
    pub async fn tap_at(&self, at: (f64, f64)) {
        self.drag(at, at).await;
    }

    /// Puts a thumb on a point, moves it to another and lifts it. Ends when the page has drawn what
    /// that led to.
    pub async fn drag(&self, from: (f64, f64), to: (f64, f64)) {
        self.finger("touchStart", Some(from)).await;
        if from != to {
            for step in 1..=MOVES {
                let share = f64::from(step) / f64::from(MOVES);
                let between = |from: f64, to: f64| from + share * (to - from);
                let at = (between(from.0, to.0), between(from.1, to.1));
                self.finger("touchMove", Some(at)).await;
            }
        }
        tokio::time::sleep(TAP).await;
        self.finger("touchEnd", None).await;
        self.run(
            "await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)))",
        )
        .await;
    }

    async fn finger(&self, kind: &str, at: Option<(f64, f64)>) {
        let points: Vec<_> = at.iter().map(|(x, y)| json!({"x": x, "y": y})).collect();
        let touch = json!({"type": kind, "touchPoints": points});
        self.cdp("Input.dispatchTouchEvent", touch).await;
    }
}
