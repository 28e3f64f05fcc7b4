//! Edits of the document, one enum for each part of it, and what each does.
//!
//! A field reports an edit of its own value; the edit is applied to the document as it is
//! then, so that nothing typed meanwhile elsewhere is lost.

pub mod exposure;
pub mod framing;
pub mod import;
pub mod kit;
pub mod lists;
pub mod mount;
pub mod night;
pub mod ridge;
pub mod site;

use std::mem::{Discriminant, discriminant};
use std::rc::Rc;

use exposure::ExposureEdit;
use framing::FramingEdit;
use kit::{BodyEdit, KitEdit};
use lists::ListsEdit;
use mount::MountEdit;
use night::NightEdit;
use ridge::RidgeEdit;
use site::SiteEdit;

use crate::camera::lens::Lens;
use crate::outing::document::{Document, OutingId};
use crate::outing::plan::{Outing, Weather};
use crate::outing::share::file::SharedFile;
use crate::outing::test_frame::offers::TakenFrame;

/// A change of the document.
#[derive(Debug, Clone)]
pub enum Edit {
    /// The kit in use.
    Kit(KitEdit),
    /// The site in use, but for its skyline.
    Site(SiteEdit),
    /// The site's skyline.
    Ridge(RidgeEdit),
    /// What the exposure follows from beyond the kit.
    Exposure(ExposureEdit),
    /// Where the camera points.
    Framing(FramingEdit),
    /// The night, the minute, the limits.
    Night(NightEdit),
    /// The tracker.
    Mount(MountEdit),
    /// Temperature and humidity; `None` where they are not known.
    Weather(Option<Weather>),
    /// Saved kits and sites, ticks.
    Lists(ListsEdit),
    /// Aim, night and minute of a test frame, and its lens, as far as it shows them.
    FromTestFrame(Option<TakenFrame>, Option<Lens>),
    /// Another outing takes the place of the one in use, under its own identifier.
    Open(OutingId, Box<Outing>),
    /// A file is taken in; its outing, if it has one, under this identifier.
    Import(OutingId, Rc<SharedFile>),
}

/// Kinds of edits: edits of one kind in a row are undone together.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum EditKind {
    /// See [`Edit::Kit`].
    Kit(Discriminant<KitEdit>),
    /// See [`KitEdit::Body`].
    Body(Discriminant<BodyEdit>),
    /// See [`Edit::Site`].
    Site(Discriminant<SiteEdit>),
    /// See [`Edit::Ridge`].
    Ridge(Discriminant<RidgeEdit>),
    /// See [`RidgeEdit::Pull`].
    Pull(u32),
    /// See [`Edit::Exposure`].
    Exposure(Discriminant<ExposureEdit>),
    /// See [`Edit::Framing`].
    Framing(Discriminant<FramingEdit>),
    /// See [`Edit::Night`].
    Night(Discriminant<NightEdit>),
    /// See [`Edit::Mount`].
    Mount(Discriminant<MountEdit>),
    /// See [`Edit::Weather`].
    Weather,
    /// See [`ListsEdit::Tick`].
    Tick,
}

impl Edit {
    /// The kind, `None` for an edit that is always a step of its own.
    pub fn kind(&self) -> Option<EditKind> {
        Some(match self {
            Self::Kit(
                KitEdit::FromPhoto(_)
                | KitEdit::Use(_)
                | KitEdit::Lens(_)
                | KitEdit::Body(BodyEdit::Clock(_)),
            )
            | Self::Framing(FramingEdit::AsTaken(_))
            | Self::Site(SiteEdit::Pasted(_) | SiteEdit::Located(_) | SiteEdit::Use(_))
            | Self::Ridge(
                RidgeEdit::Add(_) | RidgeEdit::Remove(_) | RidgeEdit::Clear | RidgeEdit::Survey(_),
            )
            | Self::FromTestFrame(..)
            | Self::Open(..)
            | Self::Import(..) => return None,
            Self::Lists(ListsEdit::Tick(..)) => EditKind::Tick,
            Self::Lists(_) => return None,
            Self::Kit(KitEdit::Body(edit)) => EditKind::Body(discriminant(edit)),
            Self::Kit(edit) => EditKind::Kit(discriminant(edit)),
            Self::Site(edit) => EditKind::Site(discriminant(edit)),
            Self::Ridge(RidgeEdit::Pull { pull, .. }) => EditKind::Pull(*pull),
            Self::Ridge(edit) => EditKind::Ridge(discriminant(edit)),
            Self::Exposure(edit) => EditKind::Exposure(discriminant(edit)),
            Self::Framing(edit) => EditKind::Framing(discriminant(edit)),
            Self::Night(edit) => EditKind::Night(discriminant(edit)),
            Self::Mount(edit) => EditKind::Mount(discriminant(edit)),
            Self::Weather(_) => EditKind::Weather,
        })
    }

    /// Applies the edit.
    pub fn apply(self, document: &mut Document) {
        let outing = &mut document.outing;
        match self {
            Self::Kit(edit) => edit.apply(outing),
            Self::Site(edit) => edit.apply(&mut outing.site),
            Self::Ridge(edit) => edit.apply(&mut outing.site.ridge),
            Self::Exposure(edit) => edit.apply(outing),
            Self::Framing(edit) => edit.apply(outing),
            Self::Night(edit) => edit.apply(outing),
            Self::Mount(edit) => edit.apply(&mut outing.mount),
            Self::Weather(weather) => outing.weather = weather,
            Self::Lists(edit) => edit.apply(document),
            Self::FromTestFrame(taken, lens) => {
                if let Some(taken) = taken {
                    FramingEdit::AsTaken(taken).apply(outing);
                }
                if let Some(lens) = lens {
                    KitEdit::Lens(lens).apply(outing);
                }
            }
            Self::Open(id, outing) => {
                document.id = id;
                document.outing = *outing;
            }
            Self::Import(id, file) => import::apply(document, id, &file),
        }
    }
}
