//! Files in and out: opening what the person picked, saving, and the share sheet.

use js_sys::{Array, Object, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use web_sys::{
    Blob, BlobPropertyBag, Event, File, FileList, HtmlAnchorElement, HtmlInputElement, Url,
};

use super::reach;
use crate::domain::letters;

/// A file that a person picked, as text.
#[derive(Clone, Debug)]
pub struct Picked {
    pub name: String,
    pub text: Result<String, Unreadable>,
}

/// Why a file gave no text.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Unreadable {
    Kept,
    TooLarge { most: usize },
    TooMuch { most: usize },
}

/// Reads every file of a file input, in order, and empties the input so that the same file can be picked again.
/// Together they may have at most `most` bytes: a larger one is not read.
pub async fn picked(event: Event, most: usize) -> Vec<Picked> {
    let Some(input) = event.target().and_then(|target| target.dyn_into::<HtmlInputElement>().ok())
    else {
        return Vec::new();
    };
    let all = read(input.files().as_ref().map(all_of).unwrap_or_default(), most).await;
    input.set_value("");
    all
}

fn all_of(list: &FileList) -> Vec<File> {
    (0..list.length()).filter_map(|index| list.get(index)).collect()
}

async fn read(files: Vec<File>, most: usize) -> Vec<Picked> {
    let mut all = Vec::with_capacity(files.len());
    let mut left = number(most);
    for file in files {
        // What the device says before a byte is read.
        let text = if file.size() <= left {
            left -= file.size();
            let text = JsFuture::from(file.text()).await.ok();
            text.and_then(|text| text.as_string()).ok_or(Unreadable::Kept)
        } else if file.size() <= number(most) {
            Err(Unreadable::TooMuch { most })
        } else {
            Err(Unreadable::TooLarge { most })
        };
        all.push(Picked { name: letters::tame(&file.name()).into_owned(), text });
    }
    all
}

/// A number of bytes as a browser counts them.
#[expect(clippy::cast_precision_loss, reason = "no limit comes near 2^53")]
const fn number(bytes: usize) -> f64 {
    bytes as f64
}

/// What a drop or a paste carries.
fn carried(event: &Event) -> Option<JsValue> {
    ["dataTransfer", "clipboardData"].into_iter().find_map(|name| reach::get(event, name))
}

/// Whether files are dragged over the page.
pub fn are_dragged(event: &Event) -> bool {
    let kinds = carried(event).and_then(|carried| reach::get(&carried, "types"));
    let kinds = kinds.and_then(|kinds| kinds.dyn_into::<Array>().ok());
    kinds.is_some_and(|kinds| kinds.includes(&JsValue::from_str("Files"), 0))
}

/// Whether what is dragged leaves the page.
pub fn leave_page(event: &Event) -> bool {
    reach::get(event, "relatedTarget").is_none()
}

/// Reads the files that were dropped or pasted. What an event carries is gone once it was handled, so this is to
/// be called before that, and waited for after it.
pub fn brought(event: &Event, most: usize) -> impl Future<Output = Vec<Picked>> + use<> {
    let files = carried(event)
        .and_then(|carried| reach::get(&carried, "files"))
        .and_then(|files| files.dyn_into::<FileList>().ok());
    read(files.as_ref().map(all_of).unwrap_or_default(), most)
}

/// The text that was pasted, unless into a field.
pub fn pasted_text(event: &Event) -> Option<String> {
    let tag = reach::get(event.target()?.as_ref(), "tagName").and_then(|tag| tag.as_string());
    let is_field = matches!(tag.as_deref(), Some("INPUT" | "TEXTAREA"));
    let carried = carried(event).filter(|_| !is_field)?;
    let text =
        reach::call(&carried, "getData", &[&JsValue::from_str("text/plain")])?.as_string()?;
    (!text.trim().is_empty()).then_some(text)
}

/// Whether this browser has a clipboard that a page may ask for.
pub fn can_paste() -> bool {
    clipboard().is_some_and(|clipboard| reach::get(&clipboard, "readText").is_some())
}

/// The text on the clipboard, from a tap; none where the browser or the person keeps it back.
pub async fn clipboard_text() -> Option<String> {
    reach::ask(&clipboard()?, "readText", &[]).await?.as_string()
}

fn clipboard() -> Option<JsValue> {
    reach::get(&reach::navigator()?, "clipboard")
}

/// The library of exercises, among the files that came with the app.
pub const LIBRARY: &str = "library.json";

/// Fetches one of the files that came with the app.
pub async fn shipped(path: &str) -> Option<String> {
    text(asked(path)?).await
}

