//! One Chromium, driven over WebDriver.

use std::collections::BTreeSet;
use std::path::Path;
use std::sync::{Mutex, MutexGuard, OnceLock, PoisonError};

use anyhow::{Context, Result};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use super::keeper::{Kept, folder, free_port};
use super::wire::Wire;

/// A browser with one window.
pub struct Chromium {
    wire: Wire,
    /// Path of the session's commands.
    session: String,
    /// Origins of the pages opened since the last [`shared`], whose storage is then cleared.
    origins: BTreeSet<String>,
    _driver: Kept,
}

/// A sheet of paper, in centimetres.
#[derive(Debug, Clone, Copy, PartialEq)]
pub struct Paper {
    /// What it is called.
    pub name: &'static str,
    pub(super) width: f64,
    pub(super) height: f64,
}

/// 210 mm × 297 mm.
pub const A4: Paper = Paper { name: "A4", width: 21.0, height: 29.7 };
/// 8.5 in × 11 in.
pub const LETTER: Paper = Paper { name: "Letter", width: 21.59, height: 27.94 };

/// The browser that all tests of one binary share: starting one takes a second, and a test leaves no page open.
pub fn shared() -> MutexGuard<'static, Chromium> {
    static SHARED: OnceLock<Mutex<Chromium>> = OnceLock::new();
    let browser = SHARED.get_or_init(|| {
        Mutex::new(
            Chromium::start().expect("chromium and chromedriver (apt: chromium chromium-driver) must start"),
        )
    });
    // A test that failed with the browser in hand leaves it usable: the next one opens its own page.
    let mut browser = browser.lock().unwrap_or_else(PoisonError::into_inner);
    browser.fresh().expect("a browser forgets the page before");
    browser
}

impl Chromium {
    /// Starts a driver and a browser that logs what pages say and ask for.
    pub fn start() -> Result<Self> {
        Chromium::start_with(&json!({ "browser": "ALL", "performance": "ALL" }))
    }

    /// Starts a browser that logs nothing, since logging takes time from a page.
    pub fn start_unlogged() -> Result<Self> {
        Chromium::start_with(&json!({}))
    }

    fn start_with(logs: &Value) -> Result<Self> {
        let folder = folder()?;
        let port = free_port()?;
        let mut driver = Kept::start(&folder, "chromedriver", &[format!("--port={port}")])?;
        let mut wire = Wire::to(port)?;
        let answer = wire.call("POST", "/session", &capabilities(&folder, logs))?;
        let process = answer["capabilities"]["goog:processID"].as_u64().context("no process id")?;
        driver.also_end(process)?;
        let id = answer["sessionId"].as_str().context("no session")?;
        Ok(Chromium { wire, session: format!("/session/{id}"), origins: BTreeSet::new(), _driver: driver })
    }

    /// Opens an address and waits until it is loaded.
    pub fn open(&mut self, address: &str) -> Result<()> {
        self.origins.insert(address.splitn(4, '/').take(3).collect::<Vec<_>>().join("/"));
        self.post("/url", &json!({ "url": address }))?;
        Ok(())
    }

    /// Loads the page again.
    pub fn reload(&mut self) -> Result<()> {
        self.post("/refresh", &json!({}))?;
        Ok(())
    }

    /// The address in the address bar.
    pub fn address(&mut self) -> Result<String> {
        Ok(self.get("/url")?.as_str().unwrap_or_default().to_owned())
    }

    /// Runs the body of a function in the page and gives what it returns.
    pub fn run(&mut self, body: &str, arguments: &[Value]) -> Result<Value> {
        self.post("/execute/sync", &json!({ "script": body, "args": arguments }))
    }

    /// Runs the body of a function whose last argument is called with the result.
    pub fn run_later(&mut self, body: &str, arguments: &[Value]) -> Result<Value> {
        self.post("/execute/async", &json!({ "script": body, "args": arguments }))
    }

    /// Clicks the one element that a selector finds first.
    pub fn click(&mut self, selector: &str) -> Result<()> {
        let element = self.find(selector)?;
        self.post(&format!("/element/{element}/click"), &json!({}))?;
        Ok(())
    }

    /// Types into a box in place of what stands there, key by key.
    pub fn type_into(&mut self, selector: &str, text: &str) -> Result<()> {
        let element = self.find(selector)?;
        // Control and A choose everything in the box, so that the first key replaces it, as a person would do.
        let keys = format!("\u{e009}a\u{e000}{text}");
        self.post(&format!("/element/{element}/value"), &json!({ "text": keys }))?;
        Ok(())
    }

