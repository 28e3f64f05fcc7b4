//! Timings, printed and not asserted, since they depend on the machine: run by `make bench`.

use serde_json::{Value, json};
use tarnlight::angle::Angle;
use tarnlight::land::skyline::{BEARINGS, Viewpoint};
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};

use super::built::Built;
use super::framing::{self, open_framing, open_sheet};
use super::night::{self, open_night};
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;
use super::tile;

/// Presses that are timed.
const PRESSES: usize = 200;

/// Script time from a press to the drawn answer. The press is handled, the page
/// worked out and its document changed before the promise behind the press is
/// kept; what the browser then takes to paint is not script.
const TIME_PRESSES: &str = "
    const buttons = ['less', 'more'].map(step => locate(`[aria-label='focal length: ${step}']`));
    const answer = document.querySelector('main');
    const times = [];
    for (let press = 0; press < PRESSES; press++) {
        const button = buttons[Math.floor(press / 5) % 2];
        const changed = new Promise(done => {
            const seen = new MutationObserver(() => { seen.disconnect(); done(performance.now()); });
            seen.observe(answer, {subtree: true, childList: true, characterData: true, attributes: true});
        });
        const start = performance.now();
        button.dispatchEvent(new PointerEvent('pointerdown', {bubbles: true, button: 0}));
        const end = await Promise.race([changed, new Promise(done => setTimeout(done, 500, NaN))]);
        button.dispatchEvent(new PointerEvent('pointerup', {bubbles: true}));
        times.push(end - start);
        await new Promise(done => setTimeout(done, 15));
    }
    return times";

/// The median of times, and the time that 95 % of them are under.
fn median_and_slow(times: &Value, count: usize) -> (f64, f64) {
    let times = times.as_array().expect("a list of times");
    let mut times: Vec<f64> = times.iter().filter_map(Value::as_f64).collect();
    assert_eq!(times.len(), count, "every one changed the page");
    times.sort_by(f64::total_cmp);
    (times[count / 2], times[count * 95 / 100])
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_from_a_press_to_the_drawn_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    let times = phone
        .run(&TIME_PRESSES.replace("PRESSES", &PRESSES.to_string()))
        .await;
    let (median, slow) = median_and_slow(&times, PRESSES);
    println!(
        "script from a stepper's press to the drawn answer: median {median:.2} ms, 95 % under {slow:.2} ms"
    );
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_the_first_answer_over_a_slow_network() {
    let server = Server::new(Built::from_dist().packed_strongest());
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(
            "new MutationObserver((_, seen) => {
                 if (document.querySelector('.answer')) { window.answeredAt = performance.now(); seen.disconnect(); }
             }).observe(document, {subtree: true, childList: true});",
        )
        .await;
    phone.cdp("Network.enable", json!({})).await;
    phone
        .cdp("Network.setCacheDisabled", json!({"cacheDisabled": true}))
        .await;
    // the usual model of slow 4G: 1.6 Mbit/s down, 750 kbit/s up, 150 ms
    phone
        .set_network(json!({
            "offline": false, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 93_750,
        }))
        .await;
    phone.open(&server.address()).await;
    let milliseconds = phone.eval("answeredAt").await.as_f64().expect("a time");
    println!(
        "first answer, cold, at slow-4G speed: {:.2} s",
        milliseconds / 1000.0
    );
}

/// Why track? while a thumb moves the lens along the chart.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_of_a_move_along_the_reach_chart() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&server.address()).await;
    phone.tap_text("Why track?").await;
    phone
        .wait_until("the chart", "document.querySelector('.reach .tripod')")
        .await;
    let times = phone
        .run(
            "const times = [];
             for (let move = 0; move < 100; move++) {
                 const chart = document.querySelector('.reach');
                 const box = chart.getBoundingClientRect();
                 const at = {bubbles: true, buttons: 1, pointerId: 1, clientY: box.top + 40,
                             clientX: box.left + box.width * (0.3 + 0.006 * move)};
                 const start = performance.now();
                 chart.dispatchEvent(new PointerEvent('pointermove', at));
                 await new Promise(done => queueMicrotask(done));
                 times.push(performance.now() - start);
                 await new Promise(done => setTimeout(done, 20));
             }
             return times",
        )
        .await;
    let (median, slow) = median_and_slow(&times, 100);
    println!(
        "script of a move along the reach chart: median {median:.2} ms, 95 % under {slow:.2} ms"
    );
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_draw_the_view_while_dragging() {
    let server = Server::from_dist();
    let hash = framing::ALPS;
    let hash = format!("{hash}&line=130*6_150*9_170*12_180*8_195*14_215*10_230*5");
    let phone = open_framing(&server, &hash).await;
    let times = phone
        .run(
            "const lens = document.querySelector('.lens');
             const box = lens.getBoundingClientRect();
             const send = (kind, x) => lens.dispatchEvent(new PointerEvent(kind, {
                 bubbles: true, pointerId: 1, buttons: 1, clientX: box.x + x, clientY: box.y + 80}));
             send('pointerdown', 140);
             await new Promise(done => setTimeout(done, 50));
             const times = [];
             for (let step = 0; step < 120; step++) {
                 const drawn = new Promise(done => new MutationObserver((_, seen) => {
                     seen.disconnect(); done(performance.now());
                 }).observe(document.body, {subtree: true, childList: true, attributes: true, characterData: true}));
                 const start = performance.now();
                 send('pointermove', 150 + [0, 4, 8, 4][step % 4]);
                 times.push(await drawn - start);
                 await new Promise(done => setTimeout(done, 16));
             }
             times.sort((a, b) => a - b);
             return [times[60], times[114]]",
        )
        .await;
    let [median, most] = [0, 1].map(|place| times[place].as_f64().expect("a time"));
    println!(
        "one redraw of the view while dragging: median {median:.1} ms of script, 95 % under {most:.1} ms"
    );
}

