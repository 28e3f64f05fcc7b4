//! How much memory a frame of 24 megapixels takes.

use serde_json::json;

use super::super::built::Built;
use super::super::phone::Phone;
use super::super::rendered::true_sky::encoded;
use super::super::rendered::{Rendered, Scene};
use super::super::server::Server;
use super::super::temp_folder::TempFolder;
use super::MEASURED;

/// The camera and the site of the frame that is drawn.
const OUTING: &str = "v=1&lat=36&lon=-5&high=900&zone=%2B2&sensor=36x24&px=6000x4000&mm=24&f=2.8";

/// The most that a frame may take in the worker, bytes: half of what the browser of an old phone lets a
/// page have (from memory). It was 229 MB for a picture as cameras write it, 278 MB for one in several
/// scans.
const MOST_BYTES: u64 = 400_000_000;

/// The most that the page's own program may have meanwhile, and its canvases, bytes: it was 3.0 and 0.4 MB.
const MOST_PAGE_BYTES: u64 = 10_000_000;
const MOST_CANVAS_BYTES: u64 = 4_000_000;

/// The least that its pixels alone take there: a luminance of four bytes each.
const LEAST_BYTES: u64 = 4 * 24_000_000;

/// Begins a program that starts WebAssembly: keeps hold of its memory.
const KEEP_MEMORY: &str = "globalThis.programMemory = undefined;
    for (const name of ['instantiate', 'instantiateStreaming']) {
        const original = WebAssembly[name];
        WebAssembly[name] = async (...given) => {
            const made = await original.apply(WebAssembly, given);
            globalThis.programMemory ??= (made.instance ?? made).exports.memory;
            return made;
        };
    }";

/// In the worker: the size of the memory, which never shrinks, is told when it is asked for.
const TELL_MEMORY: &str = "const channel = new BroadcastChannel('memory');
    channel.onmessage = () => channel.postMessage(programMemory.buffer.byteLength);";

/// In the page: what the worker holds, what the program of the page does, and the canvases shown.
const ASK_MEMORY: &str = "const channel = new BroadcastChannel('memory');
    const told = new Promise(done => { channel.onmessage = message => done(message.data); });
    channel.postMessage('how much?');
    const canvases = [...document.querySelectorAll('canvas')]
        .reduce((sum, canvas) => sum + 4 * canvas.width * canvas.height, 0);
    return [await told, programMemory.buffer.byteLength, canvases];";

async fn assert_within(frame: &Rendered, progressive: bool) {
    let built = Built::from_dist();
    let loader = built.name_of("tarnlight-worker-loader");
    let told = format!("{KEEP_MEMORY}\n{TELL_MEMORY}\n{}", built.text(&loader));
    let server = Server::new(built.with(&loader, told.as_bytes()));
    let folder = TempFolder::new("frame-memory");
    let file = folder.write("night.jpg", &encoded(frame, progressive));
    let phone = Phone::new(360, 780).await;
    phone
        .add_init_script(&format!(
            "delete Navigator.prototype.serviceWorker; {KEEP_MEMORY}"
        ))
        .await;
    phone.open_link(&server.address_with(OUTING)).await;
    phone.open_sheet("#open-frame").await;
    phone.choose_file("#frame", &file).await;
    phone.wait_until("the verdict", MEASURED).await;
    let words = phone
        .eval("document.querySelector('.told-of-frame').innerText")
        .await;
    let words = words.as_str().expect("words");
    assert!(words.contains("identified to"), "{words}");
    assert!(!words.contains("halved"), "{words}");
    let held = phone.run(ASK_MEMORY).await;
    println!("progressive: {progressive}; worker, page, canvases: {held} bytes");
    let bytes = |of: usize| held[of].as_u64().expect("a size");
    assert!((LEAST_BYTES..MOST_BYTES).contains(&bytes(0)), "{held}");
    assert!(bytes(1) < MOST_PAGE_BYTES, "{held}");
    assert!(bytes(2) < MOST_CANVAS_BYTES, "{held}");
    assert_eq!(phone.errors().await, json!([]));
}

/// As cameras write it, and as programs do for the web: coefficients of the whole picture are kept until
/// the last scan.
#[tokio::test]
async fn a_frame_of_24_megapixels_takes_little_memory() {
    let (scene, _) = Scene::of_24_megapixels();
    let frame = scene.render();
    for progressive in [false, true] {
        assert_within(&frame, progressive).await;
    }
}
