//! Asking the reader, a second program beside the page: see
//! [`reader`](super::reader).

use std::cell::RefCell;
use std::rc::Rc;

use chrono::NaiveDate;
use gloo_events::EventListener;
use js_sys::{Array, Float64Array, Object, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{File, FileList, MessageEvent, Worker};

use super::reader::{PATCH_NUMBERS, day};
use crate::angle::Angle;
use crate::camera::photo::PhotoFacts;
use crate::land::declination::Declination;
use crate::land::skyline::from_numbers;
use crate::land::survey::Surveyed;
use crate::light::patch::{Patch, SIDE};
use crate::outing::code::Code;
use crate::outing::site::Site;

/// The reader's first file, beside the page.
const PROGRAM: &str = "tarnlight-reader_loader.js";

const MISSING: &str =
    "this browser does not run the second part of the page, which reads files and draws";

type Done = Box<dyn FnOnce(Result<Vec<f64>, String>)>;

/// The reader while it runs.
struct Running {
    worker: Worker,
    /// Whether it has said that it is there; until then questions wait.
    ready: bool,
    waiting: Vec<JsValue>,
    asked: Vec<(f64, Done)>,
    count: f64,
    _heard: [EventListener; 2],
}

thread_local! {
    static RUNNING: RefCell<Option<Running>> = const { RefCell::new(None) };
}

/// What a photo says, or a sentence.
pub fn photo(file: File, done: impl FnOnce(Result<PhotoFacts, String>) + 'static) {
    ask("photo", &Array::of1(&file), &[], move |told| {
        done(told.map(|numbers| {
            let number = |place: usize| numbers.get(place).copied().filter(|it| it.is_finite());
            let both = |place: usize| number(place).zip(number(place + 1));
            PhotoFacts {
                pixels: both(0).map(|(across, down)| (across as u32, down as u32)),
                size_mm: both(2),
                focal_mm: number(4),
                f_number: number(5),
            }
        }));
    });
}

/// The skyline in a table, or seen from a site over tiles of heights, or a
/// sentence.
pub fn skyline(
    files: &FileList,
    site: &Site,
    bend: f64,
    done: impl FnOnce(Result<Vec<Surveyed>, String>) + 'static,
) {
    // where the site's height was never given, the ground of the tiles counts
    let height_m = if site.height_m == 0.0 {
        f64::NAN
    } else {
        site.height_m
    };
    let at = [
        site.latitude.degrees(),
        site.longitude.degrees(),
        height_m,
        bend,
    ];
    ask("skyline", files, &at, move |told| {
        // over tiles, or else a table
        let survey = |numbers: Vec<f64>| match from_numbers(&numbers) {
            Some(skyline) => skyline.survey(),
            None => rows(&numbers),
        };
        done(told.map(survey));
    });
}

/// The skyline in the text of a table, or a sentence.
pub fn table(text: &str, done: impl FnOnce(Result<Vec<Surveyed>, String>) + 'static) {
    ask(text, &Array::new(), &[], move |told| {
        done(told.map(|numbers| rows(&numbers)));
    });
}

/// Bearings and heights in turn.
fn rows(numbers: &[f64]) -> Vec<Surveyed> {
    let angle = Angle::from_degrees;
    let pairs = numbers.chunks_exact(2);
    pairs
        .map(|pair| Surveyed {
            bearing: angle(pair[0]),
            height: Some(angle(pair[1])),
        })
        .collect()
}

/// The magnetic declination at a site on a date; nothing where the model has
/// none.
pub fn declination(site: &Site, date: NaiveDate, done: impl FnOnce(Option<Declination>) + 'static) {
    let at = [
        site.latitude.degrees(),
        site.longitude.degrees(),
        site.height_m,
        day(date),
    ];
    ask("declination", &Array::new(), &at, move |told| {
        let numbers = told.unwrap_or_default();
        done(Declination::from_numbers(&numbers));
    });
}

/// The pictures of some patches as bytes, or a sentence.
pub fn patches(patches: &[Patch], done: impl FnOnce(Result<Vec<Rc<[u8]>>, String>) + 'static) {
    let mut numbers = Vec::with_capacity(patches.len() * PATCH_NUMBERS);
    for patch in patches {
        numbers.extend([
            patch.sky_e_s,
            patch.glow_e_s,
            patch.dark_e_s,
            patch.read_noise_e,
            patch.star_e_s,
            patch.blur_px,
            patch.trail_px,
            patch.frames,
            patch.frame_s,
            patch.white_e,
        ]);
    }
    ask("patches", &Array::new(), &numbers, move |told| {
        let bytes = |picture: &[f64]| picture.iter().map(|byte| *byte as u8).collect();
        done(told.map(|numbers| numbers.chunks(SIDE * SIDE).map(bytes).collect()));
    });
}

/// A text drawn as a code, or a sentence.
pub fn code(text: &str, done: impl FnOnce(Result<Code, String>) + 'static) {
    ask("code", &Array::of1(&text.into()), &[], move |told| {
        done(told.map(|numbers| {
            let (side, squares) = numbers.split_first().unwrap_or((&0.0, &[]));
            Code {
                side: *side as usize,
                dark: squares.iter().map(|square| *square > 0.0).collect(),
            }
        }));
    });
}

fn ask(
    asked: &str,
    files: &JsValue,
    numbers: &[f64],
    done: impl FnOnce(Result<Vec<f64>, String>) + 'static,
) {
    let question = Object::new();
    let put = |key: &str, value: &JsValue| {
        // a plain object takes any key
        let _ = Reflect::set(&question, &key.into(), value);
    };
    put("asked", &asked.into());
    put("files", &Array::from(files));
    put("numbers", &Float64Array::from(numbers));
    let done: Done = Box::new(done);
    let unasked = RUNNING.with_borrow_mut(|running| {
        if running.is_none() {
            *running = start();
        }
        let Some(running) = running else {
            return Some(done);
        };
        running.count += 1.0;
        put("number", &running.count.into());
        running.asked.push((running.count, done));
        if running.ready {
            // files and numbers can always be sent
            let _ = running.worker.post_message(&question);
        } else {
            running.waiting.push(question.clone().into());
        }
        None
    });
    if let Some(done) = unasked {
        done(Err(MISSING.to_owned()));
    }
}

fn start() -> Option<Running> {
    let worker = Worker::new(PROGRAM).ok()?;
    let told = EventListener::new(&worker, "message", |event| {
        if let Some(event) = event.dyn_ref::<MessageEvent>() {
            hear(&event.data());
        }
    });
    // it could not be fetched, or memory ran out: all that was asked fails, and
    // the next question starts it anew
    let failed = EventListener::new(&worker, "error", |_| {
        let asked = RUNNING.take().map(|running| running.asked);
        for (_, done) in asked.unwrap_or_default() {
            done(Err(
                "this phone could not do it: its memory ran out, or a part of the page is missing"
                    .to_owned(),
            ));
        }
    });
    Some(Running {
        worker,
        ready: false,
        waiting: Vec::new(),
        asked: Vec::new(),
        count: 0.0,
        _heard: [told, failed],
    })
}

fn hear(said: &JsValue) {
    let answered = RUNNING.with_borrow_mut(|running| {
        let running = running.as_mut()?;
        if said.is_null() {
            running.ready = true;
            for question in running.waiting.drain(..) {
                let _ = running.worker.post_message(&question);
            }
            return None;
        }
        let number = Reflect::get(said, &"number".into()).ok()?.as_f64()?;
        let place = running
            .asked
            .iter()
            .position(|(asked, _)| *asked == number)?;
        Some(running.asked.swap_remove(place).1)
    });
    if let Some(done) = answered {
        let part = |key: &str| Reflect::get(said, &key.into()).unwrap_or_default();
        done(match part("wrong").as_string() {
            Some(why) => Err(why),
            None => Ok(Float64Array::new(&part("numbers")).to_vec()),
        });
    }
}
