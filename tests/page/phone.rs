//! A phone with the page on it: a browser context of its own, with a touch screen.

use std::cell::Cell;
use std::sync::Arc;
use std::time::{Duration, Instant};

use base64::Engine;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use super::browser::Browser;

/// How long a test waits for a state before it fails.
const WAIT_TIMEOUT: Duration = Duration::from_secs(15);

/// Time between two evaluations of a condition that is waited for.
const POLL_INTERVAL: Duration = Duration::from_millis(10);

/// Runs in every document before its own scripts, and keeps the document's errors.
const PRELUDE: &str = concat!(
    "window.pageErrors = [];
     const keepError = what => pageErrors.push(what);
     window.storedOuting = () => localStorage.getItem('tarnlight.outing') ?? '';\n",
    include_str!("prelude.js")
);

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

    /// Opens a link, closes the field card that it opens, dismisses what is announced of its
    /// outing, and ends on How long?
    pub async fn open_link(&self, address: &str) {
        self.open(address).await;
        self.close_sheets().await;
        self.run(
            "for (const notice of document.querySelectorAll('.notice'))
                 if (notice.innerText.includes('An outing arrived'))
                     [...notice.querySelectorAll('button')].at(-1).click()",
        )
        .await;
        let announced = "document.querySelector('.notices').innerText.includes('arrived')";
        self.wait_until("no announcement", &format!("!{announced}"))
            .await;
        self.show("exposure").await;
    }

    /// Shows a screen, by the end of its id in the bar: `exposure`, `night`, `framing`, `tracking`
    /// or `more`.
    pub async fn show(&self, screen: &str) {
        let shown = format!("document.querySelector('.page.{screen}')");
        if !self.holds(&shown).await {
            self.run(&format!("document.querySelector('#show-{screen}').click()"))
                .await;
        }
        self.wait_until(screen, &format!("{shown}?.matches('.resting')"))
            .await;
    }

    /// Closes the sheet that is open, by its key.
    pub async fn close_sheet(&self) {
        let titles = "document.querySelector('#sheet-title')?.textContent ?? ''";
        let title = self.eval(titles).await;
        self.tap("#sheet-done").await;
        self.wait_until("the sheet to close", &format!("({titles}) !== {title}"))
            .await;
    }

    /// Closes all sheets, if any is open.
    pub async fn close_sheets(&self) {
        while self.holds("document.querySelector('dialog')").await {
            self.close_sheet().await;
        }
    }

    /// Leaves the page for an empty one.
    pub async fn open_blank(&self) {
        self.navigate("about:blank").await;
    }

    /// Opens the same page again and waits for the answer.
    pub async fn reload(&self) {
        self.start_reload().await;
        self.wait_for_load().await;
        self.wait_for_answer().await;
    }

    async fn navigate(&self, address: &str) {
        // another text after # opens no new document
        if self.start_loading(address).await {
            self.wait_for_load().await;
        } else {
            self.run("delete window.leaving").await;
        }
    }

    /// Begins to open an address; whether it is another document. Until that is there,
    /// `window.leaving` is true.
    pub async fn start_loading(&self, address: &str) -> bool {
        self.run("window.leaving = true").await;
        let begun = self.cdp("Page.navigate", json!({"url": address})).await;
        let failure = begun.get("errorText");
        assert!(failure.is_none(), "{address:.80}: {failure:?}");
        begun.get("loaderId").is_some()
    }

    /// Begins to open the same page again. Until it is there, `window.leaving` is true.
    pub async fn start_reload(&self) {
        self.run("window.leaving = true").await;
        self.cdp("Page.reload", json!({})).await;
    }

    async fn wait_for_load(&self) {
        let loaded = "!window.leaving && document.readyState === 'complete'";
        self.wait_until("the page to load", loaded).await;
    }

    /// Waits until the page shows its answer, or what More leads to.
    pub async fn wait_for_answer(&self) {
        let whole = "document.querySelector('.page.whole.resting') \
                     && document.querySelector('#answer, .more')";
        self.wait_until("the answer and all of the program", whole)
            .await;
    }

    /// Waits until nothing changes any more: then pictures are fine, and what unfolds is there.
    pub async fn wait_for_rest(&self) {
        self.wait_until("rest", "document.querySelector('.page.resting')")
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

    /// Waits until an expression holds.
    pub async fn wait_until(&self, what: &str, expression: &str) {
        let start = Instant::now();
        while !self.holds(expression).await {
            if start.elapsed() > WAIT_TIMEOUT {
                let found = "[window.pageErrors, document.body && document.body.innerText]";
                let found = format!("return [!!({expression}), {found}]");
                let found = self.try_run(&found).await;
                panic!("waited in vain for {what}: {found:?}");
            }
            tokio::time::sleep(POLL_INTERVAL).await;
        }
    }

    /// Whether an expression holds; while the document is being replaced, nothing does.
    pub async fn holds(&self, expression: &str) -> bool {
        let value = self.try_run(&format!("return !!({expression})")).await;
        value == Ok(json!(true))
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

    /// The screen as red, green and blue, row by row.
    pub async fn screenshot(&self) -> Vec<[u8; 3]> {
        let format = json!({"format": "png", "optimizeForSpeed": true});
        let start = Instant::now();
        loop {
            let picture = self.try_cdp("Page.captureScreenshot", format.clone());
            match picture.await {
                Ok(picture) => {
                    let picture = picture["data"].as_str().expect("a picture");
                    return decode(&STANDARD.decode(picture).expect("base64"));
                }
                // one document is giving way to the next
                Err(why) if why.contains("Not attached") && start.elapsed() < WAIT_TIMEOUT => {
                    tokio::time::sleep(POLL_INTERVAL).await;
                }
                Err(why) => panic!("no picture: {why}"),
            }
        }
    }

    /// Opens a sheet by the id of its button, through More where the screen has none.
    pub async fn open_sheet(&self, button: &str) {
        if !self.holds(&format!("locate({})", json!(button))).await {
            self.show("more").await;
        }
        self.tap(button).await;
        self.wait_for_sheet().await;
    }

    /// Draws the deck up, so that all inputs of the screen are there.
    pub async fn draw_up(&self) {
        let drawn_up = "document.querySelector('#draw-up')?.ariaExpanded !== 'false'";
        if !self.holds(drawn_up).await {
            self.tap("#draw-up").await;
            self.wait_until(
                "the drawer",
                "document.querySelector('#drawer:not([hidden]) *')",
            )
            .await;
        }
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
