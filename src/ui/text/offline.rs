//! Words about working without a signal.

use crate::browser::offline::{CopyStatus, Failure};
use crate::browser::persistent_storage::Keeping;

/// After a version that did not start was given up for this one.
pub const ANOTHER_DID_NOT_START: &str =
    "Another version of this page did not start; this one is in use instead.";

/// After the program stopped at a fault and the page was loaded anew.
pub const RESTARTED: &str = "Tarnlight stopped and has started again.";

/// Said of More, to those who do not see the mark.
pub const NO_COPY: &str = "no offline copy yet";

/// How the copy stands.
pub fn copy(copy: &CopyStatus) -> String {
    match copy {
        CopyStatus::InProgress => "Being copied, to open without a signal".to_owned(),
        CopyStatus::Complete => "Opens without a signal".to_owned(),
        CopyStatus::Unsupported => "This browser keeps no copy: the page needs a signal".to_owned(),
        CopyStatus::Failed(failure) => {
            let why = match failure {
                Failure::Full => "the phone's storage is full".to_owned(),
                Failure::WrongFile(file) => {
                    format!("the network sent something else in place of {file}")
                }
                Failure::Connection => "the connection failed".to_owned(),
            };
            format!("No offline copy yet: {why}. It is tried again.")
        }
    }
}

/// Why the page is better put on the home screen; nothing where that is no better.
pub const fn keeping(keeping: Keeping) -> Option<&'static str> {
    match keeping {
        Keeping::Lasting => None,
        Keeping::UntilShort => Some(
            "When storage runs short, this browser may delete the copy and what you saved. \
             Add the page to the home screen, and it stays.",
        ),
        Keeping::SevenDays => Some(
            "This browser deletes the copy and what you saved when the page is not opened for \
             seven days. Add it to the home screen, and it stays.",
        ),
    }
}
