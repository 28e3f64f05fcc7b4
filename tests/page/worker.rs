//! The second program: that it takes requests by their kind, and what becomes of them when it
//! does not start, or dies.

use std::time::{Duration, Instant};

use serde_json::json;
use tarnlight::angle::Angle;
use tarnlight::land::survey::Surveyed;
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};

use super::built::Built;
use super::phone::Phone;
use super::scratch::Scratch;
use super::site::{Broken, Site};

/// The worker's files, in the order in which each fetches the next.
const LOADER: &str = "tarnlight-worker-loader.js";
const SCRIPT: &str = "tarnlight-worker.js";
const PROGRAM: &str = "tarnlight-worker_bg.wasm";

/// What is said of a worker that did not start.
const NOT_STARTED: &str = "could not be loaded; try again where there is a signal";

/// A table of a skyline.
const TABLE: &str = "bearing,height\n150,8\n160,9\n170,11\n";

/// A phone with the page, on which no offline copy is kept, with the screen Where? open.
async fn phone_at(site: &Site) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone
        .before_pages("delete Navigator.prototype.serviceWorker")
        .await;
    phone.open(&site.address()).await;
    phone.tap_word("Where?").await;
    phone
        .until("the view", "document.querySelector('.lens .star')")
        .await;
    phone
}

async fn open_sheet(phone: &Phone, word: &str) {
    phone.tap_word(word).await;
    phone
        .until("the sheet", "document.querySelector('dialog[open]')")
        .await;
}

/// Waits until the sheet says a sentence.
async fn told(phone: &Phone, sentence: &str) {
    let sentence = json!(sentence);
    let there = format!("document.querySelector('dialog')?.innerText.includes({sentence})");
    phone.until("a sentence", &there).await;
}

/// Waits until the skyline's sheet lists the rows of [`TABLE`].
async fn rows_listed(phone: &Phone) {
    let listed = "document.querySelectorAll('dialog .kits li').length === 3";
    phone.until("the table's rows", listed).await;
}

/// Opens a file; one chosen before is let go, since the same again is no change.
async fn open_file(phone: &Phone, css: &str, path: &std::path::Path) {
    let emptied = format!("document.querySelector('{css}').value = ''");
    phone.run(&emptied).await;
    phone.choose_file(css, path).await;
}

async fn paste(phone: &Phone, table: &str) {
    let table = json!(table);
    phone
        .run(&format!(
            "const area = document.querySelector('#table');
             area.value = {table};
             area.dispatchEvent(new Event('change', {{bubbles: true}}))"
        ))
        .await;
}

/// How often a worker was started: its loader asked for.
fn starts(site: &Site) -> usize {
    let asked = site.asked();
    asked.iter().filter(|path| path.ends_with(LOADER)).count()
}

/// Waits until a worker has been started so often.
async fn started(site: &Site, times: usize) {
    let begun = Instant::now();
    while starts(site) < times {
        assert!(
            begun.elapsed() < Duration::from_secs(15),
            "no start {times}"
        );
        tokio::time::sleep(Duration::from_millis(20)).await;
    }
}

/// Every file of the worker, missing, cut off and of another type, all of which the browser may
/// keep for ten minutes: each request gets a sentence, and once the server is mended the next
/// one is answered, in the same page.
#[tokio::test]
async fn a_start_that_fails_is_told_and_tried_anew() {
    let scratch = Scratch::new("worker-starts");
    let table = scratch.holding("skyline.csv", TABLE.as_bytes());
    let built = Built::from_dist();
    for name in [LOADER, SCRIPT, PROGRAM] {
        let length = built.get(name).expect("a file of the worker").len();
        for broken in [Broken::Missing, Broken::Cut(length / 2), Broken::Front] {
            println!("{name}: {broken:?}");
            let site = Site::of(built.clone());
            site.break_file(name, broken);
            let phone = phone_at(&site).await;
            // the sheet asks for the declination
            open_sheet(&phone, "Skyline").await;
            told(&phone, NOT_STARTED).await;
            open_file(&phone, "#tiles", &table).await;
            started(&site, 2).await;
            told(&phone, NOT_STARTED).await;
            assert_eq!(starts(&site), 2, "each request starts a worker");

            site.mend();
            open_file(&phone, "#tiles", &table).await;
            rows_listed(&phone).await;
            assert_eq!(starts(&site), 3);
            // it goes on with the worker that runs
            paste(&phone, "150 8\n160 high").await;
            told(&phone, "line 2").await;
            assert_eq!(starts(&site), 3);
            assert_eq!(phone.wrong().await, json!([]), "{name}");
            phone.put_away().await;
        }
    }
}

