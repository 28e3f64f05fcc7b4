//! How the lens of the kit in use departs from an ideal one: distortion, the width
//! of a star, light lost in the corners.

use yew::prelude::*;

use crate::camera::lens::{Lens, StarWidth};
use crate::decimal::plain;
use crate::outing::plan::bounds::{FALLOFF_STOPS, K1, K2, STAR_PX, distortion};
use crate::outing::plan::kit::Kit;
use crate::ui::state::action::Action;
use crate::ui::state::document::kit::KitEdit;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::text_field::{About, Read, TextField, optional_text_field};

const DISTORTION: &str = "Distortion: r′ = r (1 + k1 q + k2 q²), q = (r ÷ half diagonal)². Both 0: \
                          an ideal lens; k1 negative: a barrel.";

const STAR: &str = "Width of a star that stands still, at half its brightness:";

/// What an empty box means.
const UNKNOWN: &str = "empty: not known";

/// Corner light loss of a fast wide lens: common practice.
const FALLOFF: &str = "wide open; empty: not known; 2 is typical (common practice)";

/// The fields, folded.
pub fn real_lens_fields(kit: &Kit, dispatch: &Dispatch) -> Html {
    html! {
        <details>
            <summary>{ "Real lens" }</summary>
            <p>{ DISTORTION }</p>
            <div class="pair">{ coefficient_fields(kit.lens, dispatch) }</div>
            <p>{ STAR }</p>
            <div class="pair">{ star_width_fields(kit.lens, dispatch) }</div>
            { falloff_field(kit.lens, dispatch) }
        </details>
    }
}

fn coefficient_fields(lens: Lens, dispatch: &Dispatch) -> Html {
    // a phone's digits have no minus
    let signed = |id, value| TextField::words((id, id, ""), plain(value));
    let [k1, k2] = [
        signed("k1", lens.distortion.k1),
        signed("k2", lens.distortion.k2),
    ];
    let (first, second) = ("first order".to_owned(), "second order".to_owned());
    html! {
        <>
            { optional_text_field(k1, first, reader(lens, read_k1), dispatch) }
            { optional_text_field(k2, second, reader(lens, read_k2), dispatch) }
        </>
    }
}

fn star_width_fields(lens: Lens, dispatch: &Dispatch) -> Html {
    let width = lens.star_width;
    let centre = optional_number(
        ("star-centre", "Star in the middle", STAR_PX.unit),
        width.map(|width| width.centre_px),
    );
    let corner = optional_number(
        ("star-corner", "Star in the corners", STAR_PX.unit),
        width.map(|width| width.corner_px),
    );
    let field = |field: TextField, read: Read| {
        optional_text_field(field, UNKNOWN.to_owned(), read, dispatch)
    };
    html! {
        <>
            { field(centre, reader(lens, read_centre_width)) }
            { field(corner, reader(lens, read_corner_width)) }
        </>
    }
}

fn falloff_field(lens: Lens, dispatch: &Dispatch) -> Html {
    let about = ("falloff", "Vignetting in the corners", FALLOFF_STOPS.unit);
    let field = optional_number(about, lens.corner_falloff_stops);
    let read = Callback::from(|text: String| {
        FALLOFF_STOPS
            .read_if_any(&text)
            .map(|stops| KitEdit::CornerFalloff(stops).into())
    });
    optional_text_field(field, FALLOFF.to_owned(), read, dispatch)
}

/// A field for a number that may be unknown.
fn optional_number(about: About, value: Option<f64>) -> TextField {
    TextField::digits(about, value.map(plain).unwrap_or_default())
}

/// A field's reader of the lens in force: what is typed beside what stands there.
fn reader(lens: Lens, read: fn(&Lens, &str) -> Result<KitEdit, String>) -> Read {
    Callback::from(move |text: String| read(&lens, &text).map(Action::from))
}

/// Reads one coefficient, with the other as it is; an empty box is 0.
fn read_k1(lens: &Lens, text: &str) -> Result<KitEdit, String> {
    let k1 = K1.read_if_any(text)?.unwrap_or(0.0);
    distortion(k1, lens.distortion.k2).map(KitEdit::Distortion)
}

