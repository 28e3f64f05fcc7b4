//! Timings, printed and not asserted, since they depend on the machine: run by `make bench`.

use serde_json::json;
use tarnlight::angle::Angle;
use tarnlight::land::skyline::{BEARINGS, Viewpoint};
use tarnlight::outing::messages::{FromWorker, Request, Response, ToWorker, decode, encode};

use super::built::Built;
use super::phone::Phone;
use super::server::Server;
use super::stopwatch::{SPEEDS, TWO_SPEEDS, milliseconds, record, slow_down, timed_phone};
use super::temp_folder::TempFolder;
use super::tile;

/// A high pass in the Alps in June, with a flat horizon.
const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04";

/// The same with a skyline.
const RIDGE: &str = "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04\
     &line=130*6_150*9_170*12_180*8_195*14_215*10_230*5";

/// Presses and moves that are timed.
const TURNS: usize = 60;

/// Openings and loads that are timed, each on a page of its own.
const TIMES: usize = 5;

/// Times an input, which the script `input` sends for the number `turn`, at each speed: from it to
/// the last change it makes to the page. What the browser then takes to paint is not script.
async fn time_turns(phone: &Phone, what: &str, prepare: &str, input: &str, later: &str) {
    let script = format!(
        "{prepare}
         const times = [];
         for (let turn = 0; turn < {TURNS}; turn++) {{
             times.push(await timeOfChanges(() => {{ {input} }}));
             {later}
             await new Promise(done => setTimeout(done, 20));
         }}
         return times"
    );
    for (slowed, column) in SPEEDS {
        slow_down(phone, slowed).await;
        let times = phone.run(&script).await;
        slow_down(phone, 1).await;
        let times = times.as_array().expect("a list of times");
        record(what, column, times.iter().map(milliseconds).collect());
    }
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_from_a_press_to_the_drawn_answer() {
    let server = Server::from_dist();
    let phone = timed_phone().await;
    phone.open_link(&server.address_with(RIDGE)).await;
    time_turns(
        &phone,
        "press of a stepper",
        "const buttons = ['less', 'more'].map(step => locate(`[aria-label='focal length: ${step}']`));
         let button;",
        "button = buttons[Math.floor(turn / 5) % 2];
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
    let phone = timed_phone().await;
    phone.open_link(&server.address_with(RIDGE)).await;
    phone.show("framing").await;
    let what = "drag of the frame";
    time_turns(&phone, what, &dragged("#frame"), MOVE, "").await;
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_of_a_drag_of_the_night() {
    let server = Server::from_dist();
    let phone = timed_phone().await;
    phone.open_link(&server.address_with(RIDGE)).await;
    phone.show("night").await;
    let what = "drag of the night";
    time_turns(&phone, what, &dragged(".night-picture .timeline"), MOVE, "").await;
}

/// Why track? while a thumb moves the lens along the chart.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn script_time_of_a_move_along_the_reach_chart() {
    let server = Server::from_dist();
    let phone = timed_phone().await;
    phone.open_link(&server.address_with(ALPS)).await;
    phone.show("tracking").await;
    let what = "move along the reach chart";
    time_turns(&phone, what, &dragged(".reach"), MOVE, "").await;
}

/// From the tap on a question, on a page that was just opened, to the changed page, and to the
/// second frame after it.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_open_each_screen_for_the_first_time() {
    let server = Server::from_dist();
    for screen in ["night", "framing", "tracking", "more"] {
        for (slowed, column) in SPEEDS {
            let (mut script, mut shown) = (Vec::new(), Vec::new());
            for _ in 0..TIMES {
                let phone = timed_phone().await;
                phone.open_link(&server.address_with(RIDGE)).await;
                slow_down(&phone, slowed).await;
                let time = phone
                    .run(&format!(
                        "const changed = timeOf(() => true, document.querySelector('.page'));
                         const start = performance.now();
                         document.querySelector('#show-{screen}').click();
                         const script = await changed - start;
                         await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
                         return [script, performance.now() - start]"
                    ))
                    .await;
                script.push(milliseconds(&time[0]));
                shown.push(milliseconds(&time[1]));
            }
            record(
                &format!("first opening of {screen}: script"),
                column,
                script,
            );
            record(&format!("first opening of {screen}: shown"), column, shown);
        }
    }
}

/// Notes when the answer is there, counted from the start of the load.
const NOTE_ANSWER: &str = "timeOf(() => document.querySelector('#answer')).then(time => {
    window.answeredAt = time;
});";

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_the_first_answer_over_a_slow_network() {
    let server = Server::new(Built::from_dist().packed_strongest());
    for (slowed, column) in TWO_SPEEDS {
        let mut times = Vec::new();
        for _ in 0..TIMES {
            let phone = timed_phone().await;
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
            times.push(milliseconds(&phone.eval("answeredAt").await));
        }
        record("first answer at slow 4G", column, times);
    }
}

