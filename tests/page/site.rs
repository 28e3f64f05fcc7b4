//! A static server, as plain as the ones the page is put on.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use sha2::{Digest, Sha256};
use tiny_http::{Header, Request, Response, Server};

use super::built::{Built, FRONT};

/// The page lies in a folder of the server, not at its root.
const FOLDER: &str = "/night/";

/// Brotli's strongest setting, as files are packed that are packed once.
const QUALITY: i32 = 11;

/// A running server. Dropped, it stops and its port is closed.
pub struct Site {
    shelf: Arc<Shelf>,
    server: Option<Arc<Server>>,
    thread: Option<JoinHandle<()>>,
    origin: String,
}

/// What is served, and what was asked for.
struct Shelf {
    built: Mutex<Built>,
    asked: Mutex<Vec<String>>,
    broken: Mutex<BTreeMap<String, Broken>>,
}

/// What a server may answer in place of a file.
#[derive(Debug, Clone)]
pub enum Broken {
    /// That there is none: status 404.
    Missing,
    /// Only so many of its bytes, as after an upload that was cut off.
    Cut(usize),
    /// The page, as servers do that send all unknown addresses there.
    Front,
    /// Another text, not to be kept by the browser.
    Text(String),
}

impl Site {
    /// Serves the build in `dist`.
    pub fn of_dist() -> Self {
        Self::of(Built::from_dist())
    }

    /// Serves a build.
    pub fn of(built: Built) -> Self {
        pack_all(&built);
        let server = Arc::new(Server::http("127.0.0.1:0").expect("a port is free"));
        let shelf = Arc::new(Shelf {
            built: Mutex::new(built),
            asked: Mutex::default(),
            broken: Mutex::default(),
        });
        let origin = format!("http://{}", server.server_addr());
        let thread = {
            let (server, shelf) = (server.clone(), shelf.clone());
            std::thread::spawn(move || {
                for request in server.incoming_requests() {
                    shelf.answer(request);
                }
            })
        };
        Self {
            shelf,
            server: Some(server),
            thread: Some(thread),
            origin,
        }
    }

    /// From now on, other files are served.
    pub fn switch_to(&self, built: Built) {
        *lock(&self.shelf.built) = built;
    }

    /// From now on, this is answered in place of a file.
    pub fn break_file(&self, name: &str, broken: Broken) {
        lock(&self.shelf.broken).insert(name.to_owned(), broken);
    }

    /// From now on, all files are served as they are.
    pub fn mend(&self) {
        lock(&self.shelf.broken).clear();
    }

    /// Address of the page.
    pub fn address(&self) -> String {
        format!("{}{FOLDER}", self.origin)
    }

    /// Address of the page with a text after `#`.
    pub fn address_with(&self, hash: &str) -> String {
        format!("{}#{hash}", self.address())
    }

    /// Paths asked for so far.
    pub fn asked(&self) -> Vec<String> {
        lock(&self.shelf.asked).clone()
    }
}

impl Drop for Site {
    fn drop(&mut self) {
        if let Some(server) = self.server.take() {
            server.unblock();
        }
        if let Some(thread) = self.thread.take() {
            // a server that panicked has said so already
            let _ = thread.join();
        }
    }
}

impl Shelf {
    fn answer(&self, request: Request) {
        let path = request
            .url()
            .split(['?', '#'])
            .next()
            .unwrap_or_default()
            .to_owned();
        lock(&self.asked).push(path.clone());
        let name = path
            .strip_prefix(FOLDER)
            .map(|name| if name.is_empty() { FRONT } else { name });
        let found = |name: &str| {
            let built = lock(&self.built);
            built.get(name).map(|bytes| (kind(name), bytes.to_vec()))
        };
        let pack = takes_brotli(&request);
        let served = |(kind, bytes)| file(kind, bytes, pack);
        let broken = name.and_then(|name| lock(&self.broken).get(name).cloned());
        let response = match (name, broken) {
            (Some(name), None) => found(name).map(served),
            (Some(name), Some(Broken::Cut(length))) => found(name).map(|(kind, mut bytes)| {
                bytes.truncate(length);
                served((kind, bytes))
            }),
            (Some(_), Some(Broken::Front)) => found(FRONT).map(served),
            (Some(name), Some(Broken::Text(text))) => Some(unkept(kind(name), text)),
            (_, Some(Broken::Missing)) | (None, _) => None,
        };
        let response = response.unwrap_or_else(missing);
        // a browser that went away needs no answer
        let _ = request.respond(response);
    }
}

fn file(kind: &str, bytes: Vec<u8>, pack: bool) -> Response<Cursor<Vec<u8>>> {
    let pack = pack && is_packed(kind);
    let bytes = if pack { packed(&bytes) } else { bytes };
    let mut response = Response::from_data(bytes)
        .with_header(header("Content-Type", kind))
        // as common static hosts do, so that stale copies are met here too
        .with_header(header("Cache-Control", "max-age=600"))
        .with_header(header("Vary", "Accept-Encoding"));
    if pack {
        response.add_header(header("Content-Encoding", "br"));
    }
    response
}

/// An answer that the browser keeps as long as any file, as hosts let it.
fn missing() -> Response<Cursor<Vec<u8>>> {
    Response::from_data("no such file")
        .with_status_code(404)
        .with_header(header("Cache-Control", "max-age=600"))
}

fn unkept(kind: &str, text: String) -> Response<Cursor<Vec<u8>>> {
    Response::from_data(text)
        .with_header(header("Content-Type", kind))
        .with_header(header("Cache-Control", "no-store"))
}

fn kind(name: &str) -> &'static str {
    match name.rsplit('.').next() {
        Some("html") => "text/html; charset=utf-8",
        Some("css") => "text/css",
        Some("js") => "text/javascript",
        Some("wasm") => "application/wasm",
        Some("svg") => "image/svg+xml",
        Some("png") => "image/png",
        Some("webmanifest") => "application/manifest+json",
        _ => "application/octet-stream",
    }
}

fn header(name: &str, value: &str) -> Header {
    Header::from_bytes(name, value).expect("a header of plain letters")
}

fn takes_brotli(request: &Request) -> bool {
    let mut headers = request.headers().iter();
    let accepted = headers.find(|header| header.field.equiv("Accept-Encoding"));
    accepted.is_some_and(|header| {
        let value = header.value.as_str();
        value.split(',').any(|way| way.trim() == "br")
    })
}

/// Packs what will be asked for, so that no page waits for it.
fn pack_all(built: &Built) {
    for (name, bytes) in built.files() {
        if is_packed(kind(name)) {
            packed(bytes);
        }
    }
}

/// Whether brotli makes such files smaller.
fn is_packed(kind: &str) -> bool {
    kind != "image/png"
}

/// The bytes after brotli; each file is packed once for all tests.
fn packed(bytes: &[u8]) -> Vec<u8> {
    static PACKED: Mutex<BTreeMap<Vec<u8>, Vec<u8>>> = Mutex::new(BTreeMap::new());
    let pack = || {
        let params = brotli::enc::BrotliEncoderParams {
            quality: QUALITY,
            ..Default::default()
        };
        let mut out = Vec::new();
        brotli::BrotliCompress(&mut &bytes[..], &mut out, &params).expect("memory does not fail");
        out
    };
    let key = Sha256::digest(bytes).to_vec();
    lock(&PACKED).entry(key).or_insert_with(pack).clone()
}

/// The value of a lock, also after another test failed while holding it.
fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
