//! The worker's side of [`messages`](crate::outing::messages).
//!
//! It runs on its own thread, so that the page stays responsive while a tile is read, and is
//! fetched on first use, so that the page stays small. Each message from the page is an object:
//! `bytes`, a [`ToWorker`], and `files`, its files. What it sends is the bytes of a [`FromWorker`].

use std::io::Read;

use js_sys::{Array, Reflect, Uint8Array};
use serde::Serialize;
use wasm_bindgen::closure::Closure;
use wasm_bindgen::{JsCast, throw_str};
use web_sys::{DedicatedWorkerGlobalScope, File, MessageEvent};

use crate::astrometry::decode::{DecodedPicture, PictureError};
use crate::astrometry::stage::Stage;
use crate::browser::file_source::FileSource;
use crate::camera::photo::PhotoFacts;
use crate::land::declination::declination;
use crate::land::ridge::Sighting;
use crate::land::skyline::{Viewpoint, skyline};
use crate::land::survey::Surveyed;
use crate::land::table;
use crate::land::terrain::Terrain;
use crate::land::tile::Tile;
use crate::light::sample_image::SampleImage;
use crate::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};
use crate::outing::share::qr;
use crate::outing::test_frame::report::{DecodedSize, FrameAnswer};
use crate::outing::test_frame::{clock_code, measured};

/// Key of a message's bytes.
pub(super) const BYTES: &str = "bytes";

/// Key of the list of files beside them.
pub(super) const FILES: &str = "files";

/// Largest photo read, bytes: a larger one would fill a phone's memory.
const LARGEST_PHOTO: u64 = 300_000_000;

/// Most bytes of a file read as a table: far more than any table has.
const LONGEST_TABLE: u64 = 4_000_000;

/// The seed of all pictures.
const SEED: u64 = 1;

const UNOPENED: &str = "the phone could not open this file";

/// Answers requests for as long as the worker lives.
pub fn serve() {
    let scope: DedicatedWorkerGlobalScope = js_sys::global().unchecked_into();
    let page = scope.clone();
    let listener = Closure::<dyn Fn(MessageEvent)>::new(move |event: MessageEvent| {
        let data = event.data();
        let part = |key: &str| Reflect::get(&data, &key.into()).unwrap_or_default();
        let bytes = Uint8Array::new(&part(BYTES)).to_vec();
        let Some(ToWorker { id, request }) = decode(&bytes) else {
            // the request's id is unknown; the error is reported to the page
            throw_str("not a request of this build");
        };
        let files = Array::from(&part(FILES)).into_iter();
        let files: Vec<File> = files.filter_map(|file| file.dyn_into().ok()).collect();
        let on_stage = |stage| dispatch(&page, &FromWorker::Stage { id, stage });
        let result = answer(request, &files, &mut { on_stage });
        dispatch(&page, &FromWorker::Answer { id, result });
    });
    scope.set_onmessage(Some(listener.as_ref().unchecked_ref()));
    listener.forget();
    dispatch(&scope, &FromWorker::Ready);
}

fn dispatch(page: &DedicatedWorkerGlobalScope, message: &impl Serialize) {
    let sent = encode(message).map(|bytes| page.post_message(&Uint8Array::from(&bytes[..])));
    if !matches!(sent, Some(Ok(()))) {
        throw_str("an answer could not be sent");
    }
}

fn answer(
    request: Request,
    files: &[File],
    on_stage: &mut dyn FnMut(Stage),
) -> Result<Response, String> {
    match request {
        Request::ReadPhoto => photo(files.first()).map(Response::Photo),
        Request::ReadSkyline { eye, bend } => {
            let survey = match files.first() {
                Some(file) if !is_tile(&file.name()) => rows(&text(file)?),
                _ => land(files, eye, bend),
            };
            survey.map(Response::Skyline)
        }
        Request::ReadTable(text) => rows(&text).map(Response::Skyline),
        Request::Declination {
            latitude,
            longitude,
            height_m,
            date,
        } => {
            let found = declination(latitude, longitude, height_m, date);
            Ok(Response::Declination(found))
        }
        Request::DrawSampleImages(patches) => {
            let pictures = SampleImage::render_all(&patches, SEED);
            Ok(Response::SampleImages(pictures))
        }
        Request::DrawCode(text) => {
            let code = qr::draw(&text).ok_or("this link is too long for a code")?;
            Ok(Response::QrCode(code))
        }
        Request::MeasureFrame(priors) => {
            on_stage(Stage::Reading);
            frame(files, priors.decoded, |decoded| {
                measured::answer(decoded, &priors, on_stage)
            })
        }
        Request::ReadClock(decoded) => frame(files, decoded, |decoded| {
            clock_code::read(decoded).map(FrameAnswer::Clock)
        }),
    }
}

