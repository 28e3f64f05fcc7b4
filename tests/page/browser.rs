//! Chromium, one for the whole run, driven by its DevTools protocol over a pipe.
//!
//! Each message is JSON followed by a zero byte. Chromium ends when its end of the pipe closes, so
//! it ends with the test process, however that ends.

use std::collections::HashMap;
use std::io::{BufRead, BufReader, Write};
use std::process::{ChildStdin, ChildStdout, Command, Stdio};
use std::sync::atomic::{AtomicU64, Ordering};
use std::sync::{Arc, Mutex, MutexGuard, PoisonError};
use std::time::Duration;

use serde_json::{Value, json};
use tokio::sync::oneshot;

/// How long a command may take. Some run a script that measures for half a minute.
const COMMAND_TIMEOUT: Duration = Duration::from_secs(60);

/// Starts Chromium with the pipe as its file descriptors 3 and 4 and a profile of its own, and
/// removes the profile when Chromium has ended. The shell outlives an interrupt to do so.
const LAUNCH: &str = r#"
    for browser in chromium chromium-browser google-chrome; do
        command -v "$browser" >/dev/null && break
    done
    profile=$(mktemp -d) || exit
    trap : HUP INT TERM
    "$browser" "$@" --user-data-dir="$profile" 3<&0 4>&1 </dev/null >/dev/null 2>&1
    rm -rf "$profile"
"#;

/// A browser without a screen, on a machine without a network, whose windows do not slow each
/// other down when one covers another.
const FLAGS: [&str; 13] = [
    "--headless",
    "--remote-debugging-pipe",
    "--no-sandbox",
    "--disable-gpu",
    "--disable-quic",
    "--no-first-run",
    "--disable-background-networking",
    "--disable-component-update",
    "--disable-sync",
    "--disable-dev-shm-usage",
    "--disable-backgrounding-occluded-windows",
    "--disable-renderer-backgrounding",
    "--password-store=basic",
];

/// Commands sent and not yet answered, by their number; `None` once the browser has ended.
type Pending = Mutex<Option<HashMap<u64, oneshot::Sender<Value>>>>;

/// A running Chromium.
pub struct Browser {
    requests: Mutex<ChildStdin>,
    pending: Arc<Pending>,
    last_id: AtomicU64,
}

impl Browser {
    /// The browser that all tests share; a new one if it has crashed.
    pub fn shared() -> Arc<Self> {
        static SHARED: Mutex<Option<Arc<Browser>>> = Mutex::new(None);
        let mut shared = lock(&SHARED);
        match &*shared {
            Some(running) if lock(&running.pending).is_some() => running.clone(),
            _ => shared.insert(Arc::new(Self::launch())).clone(),
        }
    }

    fn launch() -> Self {
        let mut child = Command::new("sh")
            .args(["-c", LAUNCH, "sh"])
            .args(FLAGS)
            .stdin(Stdio::piped())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("there is a shell");
        let requests = child.stdin.take().expect("its input is piped");
        let replies = child.stdout.take().expect("its output is piped");
        let pending: Arc<Pending> = Arc::new(Mutex::new(Some(HashMap::new())));
        {
            let pending = pending.clone();
            std::thread::spawn(move || {
                dispatch(replies, &pending);
                // nothing is left to wait for
                *lock(&pending) = None;
                let _ = child.wait();
            });
        }
        Self {
            requests: Mutex::new(requests),
            pending,
            last_id: AtomicU64::new(0),
        }
    }

    /// Runs a command, of a session with a page or of the browser itself.
    pub async fn call(
        &self,
        session: Option<&str>,
        method: &str,
        parameters: Value,
    ) -> Result<Value, String> {
        let (reply, replied) = oneshot::channel();
        self.send(session, method, parameters, Some(reply))?;
        match tokio::time::timeout(COMMAND_TIMEOUT, replied).await {
            Ok(Ok(mut message)) => match message.get("error") {
                Some(error) => Err(error["message"].to_string()),
                None => Ok(message["result"].take()),
            },
            Ok(Err(_)) => Err(ended()),
            Err(_) => Err(format!("no reply within {COMMAND_TIMEOUT:?}")),
        }
    }

    /// Sends a command of the browser itself whose reply nobody waits for.
    pub fn post(&self, method: &str, parameters: Value) {
        // a browser that has ended needs no commands
        let _ = self.send(None, method, parameters, None);
    }

    fn send(
        &self,
        session: Option<&str>,
        method: &str,
        parameters: Value,
        reply: Option<oneshot::Sender<Value>>,
    ) -> Result<(), String> {
        let id = self.last_id.fetch_add(1, Ordering::Relaxed) + 1;
        let mut message = json!({"id": id, "method": method, "params": parameters});
        if let Some(session) = session {
            message["sessionId"] = json!(session);
        }
        if let Some(reply) = reply {
            let mut pending = lock(&self.pending);
            pending.as_mut().ok_or_else(ended)?.insert(id, reply);
        }
        let bytes = format!("{message}\0");
        let sent = lock(&self.requests).write_all(bytes.as_bytes());
        sent.map_err(|_| ended())
    }
}

fn ended() -> String {
    "Chromium has ended, or is not there; .tools/provision test sees to it".to_owned()
}

/// Hands each reply to whoever waits for it, until the browser ends. Events are passed over.
fn dispatch(replies: ChildStdout, pending: &Pending) {
    for message in BufReader::new(replies).split(0).map_while(Result::ok) {
        let Ok(message) = serde_json::from_slice::<Value>(&message) else {
            continue;
        };
        let id = message["id"].as_u64();
        let waiting = id.and_then(|id| lock(pending).as_mut()?.remove(&id));
        if let Some(waiting) = waiting {
            // a test that gave up no longer waits
            let _ = waiting.send(message);
        }
    }
}

/// The value of a lock, also after a test failed while holding it.
fn lock<T>(mutex: &Mutex<T>) -> MutexGuard<'_, T> {
    mutex.lock().unwrap_or_else(PoisonError::into_inner)
}
