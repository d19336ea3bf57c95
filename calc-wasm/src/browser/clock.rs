//! The two clocks of a page. Neither counts ticks, so a page that slept in the background is right when it wakes.

use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_namespace = performance, js_name = now)]
    fn since_opened() -> f64;
    #[wasm_bindgen(js_namespace = Date, js_name = now)]
    fn since_1970() -> f64;
    #[wasm_bindgen(js_name = Date)]
    type Moment;
    #[wasm_bindgen(constructor, js_class = Date)]
    fn new() -> Moment;
    #[wasm_bindgen(constructor, js_class = Date)]
    fn of(iso: &str) -> Moment;
    #[wasm_bindgen(method, js_class = Date, js_name = toISOString)]
    fn iso(this: &Moment) -> String;
    #[wasm_bindgen(method, js_class = Date, js_name = toTimeString)]
    fn here(this: &Moment) -> String;
    #[wasm_bindgen(method, js_class = Date, js_name = toString)]
    fn whole(this: &Moment) -> String;
}

/// Milliseconds since the page was opened; nobody sets this clock while a motor is energized.
pub(super) fn now() -> u64 {
    since_opened() as u64
}

/// Milliseconds since 1970, by the clock on the wall: it goes on while the page is away.
pub(super) fn wall() -> u64 {
    since_1970() as u64
}

/// Now, as ISO 8601 writes it, to the second: `2026-11-26T15:48:00Z`.
pub(super) fn iso() -> String {
    let text = Moment::new().iso();
    [text.split('.').next().unwrap_or_default(), "Z"].concat()
}

/// A time of [`iso`] by the clock of this place: `Thu Nov 26 2026 15:48`. Nothing when it is none.
pub(super) fn local(iso: &str) -> Option<String> {
    let text = Moment::of(iso).whole();
    (!text.starts_with('I')).then(|| text.chars().take(21).collect())
}

/// Hours and minutes by the clock of this place: `15:48`.
pub(super) fn hours() -> String {
    Moment::new().here().chars().take(5).collect()
}
