//! Beeps, for who has switched them on: off whenever a page is opened, since no page may make noise unasked.

use std::cell::RefCell;

use wasm_bindgen::JsValue;
use web_sys::{AudioContext, Element};

use super::dom;

thread_local! {
    static OUT: RefCell<Option<AudioContext>> = const { RefCell::new(None) };
}

/// Switches beeps on with a first one to be heard, or off again. Where a browser has no sound, the switch stays off.
pub(super) fn toggle() {
    let was_on = OUT.with_borrow(Option::is_some);
    if let Some(out) = OUT.take() {
        // A context that is already closed is as silent.
        drop(out.close());
    }
    if !was_on {
        OUT.set(AudioContext::new().ok());
        beep(1);
    }
    let on = OUT.with_borrow(Option::is_some);
    let Some(document) = dom::document() else { return };
    for button in dom::all(&document, "[data-do=sound]") {
        pressed(&button, on);
    }
}

fn pressed(button: &Element, on: bool) {
    button.set_attribute("aria-pressed", if on { "true" } else { "false" }).ok();
}

/// Beeps so many times; nothing when beeps are off.
pub(super) fn beep(times: u8) {
    OUT.with_borrow(|out| {
        if let Some(out) = out {
            // A browser that refuses shows its words all the same.
            sound(out, times).ok();
        }
    });
}

fn sound(out: &AudioContext, times: u8) -> Result<(), JsValue> {
    // The system may have stopped the sound while the page was out of sight.
    drop(out.resume());
    for nth in 0..times {
        let tone = out.create_oscillator()?;
        tone.frequency().set_value(880.0);
        tone.connect_with_audio_node(&out.destination())?;
        let start = out.current_time() + f64::from(nth) * 0.3;
        tone.start_with_when(start)?;
        tone.stop_with_when(start + 0.18)?;
    }
    Ok(())
}
