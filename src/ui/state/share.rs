//! The outing, kits and sites on their way to another phone, and what came in.

use std::rc::Rc;

use crate::browser::{url_hash, worker_client};
use crate::outing::plan::Outing;
use crate::outing::plan::kit::MOST_KITS;
use crate::outing::plan::site::MOST_SITES;
use crate::outing::share::file::{self, ImportCounts, SharedFile, kit_line, new_items, site_line};
use crate::outing::share::qr::{self, QrCode};
use crate::outing::share::query;
use crate::outing::share::short_link::{LeftOut, shortened_to};
use crate::ui::state::action::Action;
use crate::ui::state::document::Document;
use crate::ui::widgets::dispatch::Dispatch;
use crate::ui::widgets::svg_path::SvgPath;

/// What is passed on, and what came in, while its sheet is open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Share {
    /// The code drawn last.
    pub drawn: Option<Rc<DrawnCode>>,
    /// Whether the link could be copied, once somebody wished it.
    pub copied: Option<bool>,
    /// What was read last.
    pub message: Option<String>,
}

/// A code, or why there is none.
#[derive(Debug, PartialEq)]
pub struct DrawnCode {
    /// The written form it was drawn for.
    pub made_for: String,
    /// What the code lacks of it.
    pub left_out: LeftOut,
    /// The picture, or a sentence.
    pub picture: Result<CodeImage, String>,
}

/// A code to be shown.
#[derive(Debug, PartialEq)]
pub struct CodeImage {
    /// Squares to a side, without the quiet ones around.
    pub side: usize,
    /// Its dark squares as a path.
    pub path: String,
}

impl CodeImage {
    /// Dark squares side by side are one bar, which is shorter to say and leaves
    /// no seams.
    pub fn new(code: &QrCode) -> Self {
        let mut path = SvgPath::default();
        for (row, squares) in code.dark.chunks(code.side.max(1)).enumerate() {
            let mut from = 0;
            while from < squares.len() {
                let dark = squares[from];
                let rest = squares[from..].iter();
                let width = rest.take_while(|square| **square == dark).count();
                if dark {
                    path.bar((from as f64, row as f64), width);
                }
                from += width;
            }
        }
        Self {
            side: code.side,
            path: path.finish(),
        }
    }
}

/// The whole link to an outing, from its written form.
pub fn link(form: &str) -> String {
    url_hash::page() + "#" + form
}

/// Asks for the code of an outing's link; as much of it as a code can hold.
pub fn request_code(outing: &Outing, dispatch: &Dispatch) {
    let made_for = query::write(outing);
    let room = qr::MOST_BYTES.saturating_sub(link("").len());
    let dispatch = dispatch.clone();
    let message = move |left_out, picture| {
        dispatch.emit(Action::CodeDrawn(Rc::new(DrawnCode {
            made_for,
            left_out,
            picture,
        })));
    };
    match shortened_to(outing, room) {
        Some(short) => worker_client::code(link(&short.text), move |code| {
            message(short.left_out, code.map(|code| CodeImage::new(&code)));
        }),
        None => message(
            LeftOut::Names,
            Err("this page's address is too long for a code".to_owned()),
        ),
    }
}

/// Takes in what a file held, and says what became of it.
pub fn import(kept: &mut Document, read: &Result<SharedFile, String>) -> String {
    let bundle = match read {
        Ok(bundle) => bundle,
        Err(why) => return why.clone(),
    };
    let mut message = Vec::new();
    if let Some(outing) = &bundle.outing {
        kept.outing.clone_from(outing);
        message.push("The outing is in use now; Undo brings back the one before.".to_owned());
    }
    let lines = |kits: &[_]| kits.iter().map(kit_line).collect::<Vec<_>>();
    let (places, taken) = new_items(&lines(&kept.kits), &lines(&bundle.kits), MOST_KITS);
    for place in places.into_iter().rev() {
        kept.kits.insert(0, bundle.kits[place].clone());
    }
    tell(&mut message, "kit", taken, MOST_KITS);
    let lines = |sites: &[_]| sites.iter().map(site_line).collect::<Vec<_>>();
    let (places, taken) = new_items(&lines(&kept.sites), &lines(&bundle.sites), MOST_SITES);
    for place in places.into_iter().rev() {
        kept.sites.insert(0, bundle.sites[place].clone());
    }
    tell(&mut message, "site", taken, MOST_SITES);
    if *bundle == SharedFile::default() {
        message.push("This file holds nothing.".to_owned());
    }
    for error in &bundle.errors {
        message.push(format!("{error}."));
    }
    message.join(" ")
}

