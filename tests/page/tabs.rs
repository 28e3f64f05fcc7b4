//! What the tests rest on: phones share nothing, and the tabs of one phone share its storage.

use serde_json::json;

use super::phone::Phone;
use super::server::Server;

const KEPT: &str = "[localStorage.getItem('mark'), document.cookie]";

#[tokio::test]
async fn phones_share_nothing() {
    let server = Server::from_dist();
    let (one, other) = (Phone::new(360, 780).await, Phone::new(360, 780).await);
    one.open(&server.address()).await;
    one.wait_for_offline_copy().await;
    one.run("localStorage.setItem('mark', 'one'); document.cookie = 'mark=one'")
        .await;
    let requests = server.requested_paths().len();
    other.open(&server.address()).await;
    assert_eq!(one.eval(KEPT).await, json!(["one", "mark=one"]));
    assert_eq!(other.eval(KEPT).await, json!([null, ""]));
    // neither the cache nor the offline copy of the first answers the second
    let requests = server.requested_paths().split_off(requests);
    for file in ["/night/", ".css", ".js", ".wasm"] {
        let requested = requests.iter().any(|path| path.ends_with(file));
        assert!(requested, "{file} in {requests:?}");
    }
    // both act as if they were in front
    for phone in [&one, &other] {
        let front = "document.hasFocus() && document.visibilityState";
        assert_eq!(phone.eval(front).await, json!("visible"));
    }
}

#[tokio::test]
async fn tabs_of_a_phone_share_its_storage_and_one_is_in_front() {
    let server = Server::from_dist();
    let first = Phone::new(360, 780).await;
    first.open(&server.address()).await;
    let visibility = "document.visibilityState";
    let second = first.another_tab().await;
    second.open(&server.address()).await;
    first.wait_until("the back", "document.hidden").await;
    first
        .run("addEventListener('storage', event => { window.stored = event.newValue; })")
        .await;
    second.run("localStorage.setItem('mark', 'two')").await;
    first
        .wait_until("the event", "window.stored === 'two'")
        .await;
    second.switch_to(&first).await;
    second.wait_until("the back", "document.hidden").await;
    assert_eq!(first.eval(visibility).await, json!("visible"));
    // the phone lives as long as one of its tabs
    drop(first);
    assert_eq!(
        second.eval("localStorage.getItem('mark')").await,
        json!("two")
    );
}
