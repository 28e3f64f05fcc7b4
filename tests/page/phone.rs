//! A phone with the page on it: a browser context of its own, with a touch screen.

use std::cell::Cell;
use std::path::Path;
use std::sync::Arc;
use std::time::{Duration, Instant};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use super::browser::Browser;
use super::key::Key;

/// How long a test waits for a state before it fails.
const WAIT_TIMEOUT: Duration = Duration::from_secs(15);

/// Time between two evaluations of a condition that is waited for.
const POLL_INTERVAL: Duration = Duration::from_millis(10);

/// How long a finger stays on what it taps.
const TAP: Duration = Duration::from_millis(30);

/// Runs in every document before its own scripts. Collects errors of all kinds, and finds
/// elements: by CSS selector, or, after `text=`, the button, summary or label of the open sheet, or
/// else of the page, that begins with a text.
const PRELUDE: &str = "
    window.pageErrors = [];
    addEventListener('error', event => pageErrors.push('error: ' + event.message));
    addEventListener('unhandledrejection', event => pageErrors.push('rejection: ' + event.reason));
    addEventListener('securitypolicyviolation',
        event => pageErrors.push('policy: ' + event.violatedDirective + ' ' + event.blockedURI));
    const consoleError = console.error;
    console.error = (...words) => {
        pageErrors.push('console: ' + words.join(' '));
        consoleError(...words);
    };
    window.locate = locator => {
        if (!locator.startsWith('text=')) return document.querySelector(locator);
        const text = locator.slice('text='.length);
        const scope = document.querySelector('dialog') || document;
        return [...scope.querySelectorAll('button, summary, label')]
            .find(one => one.innerText.trim().startsWith(text)) ?? null;
    };
";

/// A tab of a phone. When its last tab is dropped, its context is disposed of.
///
/// Elements are named by locators: a CSS selector, or `text=` and how the text of a button, summary
/// or label begins.
pub struct Phone {
    context: Arc<Context>,
    session: String,
    screen: Cell<(u32, u32)>,
}

/// A browser context: storage, cache, service workers and permissions apart from all others.
struct Context {
    browser: Arc<Browser>,
    id: String,
}

impl Drop for Context {
    fn drop(&mut self) {
        let context = json!({"browserContextId": self.id});
        self.browser.post("Target.disposeBrowserContext", context);
    }
}

impl Phone {
    /// A new phone with a screen of this size, CSS px.
    pub async fn new(width: u32, height: u32) -> Self {
        let browser = Browser::shared();
        let created = browser.call(None, "Target.createBrowserContext", json!({}));
        let id = id_in(created.await, "browserContextId");
        let downloads = json!({"behavior": "deny", "browserContextId": id});
        let denied = browser.call(None, "Browser.setDownloadBehavior", downloads);
        denied.await.expect("downloads can be denied");
        Self::open_tab(Arc::new(Context { browser, id }), (width, height)).await
    }

    /// A second tab of the same phone, with the same storage. The first goes to the background.
    pub async fn another_tab(&self) -> Self {
        self.emulate_focus(false).await;
        Self::open_tab(self.context.clone(), self.screen.get()).await
    }

    /// Brings another tab of this phone to the front in place of this one.
    pub async fn switch_to(&self, other: &Self) {
        self.emulate_focus(false).await;
        other.cdp("Page.bringToFront", json!({})).await;
        other.emulate_focus(true).await;
    }

    async fn open_tab(context: Arc<Context>, screen: (u32, u32)) -> Self {
        let browser = context.browser.clone();
        let target = json!({"url": "about:blank", "browserContextId": context.id});
        let created = browser.call(None, "Target.createTarget", target).await;
        let target = json!({"targetId": id_in(created, "targetId"), "flatten": true});
        let attached = browser.call(None, "Target.attachToTarget", target).await;
        let tab = Self {
            context,
            session: id_in(attached, "sessionId"),
            screen: Cell::new(screen),
        };
        tab.cdp("Page.enable", json!({})).await;
        tab.resize(screen.0, screen.1).await;
        let touch = json!({"enabled": true, "maxTouchPoints": 1});
        tab.cdp("Emulation.setTouchEmulationEnabled", touch).await;
        tab.emulate_focus(true).await;
        tab.add_init_script(PRELUDE).await;
        tab
    }

    /// Whether the tab acts as if it were in front whatever other phones do.
    async fn emulate_focus(&self, on: bool) {
        let enabled = json!({"enabled": on});
        self.cdp("Emulation.setFocusEmulationEnabled", enabled)
            .await;
    }

