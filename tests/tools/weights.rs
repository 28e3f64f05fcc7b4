//! What each part of the page weighs, in bytes and after brotli at quality 11, and its budget.

use std::io;

use super::{DEFERRED, Files, GAZETTEER, NOTICES, SECOND};

/// The most that everything the page loads at first may weigh, in bytes after brotli at quality 11:
/// the shutter, the sky and the night, the view through the lens with its stars, light and trackers.
///
/// At the 1.6 Mbit/s that stands for slow 4G in browsers' tools this takes 1.5 s to arrive, of the 2 s
/// allowed for a first answer.
const BUDGET_BYTES: usize = 300_000;
/// Of the deferred part: all sheets, and the screens but for what How long? shows first.
const DEFERRED_BYTES: usize = 200_000;
/// Of the list of towns.
const GAZETTEER_BYTES: usize = 70_000;
/// Of the worker: its catalogue of stars is a third.
const SECOND_BYTES: usize = 500_000;
/// Of the notices of third-party work.
const NOTICES_BYTES: usize = 20_000;

/// What a file weighs.
#[derive(Debug, PartialEq)]
pub struct Size {
    name: String,
    raw: usize,
    brotli: usize,
}

/// The table of sizes, by when files are fetched; fails when any of its parts is over its budget.
pub fn weighed(sizes: Vec<Size>) -> Result<String, String> {
    let (gazetteer, rest): (Vec<_>, Vec<_>) = sizes
        .into_iter()
        .partition(|size| size.name.starts_with(GAZETTEER));
    let (second, rest): (Vec<_>, Vec<_>) = rest
        .into_iter()
        .partition(|size| size.name.starts_with(SECOND));
    let (deferred, rest): (Vec<_>, Vec<_>) = rest
        .into_iter()
        .partition(|size| size.name.starts_with(DEFERRED));
    let (notices, first): (Vec<_>, Vec<_>) =
        rest.into_iter().partition(|size| size.name == NOTICES);
    let report = format!(
        "at first:\n{}for sheets:\n{}for a town:\n{}for a file:\n{}for the notices:\n{}",
        table(&first),
        table(&deferred),
        table(&gazetteer),
        table(&second),
        table(&notices)
    );
    let kept = within_budget(&first, BUDGET_BYTES)
        .and(within_budget(&deferred, DEFERRED_BYTES))
        .and(within_budget(&gazetteer, GAZETTEER_BYTES))
        .and(within_budget(&second, SECOND_BYTES))
        .and(within_budget(&notices, NOTICES_BYTES));
    match kept {
        Ok(()) => Ok(report),
        Err(sentence) => Err(format!("{sentence}\n{report}")),
    }
}

/// What each file weighs.
pub fn sizes(files: &Files) -> Result<Vec<Size>, String> {
    files
        .iter()
        .map(|(name, bytes)| {
            let brotli = brotli_len(bytes)
                .map_err(|error| format!("{name} cannot be compressed: {error}"))?;
            Ok(Size {
                name: name.clone(),
                raw: bytes.len(),
                brotli,
            })
        })
        .collect()
}

fn brotli_len(bytes: &[u8]) -> io::Result<usize> {
    let params = brotli::enc::BrotliEncoderParams {
        quality: 11,
        ..Default::default()
    };
    brotli::BrotliCompress(&mut &bytes[..], &mut io::sink(), &params)
}

fn total(sizes: &[Size]) -> Size {
    Size {
        name: "all".into(),
        raw: sizes.iter().map(|size| size.raw).sum(),
        brotli: sizes.iter().map(|size| size.brotli).sum(),
    }
}

fn table(sizes: &[Size]) -> String {
    let width = sizes.iter().map(|size| size.name.len()).max().unwrap_or(0);
    let total = total(sizes);
    let mut text = format!("{:width$} {:>9} {:>9}\n", "", "bytes", "brotli");
    for Size { name, raw, brotli } in sizes.iter().chain([&total]) {
        text += &format!("{name:width$} {raw:>9} {brotli:>9}\n");
    }
    text
}

fn within_budget(sizes: &[Size], budget: usize) -> Result<(), String> {
    let total = total(sizes).brotli;
    if total <= budget {
        return Ok(());
    }
    Err(format!(
        "what is loaded weighs {total} bytes after brotli; its budget is {budget}"
    ))
}

#[cfg(test)]
mod tests {
    use super::*;

    #[test]
    fn sizes_add_up_and_the_budget_is_kept() {
        let size = |name: &str, raw, brotli| Size {
            name: name.into(),
            raw,
            brotli,
        };
        let sizes = [size("a", 100, 60), size("b", 50, 40)];
        assert_eq!(total(&sizes), size("all", 150, 100));
        assert!(within_budget(&sizes, 100).is_ok());
        let sentence = within_budget(&sizes, 99).expect_err("over by one");
        assert!(
            sentence.contains("100") && sentence.contains("99"),
            "{sentence}"
        );
        assert_eq!(table(&sizes).lines().count(), 4);
    }

    #[test]
    fn repetition_compresses() {
        let long = brotli_len(&[b'a'; 10_000]).expect("memory does not fail");
        assert!(long < 100, "{long} bytes");
        assert!(brotli_len(&[]).is_ok());
    }
}
