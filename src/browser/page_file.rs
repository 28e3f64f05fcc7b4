//! Files that the page fetches late.
//!
//! The build puts a hash into the name of each, so that a tab of an older version never meets a
//! newer file, and names them in `<meta>` elements of the page.

/// The address of a file by the name of its element, relative to the page.
pub fn address(name: &str) -> Option<String> {
    let document = web_sys::window()?.document()?;
    let element = document.query_selector(&["meta[name=", name, "]"].concat());
    element.ok()??.get_attribute("content")
}
