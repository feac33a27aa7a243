//! A tab, driven as a person drives it: look, wait, tap, type.

use chromiumoxide::Page;
use chromiumoxide::cdp::browser_protocol::emulation::SetDeviceMetricsOverrideParams;
use chromiumoxide::cdp::browser_protocol::network::{
    EmulateNetworkConditionsByRuleParams, EnableParams, NetworkConditions, OverrideNetworkStateParams,
};
use chromiumoxide::cdp::browser_protocol::page::{CaptureScreenshotFormat, NavigateParams};
use chromiumoxide::cdp::browser_protocol::target::SetAutoAttachParams;
use chromiumoxide::cdp::js_protocol::runtime::{EvaluateParams, EventConsoleApiCalled, EventExceptionThrown};
use chromiumoxide::page::ScreenshotParams;
use futures_util::StreamExt;
use serde_json::Value;
use std::sync::{Arc, Mutex, PoisonError};
use std::time::{Duration, Instant};

/// How long anything may take before a test gives up; machines that run tests are busy.
pub(crate) const PATIENCE: Duration = Duration::from_secs(45);

/// A tab of a browser.
pub(crate) struct Tab {
    page: Page,
    said: Arc<Mutex<Vec<String>>>,
}

impl Tab {
    pub(crate) async fn of(page: Page) -> Tab {
        // The driver attaches itself to every worker that starts and halts it until told to go on; the word to go on
        // is sometimes lost, and a service worker then never starts. Workers are left alone instead.
        let alone =
            SetAutoAttachParams::builder().auto_attach(false).wait_for_debugger_on_start(false).flatten(true);
        page.execute(alone.build().expect("complete")).await.expect("workers are left alone");
        let said = Arc::new(Mutex::new(Vec::new()));
        let mut errors = page.event_listener::<EventExceptionThrown>().await.expect("errors can be heard");
        let heard = Arc::clone(&said);
        tokio::spawn(async move {
            while let Some(event) = errors.next().await {
                let details = &event.exception_details;
                let what = details.exception.as_ref().and_then(|thrown| thrown.description.clone());
                heard
                    .lock()
                    .unwrap_or_else(PoisonError::into_inner)
                    .push(what.unwrap_or(details.text.clone()));
            }
        });
        let mut lines =
            page.event_listener::<EventConsoleApiCalled>().await.expect("the console can be heard");
        let heard = Arc::clone(&said);
        tokio::spawn(async move {
            while let Some(event) = lines.next().await {
                let words: Vec<String> = event
                    .args
                    .iter()
                    .filter_map(|arg| arg.description.clone().or(arg.value.as_ref().map(Value::to_string)))
                    .collect();
                heard.lock().unwrap_or_else(PoisonError::into_inner).push(words.join(" "));
            }
        });
        Tab { page, said }
    }

    /// What scripts complained about.
    pub(crate) fn complaints(&self) -> Vec<String> {
        self.said.lock().unwrap_or_else(PoisonError::into_inner).clone()
    }

    /// Goes to an address and waits until its page has been read. A page that cannot be loaded is an error page.
    pub(crate) async fn go(&self, address: &str) {
        // Where a page is just being replaced, the next one has no mark anyway.
        let _ = self.try_js("document.documentElement.dataset.marked = 'yes'").await;
        self.page.execute(NavigateParams::new(address)).await.expect("the browser takes the address");
        self.wait_for_next_page().await;
    }

    /// Loads the page again.
    pub(crate) async fn reload(&self) {
        self.mark().await;
        self.js("location.reload()").await;
        self.wait_for_next_page().await;
    }

    /// Puts a mark on the page, which the next page does not have.
    pub(crate) async fn mark(&self) {
        // A page that is just being replaced has no document for a moment.
        self.wait("document.documentElement !== null").await;
        self.js("document.documentElement.dataset.marked = 'yes'").await;
    }

