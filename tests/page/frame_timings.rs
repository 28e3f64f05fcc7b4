//! Times of a test frame of 24 megapixels in the page, printed and not asserted: run by `make bench`.

use super::phone::Phone;
use super::rendered::true_sky::jpeg;
use super::rendered::{Rendered, Scene};
use super::server::Server;
use super::temp_folder::TempFolder;

/// The camera and the site of the frame that is drawn.
const OUTING: &str = "v=1&lat=36&lon=-5&high=900&zone=%2B2&sensor=36x24&px=6000x4000&mm=24&f=2.8";

/// From the choice of the file to what is told of it, once with the worker to be fetched and then
/// without.
async fn time_frame(what: &str, frame: &Rendered, told: &str) {
    let server = Server::from_dist();
    let folder = TempFolder::new("frame-timing");
    let file = folder.write("night.jpg", &jpeg(frame));
    let phone = Phone::new(360, 780).await;
    phone.open_link(&server.address_with(OUTING)).await;
    phone.open_sheet("#open-frame").await;
    for turn in ["first", "then"] {
        phone
            .run(
                "window.duration = new Promise(done => {
                     let start;
                     addEventListener('change', () => { start = performance.now(); }, {capture: true, once: true});
                     new MutationObserver((_, seen) => {
                         if (!start || !document.querySelector('.verdict') || document.querySelector('.waits')) return;
                         seen.disconnect(); done(performance.now() - start);
                     }).observe(document.body, {subtree: true, childList: true, characterData: true});
                 })",
            )
            .await;
        phone.choose_file("#frame", &file).await;
        let duration = phone.run("return await window.duration").await;
        let verdict = phone
            .eval("document.querySelector('.told-of-frame').innerText")
            .await;
        let words = verdict.as_str().expect("words");
        assert!(words.contains(told), "{words}");
        let seconds = duration.as_f64().expect("a time") / 1000.0;
        println!("{what} of 24 megapixels, {turn}: {seconds:.2} s from the choice of the file");
    }
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_measure_a_frame() {
    let (scene, _) = Scene::of_24_megapixels();
    time_frame("a frame", &scene.render(), "identified to").await;
}

#[tokio::test]
#[ignore = "a timing: make bench"]
async fn time_to_refuse_a_frame() {
    let (scene, _) = Scene::of_24_megapixels();
    let scene = Scene {
        stars: Vec::new(),
        ..scene
    };
    time_frame("a refusal", &scene.render(), "Stars not identified").await;
}