/// A loader that does nothing, as an empty file: after twenty seconds, here two tenths, the
/// start has failed for all that waits.
#[tokio::test]
async fn a_silent_worker_is_given_up() {
    let scratch = Scratch::new("worker-silent");
    let table = scratch.holding("skyline.csv", TABLE.as_bytes());
    let site = Site::of_dist();
    site.break_file(LOADER, Broken::Cut(0));
    let phone = Phone::new(360, 780).await;
    phone
        .before_pages(
            "delete Navigator.prototype.serviceWorker;
             window.limits = [];
             const plain = window.setTimeout;
             window.setTimeout = (what, wait, ...more) => {
                 if (wait < 10000) return plain(what, wait, ...more);
                 limits.push(wait);
                 return plain(what, wait / 100, ...more);
             };",
        )
        .await;
    phone.open(&site.address()).await;
    phone.tap_word("Kit").await;
    let file = scratch.holding("night.jpg", b"no picture");
    open_file(&phone, "#photo", &file).await;
    told(&phone, NOT_STARTED).await;
    assert_eq!(phone.see("limits").await, json!([20_000]));
    phone.tap_word("Done").await;

    phone.tap_word("Where?").await;
    open_sheet(&phone, "Skyline").await;
    told(&phone, NOT_STARTED).await;
    site.mend();
    open_file(&phone, "#tiles", &table).await;
    rows_listed(&phone).await;
    assert_eq!(phone.wrong().await, json!([]));
    phone.put_away().await;
}

/// A worker that starts and then dies over its first request, as when memory runs out.
#[tokio::test]
async fn a_worker_that_dies_is_told_and_replaced() {
    let scratch = Scratch::new("worker-dies");
    let table = scratch.holding("skyline.csv", TABLE.as_bytes());
    let built = Built::from_dist();
    let loader = built.get(LOADER).expect("a loader").to_vec();
    let loader = String::from_utf8(loader).expect("a text");
    let dies = "self.addEventListener('message', event => {
                    event.stopImmediatePropagation();
                    throw new RangeError('out of memory');
                });";
    let site = Site::of(built);
    site.break_file(LOADER, Broken::Text(format!("{loader}\n{dies}")));
    let phone = phone_at(&site).await;
    open_sheet(&phone, "Skyline").await;
    told(&phone, "its memory may have run out").await;
    site.mend();
    open_file(&phone, "#tiles", &table).await;
    rows_listed(&phone).await;
    assert_eq!(phone.wrong().await, json!([]));
    phone.put_away().await;
}

/// A table that reads like a request is a table all the same.
#[tokio::test]
async fn a_pasted_word_is_a_table() {
    let site = Site::of_dist();
    let phone = phone_at(&site).await;
    open_sheet(&phone, "Skyline").await;
    for word in ["photo", "skyline", "patches", "declination", "code"] {
        paste(&phone, "150 8\n160 high").await;
        told(&phone, "line 2").await;
        paste(&phone, word).await;
        told(&phone, "there is no bearing and height in it").await;
    }
    assert_eq!(phone.wrong().await, json!([]));
    phone.put_away().await;
}

/// Messages straight to the worker, without the page: it says that it is ready, answers by the
/// request's number, and ends in an error over bytes that are no request.
#[tokio::test]
async fn the_worker_speaks_the_messages_of_the_library() {
    let site = Site::of_dist();
    let phone = phone_at(&site).await;
    let request = ToWorker {
        id: 9,
        request: Request::ReadTable(TABLE.to_owned()),
    };
    let request = json!(encode(&request).expect("memory does not fail"));
    let said = phone
        .run(&format!(
            "const worker = new Worker('{LOADER}');
             const said = () => new Promise((done, failed) => {{
                 worker.onmessage = event => done([...event.data]);
                 worker.onerror = event => {{ event.preventDefault(); failed(event); }};
             }});
             const ready = await said();
             worker.postMessage({{bytes: new Uint8Array({request}), files: []}});
             const answer = await said();
             worker.postMessage({{bytes: new Uint8Array([9, 99]), files: []}});
             const refused = await said().then(() => false, () => true);
             worker.terminate();
             return [ready, answer, refused]"
        ))
        .await;
    let message = |place: usize| {
        let bytes: Vec<u8> = serde_json::from_value(said[place].clone()).expect("bytes");
        decode::<FromWorker>(&bytes)
    };
    assert_eq!(message(0), Some(FromWorker::Ready));
    let point = |(bearing, height)| Surveyed {
        bearing: Angle::from_degrees(bearing),
        height: Some(Angle::from_degrees(height)),
    };
    let survey = [(150.0, 8.0), (160.0, 9.0), (170.0, 11.0)].map(point);
    let answer = FromWorker::Answer {
        id: 9,
        result: Ok(Response::Skyline(survey.to_vec())),
    };
    assert_eq!(message(1), Some(answer));
    assert_eq!(said[2], json!(true), "bytes that are no request");
    phone.put_away().await;
}
