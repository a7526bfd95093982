//! The camera, and the codes it sees: read by the browser where it can, else by a worker that is loaded
//! when the camera first opens.

use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;

use super::random;
use super::reach::{ask, call, get, navigator};

const WORKER: &str = "scanner_loader.js";
/// The longest side of a picture that the worker reads, in pixels.
const LONGEST_SIDE: f64 = 800.0;
/// Pictures are enlarged by up to so much, each as chance has it: how a code lies on the grid of pixels decides
/// whether it is read, even when nobody moves. Of 120 frames of version 14, drawn as a camera sees them a little
/// aslant, two were read neither as they were nor enlarged by 1.13 or 1.27; of twelve sizes drawn by chance, each
/// frame was read in four at least, and in eight in the mean.
const ENLARGED_BY_UP_TO: f64 = 0.4;

/// Why there is no picture, or nothing that reads it.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NoCamera {
    Denied,
    Missing,
    Busy,
    Unsupported,
    NoReader,
    Stopped,
}

/// An open camera. It is closed when dropped.
pub struct Camera {
    stream: Stream,
    video: JsValue,
    reader: Reader,
}

enum Reader {
    Browser { detector: JsValue },
    Worker { worker: JsValue, canvas: JsValue },
}

impl Camera {
    /// Asks for the camera that looks away from the person, and shows its picture in a video element.
    pub async fn open(video: &JsValue) -> Result<Self, NoCamera> {
        let stream = Stream(stream().await?);
        drop(Reflect::set(video, &JsValue::from_str("srcObject"), &stream.0));
        let reader = match detector().await {
            Some(detector) => Reader::Browser { detector },
            None => Reader::worker().await.ok_or(NoCamera::NoReader)?,
        };
        Ok(Self { stream, video: video.clone(), reader })
    }

    /// Waits for the next picture, and reads the codes in it. Nothing is read while the page is hidden.
    pub async fn read(&mut self) -> Result<Vec<String>, NoCamera> {
        next_frame().await;
        if self.stream.is_over() {
            return Err(NoCamera::Stopped);
        }
        let Some((width, height)) = size(&self.video) else { return Ok(Vec::new()) };
        let codes = match &self.reader {
            Reader::Browser { detector } => detected(detector, &self.video).await,
            Reader::Worker { worker, canvas } => {
                scanned(worker, canvas, &self.video, (width, height), enlarged()).await
            }
        };
        if codes.is_none() {
            // A browser can have a detector and refuse to use it; a worker can fail on a picture.
            self.reader = Reader::worker().await.ok_or(NoCamera::NoReader)?;
        }
        Ok(codes.unwrap_or_default())
    }
}

/// A camera's pictures, until dropped.
struct Stream(JsValue);

impl Stream {
    fn tracks(&self) -> Array {
        call(&self.0, "getTracks", &[])
            .and_then(|tracks| tracks.dyn_into().ok())
            .unwrap_or_default()
    }

    fn is_over(&self) -> bool {
        let is_over = |track| get(&track, "readyState").is_some_and(|state| state == "ended");
        self.tracks().iter().all(is_over)
    }
}

impl Drop for Stream {
    fn drop(&mut self) {
        for track in self.tracks().iter() {
            call(&track, "stop", &[]);
        }
    }
}

impl Reader {
    /// A worker that has said it is ready.
    async fn worker() -> Option<Self> {
        let maker: Function = get(&js_sys::global(), "Worker")?.dyn_into().ok()?;
        let worker = Reflect::construct(&maker, &Array::of1(&JsValue::from_str(WORKER))).ok()?;
        let reader = Self::Worker { worker: worker.clone(), canvas: canvas()? };
        answer(&worker).await?;
        Some(reader)
    }
}

impl Drop for Reader {
    fn drop(&mut self) {
        if let Self::Worker { worker, .. } = self {
            call(worker, "terminate", &[]);
        }
    }
}