    /// Presses keys wherever the focus is.
    pub fn keys(&mut self, keys: &str) -> Result<()> {
        let presses: Vec<Value> = keys
            .chars()
            .flat_map(|key| {
                [json!({ "type": "keyDown", "value": key }), json!({ "type": "keyUp", "value": key })]
            })
            .collect();
        self.post("/actions", &json!({ "actions": [{ "type": "key", "id": "keys", "actions": presses }] }))?;
        Ok(())
    }

    /// Presses a key while another is held.
    pub fn chord(&mut self, held: &str, key: &str) -> Result<()> {
        let presses: Vec<Value> = [("keyDown", held), ("keyDown", key), ("keyUp", key), ("keyUp", held)]
            .map(|(kind, key)| json!({ "type": kind, "value": key }))
            .into();
        self.post("/actions", &json!({ "actions": [{ "type": "key", "id": "keys", "actions": presses }] }))?;
        Ok(())
    }

    /// Chooses a file, as a person does in the browser's own window.
    pub fn choose_file(&mut self, selector: &str, file: &Path) -> Result<()> {
        let element = self.find(selector)?;
        self.post(&format!("/element/{element}/value"), &json!({ "text": file.display().to_string() }))?;
        Ok(())
    }

    /// Saves what pages offer into a folder, without asking.
    pub fn downloads_to(&mut self, folder: &Path) -> Result<()> {
        let order = json!({ "behavior": "allow", "downloadPath": folder.display().to_string() });
        self.devtools("Browser.setDownloadBehavior", &order)
    }

    /// The text of an element as a reader sees it.
    pub fn text(&mut self, selector: &str) -> Result<String> {
        let element = self.find(selector)?;
        Ok(self.get(&format!("/element/{element}/text"))?.as_str().unwrap_or_default().to_owned())
    }

    /// What assistive software calls an element: its role and name.
    pub fn spoken(&mut self, selector: &str) -> Result<(String, String)> {
        let element = self.find(selector)?;
        let mut ask = |what: &str| -> Result<String> {
            Ok(self.get(&format!("/element/{element}/{what}"))?.as_str().unwrap_or_default().to_owned())
        };
        Ok((ask("computedrole")?, ask("computedlabel")?))
    }

    /// Makes the page's area this large, in CSS pixels, as a telephone or a desk would.
    pub fn area(&mut self, width: u32, height: u32) -> Result<()> {
        self.devtools(
            "Emulation.setDeviceMetricsOverride",
            &json!({ "width": width, "height": height, "deviceScaleFactor": 1, "mobile": false }),
        )
    }

    /// Makes the window a telephone's, which is touched: no mouse, and a page as wide as the screen.
    pub fn telephone(&mut self, width: u32, height: u32) -> Result<()> {
        let screen = json!({ "width": width, "height": height, "deviceScaleFactor": 2, "mobile": true });
        self.devtools("Emulation.setDeviceMetricsOverride", &screen)?;
        self.touched(true)
    }

    /// Touches the one element that a selector finds first with a finger: in its middle, or so far from it. It is
    /// brought into sight first, as a thumb does.
    pub fn tap(&mut self, selector: &str, (right, down): (i32, i32)) -> Result<()> {
        let show =
            "document.querySelector(arguments[0]).scrollIntoView({ block: 'center', behavior: 'instant' })";
        self.run(show, &[json!(selector)])?;
        let element = self.find(selector)?;
        let origin = json!({ "element-6066-11e4-a52e-4f735466cecf": element });
        let actions = json!([
            { "type": "pointerMove", "origin": origin, "x": right, "y": down },
            { "type": "pointerDown", "button": 0 },
            { "type": "pointerUp", "button": 0 },
        ]);
        let touch = json!({ "pointerType": "touch" });
        let finger = json!({ "type": "pointer", "id": "finger", "parameters": touch, "actions": actions });
        self.post("/actions", &json!({ "actions": [finger] }))?;
        Ok(())
    }

    fn touched(&mut self, touched: bool) -> Result<()> {
        let order = json!({ "enabled": touched, "maxTouchPoints": 5 });
        self.devtools("Emulation.setTouchEmulationEnabled", &order)
    }

    /// Shows the page as for `screen` or `print`, in a `light` or `dark` scheme.
    pub fn media(&mut self, media: &str, scheme: &str) -> Result<()> {
        let features = json!([{ "name": "prefers-color-scheme", "value": scheme }]);
        self.devtools("Emulation.setEmulatedMedia", &json!({ "media": media, "features": features }))
    }

    /// Lets scripts of pages run, or not.
    pub fn scripts(&mut self, allowed: bool) -> Result<()> {
        self.devtools("Emulation.setScriptExecutionDisabled", &json!({ "value": !allowed }))
    }

