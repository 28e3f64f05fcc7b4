//! What networks and phones do wrong, at each moment at which the page is fetched.
//!
//! In every case no broken version becomes the one that opens, the page works or says plainly why it
//! does not, and all is well again when the network is.

use serde_json::json;

use super::built::{Built, INDEX};
use super::phone::Phone;
use super::server::{Fault, Server};

/// What is wrong, and whether with one file or with all.
#[derive(Debug, Clone)]
enum Trouble {
    OneFile(Fault),
    Everything(Fault),
    /// The phone's storage holds no more.
    QuotaFull,
}

/// The rows of the matrix.
fn troubles() -> [Trouble; 7] {
    [
        Trouble::OneFile(Fault::Truncated(1000)),
        Trouble::OneFile(Fault::WrongType),
        Trouble::OneFile(Fault::Missing),
        Trouble::Everything(Fault::SignIn),
        Trouble::Everything(Fault::SignInRedirect),
        Trouble::OneFile(Fault::Stalled),
        Trouble::QuotaFull,
    ]
}

/// How long a service worker of these tests waits for a connection that brings nothing, ms.
const STALL_MS: u32 = 2000;

/// Bytes of storage that hold the page's settings, and not its copy.
const SMALL_QUOTA: u32 = 300_000;

/// Bytes of storage that hold one copy, and not two.
const QUOTA_FOR_ONE: u32 = 4_500_000;

/// Caches of the page, sorted.
const CACHES: &str = "return (await caches.keys()).sort()";

/// What is said of the offline copy, on More.
async fn wait_for_copy(phone: &Phone, cell: &str, words: &str) {
    let said = format!(
        "document.querySelector('#offline')?.innerText.includes({})",
        json!(words)
    );
    phone.wait_until(&format!("{cell}: {words:?}"), &said).await;
}

/// Puts the trouble in the way of a file, or of everything.
async fn begin(trouble: &Trouble, server: &Server, phone: &Phone, file: &str, quota: u32) {
    match trouble {
        Trouble::OneFile(fault) => server.inject_fault(file, fault.clone()),
        Trouble::Everything(fault) => server.inject_fault_everywhere(fault),
        Trouble::QuotaFull => set_quota(server, phone, Some(quota)).await,
    }
}

async fn end(server: &Server, phone: &Phone) {
    server.clear_faults();
    set_quota(server, phone, None).await;
}

/// Limits the storage of the page, bytes, or no longer.
async fn set_quota(server: &Server, phone: &Phone, bytes: Option<u32>) {
    let mut quota = json!({"origin": server.origin()});
    if let Some(bytes) = bytes {
        quota["quotaSize"] = json!(bytes);
    }
    phone.cdp("Storage.overrideQuotaForOrigin", quota).await;
}

/// The page opens with the network off, whole.
async fn opens_offline(phone: &Phone, cell: &str, build: &str) {
    phone.set_online(false).await;
    phone.reload().await;
    let mark = "document.querySelector('meta[name=build]').content";
    assert_eq!(phone.eval(mark).await, json!(build), "{cell}: offline");
    phone.set_online(true).await;
}

/// The very first opening: the page's own program is hit.
#[tokio::test]
async fn at_the_first_load() {
    let built = Built::from_dist().marked("one");
    for trouble in troubles() {
        let cell = format!("{trouble:?} at the first load");
        println!("{cell}");
        let server = Server::new(built.clone());
        let phone = Phone::new(360, 780).await;
        let script = built.name_of_page_script();
        begin(&trouble, &server, &phone, &script, SMALL_QUOTA).await;
        phone.start_loading(&server.address()).await;
        let there = match trouble {
            Trouble::Everything(_) => "document.querySelector('#sign-in')",
            Trouble::QuotaFull => "document.querySelector('.page.whole')",
            Trouble::OneFile(Fault::Stalled) => {
                "document.querySelector('#trouble')?.innerText.includes('Still loading')"
            }
            Trouble::OneFile(_) => {
                "document.querySelector('#trouble')?.innerText.includes('did not start')"
            }
        };
        phone.wait_until(&cell, there).await;
        if !matches!(trouble, Trouble::QuotaFull) {
            let kept = phone.run(CACHES).await;
            assert_eq!(kept, json!([]), "{cell}: nothing is kept");
        }
        if matches!(trouble, Trouble::QuotaFull) {
            phone.wait_for_answer().await;
            phone.show("more").await;
            wait_for_copy(&phone, &cell, "storage is full").await;
        }
        end(&server, &phone).await;
        if phone
            .holds("document.querySelector('#trouble button')")
            .await
        {
            phone
                .run("document.querySelector('#trouble button').click()")
                .await;
            phone.wait_for_answer().await;
        } else {
            phone.open(&server.address()).await;
        }
        phone.show("more").await;
        phone.run("dispatchEvent(new Event('online'))").await;
        wait_for_copy(&phone, &cell, "Opens without a signal").await;
        opens_offline(&phone, &cell, "one").await;
    }
}