async fn stream() -> Result<JsValue, NoCamera> {
    let devices = navigator().and_then(|navigator| get(&navigator, "mediaDevices"));
    let wanted = js_sys::JSON::parse(
        r#"{"audio":false,"video":{"facingMode":{"ideal":"environment"},"width":{"ideal":1280},"height":{"ideal":720}}}"#,
    );
    let asked = devices
        .zip(wanted.ok())
        .and_then(|(devices, wanted)| call(&devices, "getUserMedia", &[&wanted]));
    let promise: Promise =
        asked.and_then(|asked| asked.dyn_into().ok()).ok_or(NoCamera::Unsupported)?;
    JsFuture::from(promise).await.map_err(|error| {
        // The names are those of the Media Capture standard.
        match get(&error, "name").and_then(|name| name.as_string()).as_deref() {
            Some("NotAllowedError" | "SecurityError") => NoCamera::Denied,
            Some("NotFoundError" | "OverconstrainedError") => NoCamera::Missing,
            Some("NotReadableError" | "AbortError") => NoCamera::Busy,
            _ => NoCamera::Unsupported,
        }
    })
}

/// The browser's own reader, if it has one for QR codes.
async fn detector() -> Option<JsValue> {
    let maker: Function = get(&js_sys::global(), "BarcodeDetector")?.dyn_into().ok()?;
    let formats: Array = ask(&maker, "getSupportedFormats", &[]).await?.dyn_into().ok()?;
    if !formats.includes(&JsValue::from_str("qr_code"), 0) {
        return None;
    }
    let options = js_sys::JSON::parse(r#"{"formats":["qr_code"]}"#).ok()?;
    Reflect::construct(&maker, &Array::of1(&options)).ok()
}

async fn detected(detector: &JsValue, video: &JsValue) -> Option<Vec<String>> {
    let codes: Array = ask(detector, "detect", &[video]).await?.dyn_into().ok()?;
    Some(codes.iter().filter_map(|code| get(&code, "rawValue")?.as_string()).collect())
}

fn enlarged() -> f64 {
    let [chance, ..] = random::ten_bytes();
    1.0 + ENLARGED_BY_UP_TO * f64::from(chance) / f64::from(u8::MAX)
}

/// Sends the middle of the picture, as it is shown, to the worker.
async fn scanned(
    worker: &JsValue,
    canvas: &JsValue,
    video: &JsValue,
    (width, height): (f64, f64),
    enlarged: f64,
) -> Option<Vec<String>> {
    let whole = width.min(height);
    let side = JsValue::from_f64((whole.min(LONGEST_SIDE) * enlarged).floor());
    for name in ["width", "height"] {
        Reflect::set(canvas, &JsValue::from_str(name), &side).ok()?;
    }
    let options = js_sys::JSON::parse(r#"{"willReadFrequently":true}"#).ok()?;
    let context = call(canvas, "getContext", &[&JsValue::from_str("2d"), &options])?;
    let [left, top, whole, zero] =
        [(width - whole) / 2.0, (height - whole) / 2.0, whole, 0.0].map(JsValue::from_f64);
    call(&context, "drawImage", &[video, &left, &top, &whole, &whole, &zero, &zero, &side, &side])?;
    let image = call(&context, "getImageData", &[&zero, &zero, &side, &side])?;
    let pixels = get(&get(&image, "data")?, "buffer")?;
    call(worker, "postMessage", &[&pixels, &Array::of1(&pixels)])?;
    let codes: Array = answer(worker).await?.dyn_into().ok()?;
    Some(codes.iter().filter_map(|code| code.as_string()).collect())
}

/// The next message of a worker; `None` when it fails instead.
async fn answer(worker: &JsValue) -> Option<JsValue> {
    let promise = Promise::new(&mut |resolve, reject| {
        drop(Reflect::set(worker, &JsValue::from_str("onmessage"), &resolve));
        drop(Reflect::set(worker, &JsValue::from_str("onerror"), &reject));
    });
    get(&JsFuture::from(promise).await.ok()?, "data")
}

fn canvas() -> Option<JsValue> {
    Some(web_sys::window()?.document()?.create_element("canvas").ok()?.into())
}

/// The size of the picture, once there is one.
fn size(video: &JsValue) -> Option<(f64, f64)> {
    let side = |name| get(video, name)?.as_f64().filter(|pixels| 0.0 < *pixels);
    side("videoWidth").zip(side("videoHeight"))
}

async fn next_frame() {
    let promise = Promise::new(&mut |resolve, _| {
        if let Some(window) = web_sys::window() {
            drop(window.request_animation_frame(&resolve));
        }
    });
    drop(JsFuture::from(promise).await);
}