/// Fetches several of the files that came with the app, at once; those that are there, in order.
pub async fn shipped_together(paths: impl Iterator<Item = String>) -> Vec<String> {
    let on_their_way: Vec<Promise> = paths.filter_map(|path| asked(&path)).collect();
    let mut texts = Vec::new();
    for answer in on_their_way {
        texts.extend(text(answer).await);
    }
    texts
}

/// Fetches one of the files that came with the app whole, so that it is at hand.
pub async fn is_there(path: &str) -> Option<()> {
    JsFuture::from(answered(asked(path)?).await?.array_buffer().ok()?).await.ok()?;
    Some(())
}

fn asked(path: &str) -> Option<Promise> {
    Some(web_sys::window()?.fetch_with_str(path))
}

async fn text(answer: Promise) -> Option<String> {
    JsFuture::from(answered(answer).await?.text().ok()?).await.ok()?.as_string()
}

async fn answered(answer: Promise) -> Option<web_sys::Response> {
    let response = JsFuture::from(answer).await.ok()?;
    let response: web_sys::Response = response.dyn_into().ok()?;
    response.ok().then_some(response)
}

/// Saves a text under a name, where the browser keeps downloads.
pub fn save(name: &str, text: &str) -> Option<()> {
    let document = web_sys::window()?.document()?;
    let url = Url::create_object_url_with_blob(&plain(text)?).ok()?;
    let link: HtmlAnchorElement = document.create_element("a").ok()?.dyn_into().ok()?;
    link.set_href(&url);
    link.set_download(name);
    link.click();
    // The address is not taken back: some browsers read it only after this returns.
    Some(())
}

fn plain(text: &str) -> Option<Blob> {
    let options = BlobPropertyBag::new();
    options.set_type("text/plain;charset=utf-8");
    Blob::new_with_str_sequence_and_options(&Array::of1(&JsValue::from_str(text)), &options).ok()
}

/// What became of an attempt to share.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Shared {
    Done,
    /// The person closed the share sheet.
    Dismissed,
    Failed,
}

/// Whether this browser can hand a text file to another app.
pub fn can_share() -> bool {
    let can = reach::navigator()
        .zip(data("log.txt", ""))
        .and_then(|(navigator, data)| reach::call(&navigator, "canShare", &[&data]));
    can.is_some_and(|can| can.is_truthy())
}

/// Hands a text file to the share sheet. The name must end in `.txt`: some browsers let only a few
/// endings through, and this app's readers judge the content in any case.
pub async fn share(name: &str, text: &str) -> Shared {
    match data(name, text) {
        Some(data) => share_data(&data).await,
        None => Shared::Failed,
    }
}

async fn share_data(data: &Object) -> Shared {
    let Some(promise) = reach::navigator()
        .and_then(|navigator| reach::call(&navigator, "share", &[data]))
        .and_then(|promise| promise.dyn_into::<Promise>().ok())
    else {
        return Shared::Failed;
    };
    match JsFuture::from(promise).await {
        Ok(_) => Shared::Done,
        Err(error) => {
            let name = error.dyn_ref::<web_sys::DomException>().map(web_sys::DomException::name);
            if name.as_deref() == Some("AbortError") { Shared::Dismissed } else { Shared::Failed }
        }
    }
}

fn data(name: &str, text: &str) -> Option<Object> {
    let options = web_sys::FilePropertyBag::new();
    options.set_type("text/plain");
    let parts = Array::of1(&JsValue::from_str(text));
    let file = File::new_with_str_sequence_and_options(&parts, name, &options).ok()?;
    let data = Object::new();
    Reflect::set(&data, &JsValue::from_str("files"), &Array::of1(&file)).ok()?;
    Some(data)
}

/// Whether this browser can hand a link to another app.
pub fn can_share_link() -> bool {
    reach::navigator().is_some_and(|navigator| reach::get(&navigator, "share").is_some())
}

/// Hands a link to the share sheet.
pub async fn share_link(link: &str) -> Shared {
    let data = Object::new();
    if Reflect::set(&data, &JsValue::from_str("url"), &JsValue::from_str(link)).is_err() {
        return Shared::Failed;
    }
    share_data(&data).await
}

/// Puts a text on the clipboard, from a tap; whether it is there.
pub async fn copy_text(text: &str) -> bool {
    let Some(clipboard) = clipboard() else { return false };
    reach::ask(&clipboard, "writeText", &[&JsValue::from_str(text)]).await.is_some()
}
