//! Figures that are printed, not asserted: they depend on the machine.

use serde_json::json;

use super::phone::Phone;
use super::site::Site;

/// Presses that are timed.
const PRESSES: usize = 200;

/// Script time from a press to the drawn answer. The press is handled, the page
/// worked out and its document changed before the promise behind the press is
/// kept; what the browser then takes to paint is not script.
const TIME_PRESSES: &str = "
    const buttons = ['first', 'last'].map(side =>
        document.querySelector(`.deck .stepper:nth-child(1) .step:${side}-child`));
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

#[tokio::test]
async fn script_time_from_a_press_to_the_drawn_answer() {
    let site = Site::of_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&site.address()).await;
    let times = phone
        .run(&TIME_PRESSES.replace("PRESSES", &PRESSES.to_string()))
        .await;
    let times = times.as_array().expect("a list of times");
    let mut times: Vec<f64> = times.iter().filter_map(serde_json::Value::as_f64).collect();
    assert_eq!(times.len(), PRESSES, "every press changed the page");
    times.sort_by(f64::total_cmp);
    let (median, slow) = (times[PRESSES / 2], times[PRESSES * 95 / 100]);
    println!(
        "script from a stepper's press to the drawn answer: median {median:.2} ms, 95 % under {slow:.2} ms"
    );
    phone.put_away().await;
}

#[tokio::test]
async fn time_to_the_first_answer_over_a_slow_network() {
    let site = Site::of_dist();
    let phone = Phone::new(360, 780).await;
    phone
        .before_pages(
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
        .speed(json!({
            "offline": false, "latency": 150, "downloadThroughput": 200_000, "uploadThroughput": 93_750,
        }))
        .await;
    phone.open(&site.address()).await;
    let milliseconds = phone.see("answeredAt").await.as_f64().expect("a time");
    println!(
        "first answer, cold, at slow-4G speed: {:.2} s",
        milliseconds / 1000.0
    );
    phone.put_away().await;
}

/// Why track? while a thumb moves the lens along the chart.
#[tokio::test]
async fn script_time_of_a_move_along_the_reach_chart() {
    let site = Site::of_dist();
    let phone = Phone::new(360, 780).await;
    phone.open(&site.address()).await;
    phone.tap_word("Why track?").await;
    phone
        .until("the chart", "document.querySelector('.reach .tripod')")
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
    let times = times.as_array().expect("a list of times");
    let mut times: Vec<f64> = times.iter().filter_map(serde_json::Value::as_f64).collect();
    times.sort_by(f64::total_cmp);
    let (median, slow) = (times[times.len() / 2], times[times.len() * 95 / 100]);
    println!(
        "script of a move along the reach chart: median {median:.2} ms, 95 % under {slow:.2} ms"
    );
    phone.put_away().await;
}