/// The page is there, and its copy is being made: a file that is fetched late is hit.
#[tokio::test]
async fn while_the_copy_is_made() {
    let built = Built::from_dist().marked("one").impatient(STALL_MS);
    for trouble in troubles() {
        let cell = format!("{trouble:?} while the copy is made");
        println!("{cell}");
        let server = Server::new(built.clone());
        let phone = Phone::new(360, 780).await;
        // the page loads before the network turns bad
        phone
            .add_init_script(
                "const plain = ServiceWorkerContainer.prototype.register;
                 const begun = new Promise(done => { window.begin = done; });
                 ServiceWorkerContainer.prototype.register = async function (script) {
                     if (!navigator.serviceWorker.controller) await begun;
                     return plain.call(this, script);
                 };",
            )
            .await;
        phone.open(&server.address()).await;
        phone.show("more").await;
        wait_for_copy(&phone, &cell, "Being copied").await;
        begin(
            &trouble,
            &server,
            &phone,
            &built.name_of("places"),
            SMALL_QUOTA,
        )
        .await;
        phone.run("begin()").await;
        let heals = matches!(trouble, Trouble::OneFile(Fault::WrongType));
        if !heals {
            let why = match trouble {
                Trouble::QuotaFull => "No offline copy yet: the phone's storage is full",
                Trouble::OneFile(Fault::Stalled) => "No offline copy yet: the connection failed",
                _ => "No offline copy yet: the network sent something else in place of",
            };
            wait_for_copy(&phone, &cell, why).await;
            let marked = "document.querySelector('#show-more.marked')";
            assert!(phone.holds(marked).await, "{cell}: a mark");
            assert_eq!(phone.run(CACHES).await, json!([]), "{cell}: no leftovers");
        }
        end(&server, &phone).await;
        phone.run("dispatchEvent(new Event('online'))").await;
        wait_for_copy(&phone, &cell, "Opens without a signal").await;
        let marked = "document.querySelector('#show-more.marked')";
        assert!(!phone.holds(marked).await, "{cell}: no mark");
        assert_eq!(phone.run(CACHES).await, json!(["tarnlight-one"]), "{cell}");
        opens_offline(&phone, &cell, "one").await;
        assert_eq!(phone.errors().await, json!([]), "{cell}");
    }
}

/// Looks for a new version, and waits until it is there or given up: whether one waits.
const UPDATE: &str = "
    const one = await navigator.serviceWorker.getRegistration();
    await one.update().catch(() => null);
    while (one.installing) await new Promise(done => setTimeout(done, 20));
    return one.waiting !== null";

/// A new version is there: its files are hit.
#[tokio::test]
async fn at_an_update() {
    let (one, two) = (
        Built::from_dist().marked("one"),
        Built::from_dist().marked("two").impatient(STALL_MS),
    );
    for trouble in troubles() {
        let cell = format!("{trouble:?} at an update");
        println!("{cell}");
        let server = Server::new(one.clone());
        let phone = Phone::new(360, 780).await;
        phone.open(&server.address()).await;
        phone.show("more").await;
        wait_for_copy(&phone, &cell, "Opens without a signal").await;
        server.switch_to(two.clone());
        let late = two.name_of("places");
        begin(&trouble, &server, &phone, &late, QUOTA_FOR_ONE).await;
        let waits = phone.run(UPDATE).await;
        let heals = matches!(trouble, Trouble::OneFile(Fault::WrongType));
        assert_eq!(waits, json!(heals), "{cell}: a new version waits");
        if !heals {
            assert_eq!(
                phone.run(CACHES).await,
                json!(["tarnlight-one"]),
                "{cell}: leftovers"
            );
            phone.reload().await;
            let mark = "document.querySelector('meta[name=build]').content";
            assert_eq!(phone.eval(mark).await, json!("one"), "{cell}");
            phone.show("more").await;
            wait_for_copy(&phone, &cell, "Opens without a signal").await;
        }
        end(&server, &phone).await;
        assert_eq!(phone.run(UPDATE).await, json!(true), "{cell}: well again");
        phone
            .wait_until(
                &format!("{cell}: the new version"),
                "document.querySelector('.notices').innerText.includes('New version')",
            )
            .await;
        phone.tap_text("Use it now").await;
        let new = "document.querySelector('meta[name=build]')?.content === 'two'";
        phone.wait_until(&format!("{cell}: its front"), new).await;
        phone.wait_for_answer().await;
        opens_offline(&phone, &cell, "two").await;
        assert_eq!(phone.errors().await, json!([]), "{cell}");
    }
}

/// Storage that is blocked, all of it or that of the tab: the page works and says what it cannot do.
#[tokio::test]
async fn with_storage_blocked() {
    let blocked = "{get() { throw new DOMException('no', 'SecurityError'); }}";
    let all = format!(
        "Object.defineProperty(window, 'localStorage', {blocked});
         Object.defineProperty(window, 'sessionStorage', {blocked});
         Object.defineProperty(window, 'caches', {blocked});
         ServiceWorkerContainer.prototype.register =
             async () => {{ throw new DOMException('no', 'SecurityError'); }};"
    );
    let tab = format!("Object.defineProperty(window, 'sessionStorage', {blocked});");
    for (name, script, said) in [
        ("all storage", all, "This browser keeps no copy"),
        ("session storage", tab, "Opens without a signal"),
    ] {
        let cell = format!("{name} blocked");
        println!("{cell}");
        let server = Server::from_dist();
        let phone = Phone::new(360, 780).await;
        phone.add_init_script(&script).await;
        phone.open(&server.address()).await;
        phone.show("more").await;
        wait_for_copy(&phone, &cell, said).await;
        assert_eq!(phone.errors().await, json!([]), "{cell}");
    }
}

/// A front page that is cut off has no program: the server's next answer is the page again.
#[tokio::test]
async fn half_a_front_page_is_never_kept() {
    let server = Server::from_dist();
    server.inject_fault(INDEX, Fault::Truncated(900));
    let phone = Phone::new(360, 780).await;
    phone.start_loading(&server.address()).await;
    phone
        .wait_until("half of it", "document.readyState === 'complete'")
        .await;
    assert_eq!(phone.run(CACHES).await, json!([]));
    server.clear_faults();
    phone.reload().await;
    phone.wait_for_offline_copy().await;
}
