//! A fault of WebKit's on Linux: now and then its compiled WebAssembly reads at a wrong address. It was
//! seen once here. What is compiled is safe Rust, its stack was never deeper than 31 kB of 1 MB on any
//! screen or sheet in Chromium, and neither Chromium nor Firefox has reported such a read.
//!
//! Sources: <https://bugs.webkit.org/show_bug.cgi?id=259441>;
//! <https://github.com/rust-lang/hashbrown/issues/194>.

use std::future::Future;
use std::panic::{AssertUnwindSafe, catch_unwind, resume_unwind};

/// How the engine reports it.
const FAULT: &str = "Out of bounds memory access";

/// Runs a test, and once more where it failed and the engine had reported this fault. Whatever else
/// fails, and a second time, fails.
pub fn again_after_a_fault<F: Future<Output = ()>>(test: impl Fn() -> F) {
    let run = || {
        let runtime = tokio::runtime::Builder::new_current_thread()
            .enable_all()
            .build()
            .expect("a runtime");
        runtime.block_on(test());
    };
    let Err(panic) = catch_unwind(AssertUnwindSafe(run)) else {
        return;
    };
    let message = panic.downcast_ref::<String>();
    if !message.is_some_and(|message| message.contains(FAULT)) {
        resume_unwind(panic);
    }
    eprintln!("the engine read at a wrong address; once more");
    run();
}
