//! Planning: the first answer, edits, what is kept, links, a drag, the themes.

use fantoccini::key::Key;
use serde_json::json;

use super::engine::Engine;
use super::page::Page;

const LONGER: &str = "[aria-label='focal length: more']";
const LENS: &str = "[aria-label='focal length'] .step-word";

/// A high pass in the Alps in June.
const ALPS: &str =
    "v=1&lat=46.52&lon=9.91&high=2240&zone=Europe/Zurich&place=Pass&night=2027-06-04";

/// The themes as they are stored, and the colour of their ground.
const THEMES: [(&str, &str); 3] = [
    ("paper", "rgb(243, 235, 217)"),
    ("dusk", "rgb(18, 29, 35)"),
    ("red", "rgb(0, 0, 0)"),
];

crate::in_each_engine!(
    it_starts_and_a_press_changes_the_answer,
    what_is_saved_survives_a_reload,
    a_link_is_taken_and_the_frame_dragged,
    each_theme_is_chosen_and_kept,
);

async fn it_starts_and_a_press_changes_the_answer(engine: Engine) {
    let (page, _server) = Page::served(engine, "").await;
    let agent = page.eval("navigator.userAgent").await;
    let agent = agent.as_str().expect("a name");
    let named = match engine {
        Engine::Firefox => agent.contains("Gecko/") && agent.contains("Firefox/"),
        Engine::WebKitGtk => agent.contains("AppleWebKit/") && !agent.contains("Chrom"),
    };
    assert!(named, "{agent}");
    let first = page.text("#answer .figure").await;
    assert!(first.ends_with('s'), "{first}");
    assert_eq!(page.text(LENS).await, "20 mm");
    page.click(LONGER).await;
    // a driver that is slow to lift the finger steps more than once
    page.wait_until(
        "a longer lens",
        &format!("parseFloat(document.querySelector(\"{LENS}\").innerText) > 20"),
    )
    .await;
    // a mark of the dial may hold for more than one lens
    page.click(LONGER).await;
    page.click(LONGER).await;
    let other = format!(
        "document.querySelector('#answer .figure').innerText.replaceAll('\\u00a0', ' ') !== {}",
        json!(first)
    );
    page.wait_until("another answer", &other).await;
    page.finish().await;
}

async fn what_is_saved_survives_a_reload(engine: Engine) {
    let (page, _server) = Page::served(engine, ALPS).await;
    page.close_sheets().await;
    page.open_sheet("#open-kit").await;
    page.fill("#kit-name", "Night & ridge").await;
    page.click("text=Save this kit").await;
    page.wait_until("the saved kit", "document.querySelector('.kits')")
        .await;
    page.fill("#focal", "85").await;
    page.close_sheet().await;
    page.open_sheet("#open-site").await;
    page.click("text=Save this site").await;
    page.close_sheet().await;
    page.reload().await;
    page.show("exposure").await;
    assert_eq!(page.text(LENS).await, "85 mm");
    page.open_sheet("#open-kit").await;
    page.click("text=Saved kits").await;
    assert!(page.text(".kits").await.contains("Night & ridge"));
    page.click(".kits .option").await;
    page.wait_until(
        "20 mm",
        "document.querySelector('dialog .in-use').innerText.startsWith('20')",
    )
    .await;
    page.close_sheet().await;
    page.open_sheet("#open-site").await;
    page.wait_until("the saved site", "document.querySelector('dialog .kits')")
        .await;
    // the key that closes a dialog closes the sheet
    page.press_key(char::from(Key::Escape)).await;
    page.wait_until("no sheet", "!document.querySelector('dialog')")
        .await;
    // what was edited is taken back
    page.show("more").await;
    page.click("#undo").await;
    page.show("exposure").await;
    assert_eq!(page.text(LENS).await, "85 mm");
    page.finish().await;
}

async fn a_link_is_taken_and_the_frame_dragged(engine: Engine) {
    let (page, server) = Page::served(engine, ALPS).await;
    page.close_sheets().await;
    assert_eq!(page.eval("location.hash").await, json!(""));
    page.show("framing").await;
    page.wait_until("the view", "document.querySelector('#frame .thirds')")
        .await;
    assert!(page.text(".strip .where .name").await.contains("Pass"));
    let bearing = "[aria-label='bearing of the camera'] .step-word";
    let before = page.text(bearing).await;
    page.drag("#frame", (-90.0, 0.0)).await;
    let turned = format!(
        "document.querySelector(\"{bearing}\").innerText !== {}",
        json!(before)
    );
    page.wait_until("another bearing", &turned).await;
    // a link that is wrong gets a sentence, and the answer stays
    page.go_to(&server.address_with("v=1&mm=-4&lat=999")).await;
    let said = page.text(".notices").await;
    assert!(said.contains("focal length must be"), "{said}");
    page.finish().await;
}

async fn each_theme_is_chosen_and_kept(engine: Engine) {
    let (page, _server) = Page::served(engine, "").await;
    for (theme, ground) in THEMES {
        page.open_sheet("#open-display").await;
        page.click(&format!("dialog #{theme}")).await;
        let chosen = format!("document.documentElement.dataset.look === '{theme}'");
        page.wait_until(theme, &chosen).await;
        page.close_sheet().await;
        page.reload().await;
        assert!(page.holds(&chosen).await, "{theme}");
        let painted = "getComputedStyle(document.querySelector('.page')).backgroundColor";
        assert_eq!(page.eval(painted).await, json!(ground), "{theme}");
    }
    page.finish().await;
}