/// Says what became of kits or sites.
fn tell(message: &mut Vec<String>, what: &str, taken: ImportCounts, most: usize) {
    let plural = |count: usize| if count == 1 { "" } else { "s" };
    let ImportCounts {
        new,
        held,
        left_out,
    } = taken;
    if new > 0 {
        message.push(format!("{new} {what}{} taken in.", plural(new)));
    }
    if held > 0 {
        message.push(format!("{held} {what}{} here already.", plural(held)));
    }
    if left_out > 0 {
        message.push(format!(
            "{left_out} {what}{} left out: {most} are kept at most.",
            plural(left_out)
        ));
    }
}

/// What a file of all kits and sites is made of.
pub fn lists(kept: &Document) -> String {
    file::write_lists(&kept.kits, &kept.sites)
}

#[cfg(test)]
mod tests {
    use super::*;
    use crate::outing::plan::kit::Kit;
    use crate::ui::state::State;
    use crate::ui::state::routes::Theme;

    fn kit(name: &str) -> Kit {
        Kit {
            name: name.to_owned(),
            ..Kit::default()
        }
    }

    fn holding(kits: &[Kit]) -> State {
        let kept = Document {
            kits: kits.to_vec(),
            ..Document::default()
        };
        State::new(kept, Theme::Dusk, Vec::new())
    }

    fn read(text: &str) -> Action {
        Action::BundleRead(Rc::new(file::read(text)))
    }

    #[test]
    fn what_came_in_stands_first_and_is_undone_whole() {
        let state = holding(&[kit("a"), kit("b")]);
        let sites = [crate::outing::plan::site::Site::default()];
        let file = file::write_lists(&[kit("c"), kit("b"), kit("d")], &sites);
        let after = state.after(read(&file));
        let names: Vec<_> = after.kept.kits.iter().map(|kit| &kit.name[..]).collect();
        assert_eq!(names, ["c", "d", "a", "b"]);
        let message = after.carry.message.as_deref();
        let wanted = "2 kits taken in. 1 kit here already. 1 site taken in.";
        assert_eq!(message, Some(wanted));
        assert_eq!(after.after(Action::Undone).kept, state.kept);
        // a second file is undone by itself
        let second = after.after(read("v=1&mm=85"));
        assert_eq!(second.after(Action::Undone).kept, after.kept);
    }

    #[test]
    fn nothing_of_ones_own_is_pushed_out() {
        let own: Vec<_> = (1..MOST_KITS).map(|n| kit(&n.to_string())).collect();
        let file = file::write_lists(&[kit("x"), kit("y")], &[]);
        let after = holding(&own).after(read(&file));
        assert_eq!(after.kept.kits.len(), MOST_KITS);
        assert_eq!(after.kept.kits[1..], own);
        let message = after.carry.message.expect("a sentence");
        assert_eq!(
            message,
            "1 kit taken in. 1 kit left out: 30 are kept at most."
        );
    }

    #[test]
    fn an_outing_comes_as_from_a_link_and_rubbish_changes_nothing() {
        let state = holding(&[]);
        let after = state.after(read("https://example.org/#v=1&mm=85&colour=blue"));
        assert_eq!(after.kept.outing.kit.lens.focal_mm, 85.0);
        let message = after.carry.message.clone().expect("a sentence");
        assert!(
            message.ends_with("colour: means nothing here."),
            "{message}"
        );
        assert_eq!(after.after(Action::Undone).kept, state.kept);
        for (text, message) in [
            (
                "<html>",
                "this is neither a file of ours nor a link to an outing",
            ),
            ("tarnlight 1", "This file holds nothing."),
        ] {
            let after = state.after(read(text));
            assert_eq!((&after.kept, after.before), (&state.kept, None));
            assert_eq!(after.carry.message.as_deref(), Some(message));
        }
    }

    #[test]
    fn a_picture_has_every_dark_square_once() {
        let code = QrCode {
            side: 3,
            dark: [1, 1, 0, 0, 0, 0, 1, 0, 1].map(|it| it == 1).to_vec(),
        };
        let picture = CodeImage::new(&code);
        let wanted = "M0.00 0.00h2v1h-2zM0.00 2.00h1v1h-1zM2.00 2.00h1v1h-1z";
        assert_eq!((picture.side, picture.path.as_str()), (3, wanted));
    }
}