    /// Waits until a page without the mark has been read.
    pub(crate) async fn wait_for_next_page(&self) {
        self.wait("!document.documentElement.dataset.marked && document.readyState === 'complete'").await;
    }

    /// Value of an expression; a promise is awaited.
    pub(crate) async fn js(&self, expression: &str) -> Value {
        match self.try_js(expression).await {
            Ok(value) => value,
            Err(error) => panic!("`{expression}`: {error}"),
        }
    }

    async fn try_js(&self, expression: &str) -> Result<Value, String> {
        let params = EvaluateParams::builder()
            .expression(expression)
            .await_promise(true)
            .return_by_value(true)
            .user_gesture(true)
            .build()?;
        let answer = self.page.execute(params).await.map_err(|error| error.to_string())?;
        if let Some(details) = &answer.result.exception_details {
            let thrown = details.exception.as_ref().and_then(|thrown| thrown.description.clone());
            return Err(thrown.unwrap_or_else(|| details.text.clone()));
        }
        Ok(answer.result.result.value.clone().unwrap_or(Value::Null))
    }

    /// Text of an expression.
    pub(crate) async fn text(&self, expression: &str) -> String {
        match self.js(expression).await {
            Value::String(text) => text,
            other => other.to_string(),
        }
    }

    /// Waits until an expression is true.
    pub(crate) async fn wait(&self, condition: &str) -> Duration {
        self.wait_at_most(condition, PATIENCE).await
    }

    /// Waits until an expression is true, and says how long that took.
    pub(crate) async fn wait_at_most(&self, condition: &str, patience: Duration) -> Duration {
        let begun = Instant::now();
        let mut last = String::new();
        while begun.elapsed() < patience {
            // While a page is being replaced there is nothing to ask.
            match self.try_js(condition).await {
                Ok(Value::Bool(true)) => return begun.elapsed(),
                Ok(other) => last = other.to_string(),
                Err(error) => last = error,
            }
            tokio::time::sleep(Duration::from_millis(15)).await;
        }
        let page = self.try_js("location.href + '\\n' + document.body.innerText.slice(0, 1500)").await;
        panic!(
            "after {patience:?} still not: `{condition}` ({last}); page: {page:?}; said: {:?}",
            self.complaints()
        )
    }

    /// Taps the first visible thing that a selector finds: scrolled to, then pressed by the mouse where it lies.
    pub(crate) async fn tap(&self, selector: &str) {
        let found = format!("document.querySelector({})", Value::from(selector));
        self.tap_what(&found).await;
    }

    /// Taps what an expression gives.
    pub(crate) async fn tap_what(&self, element: &str) {
        // A tab behind another one draws nothing and takes no tap.
        self.page.bring_to_front().await.expect("the tab comes to the front");
        self.wait(&format!("{element} != null")).await;
        // Where it lies once it lies still: scripts that wake may move it.
        let find = format!(
            "(async () => {{ const it = {element}; const frame = () => new Promise(requestAnimationFrame); \
             const place = () => {{ const box = it.getBoundingClientRect(); \
               return [box.x + box.width / 2, box.y + box.height / 2].join(); }}; \
             it.scrollIntoView({{ block: 'center', behavior: 'instant' }}); \
             let last = ''; for (let same = 0; same < 4;) {{ await frame(); const now = place(); \
               same = now === last ? same + 1 : 0; last = now; }} \
             const [x, y] = last.split(',').map(Number); const top = document.elementFromPoint(x, y); \
             const hit = top && (it.contains(top) || top.contains(it) || it.labels?.[0]?.contains(top)); \
             return {{ x, y, over: hit ? '' : top?.outerHTML.slice(0, 200) ?? 'nothing' }}; }})()"
        );
        let at = self.js(&find).await;
        assert_eq!(at["over"], "", "`{element}` cannot be tapped: something lies over it");
        let point = chromiumoxide::layout::Point {
            x: at["x"].as_f64().expect("a place"),
            y: at["y"].as_f64().expect("a place"),
        };
        self.page.click(point).await.expect("a tap");
    }

