//! One Firefox, driven over Marionette, the protocol beneath its WebDriver: Debian has the browser but no driver.
//!
//! A message is its length in bytes, a colon and JSON: `[0, id, name, parameters]` there, `[1, id, error, result]`
//! back.

use std::io::{Read, Write};
use std::net::TcpStream;

use anyhow::{Context, Result, bail};
use base64::Engine as _;
use base64::engine::general_purpose::STANDARD;
use serde_json::{Value, json};

use super::chromium::Paper;
use super::keeper::{Kept, connect, folder, free_port};

/// A browser with one window.
pub struct Firefox {
    stream: TcpStream,
    count: u64,
    _browser: Kept,
}

/// What a fresh profile must not do: phone home, ask, or take a port that another test uses.
const SETTINGS: &[(&str, &str)] = &[
    ("app.normandy.enabled", "false"),
    ("app.update.disabledForTesting", "true"),
    ("browser.safebrowsing.downloads.remote.enabled", "false"),
    ("browser.shell.checkDefaultBrowser", "false"),
    ("datareporting.policy.dataSubmissionEnabled", "false"),
    ("network.captive-portal-service.enabled", "false"),
    ("network.connectivity-service.enabled", "false"),
    ("toolkit.telemetry.enabled", "false"),
];

impl Firefox {
    /// Starts a browser.
    pub fn start() -> Result<Self> {
        let folder = folder()?;
        let port = free_port()?;
        let mut settings = format!("user_pref(\"marionette.port\", {port});\n");
        for (name, value) in SETTINGS {
            settings.push_str(&format!("user_pref(\"{name}\", {value});\n"));
        }
        std::fs::write(folder.join("user.js"), settings)?;
        let profile = folder.display().to_string();
        let arguments = ["--headless", "--no-remote", "--marionette", "--profile", &profile, "about:blank"];
        let browser = Kept::start(&folder, "firefox-esr", &arguments.map(str::to_owned))?;
        let mut firefox = Firefox { stream: connect(port)?, count: 0, _browser: browser };
        firefox.read()?;
        firefox.call("WebDriver:NewSession", &json!({}))?;
        Ok(firefox)
    }

    /// Opens an address and waits until it is loaded.
    pub fn open(&mut self, address: &str) -> Result<()> {
        self.call("WebDriver:Navigate", &json!({ "url": address }))?;
        Ok(())
    }

    /// Runs the body of a function in the page and gives what it returns.
    pub fn run(&mut self, body: &str, arguments: &[Value]) -> Result<Value> {
        let mut answer =
            self.call("WebDriver:ExecuteScript", &json!({ "script": body, "args": arguments }))?;
        Ok(answer["value"].take())
    }

    /// Types into a box in place of what stands there, key by key.
    pub fn type_into(&mut self, selector: &str, text: &str) -> Result<()> {
        let found =
            self.call("WebDriver:FindElement", &json!({ "using": "css selector", "value": selector }))?;
        let id =
            found["value"].as_object().and_then(|pair| pair.values().next()).context("no element")?.clone();
        self.call("WebDriver:ElementClear", &json!({ "id": id }))?;
        self.call("WebDriver:ElementSendKeys", &json!({ "id": id, "text": text }))?;
        Ok(())
    }

    /// The page as a PDF on this paper, margins left to the page's own styles where they are greater than 5 mm.
    pub fn print(&mut self, paper: Paper) -> Result<Vec<u8>> {
        let order = json!({
            "page": { "width": paper.width, "height": paper.height },
            "margin": { "top": 0.5, "bottom": 0.5, "left": 0.5, "right": 0.5 },
            "shrinkToFit": false,
        });
        let answer = self.call("WebDriver:Print", &order)?;
        Ok(STANDARD.decode(answer["value"].as_str().context("no PDF")?)?)
    }

    fn call(&mut self, name: &str, parameters: &Value) -> Result<Value> {
        self.count += 1;
        let message = json!([0, self.count, name, parameters]).to_string();
        write!(self.stream, "{}:{message}", message.len())?;
        let mut answer = self.read().with_context(|| format!("no answer to {name}"))?;
        match answer[2].take() {
            Value::Null => Ok(answer[3].take()),
            error => bail!("{name}: {}", error["message"]),
        }
    }

    fn read(&mut self) -> Result<Value> {
        let mut length = 0;
        loop {
            let mut byte = [0];
            self.stream.read_exact(&mut byte)?;
            match byte[0] {
                digit @ b'0'..=b'9' => length = length * 10 + usize::from(digit - b'0'),
                b':' => break,
                other => bail!("byte {other} in a length"),
            }
        }
        let mut text = vec![0; length];
        self.stream.read_exact(&mut text)?;
        Ok(serde_json::from_slice(&text)?)
    }
}
