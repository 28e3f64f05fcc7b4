//! Files out and in, the clipboard, and a picture of the night sky measured by the worker.

use std::path::{Path, PathBuf};
use std::time::{Duration, Instant};

use super::engine::Engine;
use super::page::Page;
use super::temp_folder::TempFolder;

/// A high pass in the Alps in June: the core clears a ridge of 8°.
const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&ridge=8&night=2027-06-04";

/// Camera and site of the frame; see `tests/frames/README.md`.
const FRAME_OUTING: &str = "v=1&lat=33.9&lon=8.1&high=60&zone=%2B1&place=Chott&sensor=35.9x24\
                            &px=1616x1080&mm=14&f=2.8";
const FRAME: &str = "tests/frames/open-09.jpg";

/// How long a browser may take to write a file of a few hundred bytes.
const DOWNLOAD_TIMEOUT: Duration = Duration::from_secs(20);

const POLL_INTERVAL: Duration = Duration::from_millis(50);

crate::in_each_engine!(files_go_out_and_in, a_frame_of_the_night_is_measured,);

async fn files_go_out_and_in(engine: Engine) {
    let (page, _server) = Page::served(engine, ALPS).await;
    page.close_sheets().await;
    page.show("night").await;
    page.wait_until(
        "the night",
        "document.querySelector('.night-picture canvas')",
    )
    .await;
    page.click("#to-calendar").await;
    let calendar = downloaded(&page, "ics").await;
    assert!(calendar.starts_with("BEGIN:VCALENDAR\r\n"), "{calendar}");
    assert!(calendar.contains("DTSTART:20270604T215"), "{calendar}");

    page.open_sheet("#open-share").await;
    page.wait_until("the code", "document.querySelector('.code path')")
        .await;
    page.click("text=This outing as a file").await;
    let outing = downloaded(&page, "txt").await;
    assert!(
        outing.starts_with("tarnlight 1\nouting v=1&lat=46.52"),
        "{outing}"
    );
    page.click("text=Copy the link").await;
    page.wait_until(
        "a word",
        "/Copied|hold it and copy/.test(document.querySelector('dialog').innerText)",
    )
    .await;

    // another outing comes in, through the same field
    let folder = TempFolder::new("engine-files");
    let other = outing
        .replace("lat=46.52", "lat=-34")
        .replace("Pass", "Other");
    let path = folder.write("outing.txt", other.as_bytes());
    page.choose_file("#bundle", &path).await;
    page.wait_for_words("The outing is in use now").await;
    page.close_sheet().await;
    page.show("exposure").await;
    let place = page.text(".strip .where .name").await;
    assert!(place.contains("Other"), "{place}");
    page.finish().await;
}

/// The text of the file of this kind that the browser writes.
async fn downloaded(page: &Page, kind: &str) -> String {
    let start = Instant::now();
    loop {
        if let Some(text) = find(page.downloads(), kind).and_then(whole) {
            return text;
        }
        let time = start.elapsed();
        assert!(
            time < DOWNLOAD_TIMEOUT,
            "{:?}: no .{kind} is written",
            page.engine
        );
        tokio::time::sleep(POLL_INTERVAL).await;
    }
}

fn find(folder: &Path, kind: &str) -> Option<PathBuf> {
    let entries = std::fs::read_dir(folder).ok()?;
    let mut paths = entries.filter_map(|entry| Some(entry.ok()?.path()));
    paths.find(|path| path.extension().is_some_and(|found| found == kind))
}

/// A file's text, unless the browser has yet to fill it.
fn whole(path: PathBuf) -> Option<String> {
    let text = std::fs::read_to_string(path).ok()?;
    text.ends_with('\n').then_some(text)
}

async fn a_frame_of_the_night_is_measured(engine: Engine) {
    let (page, _server) = Page::served(engine, FRAME_OUTING).await;
    page.close_sheets().await;
    page.open_sheet("#open-frame").await;
    let frame = Path::new(env!("CARGO_MANIFEST_DIR")).join(FRAME);
    page.choose_file("#frame", &frame).await;
    page.wait_until("the verdict", "document.querySelector('.verdict')")
        .await;
    page.wait_for_words("Sharp: trails under 1.5 px").await;
    page.wait_for_words("identified to 0.").await;
    let drawn = "(() => { const canvas = document.querySelector('.frame-picture canvas');
        const data = canvas.getContext('2d').getImageData(0, 0, canvas.width, canvas.height).data;
        return data.some((value, place) => place % 4 < 3 && value > 0) })()";
    page.wait_until("the picture", drawn).await;
    page.finish().await;
}
