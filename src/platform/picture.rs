//! A photo as it was taken, made small on the device: only the small one is kept.
//!
//! It is drawn anew, so the place, the time and the camera that a phone writes into its files are gone.

use js_sys::{Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::{Event, HtmlInputElement};

use super::reach;
use crate::domain::plan::photo::{NotAPhoto, Photo};
use crate::domain::plan::picture::{self, NoSides, Sides};

/// The longest side of a photo, in pixels, and what is tried where it stays too large.
const LONGEST: [f64; 3] = [900.0, 640.0, 400.0];
const QUALITY: [f64; 5] = [0.8, 0.7, 0.6, 0.5, 0.4];
/// The smaller kind first. A browser that cannot write it writes another, which is then no photo.
const KINDS: [&str; 2] = ["image/webp", "image/jpeg"];

/// The largest file that is taken, in bytes, and the most pixels that are drawn, which takes four bytes for
/// each. A camera of today has up to 50 million, in up to 30 MB.
pub const MOST_BYTES: f64 = 60e6;
pub const MOST_PIXELS: u64 = 70_000_000;
/// How much of a file is read at first to find its header.
const HEAD: usize = 64 * 1024;

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum NotTaken {
    NotAPicture,
    TooLarge,
    TooManyPixels(Sides),
    NotSmall,
}

/// The photo that was taken or chosen in a file input, made small; `None` where none was.
pub async fn taken(event: Event) -> Option<Result<Photo, NotTaken>> {
    let input: HtmlInputElement = event.target()?.dyn_into().ok()?;
    let file = input.files()?.get(0)?;
    let photo = shrunk(&file).await;
    // So that the same file can be chosen again.
    input.set_value("");
    Some(photo)
}

/// The picture in a blob, upright, with its longest side at most 900 pixels, in the best quality that fits.
pub async fn shrunk(blob: &JsValue) -> Result<Photo, NotTaken> {
    let sides = sides_of(blob).await?;
    if MOST_PIXELS < sides.pixels() {
        return Err(NotTaken::TooManyPixels(sides));
    }
    let window: JsValue = web_sys::window().ok_or(NotTaken::NotAPicture)?.into();
    let bitmap =
        reach::ask(&window, "createImageBitmap", &[blob]).await.ok_or(NotTaken::NotAPicture)?;
    let photo = LONGEST.into_iter().find_map(|longest| written(&draw(&bitmap, longest)?));
    reach::call(&bitmap, "close", &[]);
    photo.ok_or(NotTaken::NotSmall)
}

/// The sides that the picture's header claims, for which no more of the file is read than it takes.
async fn sides_of(blob: &JsValue) -> Result<Sides, NotTaken> {
    let size = reach::get(blob, "size").and_then(|size| size.as_f64());
    let size = size.ok_or(NotTaken::NotAPicture)?;
    if MOST_BYTES < size {
        return Err(NotTaken::TooLarge);
    }
    let mut given = HEAD;
    loop {
        let start = beginning(blob, given).await.ok_or(NotTaken::NotAPicture)?;
        match picture::sides(&start) {
            Ok(sides) => return Ok(sides),
            // Where all was read there is no further.
            Err(NoSides::Further { bytes }) if start.len() == given => given = bytes.max(2 * given),
            Err(NoSides::Further { .. } | NoSides::None) => return Err(NotTaken::NotAPicture),
        }
    }
}

/// The first bytes of a blob, or all that it has.
async fn beginning(blob: &JsValue, bytes: usize) -> Option<Vec<u8>> {
    let end = JsValue::from_f64(f64::from(u32::try_from(bytes).ok()?));
    let part = reach::call(blob, "slice", &[&JsValue::from_f64(0.0), &end])?;
    let buffer = reach::ask(&part, "arrayBuffer", &[]).await?;
    Some(Uint8Array::new(&buffer).to_vec())
}

/// A canvas with the picture on white, made smaller where its longest side is longer.
fn draw(bitmap: &JsValue, longest: f64) -> Option<JsValue> {
    let side = |name| reach::get(bitmap, name)?.as_f64();
    let (width, height) = (side("width")?, side("height")?);
    let scale = (longest / width.max(height)).min(1.0);
    let [width, height] =
        [width, height].map(|side| JsValue::from_f64((side * scale).round().max(1.0)));
    let canvas: JsValue = web_sys::window()?.document()?.create_element("canvas").ok()?.into();
    Reflect::set(&canvas, &"width".into(), &width).ok()?;
    Reflect::set(&canvas, &"height".into(), &height).ok()?;
    let pen = reach::call(&canvas, "getContext", &[&"2d".into()])?;
    Reflect::set(&pen, &"fillStyle".into(), &"white".into()).ok()?;
    let corner = JsValue::from_f64(0.0);
    reach::call(&pen, "fillRect", &[&corner, &corner, &width, &height])?;
    reach::call(&pen, "drawImage", &[bitmap, &corner, &corner, &width, &height])?;
    Some(canvas)
}

/// What is on a canvas as a photo, in the best quality in which it is small enough.
fn written(canvas: &JsValue) -> Option<Photo> {
    KINDS.into_iter().find_map(|kind| {
        let in_quality = |quality: f64| {
            let arguments = [&JsValue::from_str(kind), &JsValue::from_f64(quality)];
            let address = reach::call(canvas, "toDataURL", &arguments)?.as_string()?;
            address.starts_with(&format!("data:{kind}")).then(|| Photo::new(&address))
        };
        QUALITY
            .into_iter()
            .map_while(in_quality)
            .find(|photo| !matches!(photo, Err(NotAPhoto::TooLarge { .. })))?
            .ok()
    })
}
