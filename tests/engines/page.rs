//! The page in a browser of another engine, as a finger or a mouse uses it.

use std::path::Path;
use std::time::{Duration, Instant};

use fantoccini::actions::{
    InputSource, MOUSE_BUTTON_LEFT, MouseActions, PointerAction, TouchActions,
};
use fantoccini::elements::{Element, ElementRef};
use fantoccini::key::Key;
use fantoccini::{Client, Locator};
use serde_json::{Value, json};

use super::built::{Built, INDEX};
use super::engine::{Engine, Running};
use super::server::Server;

/// How long a test waits for a state before it fails. Both engines compile the program on a machine
/// that may be busy.
const WAIT_TIMEOUT: Duration = Duration::from_secs(40);

/// Time between two evaluations of a condition that is waited for.
const POLL_INTERVAL: Duration = Duration::from_millis(30);

/// Key under which WebDriver hands over an element (W3C WebDriver, 11).
const ELEMENT_KEY: &str = "element-6066-11e4-a52e-4f735466cecf";

/// Runs before every other script of the page. Keeps errors over reloads, among them files that do
/// not load.
const FIRST_SCRIPT: &str = concat!(
    "{
     const keepError = what => sessionStorage.setItem('errors',
         JSON.stringify([...JSON.parse(sessionStorage.getItem('errors') || '[]'), what]));
     addEventListener('error', event => {
         const file = event.target.src || event.target.href;
         if (file) keepError('not loaded: ' + file);
     }, true);\n",
    include_str!("../page/prelude.js"),
    "}"
);

/// The built page, with the script that keeps its errors, and another, before its own.
fn build(script: &str) -> Built {
    const NAME: &str = "first.js";
    let built = Built::from_dist();
    let front = built.text(INDEX);
    let call = format!("</title><script src={NAME}></script>");
    let front = front.replacen("</title>", &call, 1);
    assert!(front.contains(&call), "the front has a title");
    let mut built = built
        .with(NAME, format!("{FIRST_SCRIPT}{script}").as_bytes())
        .with(INDEX, front.as_bytes());
    built.seal("engines");
    built
}

/// Moves of a drag, and the time each takes.
const STEPS: u32 = 6;
const STEP_TIME: Duration = Duration::from_millis(30);

/// The number of a finger that touches the screen, as a button (W3C Pointer Events, 4.1.1.2).
const TOUCH_CONTACT: u64 = 0;

/// The actions of a pointer that is pressed at a place, CSS px, moved by so many to the right and
/// down, and lifted.
fn dragged<S: InputSource<Action = PointerAction>>(
    pointer: S,
    button: u64,
    (x, y): (f64, f64),
    (right, down): (f64, f64),
) -> S {
    let to = |share: f64| PointerAction::MoveTo {
        duration: Some(STEP_TIME),
        x: x + share * right,
        y: y + share * down,
    };
    let pressed = pointer.then(to(0.0)).then(PointerAction::Down { button });
    let moved = (1..=STEPS).fold(pressed, |pointer, step| {
        pointer.then(to(f64::from(step) / f64::from(STEPS)))
    });
    moved.then(PointerAction::Up { button })
}

/// A browser with the page in it.
pub struct Page {
    running: Running,
    /// The engine it runs in.
    pub engine: Engine,
}

impl Page {
    /// Starts a browser with a window about as wide as a phone and opens an address.
    pub async fn open(engine: Engine, address: &str) -> Self {
        let running = Running::start(engine).await;
        let page = Self { running, engine };
        let sized = page.client().set_window_rect(0, 0, 500, 900).await;
        sized.expect("the window can be sized");
        page.go_to(address).await;
        page
    }

    /// The same, with a server of its own.
    pub async fn served(engine: Engine, hash: &str) -> (Self, Server) {
        Self::served_after(engine, "", hash).await
    }

    /// The same, with a script that runs before the page's own.
    pub async fn served_after(engine: Engine, script: &str, hash: &str) -> (Self, Server) {
        let server = Server::new(build(script));
        let page = Self::open(engine, &server.address_with(hash)).await;
        (page, server)
    }

    fn client(&self) -> &Client {
        &self.running.client
    }

    /// Where files go that the page hands out.
    pub fn downloads(&self) -> &Path {
        self.running.downloads()
    }

    /// Opens an address as another document, and waits for the answer.
    pub async fn go_to(&self, address: &str) {
        // another text after # alone would open no new document
        let blank = self.client().goto("about:blank").await;
        blank.expect("an empty page opens");
        let opened = self.client().goto(address).await;
        opened.unwrap_or_else(|why| panic!("{address:.80}: {why}"));
        self.wait_for_answer().await;
    }

