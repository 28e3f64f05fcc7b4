//! The worker: requests to it, and what happens to them when it does not start or when it crashes.

use std::time::{Duration, Instant};

use serde_json::json;
use tarnlight::angle::Angle;
use tarnlight::land::survey::Surveyed;
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};

use super::built::Built;
use super::framing::show_framing;
use super::phone::Phone;
use super::server::{Fault, Server};
use super::skyline::open_way_in;
use super::temp_folder::TempFolder;

/// The worker's files, in the order in which each fetches the next.
const LOADER: &str = "tarnlight-worker-loader";
const SCRIPT: &str = "tarnlight-worker";
const PROGRAM: &str = "tarnlight-worker_bg";

/// The message when a worker did not start.
const NOT_STARTED: &str = "could not be loaded; try again where there is a signal";

/// A table of a skyline.
const TABLE: &str = "bearing,height\n150,8\n160,9\n170,11\n";

/// A phone with the page, on which no offline copy is kept, with the screen Where? open.
async fn open_framing(server: &Server) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script("delete Navigator.prototype.serviceWorker")
        .await;
    phone.open(&server.address()).await;
    show_framing(&phone).await;
    phone
}

/// Waits until the sheet says a sentence.
async fn wait_for_sentence(phone: &Phone, sentence: &str) {
    let sentence = json!(sentence);
    let there = format!("document.querySelector('dialog')?.innerText.includes({sentence})");
    phone.wait_until("a sentence", &there).await;
}

/// Waits until the skyline's sheet has read the rows of [`TABLE`].
async fn wait_for_rows(phone: &Phone) {
    wait_for_sentence(phone, "3 bearings read").await;
}

/// Opens a file; the field is emptied first, since the same file again is no change.
async fn open_file(phone: &Phone, css: &str, path: &std::path::Path) {
    let emptied = format!("document.querySelector('{css}').value = ''");
    phone.run(&emptied).await;
    phone.choose_file(css, path).await;
}

async fn paste(phone: &Phone, table: &str) {
    phone.paste("#table", table).await;
}

/// How often a worker was started: requests for its loader.
fn starts(server: &Server) -> usize {
    let paths = server.requested_paths();
    paths.iter().filter(|path| path.contains(LOADER)).count()
}

/// Waits until a worker has been started so often.
async fn wait_for_starts(server: &Server, times: usize) {
    let begun = Instant::now();
    while starts(server) < times {
        assert!(
            begun.elapsed() < Duration::from_secs(15),
            "no start {times}"
        );
        tokio::time::sleep(Duration::from_millis(10)).await;
    }
}

/// Every file of the worker, missing, cut off and of another type, all of which the browser may
/// keep for ten minutes: each request gets a sentence, and once the server is mended the next
/// one is answered, in the same page.
#[tokio::test]
async fn a_start_that_fails_is_told_and_tried_anew() {
    let folder = TempFolder::new("worker-starts");
    let table = folder.write("skyline.csv", TABLE.as_bytes());
    let built = Built::from_dist();
    for name in [LOADER, SCRIPT, PROGRAM] {
        let name = &built.name_of(name);
        let length = built.get(name).expect("a file of the worker").len();
        for fault in [Fault::Missing, Fault::Truncated(length / 2), Fault::Index] {
            println!("{name}: {fault:?}");
            let server = Server::new(built.clone());
            server.inject_fault(name, fault);
            let phone = open_framing(&server).await;
            open_way_in(&phone, "table").await;
            wait_for_sentence(&phone, NOT_STARTED).await;
            open_file(&phone, "#tiles", &table).await;
            wait_for_starts(&server, 2).await;
            wait_for_sentence(&phone, NOT_STARTED).await;
            assert_eq!(starts(&server), 2, "each request starts a worker");

            server.clear_faults();
            open_file(&phone, "#tiles", &table).await;
            wait_for_rows(&phone).await;
            assert_eq!(starts(&server), 3);
            // the running worker is used again
            paste(&phone, "150 8\n160 high").await;
            wait_for_sentence(&phone, "Line 2").await;
            assert_eq!(starts(&server), 3);
            assert_eq!(phone.errors().await, json!([]), "{name}");
        }
    }
}