/// From the offline copy, without a network.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_start_after_it_was_installed() {
    let server = Server::from_dist();
    let phone = timed_phone().await;
    phone.add_init_script(NOTE_ANSWER).await;
    phone.open_link(&server.address_with(RIDGE)).await;
    phone.wait_for_offline_copy().await;
    phone.set_online(false).await;
    for (slowed, column) in TWO_SPEEDS {
        slow_down(&phone, slowed).await;
        let mut times = Vec::new();
        for _ in 0..TIMES {
            phone.reload().await;
            times.push(milliseconds(&phone.eval("answeredAt").await));
        }
        record("start after it was installed", column, times);
    }
}

/// The sheet is opened twice after each change of the limits: the first time the year
/// is worked out, the second time it is there. The time counted runs from the tap
/// to the first element made, so both include the sheet's view function and neither
/// its rendering; their difference is the year by itself.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_work_out_a_year_of_nights() {
    let server = Server::from_dist();
    for (slowed, column) in TWO_SPEEDS {
        // each page is listened to once
        let phone = timed_phone().await;
        phone.open_link(&server.address_with(ALPS)).await;
        phone.show("night").await;
        slow_down(&phone, slowed).await;
        let times = phone.run(YEAR).await;
        let [alone, whole] = [0, 1].map(|place| {
            let times = times[place].as_array().expect("a list of times");
            times.iter().map(milliseconds).collect()
        });
        record("year of nights", column, alone);
        record("year of nights with its sheet", column, whole);
    }
}

/// Times of the year by itself, and with the sheet made of it.
const YEAR: &str = "
    let start = 0, made = NaN, drawn = NaN;
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
    const settled = () => new Promise(done => setTimeout(done, 120));
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
    for (let turn = 0; turn < 20; turn++) {
        // another line of darkness: another year
        find('#darkness').click();
        await settled();
        const [first, again] = [await opened(), await opened()];
        alone.push(first[0] - again[0]);
        whole.push(first[1]);
    }
    return [alone, whole]";

/// From the choice of a file to the sheet that shows its skyline, and in the worker by itself.
#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_make_a_skyline_of_a_tile() {
    let server = Server::from_dist();
    let folder = TempFolder::new("tile-timing");
    let tile = folder.write(tile::NAME, &tile::with_a_wall());
    for (slowed, column) in TWO_SPEEDS {
        let phone = timed_phone().await;
        phone.open_link(&server.address_with(ALPS)).await;
        phone.show("framing").await;
        phone.open_sheet("#open-skyline").await;
        phone.tap("#skyline-tile").await;
        slow_down(&phone, slowed).await;
        phone
            .run(
                "window.duration = timeFromChoice(() =>
                     document.querySelector('dialog').innerText.includes('bearings read'))",
            )
            .await;
        phone.choose_file("#tiles", &tile).await;
        let duration = phone.run("return await window.duration").await;
        record(
            "skyline of a tile: sheet",
            column,
            vec![milliseconds(&duration)],
        );
        // a worker is not slowed
        if slowed == 1 {
            time_skyline_alone(&phone, column).await;
        }
    }
}

/// The skyline of the chosen tile by a worker of its own, the first time and then.
async fn time_skyline_alone(phone: &Phone, column: &str) {
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
             return [times, [...answer]]"
        ))
        .await;
    let answer: Vec<u8> = serde_json::from_value(alone[1].clone()).expect("bytes");
    match decode(&answer) {
        Some(FromWorker::Answer {
            id: 1,
            result: Ok(Response::Skyline(survey)),
        }) => assert_eq!(survey.len(), BEARINGS),
        other => panic!("{other:?}"),
    }
    let times = alone[0].as_array().expect("a list of times");
    let mut times: Vec<f64> = times.iter().map(milliseconds).collect();
    let first = times.remove(0);
    record("skyline of a tile: worker, first", column, vec![first]);
    record("skyline of a tile: worker, again", column, times);
}
