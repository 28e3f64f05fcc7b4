//! What a finger and a keyboard do on a phone.

use std::path::Path;
use std::time::Duration;

use serde_json::{Value, json};

use super::key::Key;
use super::phone::Phone;

/// How long a finger stays on what it taps or is drawn to: a browser takes no shorter touch for a tap.
pub(super) const TAP: Duration = Duration::from_millis(30);

impl Phone {
    /// Taps an element with a finger.
    pub async fn tap(&self, locator: &str) {
        self.hold(locator, TAP).await;
    }

    /// Taps what begins with this text.
    pub async fn tap_text(&self, text: &str) {
        self.tap(&format!("text={text}")).await;
    }

    /// Unfolds what an element is folded in, by a tap on each summary.
    pub async fn unfold(&self, locator: &str) {
        let element = json!(locator);
        let folded = format!("locate({element}).closest('details:not([open])')");
        while self.holds(&folded).await {
            self.run(&format!("{folded}.firstElementChild.id = 'to-unfold'"))
                .await;
            self.tap("#to-unfold").await;
            self.run("document.querySelector('#to-unfold').removeAttribute('id')")
                .await;
        }
    }

    /// Holds a finger on an element, and waits until the page has had the click, which the browser
    /// sends only after the touch has ended.
    pub async fn hold(&self, locator: &str, time: Duration) {
        self.press(locator).await;
        tokio::time::sleep(time).await;
        self.release().await;
        // no frame comes to a page that the click hides or leaves
        self.holds(
            "await new Promise(done => {
                 requestAnimationFrame(() => requestAnimationFrame(done));
                 setTimeout(done, 200);
             })",
        )
        .await;
    }

    /// Puts a finger on an element, once nothing moves any more.
    pub async fn press(&self, locator: &str) {
        let element = json!(locator);
        let place = self
            .run(&format!(
                "await Promise.allSettled(document.getAnimations().map(one => one.finished));
                 const element = locate({element});
                 if (!element) return null;
                 element.scrollIntoView({{block: 'center'}});
                 // a touch meets what was painted last
                 await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
                 const box = element.getBoundingClientRect();
                 return [box.x + box.width / 2, box.y + box.height / 2]"
            ))
            .await;
        assert!(place.is_array(), "no {locator}");
        let points = json!([{"x": place[0], "y": place[1]}]);
        self.touch("touchStart", points).await;
    }

    /// Lifts the finger.
    pub async fn release(&self) {
        self.touch("touchEnd", json!([])).await;
    }

    async fn touch(&self, kind: &str, points: Value) {
        let touch = json!({"type": kind, "touchPoints": points});
        self.cdp("Input.dispatchTouchEvent", touch).await;
    }

    /// Types into a field, in place of what is in it, and finishes it.
    pub async fn fill(&self, locator: &str, text: &str) {
        self.type_text(locator, text).await;
        let locator = json!(locator);
        self.run(&format!(
            "locate({locator}).dispatchEvent(new Event('change', {{bubbles: true}}))"
        ))
        .await;
    }

    /// Types into a field, in place of what is in it, and stays in it.
    pub async fn type_text(&self, locator: &str, text: &str) {
        self.set_value(locator, text, "new InputEvent('input', {bubbles: true})")
            .await;
    }

    /// Pastes into a text area, in place of what is in it.
    pub async fn paste(&self, locator: &str, text: &str) {
        self.set_value(locator, text, "new Event('change', {bubbles: true})")
            .await;
    }

    async fn set_value(&self, locator: &str, text: &str, event: &str) {
        let (locator, text) = (json!(locator), json!(text));
        self.run(&format!(
            "const field = locate({locator});
             field.focus();
             field.value = {text};
             field.dispatchEvent({event})"
        ))
        .await;
    }

    /// Presses a key.
    pub async fn key(&self, key: Key) {
        for event in key.events() {
            self.cdp("Input.dispatchKeyEvent", event).await;
        }
    }

    /// Chooses a file in a file field.
    pub async fn choose_file(&self, locator: &str, path: &Path) {
        let field = json!({"expression": format!("locate({})", json!(locator))});
        let field = self.cdp("Runtime.evaluate", field).await;
        let field = field["result"]["objectId"].clone();
        assert!(field.is_string(), "no {locator}");
        let files = json!({"files": [path], "objectId": field});
        self.cdp("DOM.setFileInputFiles", files).await;
    }
}