/// The sheet is opened twice after each change of night: the first time the year
/// is worked out, the second time it is there. The time counted runs from the tap
/// to the first element made, so both include the sheet's view function and neither
/// its rendering; their difference is the year by itself.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_work_out_a_year_of_nights() {
    let server = Server::from_dist();
    let phone = open_night(&server, night::ALPS).await;
    let times = phone
        .run(
            "let start = 0, made = NaN, drawn = NaN;
             for (const name of ['createElement', 'createElementNS']) {
                 const make = Document.prototype[name];
                 Document.prototype[name] = function (...of) {
                     if (Number.isNaN(made)) made = performance.now() - start;
                     return make.apply(this, of);
                 };
             }
             const show = HTMLDialogElement.prototype.showModal;
             HTMLDialogElement.prototype.showModal = function () {
                 drawn = performance.now() - start;
                 return show.call(this);
             };
             const settled = () => new Promise(done => setTimeout(done, 40));
             const find = query => document.querySelector(query);
             const opened = async () => {
                 const season = [...document.querySelectorAll('.deck button')]
                     .find(button => button.innerText === 'Season');
                 await settled();
                 [made, drawn] = [NaN, NaN];
                 start = performance.now();
                 season.click();
                 await settled();
                 if (document.querySelectorAll('.month').length < 12) return [NaN, NaN];
                 find('.sheet-foot button').click();
                 await settled();
                 return [made, drawn];
             };
             const alone = [], whole = [];
             for (let turn = 0; turn < 30; turn++) {
                 find(`[aria-label='night: ${turn % 2 ? 'less' : 'more'}']`).click();
                 await settled();
                 const [first, again] = [await opened(), await opened()];
                 alone.push(first[0] - again[0]);
                 whole.push(first[1]);
             }
             const middle = list => list.sort((a, b) => a - b)[list.length / 2];
             return [middle(alone), middle(whole)]",
        )
        .await;
    let [alone, whole] = [0, 1].map(|place| times[place].as_f64().expect("a time"));
    println!(
        "a year of nights: median {alone:.1} ms of script; with the sheet made of it {whole:.1} ms"
    );
}

/// From the choice of a file to the sheet that shows its skyline, and in the worker by itself.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_make_a_skyline_of_a_tile() {
    let server = Server::from_dist();
    let folder = TempFolder::new("tile-timing");
    let tile = folder.write(tile::NAME, &tile::with_a_wall());
    let phone = open_framing(&server, framing::ALPS).await;
    open_sheet(&phone, "Skyline").await;
    phone
        .run(
            "window.duration = new Promise(done => {
                 let start;
                 addEventListener('change', () => { start = performance.now(); }, {capture: true, once: true});
                 new MutationObserver((_, seen) => {
                     if (!document.querySelector('dialog').innerText.includes('bearings read')) return;
                     seen.disconnect(); done(performance.now() - start);
                 }).observe(document.body, {subtree: true, childList: true, characterData: true});
             })",
        )
        .await;
    phone.choose_file("#tiles", &tile).await;
    let duration = phone.run("return await window.duration").await;
    println!(
        "a skyline from a tile of 3601 by 3601 points: {:.0} ms from the choice of the file to the sheet",
        duration.as_f64().expect("a time")
    );
    let request = ToWorker {
        id: 1,
        request: Request::ReadSkyline {
            eye: Viewpoint {
                latitude: Angle::from_degrees(46.52),
                longitude: Angle::from_degrees(9.91),
                height_m: Some(2240.0),
            },
            bend: 0.13,
        },
    };
    let request = json!(encode(&request).expect("memory does not fail"));
    let alone = phone
        .run(&format!(
            "const worker = new Worker('tarnlight-worker-loader.js');
             const said = () => new Promise(done => {{ worker.onmessage = event => done(event.data); }});
             await said();
             const files = [document.querySelector('#tiles').files[0]];
             const bytes = new Uint8Array({request});
             const times = [];
             let answer;
             for (let turn = 0; turn < 6; turn++) {{
                 const start = performance.now();
                 worker.postMessage({{bytes, files}});
                 answer = await said();
                 times.push(performance.now() - start);
             }}
             worker.terminate();
             return [times[0], times.slice(1).sort((a, b) => a - b)[2], [...answer]]"
        ))
        .await;
    let answer: Vec<u8> = serde_json::from_value(alone[2].clone()).expect("bytes");
    match decode(&answer) {
        Some(FromWorker::Answer {
            id: 1,
            result: Ok(Response::Skyline(survey)),
        }) => assert_eq!(survey.len(), BEARINGS),
        other => panic!("{other:?}"),
    }
    let [first, warm] = [0, 1].map(|place| alone[place].as_f64().expect("a time"));
    println!("the skyline by itself: {first:.0} ms the first time, then {warm:.0} ms");
}
