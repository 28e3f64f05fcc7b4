//! A static server, as plain as the ones the page is put on.

use std::collections::BTreeMap;
use std::io::Cursor;
use std::sync::{Arc, Mutex, PoisonError};
use std::thread::JoinHandle;

use tiny_http::{Header, Request, Response};

use super::built::{Built, INDEX};

/// The page lies in a folder of the server, not at its root.
const FOLDER: &str = "/night/";

/// What a network shows before it lets anybody out.
const SIGN_IN: &str = "<!DOCTYPE html><title>Network</title><p id=sign-in>Sign in to this network";

/// A running server. Dropped, it stops and its port is closed.
pub struct Server {
    state: Arc<ServerState>,
    http: Option<Arc<tiny_http::Server>>,
    thread: Option<JoinHandle<()>>,
    origin: String,
}

/// What is served, what was requested, and which files are served wrongly.
struct ServerState {
    built: Mutex<Built>,
    requested: Mutex<Vec<String>>,
    faults: Mutex<BTreeMap<String, Fault>>,
}

/// What a server may answer in place of a file.
#[derive(Debug, Clone)]
pub enum Fault {
    /// Status 404.
    Missing,
    /// Only so many of its bytes, as after an upload that was cut off.
    Truncated(usize),
    /// The page, as servers do that send all unknown addresses there.
    Index,
    /// Another text, not to be cached.
    Replaced(String),
    /// The file, called plain text.
    WrongType,
    /// A network's sign-in page.
    SignIn,
    /// The way to that page.
    SignInRedirect,
    /// Half of the file, after which nothing comes any more.
    Stalled,
}

impl Server {
    /// Serves the build in `dist`.
    pub fn from_dist() -> Self {
        Self::new(Built::from_dist())
    }

    /// Serves a build.
    pub fn new(built: Built) -> Self {
        // now, so that no page waits for it
        for (name, _) in built.files() {
            if is_packed(kind(name)) {
                built.packed(name);
            }
        }
        let http = tiny_http::Server::http("127.0.0.1:0").expect("a port is free");
        let http = Arc::new(http);
        let state = Arc::new(ServerState {
            built: Mutex::new(built),
            requested: Mutex::default(),
            faults: Mutex::default(),
        });
        let origin = format!("http://{}", http.server_addr());
        let thread = {
            let (http, state) = (http.clone(), state.clone());
            std::thread::spawn(move || {
                for request in http.incoming_requests() {
                    state.answer(request);
                }
            })
        };
        Self {
            state,
            http: Some(http),
            thread: Some(thread),
            origin,
        }
    }

    /// From now on, other files are served.
    pub fn switch_to(&self, built: Built) {
        *lock(&self.state.built) = built;
    }

    /// From now on, this is answered in place of a file.
    pub fn inject_fault(&self, name: &str, fault: Fault) {
        lock(&self.state.faults).insert(name.to_owned(), fault);
    }

    /// From now on, this is answered in place of every file of the build.
    pub fn inject_fault_everywhere(&self, fault: &Fault) {
        let built = lock(&self.state.built).clone();
        for (name, _) in built.files() {
            self.inject_fault(name, fault.clone());
        }
    }

    /// From now on, all files are served as they are.
    pub fn clear_faults(&self) {
        lock(&self.state.faults).clear();
    }

    /// Address of the page.
    pub fn address(&self) -> String {
        format!("{}{FOLDER}", self.origin)
    }

    /// Address of the page with a text after `#`.
    pub fn address_with(&self, hash: &str) -> String {
        format!("{}#{hash}", self.address())
    }

    /// Scheme, host and port.
    pub fn origin(&self) -> &str {
        &self.origin
    }

    /// Paths requested so far.
    pub fn requested_paths(&self) -> Vec<String> {
        lock(&self.state.requested).clone()
    }
}

