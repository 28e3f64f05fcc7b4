//! Keys of a keyboard, as the browser's protocol describes them.

use serde_json::{Value, json};

/// A key that tests press.
#[derive(Debug, Clone, Copy)]
pub enum Key {
    Tab,
    Enter,
    Escape,
    Space,
    Left,
    Down,
}

impl Key {
    /// The parameters of `Input.dispatchKeyEvent` when it is pressed and when it is let go.
    pub fn events(self) -> [Value; 2] {
        // key and code as in UI Events, the Windows key code, and the text typed
        let (key, code, number, text) = match self {
            Self::Tab => ("Tab", "Tab", 9, None),
            Self::Enter => ("Enter", "Enter", 13, Some("\r")),
            Self::Escape => ("Escape", "Escape", 27, None),
            Self::Space => (" ", "Space", 32, Some(" ")),
            Self::Left => ("ArrowLeft", "ArrowLeft", 37, None),
            Self::Down => ("ArrowDown", "ArrowDown", 40, None),
        };
        let event = |kind: &str| {
            json!({
                "type": kind, "key": key, "code": code, "windowsVirtualKeyCode": number,
            })
        };
        let mut down = event(if text.is_some() {
            "keyDown"
        } else {
            "rawKeyDown"
        });
        if let Some(text) = text {
            down["text"] = json!(text);
        }
        [down, event("keyUp")]
    }
}
