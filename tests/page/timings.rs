//! Timings, printed and not asserted, since they depend on the machine: run by `make bench`.

use serde_json::{Value, json};
use tarnlight::angle::Angle;
use tarnlight::land::skyline::{BEARINGS, Viewpoint};
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};

use super::built::Built;
use super::phone::Phone;
use super::server::Server;
use super::temp_folder::TempFolder;
use super::tile;

/// A high pass in the Alps in June, with a flat horizon.
const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04";

/// The same with a skyline.
const RIDGE: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04\
     &line=130*6_150*9_170*12_180*8_195*14_215*10_230*5";

/// Presses and moves that are timed.
const TURNS: usize = 100;

/// The machine as it is, and slowed down to about a phone of the middle class.
const SLOWED: [u32; 2] = [1, 4];

/// Time of each turn, from an input to the last change it makes to the page, which may come in
/// several tasks; what the browser then takes to paint is not script. INPUT sends the input number
/// `turn`.
const TIME_TURNS: &str = "
    const page = document.querySelector('.page');
    const times = [];
    for (let turn = 0; turn < TURNS; turn++) {
        let end = NaN;
        const seen = new MutationObserver(() => { end = performance.now(); });
        seen.observe(page, {subtree: true, childList: true, characterData: true, attributes: true});
        const start = performance.now();
        INPUT
        let told;
        do {
            told = end;
            await new Promise(done => setTimeout(done, 40));
        } while (end !== told && !(Number.isNaN(end) && performance.now() - start > 500));
        seen.disconnect();
        times.push(end - start);
        LATER
        await new Promise(done => setTimeout(done, 20));
    }
    return times";

/// Makes the page's scripts take so many times as long.
async fn slow_down(phone: &Phone, times: u32) {
    phone
        .cdp("Emulation.setCPUThrottlingRate", json!({"rate": times}))
        .await;
}

/// The median of times, and the time that 95 % of them are under.
fn median_and_slow(times: &Value, count: usize) -> (f64, f64) {
    let times = times.as_array().expect("a list of times");
    let mut times: Vec<f64> = times.iter().filter_map(Value::as_f64).collect();
    assert_eq!(times.len(), count, "every one changed the page");
    times.sort_by(f64::total_cmp);
    (times[count / 2], times[count * 95 / 100])
}

/// Times an input, as fast as the machine is and slowed down, and prints it.
async fn time_turns(phone: &Phone, what: &str, prepare: &str, input: &str, later: &str) {
    let script = TIME_TURNS
        .replace("TURNS", &TURNS.to_string())
        .replace("INPUT", input)
        .replace("LATER", later);
    let script = format!("{prepare}\n{script}");
    for slowed in SLOWED {
        slow_down(phone, slowed).await;
        let times = phone.run(&script).await;
        slow_down(phone, 1).await;
        let (median, slow) = median_and_slow(&times, TURNS);
        println!("{what}, slowed {slowed} times: median {median:.2} ms, 95 % under {slow:.2} ms");
    }
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_from_a_press_to_the_drawn_answer() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(RIDGE)).await;
    time_turns(
        &phone,
        "script from a stepper's press to the drawn answer",
        "const buttons = ['less', 'more'].map(step => locate(`[aria-label='focal length: ${step}']`));",
        "const button = buttons[Math.floor(turn / 5) % 2];
         button.dispatchEvent(new PointerEvent('pointerdown', {bubbles: true, button: 0}));",
        "button.dispatchEvent(new PointerEvent('pointerup', {bubbles: true}));",
    )
    .await;
}

/// A pointer that goes to and fro over a drawing.
fn dragged(drawing: &str) -> String {
    format!(
        "const drawing = document.querySelector('{drawing}');
         const box = drawing.getBoundingClientRect();
         const send = (kind, x) => drawing.dispatchEvent(new PointerEvent(kind, {{
             bubbles: true, pointerId: 1, buttons: 1, clientX: box.x + x, clientY: box.y + 80}}));
         drawing.setPointerCapture = () => {{}};
         send('pointerdown', 140);
         send('pointermove', 142);
         await new Promise(done => setTimeout(done, 50));"
    )
}

