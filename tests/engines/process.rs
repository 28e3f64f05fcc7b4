//! A program that runs beside the tests.

use std::path::Path;
use std::process::{Child, Command, Stdio};

use std::os::unix::process::CommandExt;

/// Starts a program in the background and ends it, with all that it has started, once the other end
/// of its own input closes.
const WATCH: &str = r#"
    trap : HUP INT
    "$@" </dev/null &
    trap : TERM
    read -r _
    kill -TERM 0
    wait
    kill -KILL 0
"#;

/// A program and all that it starts. They end when this value is dropped, and also when the tests
/// end without that.
pub struct Process(Child);

impl Process {
    /// Starts a program with a home of its own and these variables; what it prints is discarded
    /// unless `output` says otherwise.
    pub fn start(command: &[&str], home: &Path, variables: &[(&str, &str)], output: Stdio) -> Self {
        let child = Command::new("sh")
            .args(["-c", WATCH, "sh"])
            .args(command)
            .current_dir(home)
            .env("HOME", home)
            .env("TMPDIR", home)
            .env_remove("XDG_CONFIG_HOME")
            .env_remove("XDG_CACHE_HOME")
            .env_remove("XDG_DATA_HOME")
            .envs(variables.iter().copied())
            .process_group(0)
            .stdin(Stdio::piped())
            .stdout(output)
            .stderr(Stdio::null())
            .spawn();
        Self(child.expect("there is a shell"))
    }

    /// What it prints, if that is piped.
    pub fn output(&mut self) -> Option<std::process::ChildStdout> {
        self.0.stdout.take()
    }
}

impl Drop for Process {
    fn drop(&mut self) {
        drop(self.0.stdin.take());
        // it has ended either way
        let _ = self.0.wait();
    }
}
