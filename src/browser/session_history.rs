//! The browser's own history, so that its Back button closes sheets and returns to the
//! screen before.
//!
//! An entry holds only its number; what it shows is stored here and is lost when the page is
//! reloaded. Closing a sheet makes the entry on top equal to the one below; the next sheet takes
//! that entry's place, and Back passes over entries that show what is shown already. So no
//! operation waits for the browser, which goes back asynchronously.

use std::cell::RefCell;
use std::cmp::Ordering;
use std::rc::Rc;

use gloo_events::EventListener;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{History, PopStateEvent};

/// The entries made since the page was loaded; dropping it ends the reports.
pub struct SessionHistory<T> {
    entries: Rc<RefCell<Entries<T>>>,
    _listener: Option<EventListener>,
}

/// What the entries show.
struct Entries<T> {
    /// The number of the first of them.
    first: usize,
    shown: Vec<T>,
    /// The current one.
    cursor: usize,
}

/// What to do after a step through the history.
#[derive(Debug, PartialEq)]
enum Step<T> {
    /// Show this.
    Show(T),
    /// The entry shows what is shown already: step on by this many.
    Pass(i32),
    /// Do nothing.
    Stay,
}

impl<T: Clone + PartialEq + 'static> SessionHistory<T> {
    /// Starts with what is shown now; `restored` gets what an earlier entry showed, or `initial`
    /// for an entry from before the page was loaded.
    pub fn new(initial: T, restored: impl Fn(T) + 'static) -> Self {
        let number = history().and_then(|history| number_of(&history.state().ok()?));
        let first = number.unwrap_or(0);
        replace(first);
        let entries = Rc::new(RefCell::new(Entries {
            first,
            shown: vec![initial.clone()],
            cursor: 0,
        }));
        let listener = {
            let entries = entries.clone();
            web_sys::window().map(|window| {
                EventListener::new(&window, "popstate", move |event| {
                    let state = event.dyn_ref().map(PopStateEvent::state);
                    let number = state.as_ref().and_then(number_of);
                    let step = match number {
                        Some(number) => entries.borrow_mut().go(number, &initial),
                        None => {
                            // a link was followed within the page: an entry of ours from now on
                            replace(entries.borrow_mut().adopt());
                            Step::Stay
                        }
                    };
                    match step {
                        Step::Show(shown) => restored(shown),
                        Step::Pass(by) => {
                            if let Some(history) = history() {
                                // fails only at the end of the history
                                let _ = history.go_with_delta(by);
                            }
                        }
                        Step::Stay => {}
                    }
                })
            })
        };
        Self {
            entries,
            _listener: listener,
        }
    }

    /// Something new is shown, which Back leaves again.
    pub fn advance(&self, shown: T) {
        let number = self.entries.borrow_mut().advance(shown);
        if let Some(number) = number {
            push(number);
        }
    }

    /// Something that an entry below shows is shown again; Back leaves that.
    pub fn retreat(&self, shown: &T) {
        self.entries.borrow_mut().retreat(shown);
    }
}

impl<T: Clone + PartialEq> Entries<T> {
    /// Shows something new; returns the number of an entry to be made, `None` where the current
    /// one, a duplicate of the one below, is reused.
    fn advance(&mut self, shown: T) -> Option<usize> {
        self.shown.truncate(self.cursor + 1);
        let below = self.cursor.checked_sub(1).map(|below| &self.shown[below]);
        if below == Some(&self.shown[self.cursor]) {
            self.shown[self.cursor] = shown;
            return None;
        }
        self.shown.push(shown);
        self.cursor += 1;
        Some(self.first + self.cursor)
    }

    /// Makes the entries above the last one that shows this equal to it.
    fn retreat(&mut self, shown: &T) {
        self.shown.truncate(self.cursor + 1);
        let earlier = self.shown[..self.cursor].iter();
        let from = earlier.clone().rposition(|entry| entry == shown);
        for entry in &mut self.shown[from.unwrap_or(self.cursor)..] {
            entry.clone_from(shown);
        }
    }