    /// Puts text into a field as typed.
    pub(crate) async fn fill(&self, selector: &str, text: &str) {
        let found = format!("document.querySelector({})", Value::from(selector));
        self.wait(&format!("{found} != null")).await;
        let set = format!(
            "(() => {{ const field = {found}; field.focus(); field.value = {}; \
             field.dispatchEvent(new Event('input', {{ bubbles: true }})); \
             field.dispatchEvent(new Event('change', {{ bubbles: true }})); return field.value; }})()",
            Value::from(text)
        );
        let now = self.text(&set).await;
        assert_eq!(now, text, "the field {selector} does not take it");
    }

    /// Presses a key where the focus is.
    pub(crate) async fn press(&self, key: &str) {
        let focused = self.page.find_element("html").await.expect("a page");
        focused.press_key(key).await.expect("a key");
    }

    /// Puts drawn pictures into a file field, as the camera would.
    pub(crate) async fn photograph(&self, selector: &str, seed: u32, width: u32, height: u32) {
        let set = format!(
            "(async () => {{ const paper = document.createElement('canvas'); paper.width = {width}; paper.height = {height}; \
             const pen = paper.getContext('2d'); pen.fillStyle = `hsl({seed} 40% 60%)`; pen.fillRect(0, 0, {width}, {height}); \
             for (let i = 0; i < 400; i++) {{ pen.fillStyle = `hsl(${{(i * 37 + {seed}) % 360}} 60% 50%)`; \
             pen.fillRect((i * 97 + {seed}) % {width}, (i * 61) % {height}, 40, 25); }} \
             const blob = await new Promise((done) => paper.toBlob(done, 'image/jpeg', 0.85)); \
             const box = new DataTransfer(); box.items.add(new File([blob], 'photo-{seed}.jpg', {{ type: 'image/jpeg' }})); \
             const field = document.querySelector({}); field.files = box.files; \
             field.dispatchEvent(new Event('change', {{ bubbles: true }})); return field.files.length; }})()",
            Value::from(selector)
        );
        assert_eq!(self.js(&set).await, 1);
    }

    /// Takes the network away from this tab, or gives it back.
    pub(crate) async fn offline(&self, away: bool) {
        self.network(away, 0.0, -1.0).await;
    }

    /// A slow network: latency in milliseconds, download in bits a second.
    pub(crate) async fn network(&self, offline: bool, latency_ms: f64, down_bit_s: f64) {
        self.page.execute(EnableParams::default()).await.expect("the network is watched");
        let down = if down_bit_s < 0.0 { -1.0 } else { down_bit_s / 8.0 };
        let rule = NetworkConditions::new("", latency_ms, down, down);
        let params = EmulateNetworkConditionsByRuleParams::new(offline, vec![rule]);
        self.page.execute(params).await.expect("the network is as asked");
        // And what the browser tells scripts of it.
        let state = OverrideNetworkStateParams::new(offline, latency_ms, down, down);
        self.page.execute(state).await.expect("the browser says so");
    }

    /// Sets the size of the page.
    pub(crate) async fn resize(&self, width: i64, height: i64, scale: f64, is_phone: bool) {
        let params = SetDeviceMetricsOverrideParams::new(width, height, scale, is_phone);
        self.page.execute(params).await.expect("the size is as asked");
    }

    /// A picture of the page.
    pub(crate) async fn picture(&self, whole: bool) -> Vec<u8> {
        let params =
            ScreenshotParams::builder().format(CaptureScreenshotFormat::Png).full_page(whole).build();
        self.page.screenshot(params).await.expect("a picture")
    }

    /// The page itself, for what has no word here.
    pub(crate) fn page(&self) -> &Page {
        &self.page
    }
}