/// To the right and back, never twice at one place.
const MOVE: &str = "send('pointermove', 150 + [0, 4, 8, 12, 8, 4][turn % 6]);";

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_of_a_drag_of_the_frame() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(RIDGE)).await;
    phone.show("framing").await;
    let what = "script of a move that drags the frame";
    time_turns(&phone, what, &dragged("#frame"), MOVE, "").await;
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_of_a_drag_of_the_night() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(RIDGE)).await;
    phone.show("night").await;
    let what = "script of a move that drags the night";
    time_turns(&phone, what, &dragged(".night-picture .timeline"), MOVE, "").await;
}

/// Why track? while a thumb moves the lens along the chart.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_of_a_move_along_the_reach_chart() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(ALPS)).await;
    phone.show("tracking").await;
    let what = "script of a move along the reach chart";
    time_turns(&phone, what, &dragged(".reach"), MOVE, "").await;
}

/// From the tap on a question, on a page that was just opened, to the changed page, and to the
/// second frame after it.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_open_each_screen_for_the_first_time() {
    const TIMES: usize = 5;
    let server = Server::from_dist();
    for slowed in SLOWED {
        for screen in ["night", "framing", "tracking", "more"] {
            let mut times = Vec::new();
            for _ in 0..TIMES {
                let phone = Phone::new(360, 780).await;
                phone.open_link(&server.address_with(RIDGE)).await;
                slow_down(&phone, slowed).await;
                let time = phone
                    .run(&format!(
                        "const page = document.querySelector('.page');
                         const changed = new Promise(done => {{
                             const seen = new MutationObserver(() => {{ seen.disconnect(); done(performance.now()); }});
                             seen.observe(page, {{subtree: true, childList: true, attributes: true}});
                         }});
                         const start = performance.now();
                         document.querySelector('#show-{screen}').click();
                         const script = await changed - start;
                         await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
                         return [script, performance.now() - start]"
                    ))
                    .await;
                times.push([0, 1].map(|place| time[place].as_f64().expect("a time")));
            }
            let median = |place: usize| {
                let mut times: Vec<f64> = times.iter().map(|time| time[place]).collect();
                times.sort_by(f64::total_cmp);
                times[TIMES / 2]
            };
            println!(
                "first opening of {screen}, slowed {slowed} times: {:.1} ms of script, on the screen after {:.0} ms",
                median(0),
                median(1)
            );
        }
    }
}

/// Notes when the answer is there, counted from the start of the load.
const NOTE_ANSWER: &str = "
    new MutationObserver((_, seen) => {
        if (document.querySelector('#answer')) { window.answeredAt = performance.now(); seen.disconnect(); }
    }).observe(document, {subtree: true, childList: true});";

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_the_first_answer_over_a_slow_network() {
    let server = Server::new(Built::from_dist().packed_strongest());
    for slowed in SLOWED {
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(NOTE_ANSWER).await;
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
        slow_down(&phone, slowed).await;
        phone.open(&server.address()).await;
        let milliseconds = phone.eval("answeredAt").await.as_f64().expect("a time");
        println!(
            "first answer, cold, at slow-4G speed, slowed {slowed} times: {:.2} s",
            milliseconds / 1000.0
        );
    }
}

/// From the offline copy, without a network.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_start_after_it_was_installed() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(NOTE_ANSWER).await;
    phone.open_link(&server.address_with(RIDGE)).await;
    phone.wait_for_offline_copy().await;
    phone.set_online(false).await;
    for slowed in SLOWED {
        slow_down(&phone, slowed).await;
        phone.reload().await;
        let milliseconds = phone.eval("answeredAt").await.as_f64().expect("a time");
        println!(
            "start after it was installed, slowed {slowed} times: {:.2} s",
            milliseconds / 1000.0
        );
    }
}

/// The sheet is opened twice after each change of night: the first time the year
/// is worked out, the second time it is there. The time counted runs from the tap
/// to the first element made, so both include the sheet's view function and neither
/// its rendering; their difference is the year by itself.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_work_out_a_year_of_nights() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(ALPS)).await;
    phone.show("night").await;
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
             const settled = () => new Promise(done => setTimeout(done, 60));
             const find = query => document.querySelector(query);
             const opened = async () => {
                 await settled();
                 [made, drawn] = [NaN, NaN];
                 start = performance.now();
                 find('#open-season').click();
                 await settled();
                 if (!find('.season')) return [NaN, NaN];
                 find('#sheet-done').click();
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
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(ALPS)).await;
    phone.show("framing").await;
    phone.open_sheet("#open-skyline").await;
    phone.tap("#skyline-tile").await;
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
            "const worker = new Worker(document.querySelector('meta[name=worker-loader]').content);
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
