//! A version that does not start cures itself: the version before opens, or what was fetched anew,
//! once; then a sentence says what is the matter. A program that stops later starts anew.

use std::time::Duration;

use serde_json::json;

use super::built::Built;
use super::phone::Phone;
use super::server::Server;
use super::skyline::read_two_bearings;

const BUILD: &str = "document.querySelector('meta[name=build]')?.content";

/// What keeps a program from starting: an error, and silence.
const BROKEN: [(&str, &str); 2] = [
    ("an error", "throw new Error('does not start');"),
    ("silence", "await new Promise(() => {});"),
];

/// Seconds that pass faster, where nothing but the time of the start is counted.
const HASTE: &str = "const plain = window.setInterval;
    window.setInterval = (what, wait, ...more) =>
        plain(what, wait === 1000 ? 400 : wait, ...more);";

/// Counts the documents of a tab.
const COUNT_LOADS: &str =
    "try { sessionStorage.loads = Number(sessionStorage.loads ?? 0) + 1; } catch {}";

/// Session storage is blocked.
const NO_SESSION_STORAGE: &str = "Object.defineProperty(window, 'sessionStorage',
    {get() { throw new DOMException('no', 'SecurityError'); }});";

/// Session storage can be read and takes nothing.
const FULL_SESSION_STORAGE: &str = "const set = Storage.prototype.setItem;
    Storage.prototype.setItem = function (key, value) {
        if (this === sessionStorage) throw new DOMException('full', 'QuotaExceededError');
        set.call(this, key, value);
    };";

/// A phone on which version `one` is kept, and then a newer one was taken.
async fn updated(server: &Server, newer: Built) -> Phone {
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HASTE).await;
    phone.add_init_script(COUNT_LOADS).await;
    phone.open(&server.address()).await;
    phone.wait_for_offline_copy().await;
    server.switch_to(newer);
    phone.reload().await;
    phone
        .wait_until(
            "the new version",
            "document.querySelector('.notices').innerText.includes('New version')",
        )
        .await;
    phone.run("sessionStorage.loads = 0").await;
    phone.tap_text("Use it now").await;
    phone
}

#[tokio::test]
async fn a_version_that_does_not_start_gives_way_to_the_one_before() {
    for (how, statement) in BROKEN {
        println!("{how}");
        let one = Built::from_dist().marked("one");
        let server = Server::new(one.clone());
        let phone = updated(&server, one.beginning_with("two", statement)).await;
        let said = "document.querySelector('.notices')?.innerText.includes('did not start')";
        phone.wait_until("a sentence", said).await;
        phone.wait_for_answer().await;
        assert_eq!(phone.eval(BUILD).await, json!("one"), "{how}");
        assert_eq!(
            phone.eval("sessionStorage.loads").await,
            json!("2"),
            "{how}"
        );
        // also the next time, without a signal, and with all that is fetched late
        phone.set_online(false).await;
        phone.reload().await;
        assert_eq!(phone.eval(BUILD).await, json!("one"), "{how}");
        assert_eq!(phone.text(".notices").await, "", "{how}: said once");
        phone.show("framing").await;
        read_two_bearings(&phone).await;
        phone.close_sheets().await;
        phone.set_online(true).await;
        // a third version is offered as usual
        server.switch_to(one.marked("three"));
        phone.reload().await;
        phone
            .wait_until(
                "the third version",
                "document.querySelector('.notices').innerText.includes('New version')",
            )
            .await;
        phone.tap_text("Use it now").await;
        phone
            .wait_until("its front", &format!("{BUILD} === 'three'"))
            .await;
        phone.wait_for_answer().await;
    }
}

#[tokio::test]
async fn where_no_version_starts_a_sentence_is_left_and_the_next_version_takes_over() {
    let good = Built::from_dist().marked("one");
    let bad = good.beginning_with("bad", "if (!globalThis.well) throw new Error('no');");
    let server = Server::new(bad);
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HASTE).await;
    phone.add_init_script(COUNT_LOADS).await;
    phone
        .add_init_script("try { window.well = localStorage.well; } catch {}")
        .await;
    phone.start_loading(&server.address()).await;
    let sentence = "document.querySelector('#trouble')?.innerText.includes('did not start')";
    phone.wait_until("a sentence", sentence).await;
    assert_eq!(phone.eval("sessionStorage.loads").await, json!("2"));
    assert_eq!(phone.eval(BUILD).await, json!("bad"));
    // it is kept when it runs, and then runs no more, as after a change of the phone's
    phone.run("localStorage.well = 1").await;
    phone.reload().await;
    phone.wait_for_offline_copy().await;
    phone
        .run("localStorage.removeItem('well'); sessionStorage.loads = 0")
        .await;
    phone.start_reload().await;
    phone.wait_until("a sentence again", sentence).await;
    assert_eq!(phone.eval("sessionStorage.loads").await, json!("1"));
    // without a signal the kept one still opens once it runs
    phone.run("localStorage.well = 1").await;
    phone.set_online(false).await;
    phone.reload().await;
    assert_eq!(phone.eval(BUILD).await, json!("bad"));
    phone.run("localStorage.removeItem('well')").await;
    phone.set_online(true).await;
    // the next version needs no tab to be closed
    server.switch_to(good.marked("two"));
    phone.start_reload().await;
    phone
        .wait_until("the next version", &format!("{BUILD} === 'two'"))
        .await;
    phone.wait_for_answer().await;
}