    /// The browser went to an entry. What an earlier load showed there is not known: `initial`
    /// stands for it.
    fn go(&mut self, number: usize, initial: &T) -> Step<T> {
        let current = self.shown[self.cursor].clone();
        if let Some(missing) = self.first.checked_sub(number) {
            let earlier = vec![initial.clone(); missing];
            self.shown.splice(0..0, earlier);
            self.first = number;
            self.cursor += missing;
        }
        let place = number - self.first;
        if place >= self.shown.len() {
            self.shown.resize(place + 1, initial.clone());
        }
        let before = std::mem::replace(&mut self.cursor, place);
        let target = self.shown[place].clone();
        match place.cmp(&before) {
            Ordering::Equal => Step::Stay,
            Ordering::Less if target == current => Step::Pass(-1),
            Ordering::Greater if target == current => Step::Pass(1),
            _ => Step::Show(target),
        }
    }

    /// The browser made an entry by itself, which shows what is shown; its number.
    fn adopt(&mut self) -> usize {
        self.shown.truncate(self.cursor + 1);
        self.shown.push(self.shown[self.cursor].clone());
        self.cursor += 1;
        self.first + self.cursor
    }
}

fn history() -> Option<History> {
    web_sys::window()?.history().ok()
}

fn number_of(state: &JsValue) -> Option<usize> {
    let number = state.as_f64()?;
    (number >= 0.0 && number.fract() == 0.0).then_some(number as usize)
}

fn push(number: usize) {
    if let Some(history) = history() {
        // browsers limit the rate; then Back leaves one step too many
        let _ = history.push_state(&JsValue::from_f64(number as f64), "");
    }
}

fn replace(number: usize) {
    if let Some(history) = history() {
        // as above
        let _ = history.replace_state(&JsValue::from_f64(number as f64), "");
    }
}

#[cfg(test)]
mod tests {
    use super::*;

    fn entries() -> Entries<&'static str> {
        Entries {
            first: 3,
            shown: vec!["how"],
            cursor: 0,
        }
    }

    #[test]
    fn back_closes_a_sheet_then_returns_to_the_screen_before() {
        let mut entries = entries();
        assert_eq!(entries.advance("when"), Some(4));
        assert_eq!(entries.advance("when, kit"), Some(5));
        assert_eq!(entries.go(4, &"how"), Step::Show("when"));
        assert_eq!(entries.go(3, &"how"), Step::Show("how"));
        assert_eq!(entries.go(5, &"how"), Step::Show("when, kit"), "forward");
    }

    #[test]
    fn a_screen_is_returned_to_even_if_it_was_shown_before() {
        let mut entries = entries();
        assert_eq!(entries.advance("when"), Some(4));
        assert_eq!(entries.advance("how"), Some(5));
        assert_eq!(entries.go(4, &"how"), Step::Show("when"));
    }

    #[test]
    fn closed_sheets_leave_nothing_to_go_back_through() {
        let mut entries = entries();
        assert_eq!(entries.advance("how, card"), Some(4));
        assert_eq!(entries.advance("how, card, lists"), Some(5));
        entries.retreat(&"how, card");
        entries.retreat(&"how");
        assert_eq!(
            entries.advance("how, site"),
            None,
            "the entry is used again"
        );
        entries.retreat(&"how");
        assert_eq!(entries.go(4, &"how"), Step::Pass(-1));
        assert_eq!(entries.go(3, &"how"), Step::Pass(-1));
        assert_eq!(entries.advance("where"), Some(4));
        assert_eq!(entries.go(3, &"how"), Step::Show("how"));
    }

    #[test]
    fn entries_of_an_earlier_load_show_the_first_screen() {
        let mut entries = entries();
        entries.advance("when");
        assert_eq!(entries.go(2, &"how"), Step::Show("how"));
        assert_eq!(entries.go(4, &"how"), Step::Show("when"));
        assert_eq!(entries.adopt(), 5);
        // forward to what was shown before a reload, and on from there
        assert_eq!(entries.go(7, &"how"), Step::Show("how"));
        assert_eq!(
            entries.advance("where"),
            None,
            "it shows the same as the one below"
        );
        assert_eq!(entries.advance("why"), Some(8));
        assert_eq!(entries.go(7, &"how"), Step::Show("where"));
        assert_eq!(entries.go(7, &"how"), Step::Stay);
        assert_eq!(entries.go(6, &"how"), Step::Show("how"));
    }

    #[test]
    fn an_earlier_entry_that_shows_the_same_is_passed_over() {
        let mut entries = entries();
        assert_eq!(entries.go(2, &"how"), Step::Pass(-1));
    }
}