    /// Makes the screen this large, CSS px.
    pub async fn resize(&self, width: u32, height: u32) {
        self.screen.set((width, height));
        let screen = json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": true,
        });
        self.cdp("Emulation.setDeviceMetricsOverride", screen).await;
    }

    /// Runs a script in every document from now on, before its own scripts.
    pub async fn add_init_script(&self, script: &str) {
        // a scope of its own, so that two may declare the same name
        let source = json!({"source": format!("{{ {script} }}")});
        self.cdp("Page.addScriptToEvaluateOnNewDocument", source)
            .await;
    }

    /// Runs a command of the DevTools protocol.
    pub async fn cdp(&self, command: &str, parameters: Value) -> Value {
        let reply = self.try_cdp(command, parameters).await;
        reply.unwrap_or_else(|why| panic!("{command}: {why}"))
    }

    async fn try_cdp(&self, command: &str, parameters: Value) -> Result<Value, String> {
        let browser = &self.context.browser;
        browser.call(Some(&self.session), command, parameters).await
    }

    /// Sets a permission of a site, `granted` or `denied`.
    pub async fn set_permission(&self, name: &str, setting: &str, origin: &str) {
        let permission = json!({
            "permission": {"name": name}, "setting": setting, "origin": origin,
            "browserContextId": self.context.id,
        });
        let browser = &self.context.browser;
        let set = browser.call(None, "Browser.setPermission", permission);
        set.await.expect("the permission can be set");
    }

    /// Opens an address and waits for the answer.
    pub async fn open(&self, address: &str) {
        self.navigate(address).await;
        self.wait_for_answer().await;
    }

    /// Leaves the page for an empty one.
    pub async fn open_blank(&self) {
        self.navigate("about:blank").await;
    }

    /// Opens the same page again and waits for the answer.
    pub async fn reload(&self) {
        self.run("window.leaving = true").await;
        self.cdp("Page.reload", json!({})).await;
        self.wait_for_load().await;
        self.wait_for_answer().await;
    }

    async fn navigate(&self, address: &str) {
        self.run("window.leaving = true").await;
        let answer = self.cdp("Page.navigate", json!({"url": address})).await;
        let failure = answer.get("errorText");
        assert!(failure.is_none(), "{address:.80}: {failure:?}");
        // another text after # opens no new document
        if answer.get("loaderId").is_some() {
            self.wait_for_load().await;
        } else {
            self.run("delete window.leaving").await;
        }
    }

    async fn wait_for_load(&self) {
        let loaded = "!window.leaving && document.readyState === 'complete'";
        self.wait_until("the page to load", loaded).await;
    }

    /// Waits until the answer is shown.
    pub async fn wait_for_answer(&self) {
        self.wait_until("the answer", "document.querySelector('.answer')")
            .await;
    }

    /// Waits until a sheet is open and no longer slides.
    pub async fn wait_for_sheet(&self) {
        let open = "document.querySelector('dialog[open]') && !document.getAnimations().length";
        self.wait_until("the sheet", open).await;
    }

    /// Waits until no sheet is open.
    pub async fn wait_for_no_sheet(&self) {
        self.wait_until("no sheet", "!document.querySelector('dialog')")
            .await;
    }

    /// Waits until the offline copy is stored and its service worker controls the page.
    pub async fn wait_for_offline_copy(&self) {
        self.wait_until("the offline copy", "navigator.serviceWorker.controller")
            .await;
    }

    /// Waits until an expression holds. A document that is replaced meanwhile is looked at anew.
    pub async fn wait_until(&self, what: &str, expression: &str) {
        let start = Instant::now();
        let condition = format!("return !!({expression})");
        loop {
            let outcome = self.try_run(&condition).await;
            if outcome == Ok(json!(true)) {
                return;
            }
            if start.elapsed() > WAIT_TIMEOUT {
                let page = "[window.pageErrors, document.body && document.body.innerText]";
                let page = self.try_run(&format!("return {page}")).await;
                panic!("waited in vain for {what}: {outcome:?}\nerrors and page: {page:?}");
            }
            tokio::time::sleep(POLL_INTERVAL).await;
        }
    }

    /// Evaluates an expression in the page.
    pub async fn eval(&self, expression: &str) -> Value {
        self.run(&format!("return {expression}")).await
    }

    /// Runs a script in the page; promises are awaited.
    pub async fn run(&self, script: &str) -> Value {
        let value = self.try_run(script).await;
        value.unwrap_or_else(|why| panic!("{script:.300}: {why}"))
    }

    async fn try_run(&self, script: &str) -> Result<Value, String> {
        let mut done = self
            .try_cdp(
                "Runtime.evaluate",
                json!({
                    "expression": format!("(async () => {{ {script}\n }})()"),
                    "awaitPromise": true, "returnByValue": true, "userGesture": true,
                }),
            )
            .await?;
        match done.get("exceptionDetails") {
            Some(thrown) => Err(thrown["exception"]["description"].to_string()),
            None => Ok(done["result"]["value"].take()),
        }
    }

    /// The text of an element, every kind of blank as a space.
    pub async fn text(&self, locator: &str) -> String {
        let text = format!("locate({})?.innerText", json!(locator));
        let text = self.eval(&text).await;
        let text = text.as_str().unwrap_or_else(|| panic!("no {locator}"));
        text.replace(['\u{a0}', '\n'], " ")
    }

    /// Errors in the document so far.
    pub async fn errors(&self) -> Value {
        self.eval("window.pageErrors").await
    }

    /// Taps an element with a finger.
    pub async fn tap(&self, locator: &str) {
        self.hold(locator, TAP).await;
    }

    /// Taps what begins with this text.
    pub async fn tap_text(&self, text: &str) {
        self.tap(&format!("text={text}")).await;
    }

    /// Holds a finger on an element.
    pub async fn hold(&self, locator: &str, time: Duration) {
        self.press(locator).await;
        tokio::time::sleep(time).await;
        self.release().await;
    }

    /// Puts a finger on an element, once nothing moves any more.
    pub async fn press(&self, locator: &str) {
        let element = json!(locator);
        let place = self
            .run(&format!(
                "await Promise.allSettled(document.getAnimations().map(one => one.finished));
                 const element = locate({element});
                 if (!element) return null;
                 element.scrollIntoView({{block: 'center'}});
                 // a touch meets what was painted last
                 await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
                 const box = element.getBoundingClientRect();
                 return [box.x + box.width / 2, box.y + box.height / 2]"
            ))
            .await;
        assert!(place.is_array(), "no {locator}");
        let points = json!([{"x": place[0], "y": place[1]}]);
        self.touch("touchStart", points).await;
    }

    /// Lifts the finger.
    pub async fn release(&self) {
        self.touch("touchEnd", json!([])).await;
    }

    async fn touch(&self, kind: &str, points: Value) {
        let touch = json!({"type": kind, "touchPoints": points});
        self.cdp("Input.dispatchTouchEvent", touch).await;
    }

    /// Types into a field, in place of what is in it.
    pub async fn fill(&self, locator: &str, text: &str) {
        self.set_value(locator, text, "new InputEvent('input', {bubbles: true})")
            .await;
    }

    /// Pastes into a text area, in place of what is in it.
    pub async fn paste(&self, locator: &str, text: &str) {
        self.set_value(locator, text, "new Event('change', {bubbles: true})")
            .await;
    }

    async fn set_value(&self, locator: &str, text: &str, event: &str) {
        let (locator, text) = (json!(locator), json!(text));
        self.run(&format!(
            "const field = locate({locator});
             field.focus();
             field.value = {text};
             field.dispatchEvent({event})"
        ))
        .await;
    }

    /// Presses a key.
    pub async fn key(&self, key: Key) {
        for event in key.events() {
            self.cdp("Input.dispatchKeyEvent", event).await;
        }
    }

    /// Chooses a file in a file field.
    pub async fn choose_file(&self, locator: &str, path: &Path) {
        let field = json!({"expression": format!("locate({})", json!(locator))});
        let field = self.cdp("Runtime.evaluate", field).await;
        let field = field["result"]["objectId"].clone();
        assert!(field.is_string(), "no {locator}");
        let files = json!({"files": [path], "objectId": field});
        self.cdp("DOM.setFileInputFiles", files).await;
    }

    /// The screen as red, green and blue, row by row.
    pub async fn screenshot(&self) -> Vec<[u8; 3]> {
        let picture = json!({"format": "png", "optimizeForSpeed": true});
        let picture = self.cdp("Page.captureScreenshot", picture).await;
        let picture = picture["data"].as_str().expect("a picture");
        decode(&STANDARD.decode(picture).expect("base64"))
    }

    /// Cuts or restores the network.
    pub async fn set_online(&self, online: bool) {
        self.set_network(json!({
            "offline": !online, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1,
        }))
        .await;
    }

    /// Sets latency and throughput of the network.
    pub async fn set_network(&self, conditions: Value) {
        self.cdp("Network.enable", json!({})).await;
        self.cdp("Network.emulateNetworkConditions", conditions)
            .await;
    }
}

/// A name that the browser gave in a reply.
fn id_in(reply: Result<Value, String>, key: &str) -> String {
    let reply = reply.unwrap_or_else(|why| panic!("no {key}: {why}"));
    reply[key].as_str().expect("a name").to_owned()
}

fn decode(png: &[u8]) -> Vec<[u8; 3]> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png))
        .read_info()
        .expect("a PNG");
    let size = reader.output_buffer_size();
    let mut bytes = vec![0; size.expect("a screen fits in memory")];
    let info = reader.next_frame(&mut bytes).expect("a PNG");
    let channels = info.color_type.samples();
    assert!(channels >= 3, "a picture in colour");
    let picture = &bytes[..info.buffer_size()];
    let pixels = picture.chunks(channels);
    pixels.map(|pixel| [pixel[0], pixel[1], pixel[2]]).collect()
}