impl Drop for Server {
    fn drop(&mut self) {
        if let Some(http) = self.http.take() {
            http.unblock();
        }
        if let Some(thread) = self.thread.take() {
            // a server that panicked has said so already
            let _ = thread.join();
        }
    }
}

impl ServerState {
    fn answer(&self, request: Request) {
        let path = request
            .url()
            .split(['?', '#'])
            .next()
            .unwrap_or_default()
            .to_owned();
        lock(&self.requested).push(path.clone());
        let name = path
            .strip_prefix(FOLDER)
            .map(|name| if name.is_empty() { INDEX } else { name });
        let fault = name.and_then(|name| lock(&self.faults).get(name).cloned());
        let packed = takes_brotli(&request);
        let built = lock(&self.built).clone();
        let response = match (name, fault) {
            (Some("sign-in"), _) | (Some(_), Some(Fault::SignIn)) => {
                Some(uncached("text/html", SIGN_IN.to_owned()))
            }
            (Some(_), Some(Fault::SignInRedirect)) => Some(redirected()),
            (Some(name), Some(Fault::WrongType)) => built
                .get(name)
                .map(|bytes| file("text/plain", bytes.to_vec())),
            (Some(name), Some(Fault::Stalled)) => built.get(name).map(stalled),
            (Some(name), None) => whole(&built, name, packed),
            (Some(name), Some(Fault::Truncated(length))) => built
                .get(name)
                .map(|bytes| file(kind(name), bytes[..length.min(bytes.len())].to_vec())),
            (Some(_), Some(Fault::Index)) => whole(&built, INDEX, packed),
            (Some(name), Some(Fault::Replaced(text))) => Some(uncached(kind(name), text)),
            (_, Some(Fault::Missing)) | (None, _) => None,
        };
        let response = response.unwrap_or_else(missing);
        // a browser that went away needs no answer
        let _ = request.respond(response);
    }
}

/// A file of a build, packed where the browser takes that and it helps.
fn whole(built: &Built, name: &str, packed: bool) -> Option<Response<Cursor<Vec<u8>>>> {
    let kind = kind(name);
    if packed && is_packed(kind) {
        let mut response = file(kind, built.packed(name)?.to_vec());
        response.add_header(header("Content-Encoding", "br"));
        return Some(response);
    }
    Some(file(kind, built.get(name)?.to_vec()))
}

fn file(kind: &str, bytes: Vec<u8>) -> Response<Cursor<Vec<u8>>> {
    Response::from_data(bytes)
        .with_header(header("Content-Type", kind))
        // as common static hosts do, so that stale copies are met here too
        .with_header(header("Cache-Control", "max-age=600"))
        .with_header(header("Vary", "Accept-Encoding"))
}

/// An answer that the browser keeps as long as any file, as hosts let it.
fn missing() -> Response<Cursor<Vec<u8>>> {
    Response::from_data("no such file")
        .with_status_code(404)
        .with_header(header("Cache-Control", "max-age=600"))
}

fn uncached(kind: &str, text: String) -> Response<Cursor<Vec<u8>>> {
    Response::from_data(text)
        .with_header(header("Content-Type", kind))
        .with_header(header("Cache-Control", "no-store"))
}

fn redirected() -> Response<Cursor<Vec<u8>>> {
    uncached("text/html", String::new())
        .with_status_code(302)
        .with_header(header("Location", "/night/sign-in"))
}

/// Half of what is announced; the connection stays open.
fn stalled(bytes: &[u8]) -> Response<Cursor<Vec<u8>>> {
    let half = bytes[..bytes.len() / 2].to_vec();
    let headers = vec![header("Cache-Control", "no-store")];
    Response::new(
        200.into(),
        headers,
        Cursor::new(half),
        Some(bytes.len()),
        None,
    )
    .with_chunked_threshold(usize::MAX)
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

/// Whether brotli makes such files smaller.
fn is_packed(kind: &str) -> bool {
    kind != "image/png"
}

/// The value of a lock, also after another test failed while holding it.
fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
