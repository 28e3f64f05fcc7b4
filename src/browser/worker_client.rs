//! The page's side of [`messages`](crate::outing::messages): starts the worker, sends requests and
//! delivers the answers.
//!
//! The worker is started by the first request. A start fails when one of its files is missing, cut
//! off, of the wrong type or no WebAssembly, or when the worker is silent for `START_LIMIT_MS`;
//! later it may run out of memory. In each case every pending request gets an error message, the
//! worker is dropped, and the next request starts another.

use std::cell::RefCell;
use std::rc::Rc;

use chrono::NaiveDate;
use gloo_events::{EventListener, EventListenerOptions};
use gloo_timers::callback::Timeout;
use js_sys::{Array, Object, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, File, FileList, MessageEvent, Worker};

use crate::astrometry::stage::Stage;
use crate::browser::page_file;
use crate::browser::worker::{BYTES, FILES};
use crate::camera::photo::PhotoFacts;
use crate::land::declination::Declination;
use crate::land::skyline::Viewpoint;
use crate::land::survey::Surveyed;
use crate::light::sample_image::SampleImage;
use crate::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};
use crate::outing::plan::site::Site;
use crate::outing::share::qr::QrCode;
use crate::outing::test_frame::report::{DecodedSize, FrameAnswer, FramePriors};

/// The element that names the worker's first file.
const LOADER: &str = "worker-loader";

/// Time limit for the worker's `Ready`, ms. Its files have some 400 kB, so that this suffices at 20
/// kB/s.
const START_LIMIT_MS: u32 = 20_000;

const NO_WORKERS: &str =
    "this browser does not run the second part of the page, which reads files and draws";

const NOT_STARTED: &str = "the second part of the page, which reads files and draws, could not \
                           be loaded; try again where there is a signal";

const DIED: &str = "this phone could not do it: its memory may have run out";

const STOPPED: &str = "stopped";

const UNEXPECTED: &str = "the second part of the page is not of this version; load the page again";

/// The callback of a request.
type Done = Box<dyn FnOnce(Result<Response, String>)>;

/// The callback of a request that is answered by stages.
type OnStage = Rc<dyn Fn(Stage)>;

/// The worker, and how to start one.
struct Client {
    connection: Option<Connection>,
    /// Starts that have failed since the page was loaded.
    failed_starts: u32,
    last_id: u32,
}

/// A worker that has been started; dropping it terminates it.
struct Connection {
    worker: Worker,
    phase: Phase,
    /// Requests without an answer, sent or not, by id.
    pending: Vec<(u32, Done)>,
    /// Who hears of the stages of a request.
    on_stage: Option<(u32, OnStage)>,
    _listeners: [EventListener; 2],
}

enum Phase {
    Starting {
        unsent: Vec<JsValue>,
        _limit: Timeout,
    },
    Ready,
}

thread_local! {
    static CLIENT: RefCell<Client> = const {
        RefCell::new(Client { connection: None, failed_starts: 0, last_id: 0 })
    };
}

/// The camera data in a photo, or an error message.
pub fn photo(file: File, done: impl FnOnce(Result<PhotoFacts, String>) + 'static) {
    let pick = |response| match response {
        Response::Photo(facts) => Some(facts),
        _ => None,
    };
    send(Request::ReadPhoto, &Array::of1(&file), pick, done);
}

/// The skyline in a table, or computed from elevation tiles for a site; or an error message.
pub fn skyline(
    files: &FileList,
    site: &Site,
    bend: f64,
    done: impl FnOnce(Result<Vec<Surveyed>, String>) + 'static,
) {
    let eye = Viewpoint {
        latitude: site.latitude,
        longitude: site.longitude,
        // where the site's height is not given, the ground of the tiles is used
        height_m: Some(site.height_m).filter(|height| *height != 0.0),
    };
    let request = Request::ReadSkyline { eye, bend };
    send(request, &Array::from(files), survey, done);
}

/// The skyline in the text of a table, or an error message.
pub fn table(text: String, done: impl FnOnce(Result<Vec<Surveyed>, String>) + 'static) {
    send(Request::ReadTable(text), &Array::new(), survey, done);
}

fn survey(response: Response) -> Option<Vec<Surveyed>> {
    match response {
        Response::Skyline(survey) => Some(survey),
        _ => None,
    }
}

