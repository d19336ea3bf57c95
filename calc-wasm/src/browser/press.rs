//! Fingers in gloves: a press that bounces counts once, and what would wipe ticks is asked for twice.

use std::cell::RefCell;

use super::clock;

/// Two presses of the same thing within so many milliseconds are one press that bounced.
const BOUNCE_MS: u64 = 400;

struct Last {
    /// What was pressed.
    key: String,
    /// When, in milliseconds since the page was opened.
    at: u64,
    /// Was it answered by “press again”?
    asked: bool,
    /// Until then every press is taken for a bounce, since the page has moved under the finger.
    quiet_until: u64,
}

thread_local! {
    static LAST: RefCell<Last> =
        const { RefCell::new(Last { key: String::new(), at: 0, asked: false, quiet_until: 0 }) };
}

/// Is this the bounce of the press before? Any other press takes back what was asked.
pub(super) fn bounced(key: &str) -> bool {
    let now = clock::now();
    LAST.with_borrow_mut(|last| {
        if now < last.quiet_until || (last.key == key && now < last.at + BOUNCE_MS) {
            return true;
        }
        last.asked &= last.key == key;
        key.clone_into(&mut last.key);
        last.at = now;
        false
    })
}

/// Was “press again” the answer to the press before this one? If not, it is the answer to this one.
pub(super) fn confirmed() -> bool {
    LAST.with_borrow_mut(|last| {
        last.asked = !last.asked;
        !last.asked
    })
}

/// Takes back what was asked.
pub(super) fn disarm() {
    LAST.with_borrow_mut(|last| last.asked = false);
}

/// The page moves under the finger: what comes at once was meant for what stood there before.
pub(super) fn hush() {
    let until = clock::now() + BOUNCE_MS;
    LAST.with_borrow_mut(|last| last.quiet_until = until);
}