    /// Has every page run `body` before its own scripts, for as long as the browser runs.
    pub fn before_every_page(&mut self, body: &str) -> Result<()> {
        self.devtools("Page.addScriptToEvaluateOnNewDocument", &json!({ "source": body }))
    }

    /// The page as a PDF on this paper, margins left to the page's own styles.
    pub fn print(&mut self, paper: Paper) -> Result<Vec<u8>> {
        let order = json!({
            "page": { "width": paper.width, "height": paper.height },
            "margin": { "top": 1.0, "bottom": 1.0, "left": 1.0, "right": 1.0 },
            "shrinkToFit": false,
        });
        let text = self.post("/print", &order)?;
        Ok(STANDARD.decode(text.as_str().context("no PDF")?)?)
    }

    /// What the window shows, as a PNG.
    pub fn picture(&mut self) -> Result<Vec<u8>> {
        let text = self.get("/screenshot")?;
        Ok(STANDARD.decode(text.as_str().context("no picture")?)?)
    }

    /// Errors and warnings of the console since the last call.
    pub fn console(&mut self) -> Result<Vec<String>> {
        let entries = self.log("browser")?;
        Ok(entries.iter().map(|entry| format!("{}: {}", entry["level"], entry["message"])).collect())
    }

    /// Every address asked for since the last call, by a page or by the browser for it.
    pub fn requests(&mut self) -> Result<Vec<String>> {
        let mut addresses = Vec::new();
        for entry in self.log("performance")? {
            let event: Value = serde_json::from_str(entry["message"].as_str().unwrap_or("{}"))?;
            if event["message"]["method"] == "Network.requestWillBeSent" {
                let address = &event["message"]["params"]["request"]["url"];
                addresses.push(address.as_str().unwrap_or_default().to_owned());
            }
        }
        Ok(addresses)
    }

    /// Back to a plain window with no page: what a test before changed is undone.
    fn fresh(&mut self) -> Result<()> {
        self.scripts(true)?;
        self.media("", "light")?;
        self.area(1280, 900)?;
        self.touched(false)?;
        self.post("/url", &json!({ "url": "about:blank" }))?;
        for origin in std::mem::take(&mut self.origins) {
            let everything = json!({ "origin": origin, "storageTypes": "all" });
            self.devtools("Storage.clearDataForOrigin", &everything)?;
        }
        self.console()?;
        self.requests()?;
        Ok(())
    }

    fn log(&mut self, kind: &str) -> Result<Vec<Value>> {
        let answer = self.post("/se/log", &json!({ "type": kind }))?;
        Ok(answer.as_array().cloned().unwrap_or_default())
    }

    fn devtools(&mut self, command: &str, parameters: &Value) -> Result<()> {
        self.post("/goog/cdp/execute", &json!({ "cmd": command, "params": parameters }))?;
        Ok(())
    }

    fn find(&mut self, selector: &str) -> Result<String> {
        let found = self.post("/element", &json!({ "using": "css selector", "value": selector }))?;
        let id = found.as_object().and_then(|pair| pair.values().next()).and_then(Value::as_str);
        Ok(id.with_context(|| format!("`{selector}` is no element"))?.to_owned())
    }

    fn post(&mut self, path: &str, body: &Value) -> Result<Value> {
        self.wire.call("POST", &format!("{}{path}", self.session), body)
    }

    fn get(&mut self, path: &str) -> Result<Value> {
        self.wire.call("GET", &format!("{}{path}", self.session), &Value::Null)
    }
}

impl Drop for Chromium {
    fn drop(&mut self) {
        // The keeper ends what is left when the driver no longer answers.
        let _ = self.wire.call("DELETE", &self.session, &Value::Null);
    }
}

fn capabilities(folder: &Path, logs: &Value) -> Value {
    let arguments = [
        "--headless",
        "--no-sandbox",
        "--disable-gpu",
        "--disable-quic",
        "--disable-dev-shm-usage",
        "--no-first-run",
        "--disable-background-networking",
        "--disable-component-update",
        "--disable-sync",
        "--force-color-profile=srgb",
    ];
    let mut arguments: Vec<String> = arguments.iter().map(|&argument| argument.to_owned()).collect();
    arguments.push(format!("--user-data-dir={}", folder.join("profile").display()));
    json!({ "capabilities": { "alwaysMatch": {
        "browserName": "chrome",
        "goog:chromeOptions": { "args": arguments },
        "goog:loggingPrefs": logs,
        "timeouts": { "script": 60_000, "pageLoad": 60_000 },
    }}})
}