/// The magnetic declination at a site on a date, `None` where the model has none; or an error
/// message.
pub fn declination(
    site: &Site,
    date: NaiveDate,
    done: impl FnOnce(Result<Option<Declination>, String>) + 'static,
) {
    let request = Request::Declination {
        latitude: site.latitude,
        longitude: site.longitude,
        height_m: site.height_m,
        date,
    };
    let pick = |response| match response {
        Response::Declination(found) => Some(found),
        _ => None,
    };
    send(request, &Array::new(), pick, done);
}

/// The pictures of some patches as bytes, or an error message.
pub fn sample_images(
    patches: &[SampleImage],
    done: impl FnOnce(Result<Vec<Rc<[u8]>>, String>) + 'static,
) {
    let pick = |response| match response {
        Response::SampleImages(pictures) => Some(pictures.into_iter().map(Rc::from).collect()),
        _ => None,
    };
    let request = Request::DrawSampleImages(patches.to_vec());
    send(request, &Array::new(), pick, done);
}

/// A text as a QR code, or an error message.
pub fn code(text: String, done: impl FnOnce(Result<QrCode, String>) + 'static) {
    send(Request::DrawCode(text), &Array::new(), qr_code, done);
}

/// A function and no closure: a closure would be compiled once for each caller, the compiler would
/// keep one for all, and where that has the name of a sheet it is not there before the sheets are.
fn qr_code(response: Response) -> Option<QrCode> {
    match response {
        Response::QrCode(code) => Some(code),
        _ => None,
    }
}

/// A picture of the night sky, measured; or an error message. The pixels are those of the picture
/// where the browser decoded it. `on_stage` hears of each stage of the request sent last.
pub fn frame(
    files: &Array,
    priors: FramePriors,
    on_stage: impl Fn(Stage) + 'static,
    done: impl FnOnce(Result<FrameAnswer, String>) + 'static,
) {
    let request = Request::MeasureFrame(Box::new(priors));
    send(request, files, frame_bytes, move |bytes| {
        done(frame_answer(bytes))
    });
    CLIENT.with_borrow_mut(|client| {
        if let Some(connection) = &mut client.connection {
            connection.on_stage = Some((client.last_id, Rc::new(on_stage)));
        }
    });
}

/// The camera's clock by a photo of the code; or an error message.
pub fn clock(
    files: &Array,
    decoded: DecodedSize,
    done: impl FnOnce(Result<FrameAnswer, String>) + 'static,
) {
    let request = Request::ReadClock(decoded);
    send(request, files, frame_bytes, move |bytes| {
        done(frame_answer(bytes))
    });
}

fn frame_bytes(response: Response) -> Option<Vec<u8>> {
    match response {
        Response::Frame(bytes) => Some(bytes),
        _ => None,
    }
}

fn frame_answer(bytes: Result<Vec<u8>, String>) -> Result<FrameAnswer, String> {
    decode(&bytes?).ok_or_else(|| UNEXPECTED.to_owned())
}

/// Terminates the worker in the middle of its work. The next request starts another.
pub fn cancel() {
    fail_with(Some(STOPPED));
}

/// Sends a request with its files, and delivers what `pick` takes from the answer.
fn send<T: 'static>(
    request: Request,
    files: &Array,
    pick: fn(Response) -> Option<T>,
    done: impl FnOnce(Result<T, String>) + 'static,
) {
    let done: Done = Box::new(move |result| {
        done(result.and_then(|response| pick(response).ok_or_else(|| UNEXPECTED.to_owned())));
    });
    let unsent_request = CLIENT.with_borrow_mut(|client| client.dispatch(request, files, done));
    if let Some((done, why)) = unsent_request {
        done(Err(why.to_owned()));
    }
}