fn read_k2(lens: &Lens, text: &str) -> Result<KitEdit, String> {
    let k2 = K2.read_if_any(text)?.unwrap_or(0.0);
    distortion(lens.distortion.k1, k2).map(KitEdit::Distortion)
}

fn read_centre_width(lens: &Lens, text: &str) -> Result<KitEdit, String> {
    let known = lens.star_width;
    let known = known.map(|known| (known.centre_px, known.corner_px));
    let widths = beside(STAR_PX.read_if_any(text)?, known);
    Ok(KitEdit::StarWidth(widths.map(|(centre_px, corner_px)| {
        StarWidth {
            centre_px,
            corner_px,
        }
    })))
}

fn read_corner_width(lens: &Lens, text: &str) -> Result<KitEdit, String> {
    let known = lens.star_width;
    let known = known.map(|known| (known.corner_px, known.centre_px));
    let widths = beside(STAR_PX.read_if_any(text)?, known);
    Ok(KitEdit::StarWidth(widths.map(|(corner_px, centre_px)| {
        StarWidth {
            centre_px,
            corner_px,
        }
    })))
}

/// The value typed into one of two fields, and the other's, after it. The two are known
/// together or not at all: the other is taken to be the same until it is typed, and a
/// field that is emptied, perhaps to type it anew, takes the other's value, until both
/// have been.
fn beside(typed: Option<f64>, known: Option<(f64, f64)>) -> Option<(f64, f64)> {
    match (typed, known) {
        (Some(own), known) => Some((own, known.map_or(own, |(_, other)| other))),
        (None, Some((own, other))) if own != other => Some((other, other)),
        (None, _) => None,
    }
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::Outing;

    fn typed(kit: &mut Kit, texts: &[(&str, &str)]) -> Vec<String> {
        let mut outing = Outing {
            kit: kit.clone(),
            ..Outing::default()
        };
        let mut errors = Vec::new();
        for (name, text) in texts {
            let lens = &outing.kit.lens;
            let read = match *name {
                "k1" => read_k1(lens, text),
                "k2" => read_k2(lens, text),
                "centre" => read_centre_width(lens, text),
                _ => read_corner_width(lens, text),
            };
            match read {
                Ok(edit) => edit.apply(&mut outing),
                Err(error) => errors.push(error),
            }
        }
        *kit = outing.kit;
        errors
    }

    #[test]
    fn coefficients_are_typed_one_after_the_other() {
        let mut kit = Kit::default();
        assert!(typed(&mut kit, &[("k1", "−0,03"), ("k2", "0.0125")]).is_empty());
        assert_eq!(
            (kit.lens.distortion.k1, kit.lens.distortion.k2),
            (-0.03, 0.0125)
        );
        // strong ones in the order in which each is possible with the other in force
        let folded = typed(&mut kit, &[("k1", "-0.3"), ("k2", "0.2"), ("k1", "-0.3")]);
        assert_eq!(folded.len(), 1, "{folded:?}");
        assert_eq!(
            (kit.lens.distortion.k1, kit.lens.distortion.k2),
            (-0.3, 0.2)
        );
        let beyond = typed(&mut kit, &[("k1", "-0.6"), ("k2", "wide")]);
        assert_eq!(
            beyond,
            ["k1 must be from -0.5 to 0.5", "k2 must be a number"]
        );
        assert!(typed(&mut kit, &[("k1", ""), ("k2", " ")]).is_empty());
        assert!(kit.lens.distortion.is_none());
    }

    #[test]
    fn star_widths_are_typed_one_after_the_other() {
        let mut kit = Kit::default();
        let mut widths = |texts: &[(&str, &str)]| {
            assert_eq!(typed(&mut kit, texts), Vec::<String>::new());
            let width = kit.lens.star_width;
            width.map(|width| (width.centre_px, width.corner_px))
        };
        assert_eq!(widths(&[("centre", "1.5")]), Some((1.5, 1.5)));
        assert_eq!(widths(&[("corner", "2.5 px")]), Some((1.5, 2.5)));
        // typed anew, the other stays
        assert_eq!(widths(&[("centre", ""), ("centre", "2")]), Some((2.0, 2.5)));
        assert_eq!(widths(&[("corner", ""), ("centre", "")]), None);
        assert_eq!(widths(&[("corner", "3")]), Some((3.0, 3.0)));
    }
}
