//! Firefox and WebKitGTK, each with the driver that its makers offer.

use std::io::{BufRead, BufReader};
use std::net::{TcpListener, TcpStream};
use std::path::Path;
use std::process::Stdio;
use std::time::{Duration, Instant};

use fantoccini::wd::Capabilities;
use fantoccini::{Client, ClientBuilder};
use hyper_util::client::legacy::connect::HttpConnector;
use serde_json::{Value, json};

use super::process::Process;
use super::temp_folder::TempFolder;

/// How long a driver or a screen may take to start, on a machine that compiles meanwhile.
const START_TIMEOUT: Duration = Duration::from_secs(30);

/// Time between two attempts to reach a driver.
const POLL_INTERVAL: Duration = Duration::from_millis(20);

/// How long a script in the page may take, ms.
const SCRIPT_TIMEOUT_MS: u64 = 60_000;

/// A browser engine other than Chromium's.
#[derive(Debug, Clone, Copy, PartialEq, Eq)]
pub enum Engine {
    /// Gecko, in Firefox without a screen, by geckodriver.
    Firefox,
    /// WebKit, in the small browser that comes with WebKitGTK, by WebKitWebDriver.
    WebKitGtk,
}

/// A running browser of an engine. Dropped, it ends and its profile is removed.
pub struct Running {
    /// The session with the browser.
    pub client: Client,
    // ended in this order
    _driver: Process,
    _screen: Option<Process>,
    home: TempFolder,
}

impl Running {
    /// Starts driver and browser with an empty profile.
    pub async fn start(engine: Engine) -> Self {
        let home = TempFolder::new("engine");
        let port = free_port();
        let (driver, screen) = match engine {
            Engine::Firefox => (start_geckodriver(&home, port), None),
            Engine::WebKitGtk => {
                let (screen, display) = start_screen(&home);
                let driver = start_webkit_driver(&home, port, &display);
                (driver, Some(screen))
            }
        };
        wait_for_port(port);
        let mut builder = ClientBuilder::new(HttpConnector::new());
        builder.capabilities(capabilities(engine, home.path()));
        let client = builder.connect(&format!("http://127.0.0.1:{port}")).await;
        let client = client.unwrap_or_else(|why| {
            panic!("{engine:?} does not start: {why}; .tools/provision test sees to it")
        });
        Self {
            client,
            _driver: driver,
            _screen: screen,
            home,
        }
    }

    /// Where files go that the page hands out. WebKitGTK's browser writes them where it was started.
    pub fn downloads(&self) -> &Path {
        self.home.path()
    }
}

fn start_geckodriver(home: &TempFolder, port: u16) -> Process {
    let port = port.to_string();
    let command = ["geckodriver", "--host", "127.0.0.1", "--port", &port];
    Process::start(&command, home.path(), &[], Stdio::null())
}

/// WebKit draws in software, as there may be no graphics card.
fn start_webkit_driver(home: &TempFolder, port: u16, display: &str) -> Process {
    let command = ["WebKitWebDriver", &format!("--port={port}")];
    let variables = [
        ("DISPLAY", display),
        ("GDK_BACKEND", "x11"),
        ("LIBGL_ALWAYS_SOFTWARE", "1"),
        ("NO_AT_BRIDGE", "1"),
    ];
    Process::start(&command, home.path(), &variables, Stdio::null())
}

/// A screen that nobody sees, and its name.
fn start_screen(home: &TempFolder) -> (Process, String) {
    // it picks a free number and prints it
    let command = [
        "Xvfb",
        "-displayfd",
        "1",
        "-screen",
        "0",
        "1280x1024x24",
        "-nolisten",
        "tcp",
    ];
    let mut screen = Process::start(&command, home.path(), &[], Stdio::piped());
    let output = screen.output().expect("its output is piped");
    let mut number = String::new();
    let read = BufReader::new(output).read_line(&mut number);
    assert!(
        read.is_ok_and(|length| length > 0),
        "there is no Xvfb; .tools/provision test sees to it"
    );
    (screen, format!(":{}", number.trim()))
}

/// A port that nobody listens on, for a program that cannot choose one and tell it.
fn free_port() -> u16 {
    let listener = TcpListener::bind("127.0.0.1:0").expect("a port is free");
    listener.local_addr().expect("it has an address").port()
}

fn wait_for_port(port: u16) {
    let start = Instant::now();
    while TcpStream::connect(("127.0.0.1", port)).is_err() {
        assert!(
            start.elapsed() < START_TIMEOUT,
            "the driver does not start; .tools/provision test sees to it"
        );
        std::thread::sleep(POLL_INTERVAL);
    }
}

fn capabilities(engine: Engine, home: &Path) -> Capabilities {
    let mut wanted = json!({"timeouts": {"script": SCRIPT_TIMEOUT_MS}});
    match engine {
        Engine::Firefox => {
            wanted["moz:firefoxOptions"] = json!({
                "args": ["-headless"],
                "prefs": {
                    "browser.download.folderList": 2,
                    "browser.download.dir": home,
                },
            });
        }
        Engine::WebKitGtk => wanted["browserName"] = json!("MiniBrowser"),
    }
    match wanted {
        Value::Object(wanted) => wanted,
        _ => unreachable!("it was made as an object"),
    }
}
