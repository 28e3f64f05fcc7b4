//! The QR code of the outing's link.

use yew::prelude::*;

use crate::decimal;
use crate::outing::share::qr::QUIET;
use crate::outing::share::short_link::LeftOut;
use crate::ui::state::share::{CodeImage, DrawnCode};
use crate::ui::text::share;

const SCAN: &str = "For another phone's camera; once it has opened this page it needs no signal.";

/// The code, and what it lacks; `None` while it is drawn.
pub fn code(drawn: Option<&DrawnCode>) -> Html {
    let Some(drawn) = drawn else {
        return html! { <p role="status">{ "Drawing the code …" }</p> };
    };
    match &drawn.picture {
        Ok(picture) => html! {
            <>
                { squares(picture) }
                <p class="legend">{ SCAN }</p>
                { left_out(drawn.left_out) }
            </>
        },
        Err(why) => html! { <p class="told" role="status">{ why }</p> },
    }
}

/// The squares of the outing's code.
pub fn squares(picture: &CodeImage) -> Html {
    labelled_squares(picture, "QR code of the link to this outing")
}

/// The squares of a code with what it is for a screen reader.
pub fn labelled_squares(picture: &CodeImage, label: &'static str) -> Html {
    let quiet = QUIET as f64;
    let whole = picture.side as f64 + 2.0 * quiet;
    let mut view_box = String::new();
    for number in [-quiet, -quiet, whole, whole] {
        decimal::put(&mut view_box, number, 0);
        view_box.push(' ');
    }
    html! {
        <svg
            class="code"
            role="img"
            aria-label={label}
            viewBox={view_box}
        >
            <path d={picture.path.clone()} />
        </svg>
    }
}

/// What the code lacks, in a sentence.
pub fn left_out(left_out: LeftOut) -> Html {
    html! {
        if let Some(message) = share::left_out(left_out) {
            <p class="in-use">{ message }</p>
        }
    }
}