    /// Opens the same page again and waits for the answer.
    pub async fn reload(&self) {
        // WebDriver's own way goes past the service worker in Firefox
        self.run("window.leaving = true; setTimeout(() => location.reload())")
            .await;
        self.wait_until("another document", "!window.leaving").await;
        self.wait_for_answer().await;
    }

    /// Waits until the page shows its answer, or what More leads to, and all of the program is there.
    pub async fn wait_for_answer(&self) {
        let whole = "document.querySelector('.page.whole.resting') \
                     && document.querySelector('#answer, .more')";
        self.wait_until("the answer and all of the program", whole)
            .await;
    }

    /// Waits until an expression holds.
    pub async fn wait_until(&self, what: &str, expression: &str) {
        let start = Instant::now();
        while !self.holds(expression).await {
            if start.elapsed() > WAIT_TIMEOUT {
                let found = "return [sessionStorage.getItem('errors'),
                    document.body && document.body.innerText]";
                let found = self.try_run(found).await;
                panic!("{:?}: waited in vain for {what}: {found:?}", self.engine);
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
        value.unwrap_or_else(|why| panic!("{:?}: {script:.300}: {why}", self.engine))
    }

    async fn try_run(&self, script: &str) -> Result<Value, String> {
        let script = format!(
            "const done = arguments[arguments.length - 1];
             (async () => {{ {script}\n }})().then(
                 value => done({{value}}), why => done({{failed: String(why)}}))"
        );
        let reply = self.client().execute_async(&script, Vec::new()).await;
        let mut reply = reply.map_err(|why| why.to_string())?;
        match reply.get("failed") {
            Some(why) => Err(why.to_string()),
            None => Ok(reply["value"].take()),
        }
    }

    /// The text of an element, every kind of blank as a space.
    pub async fn text(&self, locator: &str) -> String {
        let text = format!("locate({})?.innerText", json!(locator));
        let text = self.eval(&text).await;
        let text = text.as_str().unwrap_or_else(|| panic!("no {locator}"));
        text.replace(['\u{a0}', '\n'], " ")
    }

    /// An element, once nothing moves any more, in the middle of the window.
    async fn element(&self, locator: &str) -> Element {
        let element = json!(locator);
        let found = self
            .run(&format!(
                "await Promise.allSettled(document.getAnimations().map(one => one.finished));
                 const element = locate({element});
                 element?.scrollIntoView({{block: 'center'}});
                 return element"
            ))
            .await;
        let id = found[ELEMENT_KEY].as_str();
        let id = id.unwrap_or_else(|| panic!("{:?}: no {locator}", self.engine));
        Element::from_element_id(self.client().clone(), ElementRef::from(id.to_owned()))
    }

    /// Clicks an element.
    pub async fn click(&self, locator: &str) {
        let clicked = self.element(locator).await.click().await;
        clicked.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
    }

    /// Types into a field, in place of what is in it, and leaves it.
    pub async fn fill(&self, locator: &str, text: &str) {
        let field = self.element(locator).await;
        let told = async {
            field.clear().await?;
            field.send_keys(text).await
        };
        let told = told.await;
        told.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
        self.run("document.activeElement.blur()").await;
    }

    /// Types a key where the focus is.
    pub async fn press_key(&self, key: char) {
        let focused = self.client().active_element().await;
        let focused = focused.expect("something has the focus");
        let typed = focused.send_keys(&key.to_string()).await;
        typed.expect("a key can be typed");
    }

    /// Pastes what is on the clipboard into a field, by the keys.
    pub async fn paste(&self, locator: &str) {
        let field = self.element(locator).await;
        let keys = format!("{}v", char::from(Key::Control));
        let typed = field.send_keys(&keys).await;
        typed.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
    }

    /// Chooses a file in a file field.
    pub async fn choose_file(&self, locator: &str, path: &Path) {
        let field = self.client().find(Locator::Css(locator)).await;
        let field = field.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
        let path = path.to_str().expect("a path of plain letters");
        let chosen = field.send_keys(path).await;
        chosen.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
    }

    /// Drags with the mouse from the middle of an element, by so many CSS px to the right and down.
    pub async fn drag(&self, locator: &str, by: (f64, f64)) {
        let middle = self.middle_of(locator).await;
        let mouse = MouseActions::new("mouse".to_owned());
        let mouse = dragged(mouse, MOUSE_BUTTON_LEFT, middle, by);
        let done = self.client().perform_actions(mouse).await;
        done.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
    }

    /// The same with a finger. WebKitGTK's driver takes a finger for a mouse: there the page is sent
    /// the events of one, which the engine itself does not scroll or zoom by.
    pub async fn drag_by_touch(&self, locator: &str, by: (f64, f64)) {
        let middle = self.middle_of(locator).await;
        if self.engine == Engine::WebKitGtk {
            return self.send_touch(middle, by).await;
        }
        let finger = TouchActions::new("finger".to_owned());
        let finger = dragged(finger, TOUCH_CONTACT, middle, by);
        let done = self.client().perform_actions(finger).await;
        done.unwrap_or_else(|why| panic!("{:?}: {locator}: {why}", self.engine));
    }

    /// Sends the pointer events of a finger to what lies at a place, CSS px.
    async fn send_touch(&self, (x, y): (f64, f64), (right, down): (f64, f64)) {
        self.run(&format!(
            "const touched = document.elementFromPoint({x}, {y});
             const send = (kind, share) => touched.dispatchEvent(new PointerEvent(kind, {{
                 bubbles: true, cancelable: true, pointerType: 'touch', pointerId: 7, isPrimary: true,
                 buttons: kind === 'pointerup' ? 0 : 1,
                 clientX: {x} + share * {right}, clientY: {y} + share * {down}}}));
             send('pointerdown', 0);
             for (let step = 1; step <= {STEPS}; step++) {{
                 await new Promise(done => setTimeout(done, {}));
                 send('pointermove', step / {STEPS});
             }}
             send('pointerup', 1)",
            STEP_TIME.as_millis()
        ))
        .await;
    }

    /// The middle of an element, CSS px.
    async fn middle_of(&self, locator: &str) -> (f64, f64) {
        let middle = format!(
            "(() => {{ const box = locate({}).getBoundingClientRect();
                 return [box.x + box.width / 2, box.y + box.height / 2] }})()",
            json!(locator)
        );
        let middle = self.eval(&middle).await;
        serde_json::from_value(middle).expect("a place")
    }

    /// Shows a screen, by the end of its id in the bar: `exposure`, `night`, `framing`, `tracking`
    /// or `more`.
    pub async fn show(&self, screen: &str) {
        let shown = format!("document.querySelector('.page.{screen}')");
        if !self.holds(&shown).await {
            self.click(&format!("#show-{screen}")).await;
        }
        self.wait_until(screen, &format!("{shown}?.matches('.resting')"))
            .await;
    }

    /// Opens a sheet by its button, through More where the screen has none.
    pub async fn open_sheet(&self, button: &str) {
        if !self.holds(&format!("locate({})", json!(button))).await {
            self.show("more").await;
        }
        self.click(button).await;
        let open = "document.querySelector('dialog[open]') && !document.getAnimations().length";
        self.wait_until("the sheet", open).await;
    }

    /// Closes the sheet that is open, by its key.
    pub async fn close_sheet(&self) {
        let titles = "(document.querySelector('#sheet-title')?.textContent ?? '')";
        let title = self.eval(titles).await;
        self.click("#sheet-done").await;
        self.wait_until("the sheet to close", &format!("{titles} !== {title}"))
            .await;
    }

    /// Closes all sheets, if any is open.
    pub async fn close_sheets(&self) {
        while self.holds("document.querySelector('dialog')").await {
            self.close_sheet().await;
        }
    }

    /// Draws the deck up, so that all inputs of the screen are there.
    pub async fn draw_up(&self) {
        let drawn_up =
            "document.querySelector('#draw-up')?.getAttribute('aria-expanded') !== 'false'";
        if !self.holds(drawn_up).await {
            self.click("#draw-up").await;
            self.wait_until(
                "the drawer",
                "document.querySelector('#drawer:not([hidden]) *')",
            )
            .await;
        }
    }

    /// Waits until the open sheet says these words.
    pub async fn wait_for_words(&self, words: &str) {
        let told = json!(words);
        let there = format!(
            "document.querySelector('dialog')?.innerText.replaceAll('\\u00a0', ' ').includes({told})"
        );
        self.wait_until(words, &there).await;
    }

    /// Asserts that no document of the page has had an error, and ends the browser.
    pub async fn finish(self) {
        let errors = self
            .eval("JSON.parse(sessionStorage.getItem('errors') || '[]')")
            .await;
        assert_eq!(errors, json!([]), "{:?}", self.engine);
        let Running { client, .. } = &self.running;
        let closed = client.clone().close().await;
        closed.expect("the session ends");
    }
}
