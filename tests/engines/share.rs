//! The Share sheet: its link, and the share sheet of the system.

use serde_json::json;

use super::engine::Engine;
use super::page::Page;
use super::server::Server;

/// A high pass in the Alps, with a kit of its own.
const ALPS: &str = "v=1&lat=46.52&lon=9.91&sensor=36x24&px=6000x4000&mm=24&f=1.4&sharp=2&keep=core\
                    &high=2240&zone=Europe%2FZurich&place=Pass&night=2027-06-04";

crate::in_each_engine!(
    the_link_is_copied_whole_or_marked,
    a_file_goes_to_the_share_sheet_of_the_system,
);

/// A share sheet in place of the engine's, if it has one: it notes what it is handed, or fails as
/// `failure` says. Downloads are counted, and not made.
const SHARE_SHEET: &str = "
    window.shared = [];
    window.refused = [];
    window.failure = null;
    window.downloads = 0;
    const property = (name, value) => Object.defineProperty(navigator, name, {value});
    property('canShare', data => data.files.every(file => file instanceof File));
    property('share', async ({files}) => {
        if (failure) {
            refused.push(failure);
            throw new DOMException('no', failure);
        }
        for (const file of files) shared.push([file.name, file.type, await file.text()]);
    });
    HTMLAnchorElement.prototype.click = function () { if (this.download) downloads += 1; };";

/// Opens the sheet on a page with a script before its own.
async fn opened(engine: Engine, script: &str) -> (Page, Server) {
    let (page, server) = Page::served_after(engine, script, ALPS).await;
    page.close_sheets().await;
    page.open_sheet("#open-share").await;
    page.wait_until("the code", "document.querySelector('.code path')")
        .await;
    (page, server)
}

/// What is copied is pasted again, by the keys; where the engine does not copy, all of the link is
/// selected.
async fn the_link_is_copied_whole_or_marked(engine: Engine) {
    let (page, server) = opened(engine, "").await;
    let link = json!(server.address_with(ALPS));
    let shown = page.eval("document.querySelector('#link').value").await;
    assert_eq!(shown, link, "{engine:?}");
    page.click("text=Copy the link").await;
    let told = "document.querySelector('dialog').innerText";
    page.wait_until("a word", &format!("/Copied|hold it and copy/.test({told})"))
        .await;
    if page.holds(&format!("{told}.includes('Copied')")).await {
        page.run(
            "window.pasted = '';
             document.querySelector('#pasted').addEventListener('paste',
                 event => { window.pasted = event.clipboardData.getData('text/plain'); }, true)",
        )
        .await;
        page.paste("#pasted").await;
        page.wait_until("the pasted text", "window.pasted").await;
        assert_eq!(page.eval("window.pasted").await, link, "{engine:?}");
    } else {
        let marked = "(() => { const box = document.activeElement;
             return box.value.slice(box.selectionStart, box.selectionEnd) })()";
        assert_eq!(page.eval(marked).await, link, "{engine:?}");
    }
    page.finish().await;
}

/// As on a phone, whatever this engine has: the file is handed over whole; a share sheet that is
/// closed ends it, and one that fails leads to a download.
async fn a_file_goes_to_the_share_sheet_of_the_system(engine: Engine) {
    let (page, _server) = opened(engine, SHARE_SHEET).await;
    let share = "text=This outing as a file";
    page.click(share).await;
    page.wait_until("the file", "shared.length").await;
    let file = json!([[
        "tarnlight-outing.txt",
        "text/plain",
        format!("tarnlight 1\nouting {ALPS}\n")
    ]]);
    assert_eq!(page.eval("shared").await, file, "{engine:?}");
    assert_eq!(page.eval("downloads").await, json!(0), "{engine:?}");
    for (failure, downloads) in [("AbortError", 0), ("NotAllowedError", 1)] {
        // by the window's name: Firefox runs the test's scripts in a scope of their own
        page.run(&format!("window.failure = '{failure}'")).await;
        page.click(share).await;
        page.wait_until(failure, &format!("refused.includes('{failure}')"))
            .await;
        // what follows from it has been done, too
        page.run("await new Promise(done => setTimeout(done, 300))")
            .await;
        let made = page.eval("downloads").await;
        assert_eq!(made, json!(downloads), "{engine:?}: {failure}");
    }
    page.finish().await;
}
