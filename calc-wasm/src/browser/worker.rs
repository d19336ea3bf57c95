//! Heavy calculations beside the page: a worker runs the same script and answers by message.
//!
//! A page opened from a plain file may start no worker; there the page does the work itself, once it has shown that it
//! will take a moment.

use std::cell::RefCell;

use wasm_bindgen::prelude::Closure;
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{DedicatedWorkerGlobalScope, File, FileReaderSync, MessageEvent, Worker};

use super::job::{Job, Outcome};
use super::{dom, form};

/// Parts the block, the number of the job and its message.
const HEAD: char = '\u{1d}';

/// How long the page waits before it works itself, so that it has been painted, in milliseconds.
const PAINTED: i32 = 60;

thread_local! {
    static WORKER: RefCell<Option<Worker>> = const { RefCell::new(None) };
}

/// Gives a job to the worker, or does it here in a moment; the answer comes to `form::answered`.
///
/// A file goes before its job, by reference: its text never passes through the page.
pub(super) fn send(block: &str, number: u32, job: Job, file: Option<File>) {
    let sent = WORKER.with_borrow_mut(|worker| {
        if worker.is_none() {
            *worker = started();
        }
        let Some(worker) = worker else { return false };
        let file = file.as_ref().map_or(JsValue::NULL, |file| file.clone().into());
        let message = format!("{block}{HEAD}{number}{HEAD}{}", job.packed());
        worker.post_message(&file).is_ok() && worker.post_message(&JsValue::from_str(&message)).is_ok()
    });
    if sent {
        return;
    }
    let block = block.to_owned();
    let work = move |text: String| form::answered(&block, number, &job.with_file(&text).worked());
    match file {
        Some(file) => form::read(&file, work),
        None => {
            let work = Closure::once_into_js(move || work(String::new()));
            if let Some(window) = web_sys::window() {
                window
                    .set_timeout_with_callback_and_timeout_and_arguments_0(work.unchecked_ref(), PAINTED)
                    .ok();
            }
        }
    }
}

/// Is this the worker? Then it answers jobs from now on.
pub(super) fn serve() -> bool {
    let Ok(scope) = js_global().dyn_into::<DedicatedWorkerGlobalScope>() else { return false };
    let answering = scope.clone();
    let mut file: Option<File> = None;
    let answer = Closure::<dyn FnMut(MessageEvent)>::new(move |event: MessageEvent| {
        let Some((block, number, job)) = message(&event) else {
            file = event.data().dyn_into().ok();
            return;
        };
        let read = |file: File| FileReaderSync::new().ok()?.read_as_text(&file).ok();
        let job = Job::unpacked(&job);
        let job = match file.take().and_then(read) {
            Some(text) => job.with_file(&text),
            None => job,
        };
        let reply = format!("{block}{HEAD}{number}{HEAD}{}", job.worked().packed());
        answering.post_message(&JsValue::from_str(&reply)).ok();
    });
    scope.set_onmessage(Some(answer.as_ref().unchecked_ref()));
    answer.forget();
    true
}

fn started() -> Option<Worker> {
    let window = web_sys::window()?;
    if !window.location().protocol().ok()?.starts_with("http") {
        return None;
    }
    let script = dom::all(&dom::document()?, "script[src]").first()?.get_attribute("src")?;
    let worker = Worker::new(&script).ok()?;
    let answered = Closure::<dyn FnMut(MessageEvent)>::new(|event: MessageEvent| {
        if let Some((block, number, outcome)) = message(&event) {
            form::answered(&block, number, &Outcome::unpacked(&outcome));
        }
    });
    worker.set_onmessage(Some(answered.as_ref().unchecked_ref()));
    answered.forget();
    Some(worker)
}

/// The block, the number of the job and what is said; nothing when it is no text.
fn message(event: &MessageEvent) -> Option<(String, u32, String)> {
    let message = event.data().as_string()?;
    let mut pieces = message.splitn(3, HEAD).map(str::to_owned);
    Some((pieces.next()?, pieces.next()?.parse().ok()?, pieces.next()?))
}

fn js_global() -> JsValue {
    #[wasm_bindgen::prelude::wasm_bindgen]
    extern "C" {
        #[wasm_bindgen(thread_local_v2, js_name = globalThis)]
        static GLOBAL: JsValue;
    }
    GLOBAL.with(Clone::clone)
}