impl Client {
    /// Sends a request, at once or when the worker is ready. One that cannot be sent is returned
    /// with the reason: callbacks must not run in here, where the client is borrowed.
    fn dispatch(
        &mut self,
        request: Request,
        files: &Array,
        done: Done,
    ) -> Option<(Done, &'static str)> {
        if self.connection.is_none() {
            self.connection = Connection::start(self.failed_starts);
        }
        let Some(connection) = &mut self.connection else {
            return Some((done, NO_WORKERS));
        };
        self.last_id = self.last_id.wrapping_add(1);
        let id = self.last_id;
        let Some(bytes) = encode(&ToWorker { id, request }) else {
            return Some((done, DIED));
        };
        let message = Object::new();
        let parts: [(&str, &JsValue); 2] = [(BYTES, &Uint8Array::from(&bytes[..])), (FILES, files)];
        for (key, value) in parts {
            // setting a key of a plain object cannot fail
            let _ = Reflect::set(&message, &key.into(), value);
        }
        match &mut connection.phase {
            Phase::Starting { unsent, .. } => unsent.push(message.into()),
            Phase::Ready => {
                if connection.worker.post_message(&message).is_err() {
                    return Some((done, DIED));
                }
            }
        }
        connection.pending.push((id, done));
        None
    }
}

impl Connection {
    /// Starts a worker; `None` where the browser has none.
    fn start(failed_starts: u32) -> Option<Self> {
        let loader = page_file::address(LOADER)?;
        // a broken file may be in the browser's cache under the same address
        let address = match failed_starts {
            0 => loader,
            failed => format!("{loader}?{failed}"),
        };
        let worker = Worker::new(&address).ok()?;
        let message = EventListener::new(&worker, "message", |event| {
            if let Some(event) = event.dyn_ref::<MessageEvent>() {
                on_message(&event.data());
            }
        });
        let options = EventListenerOptions::enable_prevent_default();
        let error = EventListener::new_with_options(&worker, "error", options, |event: &Event| {
            // it is handled here and is no error of the page
            event.prevent_default();
            fail();
        });
        Some(Self {
            worker,
            phase: Phase::Starting {
                unsent: Vec::new(),
                _limit: Timeout::new(START_LIMIT_MS, fail),
            },
            pending: Vec::new(),
            on_stage: None,
            _listeners: [message, error],
        })
    }

    /// Sends the pending requests; whether all could be sent.
    fn ready(&mut self) -> bool {
        match std::mem::replace(&mut self.phase, Phase::Ready) {
            Phase::Starting { unsent, .. } => unsent
                .iter()
                .all(|message| self.worker.post_message(message).is_ok()),
            Phase::Ready => true,
        }
    }
}

impl Drop for Connection {
    fn drop(&mut self) {
        self.worker.terminate();
    }
}

/// Handles a message from the worker.
fn on_message(data: &JsValue) {
    let bytes = data.dyn_ref::<Uint8Array>().map(Uint8Array::to_vec);
    match bytes.and_then(|bytes| decode(&bytes)) {
        Some(FromWorker::Ready) => {
            let ready = |client: &mut Client| client.connection.as_mut().map(Connection::ready);
            if CLIENT.with_borrow_mut(ready) == Some(false) {
                fail();
            }
        }
        Some(FromWorker::Answer { id, result }) => {
            let done = CLIENT.with_borrow_mut(|client| {
                let connection = client.connection.as_mut()?;
                connection
                    .on_stage
                    .take_if(|(request_id, _)| *request_id == id);
                let pending = &mut connection.pending;
                let place = pending
                    .iter()
                    .position(|(request_id, _)| *request_id == id)?;
                Some(pending.swap_remove(place).1)
            });
            if let Some(done) = done {
                done(result);
            }
        }
        Some(FromWorker::Stage { id, stage }) => {
            let on_stage = CLIENT.with_borrow(|client| {
                let on_stage = client.connection.as_ref()?.on_stage.as_ref();
                on_stage
                    .filter(|(request_id, _)| *request_id == id)
                    .map(|(_, on_stage)| on_stage.clone())
            });
            if let Some(on_stage) = on_stage {
                on_stage(stage);
            }
        }
        None => fail(),
    }
}

/// Drops the worker and fails every pending request.
fn fail() {
    fail_with(None);
}

/// The same for a reason of its own, which is no failed start.
fn fail_with(why: Option<&'static str>) {
    let dropped = CLIENT.with_borrow_mut(|client| {
        let dropped = client.connection.take()?;
        let starting = why.is_none() && matches!(dropped.phase, Phase::Starting { .. });
        client.failed_starts += u32::from(starting);
        let why = why.unwrap_or(if starting { NOT_STARTED } else { DIED });
        Some((dropped, why))
    });
    let Some((mut connection, why)) = dropped else {
        return;
    };
    let pending = std::mem::take(&mut connection.pending);
    drop(connection);
    for (_, done) in pending {
        done(Err(why.to_owned()));
    }
}
