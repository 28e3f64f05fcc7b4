//! A phone with the page on it: Chromium under chromedriver, with a finger.

use std::time::Duration;

use serde_json::{Value, json};
use thirtyfour::prelude::*;

use super::chromedriver::Chromedriver;

/// How long anything may take before a test gives up on it.
const PATIENCE: Duration = Duration::from_secs(15);

/// Time between two looks.
const GLANCE: Duration = Duration::from_millis(40);

/// Notes down whatever goes wrong in a page, from before its first script.
const WATCH: &str = "
    window.wrong = [];
    addEventListener('error', event => wrong.push('error: ' + event.message));
    addEventListener('unhandledrejection', event => wrong.push('rejection: ' + event.reason));
    addEventListener('securitypolicyviolation',
        event => wrong.push('policy: ' + event.violatedDirective + ' ' + event.blockedURI));
    const told = console.error;
    console.error = (...words) => { wrong.push('console: ' + words.join(' ')); told(...words); };
";

/// Flags for a browser without a screen, on a machine without a network.
const FLAGS: [&str; 9] = [
    "--headless",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
];

/// A phone. Dropped, its browser closes.
pub struct Phone {
    driver: WebDriver,
    // dropped last; it closes the browser even where a test has failed
    _chromedriver: Chromedriver,
}

impl Phone {
    /// A new phone with a screen of this size, CSS px.
    pub async fn new(width: u32, height: u32) -> Self {
        let chromedriver = Chromedriver::start();
        let mut wishes = DesiredCapabilities::chrome();
        for flag in FLAGS {
            wishes.add_arg(flag).expect("a flag is a text");
        }
        let driver = WebDriver::new(&chromedriver.address(), wishes)
            .await
            .expect("Chromium starts; .tools/provision test sees to it");
        let phone = Self {
            driver,
            _chromedriver: chromedriver,
        };
        phone.turn(width, height).await;
        let touch = json!({"enabled": true, "maxTouchPoints": 1});
        phone.cdp("Emulation.setTouchEmulationEnabled", touch).await;
        phone.before_pages(WATCH).await;
        phone
    }

    /// Makes the screen this large.
    pub async fn turn(&self, width: u32, height: u32) {
        let screen = json!({
            "width": width, "height": height, "deviceScaleFactor": 1, "mobile": true,
        });
        self.cdp("Emulation.setDeviceMetricsOverride", screen).await;
    }

    /// Runs a script in every page from now on, before its own.
    pub async fn before_pages(&self, script: &str) {
        let source = json!({"source": script});
        self.cdp("Page.addScriptToEvaluateOnNewDocument", source)
            .await;
    }

    /// A command of the browser's own protocol.
    pub async fn cdp(&self, command: &str, parameters: Value) -> Value {
        let answer = self.driver.cdp().send_raw(command, parameters).await;
        answer.unwrap_or_else(|why| panic!("{command}: {why}"))
    }

    /// Opens an address and waits for the answer.
    pub async fn open(&self, address: &str) {
        self.driver.goto(address).await.expect("the page opens");
        self.answered().await;
    }

    /// Leaves the page for an empty one.
    pub async fn leave(&self) {
        let left = self.driver.goto("about:blank").await;
        left.expect("an empty page opens");
    }

    /// Opens the same page again and waits for the answer.
    pub async fn reload(&self) {
        self.driver.refresh().await.expect("the page opens again");
        self.answered().await;
    }

    /// Waits until the answer is there.
    pub async fn answered(&self) {
        self.until("the answer", "document.querySelector('.answer')")
            .await;
    }

    /// Evaluates an expression in the page.
    pub async fn see(&self, expression: &str) -> Value {
        self.run(&format!("return {expression}")).await
    }

    /// Runs a script in the page; promises are waited for.
    pub async fn run(&self, script: &str) -> Value {
        let script = format!("return (async () => {{ {script} }})()");
        let done = self.driver.execute(script.as_str(), Vec::new()).await;
        let done = done.unwrap_or_else(|why| panic!("{script:.300}: {why}"));
        done.json().clone()
    }

    /// Waits until an expression holds.
    pub async fn until(&self, what: &str, expression: &str) {
        let start = std::time::Instant::now();
        while self.see(&format!("!!({expression})")).await != json!(true) {
            if start.elapsed() > PATIENCE {
                let page = self.see("document.body && document.body.innerText").await;
                let wrong = self.see("window.wrong").await;
                panic!("waited in vain for {what}\nwrong: {wrong}\npage: {page}");
            }
            tokio::time::sleep(GLANCE).await;
        }
    }

    /// The text of an element, blanks made plain.
    pub async fn text(&self, css: &str) -> String {
        let css = json!(css);
        let text = self
            .see(&format!("document.querySelector({css})?.innerText"))
            .await;
        let text = text.as_str().unwrap_or_else(|| panic!("no {css}"));
        text.replace(['\u{a0}', '\n'], " ")
    }

