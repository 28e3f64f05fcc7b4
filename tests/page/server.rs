//! A static server, as plain as the ones the page is put on.

use std::collections::BTreeMap;
use std::convert::Infallible;
use std::net::TcpListener;
use std::pin::Pin;
use std::sync::{Arc, Mutex, PoisonError};
use std::task::{Context, Poll};
use std::thread::JoinHandle;

use http_body_util::combinators::BoxBody;
use http_body_util::{BodyExt, Full};
use hyper::body::{Body, Bytes, Frame, Incoming, SizeHint};
use hyper::header::{self, HeaderName, HeaderValue};
use hyper::server::conn::http1;
use hyper::service::service_fn;
use hyper::{Request, StatusCode};
use hyper_util::rt::TokioIo;
use tokio::sync::oneshot;

use super::built::{Built, INDEX};

/// The page lies in a folder of the server, not at its root.
const FOLDER: &str = "/night/";

/// What a network shows before it lets anybody out.
const SIGN_IN: &str = "<!DOCTYPE html><title>Network</title><p id=sign-in>Sign in to this network";

/// A running server. Dropped, it stops; its port and all connections are closed.
pub struct Server {
    state: Arc<ServerState>,
    stop: Option<oneshot::Sender<()>>,
    thread: Option<JoinHandle<()>>,
    origin: String,
}

type Response = hyper::Response<BoxBody<Bytes, Infallible>>;

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
        let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
        let address = listener.local_addr().expect("it has an address");
        let state = Arc::new(ServerState {
            built: Mutex::new(built),
            requested: Mutex::default(),
            faults: Mutex::default(),
        });
        let (stop, stopped) = oneshot::channel();
        let thread = {
            let state = state.clone();
            std::thread::spawn(move || serve(listener, state, stopped))
        };
        Self {
            state,
            stop: Some(stop),
            thread: Some(thread),
            origin: format!("http://{address}"),
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
        // told by being dropped
        drop(self.stop.take());
        if let Some(thread) = self.thread.take() {
            // a server that panicked has said so already
            let _ = thread.join();
        }
    }
}

/// Answers each connection for itself until it is told to stop: browsers open many at once and
/// leave one half read while they wait for another.
fn serve(listener: TcpListener, state: Arc<ServerState>, stopped: oneshot::Receiver<()>) {
    let runtime = tokio::runtime::Builder::new_current_thread()
        .enable_all()
        .build()
        .expect("a thread can wait for connections");
    runtime.block_on(async {
        tokio::select! {
            _ = stopped => {}
            () = accept(listener, state) => {}
        }
    });
}

async fn accept(listener: TcpListener, state: Arc<ServerState>) {
    listener
        .set_nonblocking(true)
        .expect("a socket need not block");
    let listener = tokio::net::TcpListener::from_std(listener).expect("it can be waited for");
    loop {
        let Ok((stream, _)) = listener.accept().await else {
            continue;
        };
        let state = state.clone();
        tokio::spawn(async move {
            let service = service_fn(|request: Request<Incoming>| {
                let response = state.answer(&request);
                async move { Ok::<_, Infallible>(response) }
            });
            let connection = http1::Builder::new().serve_connection(TokioIo::new(stream), service);
            // a browser that went away needs no answer
            let _ = connection.await;
        });
    }
}

impl ServerState {
    fn answer(&self, request: &Request<Incoming>) -> Response {
        let path = request.uri().path().to_owned();
        lock(&self.requested).push(path.clone());
        let name = path
            .strip_prefix(FOLDER)
            .map(|name| if name.is_empty() { INDEX } else { name });
        let fault = name.and_then(|name| lock(&self.faults).get(name).cloned());
        let packed = takes_brotli(request);
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
        response.unwrap_or_else(missing)
    }
}

/// A file of a build, packed where the browser takes that and it helps.
fn whole(built: &Built, name: &str, packed: bool) -> Option<Response> {
    let kind = kind(name);
    if packed && is_packed(kind) {
        let response = file(kind, built.packed(name)?.to_vec());
        return Some(with(response, header::CONTENT_ENCODING, "br"));
    }
    Some(file(kind, built.get(name)?.to_vec()))
}

fn file(kind: &'static str, bytes: Vec<u8>) -> Response {
    let response = with(plain(bytes), header::CONTENT_TYPE, kind);
    // as common static hosts do, so that stale copies are met here too
    let response = with(response, header::CACHE_CONTROL, "max-age=600");
    with(response, header::VARY, "Accept-Encoding")
}

/// An answer that the browser keeps as long as any file, as hosts let it.
fn missing() -> Response {
    let mut response = plain(b"no such file".to_vec());
    *response.status_mut() = StatusCode::NOT_FOUND;
    with(response, header::CACHE_CONTROL, "max-age=600")
}

fn uncached(kind: &'static str, text: String) -> Response {
    let response = with(plain(text.into_bytes()), header::CONTENT_TYPE, kind);
    with(response, header::CACHE_CONTROL, "no-store")
}

fn redirected() -> Response {
    let mut response = uncached("text/html", String::new());
    *response.status_mut() = StatusCode::FOUND;
    with(response, header::LOCATION, "/night/sign-in")
}

/// Half of what is announced; the connection stays open.
fn stalled(bytes: &[u8]) -> Response {
    let half = Bytes::copy_from_slice(&bytes[..bytes.len() / 2]);
    let body = Stalled {
        half: Some(half),
        announced: bytes.len() as u64,
    };
    let response = hyper::Response::new(body.boxed());
    with(response, header::CACHE_CONTROL, "no-store")
}

/// A body that never ends.
struct Stalled {
    half: Option<Bytes>,
    announced: u64,
}

impl Body for Stalled {
    type Data = Bytes;
    type Error = Infallible;

    fn poll_frame(
        self: Pin<&mut Self>,
        _: &mut Context<'_>,
    ) -> Poll<Option<Result<Frame<Bytes>, Infallible>>> {
        match self.get_mut().half.take() {
            Some(half) => Poll::Ready(Some(Ok(Frame::data(half)))),
            None => Poll::Pending,
        }
    }

    fn size_hint(&self) -> SizeHint {
        SizeHint::with_exact(self.announced)
    }
}

fn plain(bytes: Vec<u8>) -> Response {
    hyper::Response::new(Full::new(Bytes::from(bytes)).boxed())
}

fn with(mut response: Response, name: HeaderName, value: &'static str) -> Response {
    let value = HeaderValue::from_static(value);
    response.headers_mut().insert(name, value);
    response
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

fn takes_brotli(request: &Request<Incoming>) -> bool {
    let accepted = request.headers().get(header::ACCEPT_ENCODING);
    let accepted = accepted.and_then(|value| value.to_str().ok());
    accepted.is_some_and(|value| value.split(',').any(|way| way.trim() == "br"))
}

/// Whether brotli makes such files smaller.
fn is_packed(kind: &str) -> bool {
    kind != "image/png"
}

/// The value of a lock, also after another test failed while holding it.
fn lock<T>(mutex: &Mutex<T>) -> std::sync::MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
