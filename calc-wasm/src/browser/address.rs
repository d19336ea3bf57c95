//! The address bar carries a calculation, so that it can be linked: `#voltage-drop-1?current_a=180%20A&…`.

use wasm_bindgen::JsValue;
use wasm_bindgen::prelude::wasm_bindgen;

#[wasm_bindgen]
extern "C" {
    #[wasm_bindgen(js_name = encodeURIComponent)]
    fn encode(text: &str) -> String;

    #[wasm_bindgen(js_name = decodeURIComponent, catch)]
    fn decode(text: &str) -> Result<String, JsValue>;
}

/// Names and texts of a form's fields.
pub(super) type Values = Vec<(String, String)>;

/// The block that the address names, and its values.
pub(super) fn linked() -> Option<(String, Values)> {
    let hash = web_sys::window()?.location().hash().ok()?;
    let (id, query) = hash.strip_prefix('#')?.split_once('?')?;
    Some((decode(id).ok()?, read(query)))
}

/// Puts a block and its values into the address bar, without a new entry in the history.
pub(super) fn link(id: &str, values: &Values) {
    set_hash(&["#", id, "?", &write(values)].concat());
}

/// Takes the values of this block out of the address bar.
pub(super) fn unlink(id: &str) {
    if linked().is_some_and(|(linked, _)| linked == id) {
        set_hash(&["#", id].concat());
    }
}

/// Values as one line of text.
pub(super) fn write(values: &Values) -> String {
    let pairs: Vec<String> = values.iter().map(|(name, text)| [name, "=", &encode(text)].concat()).collect();
    pairs.join("&")
}

/// Values from one line of text; pairs that cannot be read are left out.
pub(super) fn read(line: &str) -> Values {
    line.split('&')
        .filter_map(|pair| {
            let (name, text) = pair.split_once('=')?;
            Some((name.to_owned(), decode(text).ok()?))
        })
        .collect()
}

fn set_hash(hash: &str) {
    let history = web_sys::window().and_then(|window| window.history().ok());
    if let Some(history) = history {
        history.replace_state_with_url(&JsValue::NULL, "", Some(hash)).ok();
    }
}
