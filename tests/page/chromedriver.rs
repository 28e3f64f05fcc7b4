//! The program that drives the browser.

use std::io::{BufRead, BufReader, Read, Write};
use std::net::TcpStream;
use std::process::{Child, ChildStdout, Command, Stdio};
use std::time::{Duration, Instant};

/// How often it is started before that is given up: of the ports it looks for, the one of
/// the newer protocol may be taken under the older one.
const STARTS: u32 = 5;

/// How long it may take to close its browser, before it is ended.
const PATIENCE: Duration = Duration::from_secs(5);

/// A running chromedriver. Dropped, it closes its browser and ends.
pub struct Chromedriver {
    child: Child,
    port: u16,
    // what it writes needs a reader as long as it runs
    _written: BufReader<ChildStdout>,
}

impl Chromedriver {
    /// Starts one on a port of its own choice.
    pub fn start() -> Self {
        let mut said = String::new();
        for _ in 0..STARTS {
            match Self::started() {
                Ok(started) => return started,
                Err(instead) => said = instead,
            }
        }
        panic!("chromedriver named no port, but wrote: {said}");
    }

    /// Starts one, or gives what it wrote instead of a port.
    fn started() -> Result<Self, String> {
        let mut child = Command::new("chromedriver")
            .args(["--port=0", "--log-level=SEVERE"])
            .stdin(Stdio::null())
            .stdout(Stdio::piped())
            .stderr(Stdio::null())
            .spawn()
            .expect("chromedriver is on PATH; .tools/provision test sees to it");
        let mut written = BufReader::new(child.stdout.take().expect("its output is piped"));
        match port_in(&mut written) {
            Ok(port) => Ok(Self {
                child,
                port,
                _written: written,
            }),
            Err(said) => {
                // it has ended by itself, or may now
                let _ = child.kill();
                let _ = child.wait();
                Err(said)
            }
        }
    }

    /// Where it listens.
    pub fn address(&self) -> String {
        format!("http://127.0.0.1:{}", self.port)
    }

    fn ask_to_end(&self) -> std::io::Result<()> {
        let mut stream = TcpStream::connect(("127.0.0.1", self.port))?;
        stream.set_read_timeout(Some(PATIENCE))?;
        write!(stream, "GET /shutdown HTTP/1.1\r\nHost: 127.0.0.1\r\n\r\n")?;
        stream.read(&mut [0]).map(|_| ())
    }
}

impl Drop for Chromedriver {
    fn drop(&mut self) {
        // one that cannot be asked is ended below
        let _ = self.ask_to_end();
        let start = Instant::now();
        while matches!(self.child.try_wait(), Ok(None)) {
            if start.elapsed() > PATIENCE {
                let _ = self.child.kill();
                let _ = self.child.wait();
                return;
            }
            std::thread::sleep(Duration::from_millis(10));
        }
    }
}

/// The port in the line that says which one was taken, or all that was written instead.
fn port_in(written: &mut impl BufRead) -> Result<u16, String> {
    let mut all = String::new();
    for line in written.lines() {
        let line = line.expect("chromedriver writes text");
        if let Some((_, port)) = line.rsplit_once("successfully on port ") {
            let port = port.trim_end_matches('.');
            return port.parse().map_err(|_| line.clone());
        }
        all += &line;
    }
    Err(all)
}
