//! Reads questions as JSON lines on standard input and prints the answers as JSON lines on
//! standard output; `README.md` beside this file describes both.

use std::io::{BufRead, Write};

// the module the tests use, so that both answer with the same code
#[path = "mod.rs"]
mod json_lines;

fn main() -> std::io::Result<()> {
    let mut out = std::io::stdout().lock();
    for line in std::io::stdin().lock().split(b'\n') {
        let line = line?;
        let line = String::from_utf8_lossy(&line);
        if line.trim().is_empty() {
            continue;
        }
        writeln!(out, "{}", json_lines::reply(&line))?;
        // a program that sends line by line waits for each answer
        out.flush()?;
    }
    Ok(())
}
