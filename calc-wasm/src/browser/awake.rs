//! Keeps the screen on while a checklist is gone through, where the browser can. Nothing is said where it cannot.

use std::cell::RefCell;

use wasm_bindgen::prelude::{Closure, wasm_bindgen};
use wasm_bindgen::{JsCast, JsValue};

use super::dom;

#[wasm_bindgen]
extern "C" {
    /// The page's navigator, asked for what old browsers do not have.
    type Asked;
    #[wasm_bindgen(method, getter, js_name = wakeLock)]
    fn wake_lock(this: &Asked) -> Option<Locks>;

    type Locks;
    #[wasm_bindgen(method, catch)]
    fn request(this: &Locks, kind: &str) -> Result<Promised, JsValue>;

    type Promised;
    #[wasm_bindgen(method)]
    fn then(this: &Promised, granted: &JsValue, refused: &JsValue) -> Promised;

    /// A screen that is held on.
    type Lock;
    #[wasm_bindgen(method)]
    fn release(this: &Lock) -> Promised;
    #[wasm_bindgen(method, setter)]
    fn set_onrelease(this: &Lock, act: &JsValue);
}

enum Screen {
    Free,
    Requested,
    Held(Lock),
}

thread_local! {
    static SCREEN: RefCell<Screen> = const { RefCell::new(Screen::Free) };
}

/// Holds the screen on when a checklist has begun and is not finished, and lets go of it otherwise.
///
/// The browser lets go by itself when the page is out of sight, so this is called again when it is back.
pub(super) fn settle() {
    if !wanted() {
        if let Screen::Held(lock) = SCREEN.replace(Screen::Free) {
            lock.release();
        }
        say();
        return;
    }
    if SCREEN.with_borrow(|screen| matches!(screen, Screen::Free)) {
        request();
    }
    say();
}

fn wanted() -> bool {
    dom::document().is_some_and(|document| {
        !document.hidden() && document.query_selector("[data-hookup][data-begun]").ok().flatten().is_some()
    })
}

fn request() {
    let Some(window) = web_sys::window() else { return };
    let navigator: Asked = JsValue::from(window.navigator()).unchecked_into();
    let Some(Ok(promised)) = navigator.wake_lock().map(|locks| locks.request("screen")) else { return };
    SCREEN.set(Screen::Requested);
    let granted = Closure::once_into_js(|lock: JsValue| {
        let lock: Lock = lock.unchecked_into();
        lock.set_onrelease(&Closure::once_into_js(|_: JsValue| {
            SCREEN.set(Screen::Free);
            say();
        }));
        SCREEN.set(Screen::Held(lock));
        // The list may have been finished while the browser was asked.
        settle();
    });
    let refused = Closure::once_into_js(|_: JsValue| SCREEN.set(Screen::Free));
    promised.then(&granted, &refused);
}

/// Says so in the checklists that have begun, while the screen is held and only then.
fn say() {
    let held = SCREEN.with_borrow(|screen| matches!(screen, Screen::Held(_)));
    let Some(document) = dom::document() else { return };
    for section in dom::all(&document, "[data-hookup]") {
        if let Some(note) = dom::part(&section, "awake") {
            dom::set_hidden(&note, !(held && section.has_attribute("data-begun")));
        }
    }
}
