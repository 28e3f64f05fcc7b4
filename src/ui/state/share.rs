//! The Share sheet: the code of the outing's link, and the result of an import.

use std::rc::Rc;

use super::document::Edit;
use super::document::import::ImportReport;
use crate::outing::document::{Document, OutingId};
use crate::outing::share::file::SharedFile;
use crate::outing::share::qr::QrCode;
use crate::outing::share::short_link::LeftOut;
use crate::ui::text::share::imported;
use crate::ui::widgets::svg_path::SvgPath;

/// What is shared, and what came in, while the sheet is open.
#[derive(Debug, Clone, PartialEq, Default)]
pub struct Share {
    /// The code drawn last.
    pub code: Option<Rc<DrawnCode>>,
    /// Whether the link could be copied, once that was asked.
    pub copied: Option<bool>,
    /// What became of the file opened last.
    pub message: Option<String>,
}

/// What changes it.
#[derive(Debug, Clone)]
pub enum ShareAction {
    /// The code of the outing's link was drawn, or not.
    CodeDrawn(Rc<DrawnCode>),
    /// The link was copied, or not.
    LinkCopied(bool),
    /// A file or a link was opened.
    Import(Rc<Result<SharedFile, String>>),
}

impl Share {
    /// The code, if it was drawn for this written form and not for an outing edited since.
    pub fn code_of(&self, form: &str) -> Option<&DrawnCode> {
        self.code.as_deref().filter(|code| code.made_for == form)
    }

    /// Applies an action, with the edit of the document that follows from it. `id` is for an
    /// outing that comes in.
    pub fn reduce(
        &mut self,
        action: ShareAction,
        document: &Document,
        id: OutingId,
    ) -> Option<Edit> {
        match action {
            ShareAction::CodeDrawn(code) => self.code = Some(code),
            ShareAction::LinkCopied(copied) => self.copied = Some(copied),
            ShareAction::Import(file) => match &*file {
                Ok(file) => {
                    let report = ImportReport::new(document, file);
                    self.message = Some(imported(report, file));
                    return Some(Edit::Import(id, Rc::new(file.clone())));
                }
                Err(why) => self.message = Some(why.clone()),
            },
        }
        None
    }
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

#[cfg(test)]
mod tests {
    use super::*;

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