#[tokio::test]
async fn browsers_that_are_too_old_are_told_so() {
    let old = [
        "delete window.WebAssembly",
        "WebAssembly.Module = function () { throw new WebAssembly.CompileError('policy'); };
         WebAssembly.instantiate = WebAssembly.instantiateStreaming =
             () => Promise.reject(new WebAssembly.CompileError('policy'));",
    ];
    for script in old {
        let server = Server::from_dist();
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(script).await;
        phone.start_loading(&server.address()).await;
        let told = "document.querySelector('#trouble')?.innerText
            .includes('too old for Tarnlight, which needs iOS 16, Chrome 97 or Firefox 102')";
        phone.wait_until(script, told).await;
    }
}

#[tokio::test]
async fn without_session_storage_there_is_a_sentence_and_no_reload() {
    let bad = Built::from_dist().beginning_with("bad", "throw new Error('does not start');");
    let server = Server::new(bad);
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(NO_SESSION_STORAGE).await;
    phone.start_loading(&server.address()).await;
    let sentence = "document.querySelector('#trouble')?.innerText.includes('did not start')";
    phone.wait_until("a sentence", sentence).await;
    let opened = server.requested_paths();
    let fronts = opened.iter().filter(|path| *path == "/night/").count();
    assert_eq!(fronts, 1, "{opened:?}");
}

/// A trap in a task of its own, as where the program stops: a module of one function, `unreachable`.
const TRAP: &str = "setTimeout(() => {
    const bytes = [0, 97, 115, 109, 1, 0, 0, 0, 1, 4, 1, 96, 0, 0, 3, 2, 1, 0,
        7, 5, 1, 1, 97, 0, 0, 10, 5, 1, 3, 0, 0, 11];
    const module = new WebAssembly.Module(new Uint8Array(bytes));
    new WebAssembly.Instance(module).exports.a();
});";

const LENS: &str = "[aria-label='focal length'] .step-word";

#[tokio::test]
async fn a_program_that_stops_starts_anew_with_what_was_set() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(COUNT_LOADS).await;
    phone.open(&server.address()).await;
    phone.tap("[aria-label='focal length: more']").await;
    let lens = phone.text(LENS).await;
    assert_eq!(lens, "21 mm");
    phone
        .wait_until("it is stored", "storedOuting().includes('mm=21')")
        .await;
    // a program that has stopped stores nothing when it is left
    phone
        .run(&format!(
            "addEventListener('pagehide', event => event.stopImmediatePropagation(), true); {TRAP}"
        ))
        .await;
    let told = "document.querySelector('.notices')?.innerText.includes('started again')";
    phone.wait_until("a sentence", told).await;
    phone.wait_for_answer().await;
    assert_eq!(phone.text(LENS).await, lens);
    assert_eq!(phone.eval("sessionStorage.loads").await, json!("2"));
    // a second time so soon it waits to be told
    phone.run(TRAP).await;
    let waits = "document.querySelector('#trouble')?.innerText.includes('has stopped')";
    phone.wait_until("a sentence", waits).await;
    assert_eq!(phone.eval("sessionStorage.loads").await, json!("2"));
    phone.tap("#trouble button").await;
    phone.wait_for_answer().await;
    assert_eq!(phone.text(LENS).await, lens);
    // a reload by hand says nothing more
    phone.reload().await;
    assert_eq!(phone.text(".notices").await, "");
}

/// Where nothing can be noted, it does not start again and again; nor do two traps in one moment.
#[tokio::test]
async fn where_nothing_can_be_noted_a_program_that_stops_waits_to_be_told() {
    for blocked in [NO_SESSION_STORAGE, FULL_SESSION_STORAGE] {
        let server = Server::from_dist();
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(HASTE).await;
        phone.add_init_script(blocked).await;
        phone.open(&server.address()).await;
        phone.run(TRAP).await;
        phone.run(TRAP).await;
        let waits = "document.querySelector('#trouble')?.innerText.includes('has stopped')";
        phone.wait_until("a sentence", waits).await;
        // as long as a start may take
        tokio::time::sleep(Duration::from_millis(5000)).await;
        assert!(phone.holds(waits).await, "{blocked}");
        let fronts = server.requested_paths();
        let fronts = fronts.iter().filter(|path| *path == "/night/").count();
        assert_eq!(fronts, 1, "{blocked}");
    }
}

/// As soon as it has drawn, too.
#[tokio::test]
async fn a_program_that_stops_at_once_starts_anew_once() {
    let server = Server::from_dist();
    let phone = Phone::new(360, 780).await;
    phone.add_init_script(HASTE).await;
    phone.add_init_script(COUNT_LOADS).await;
    let at_once = format!(
        "new MutationObserver((_, seen) => {{
             if (!document.querySelector('.page')) return;
             seen.disconnect();
             {TRAP}
         }}).observe(document, {{subtree: true, childList: true}});"
    );
    phone.add_init_script(&at_once).await;
    phone.start_loading(&server.address()).await;
    let waits = "document.querySelector('#trouble')?.innerText.includes('has stopped')";
    phone.wait_until("a sentence", waits).await;
    tokio::time::sleep(Duration::from_millis(5000)).await;
    assert!(phone.holds(waits).await);
    assert_eq!(phone.eval("sessionStorage.loads").await, json!("2"));
}
