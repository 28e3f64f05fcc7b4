//! The page without its server.

use super::engine::Engine;
use super::page::Page;

const LONGER: &str = "[aria-label='focal length: more']";

crate::in_each_engine!(it_opens_without_its_server);

async fn it_opens_without_its_server(engine: Engine) {
    let (page, server) = Page::served(engine, "").await;
    page.wait_until("the offline copy", "navigator.serviceWorker.controller")
        .await;
    page.click(LONGER).await;
    let lens = page.text("[aria-label='focal length'] .step-word").await;
    let address = server.address();
    drop(server);
    page.reload().await;
    page.go_to(&address).await;
    page.show("exposure").await;
    assert_eq!(
        page.text("[aria-label='focal length'] .step-word").await,
        lens
    );
    // the second program is in the copy, too
    page.open_sheet("#open-share").await;
    page.wait_until("the code", "document.querySelector('.code path')")
        .await;
    page.finish().await;
}