    /// What went wrong in the page so far.
    pub async fn wrong(&self) -> Value {
        self.see("window.wrong").await
    }

    /// Taps an element with a finger.
    pub async fn tap(&self, css: &str) {
        self.hold(css, Duration::from_millis(30)).await;
    }

    /// Holds a finger on an element.
    pub async fn hold(&self, css: &str, time: Duration) {
        self.press(css).await;
        tokio::time::sleep(time).await;
        self.release().await;
    }

    /// Puts a finger on an element, once nothing slides any more.
    pub async fn press(&self, css: &str) {
        let name = json!(css);
        let place = self
            .run(&format!(
                "await Promise.allSettled(document.getAnimations().map(one => one.finished));
                 const element = document.querySelector({name});
                 if (!element) return null;
                 element.scrollIntoView({{block: 'center'}});
                 // a finger meets what was painted last
                 await new Promise(done => requestAnimationFrame(() => requestAnimationFrame(done)));
                 const box = element.getBoundingClientRect();
                 return [box.x + box.width / 2, box.y + box.height / 2]"
            ))
            .await;
        assert!(place.is_array(), "no {css}");
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

    /// Taps the button or other element that shows this text.
    pub async fn tap_word(&self, word: &str) {
        let word = json!(word);
        let found = self
            .run(&format!(
                "document.querySelectorAll('[data-tapped]').forEach(old => old.removeAttribute('data-tapped'));
                 const open = document.querySelector('dialog') || document;
                 const all = [...open.querySelectorAll('button, summary, label')];
                 const found = all.find(one => one.innerText.trim().startsWith({word}));
                 found?.setAttribute('data-tapped', '');
                 return !!found"
            ))
            .await;
        assert_eq!(found, json!(true), "no button says {word}");
        self.tap("[data-tapped]").await;
    }

    /// Types into a box, in place of what is in it.
    pub async fn fill(&self, css: &str, text: &str) {
        let (css, text) = (json!(css), json!(text));
        self.run(&format!(
            "const box = document.querySelector({css});
             box.focus(); box.value = {text};
             box.dispatchEvent(new InputEvent('input', {{bubbles: true}}))"
        ))
        .await;
    }

    /// Presses a key.
    pub async fn key(&self, key: impl Into<TypingData>) {
        let chain = self.driver.action_chain().send_keys(key);
        chain.perform().await.expect("a key can be pressed");
    }

    /// Names a file to a file box.
    pub async fn choose_file(&self, css: &str, path: &std::path::Path) {
        let input = self.driver.find(By::Css(css)).await.expect("the file box");
        let path = path.to_str().expect("a plain path");
        input.send_keys(path).await.expect("a file can be named");
    }

    /// The screen as red, green and blue, row by row.
    pub async fn pixels(&self) -> Vec<[u8; 3]> {
        let png = self.driver.screenshot_as_png().await.expect("a picture");
        decode(&png)
    }

    /// Cuts or restores the network.
    pub async fn network(&self, on: bool) {
        self.speed(json!({
            "offline": !on, "latency": 0, "downloadThroughput": -1, "uploadThroughput": -1,
        }))
        .await;
    }

    /// Sets how fast the network is.
    pub async fn speed(&self, conditions: Value) {
        self.cdp("Network.enable", json!({})).await;
        self.cdp("Network.emulateNetworkConditions", conditions)
            .await;
    }

    /// Waits until the offline copy is kept and in charge.
    pub async fn copied(&self) {
        self.until("the offline copy", "navigator.serviceWorker.controller")
            .await;
    }

    /// Closes the browser in good order.
    pub async fn put_away(self) {
        let driver = self.driver.clone();
        driver.quit().await.expect("the browser closes");
    }
}

impl Drop for Phone {
    fn drop(&mut self) {
        // Where a test has failed nobody has quit; chromedriver then closes the
        // browser as it ends, and nothing waits for an answer meanwhile.
        let _ = self.driver.clone().leak();
    }
}

fn decode(png: &[u8]) -> Vec<[u8; 3]> {
    let mut reader = png::Decoder::new(std::io::Cursor::new(png))
        .read_info()
        .expect("a PNG");
    let mut bytes = vec![
        0;
        reader
            .output_buffer_size()
            .expect("a screen fits in memory")
    ];
    let info = reader.next_frame(&mut bytes).expect("a PNG");
    let channels = info.color_type.samples();
    assert!(channels >= 3, "a picture in colour");
    let picture = &bytes[..info.buffer_size()];
    picture
        .chunks(channels)
        .map(|pixel| [pixel[0], pixel[1], pixel[2]])
        .collect()
}