/// The bytes of a file.
fn bytes_of(file: Option<&File>) -> Result<Vec<u8>, String> {
    let mut source = file.and_then(FileSource::new).ok_or(UNOPENED)?;
    if source.length() > LARGEST_PHOTO {
        return Err("this file is too large to open here".to_owned());
    }
    let mut bytes = Vec::new();
    source.read_to_end(&mut bytes).map_err(|_| UNOPENED)?;
    Ok(bytes)
}

/// The camera data in a photo.
fn photo(file: Option<&File>) -> Result<PhotoFacts, String> {
    PhotoFacts::read(&bytes_of(file)?).map_err(|why| why.to_string())
}

/// What is made of a picture: decoded here, or by the page, whose pixels are the second file.
fn frame(
    files: &[File],
    size: DecodedSize,
    make: impl FnOnce(&DecodedPicture) -> Result<FrameAnswer, String>,
) -> Result<Response, String> {
    let bytes = bytes_of(files.first())?;
    let decoded = match size {
        Some((width, height)) => {
            let rgba = bytes_of(files.get(1))?;
            DecodedPicture::from_rgba((width as usize, height as usize), &rgba, &bytes)
        }
        None => DecodedPicture::read(&bytes),
    };
    drop(bytes);
    let answer = match decoded {
        Ok(decoded) => make(&decoded)?,
        Err(
            why @ (PictureError::UnknownFormat
            | PictureError::NoPreview
            | PictureError::Unreadable
            | PictureError::TooLarge),
        ) if size.is_none() => FrameAnswer::Undecoded(why.to_string()),
        Err(why) => return Err(why.to_string()),
    };
    let bytes = encode(&answer).ok_or("the memory of this phone has run out")?;
    Ok(Response::Frame(bytes))
}

/// Whether a file is an elevation tile by its name; all others are tables.
fn is_tile(name: &str) -> bool {
    let end = |end: &str| {
        let start = name.len().checked_sub(end.len());
        start.is_some_and(|start| name.as_bytes()[start..].eq_ignore_ascii_case(end.as_bytes()))
    };
    end(".hgt") || end(".tif") || end(".tiff")
}

/// A file as text.
fn text(file: &File) -> Result<String, String> {
    let mut bytes = Vec::new();
    let source = FileSource::new(file).ok_or(UNOPENED)?;
    source
        .take(LONGEST_TABLE)
        .read_to_end(&mut bytes)
        .map_err(|_| UNOPENED)?;
    Ok(String::from_utf8_lossy(&bytes).into_owned())
}

/// A table's rows as a survey without gaps.
fn rows(text: &str) -> Result<Vec<Surveyed>, String> {
    let rows = table::read(text).map_err(|why| why.to_string())?;
    let point = |row: &Sighting| Surveyed {
        bearing: row.bearing,
        height: Some(row.height),
    };
    Ok(rows.iter().map(point).collect())
}

/// The skyline over tiles.
fn land(files: &[File], eye: Viewpoint, bend: f64) -> Result<Vec<Surveyed>, String> {
    let mut tiles = Vec::with_capacity(files.len());
    for file in files {
        let name = file.name();
        let bytes = FileSource::new(file).ok_or(UNOPENED)?;
        tiles.push(Tile { name, bytes });
    }
    let terrain = Terrain::read(tiles, eye.latitude, eye.longitude);
    let seen = terrain.and_then(|terrain| skyline(&terrain, eye, bend));
    Ok(seen.map_err(|why| why.to_string())?.survey())
}