/// A loader that does nothing, as an empty file: after twenty seconds, here two tenths, the
/// start has failed for all that waits.
#[tokio::test]
async fn a_silent_worker_is_given_up() {
    let folder = TempFolder::new("worker-silent");
    let table = folder.write("skyline.csv", TABLE.as_bytes());
    let server = Server::from_dist();
    server.inject_fault(&Built::from_dist().name_of(LOADER), Fault::Truncated(0));
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(
            "delete Navigator.prototype.serviceWorker;
             window.limits = [];
             window.haste = 100;
             const plain = window.setTimeout;
             window.setTimeout = (what, wait, ...more) => {
                 if (wait < 10000) return plain(what, wait, ...more);
                 limits.push(wait);
                 return plain(what, wait / haste, ...more);
             };",
        )
        .await;
    phone.open(&server.address()).await;
    phone.open_sheet("#open-kit").await;
    let file = folder.write("night.jpg", b"no picture");
    open_file(&phone, "#photo", &file).await;
    wait_for_sentence(&phone, NOT_STARTED).await;
    assert_eq!(phone.eval("limits").await, json!([20_000]));
    phone.close_sheet().await;

    show_framing(&phone).await;
    open_way_in(&phone, "table").await;
    wait_for_sentence(&phone, NOT_STARTED).await;
    server.clear_faults();
    // a worker that does start may take longer than two tenths
    phone.run("window.haste = 1").await;
    open_file(&phone, "#tiles", &table).await;
    wait_for_rows(&phone).await;
    assert_eq!(phone.errors().await, json!([]));
}

/// A worker that starts and then crashes at its first request, as when memory runs out.
#[tokio::test]
async fn a_worker_that_dies_is_told_and_replaced() {
    let folder = TempFolder::new("worker-dies");
    let table = folder.write("skyline.csv", TABLE.as_bytes());
    let built = Built::from_dist();
    let name = built.name_of(LOADER);
    let loader = built.get(&name).expect("a loader").to_vec();
    let loader = String::from_utf8(loader).expect("a text");
    let dies = "self.addEventListener('message', event => {
                    event.stopImmediatePropagation();
                    throw new RangeError('out of memory');
                });";
    let server = Server::new(built);
    server.inject_fault(&name, Fault::Replaced(format!("{loader}\n{dies}")));
    let phone = open_framing(&server).await;
    open_way_in(&phone, "table").await;
    wait_for_sentence(&phone, "its memory may have run out").await;
    server.clear_faults();
    open_file(&phone, "#tiles", &table).await;
    wait_for_rows(&phone).await;
    assert_eq!(phone.errors().await, json!([]));
}

/// A table that reads like a request is a table all the same.
#[tokio::test]
async fn a_pasted_word_is_a_table() {
    let server = Server::from_dist();
    let phone = open_framing(&server).await;
    open_way_in(&phone, "table").await;
    for word in ["photo", "skyline", "patches", "declination", "code"] {
        paste(&phone, "150 8\n160 high").await;
        wait_for_sentence(&phone, "Line 2").await;
        paste(&phone, word).await;
        wait_for_sentence(&phone, "There is no bearing and height in it").await;
    }
    assert_eq!(phone.errors().await, json!([]));
}

/// Messages straight to the worker, without the page: it reports that it is ready, answers with the
/// request's id, and fails on bytes that are no request.
#[tokio::test]
async fn the_worker_speaks_the_messages_of_the_library() {
    let server = Server::from_dist();
    let phone = open_framing(&server).await;
    let request = ToWorker {
        id: 9,
        request: Request::ReadTable(TABLE.to_owned()),
    };
    let request = json!(encode(&request).expect("memory does not fail"));
    let said = phone
        .run(&format!(
            "const worker = new Worker(document.querySelector('meta[name=worker-loader]').content);
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
}
