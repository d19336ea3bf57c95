//! The two clocks of a page. Neither counts ticks, so a page that slept in the background is right when it wakes.

use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = performance, js_name = now)]
    fn since_opened() -> f64;
    #[wasm_bindgen(js_namespace = Date, js_name = now)]
    fn since_1970() -> f64;
}

/// Milliseconds since the page was opened; nobody sets this clock while a motor is energized.
pub(super) fn now() -> u64 {
    since_opened() as u64
}

/// Milliseconds since 1970, by the clock on the wall: it goes on while the page is away.
pub(super) fn wall() -> u64 {
    since_1970() as u64
}
