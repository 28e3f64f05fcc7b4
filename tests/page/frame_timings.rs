//! Times of a test frame of 24 megapixels in the page, printed and not asserted: run by `make bench`.

use super::rendered::true_sky::jpeg;
use super::rendered::{Rendered, Scene};
use super::server::Server;
use super::stopwatch::{TWO_SPEEDS, milliseconds, record, slow_down, timed_phone};
use super::temp_folder::TempFolder;

/// The camera and the site of the frame that is drawn.
const OUTING: &str = "v=1&lat=36&lon=-5&high=900&zone=%2B2&sensor=36x24&px=6000x4000&mm=24&f=2.8";

/// Choices of the file after the first.
const AGAIN: usize = 3;

/// From the choice of the file to what is told of it, once with the worker to be fetched and then
/// without.
async fn time_frame(what: &str, frame: &Rendered, told: &str) {
    let server = Server::from_dist();
    let folder = TempFolder::new("frame-timing");
    let file = folder.write("night.jpg", &jpeg(frame));
    for (slowed, column) in TWO_SPEEDS {
        let phone = timed_phone().await;
        phone.open_link(&server.address_with(OUTING)).await;
        phone.open_sheet("#open-frame").await;
        slow_down(&phone, slowed).await;
        let mut times = Vec::new();
        for _ in 0..=AGAIN {
            phone
                .run(
                    "window.duration = timeFromChoice(() =>
                         document.querySelector('.verdict') && !document.querySelector('.waits'))",
                )
                .await;
            phone.choose_file("#frame", &file).await;
            times.push(milliseconds(
                &phone.run("return await window.duration").await,
            ));
            let verdict = phone
                .eval("document.querySelector('.measured-frame').innerText")
                .await;
            let words = verdict.as_str().expect("words");
            assert!(words.contains(told), "{words}");
        }
        record(
            &format!("{what}: sheet, first"),
            column,
            vec![times.remove(0)],
        );
        record(&format!("{what}: sheet, again"), column, times);
    }
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_measure_a_frame() {
    let (scene, _) = Scene::of_24_megapixels();
    time_frame("frame of 24 megapixels", &scene.render(), "identified to").await;
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_refuse_a_frame() {
    let (scene, _) = Scene::of_24_megapixels();
    let scene = Scene {
        stars: Vec::new(),
        ..scene
    };
    time_frame(
        "refusal of 24 megapixels",
        &scene.render(),
        "Stars not identified",
    )
    .await;
}
