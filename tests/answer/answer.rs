//! Answers questions in JSON lines on standard input with JSON lines on
//! standard output; DEVELOPERS.md describes both.

use std::io::{BufRead, Write};

mod drift;
mod light;
mod night;
mod question;
mod reply;
mod skyline;
mod stars;
mod windows;

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().split(b'\n') {
        let line = line?;
        let line = String::from_utf8_lossy(&line);
        if line.trim().is_empty() {
            continue;
        }
        writeln!(out, "{}", reply::reply(&line))?;
        out.flush()?;
    }
    Ok(())
}
