//! What links and codes carry, packed and unpacked with raw deflate (RFC 1951), by the browser's own means.

use js_sys::{Array, Function, Reflect, Uint8Array};
use wasm_bindgen::{JsCast, JsValue};
use web_sys::Blob;

use super::reach::{ask, call, get};
use crate::exchange::link::{self, LinkError, Packed, Packing};

#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum CannotInflate {
    Unsupported,
    Damaged,
    TooLarge,
}

/// Why what a link carries cannot be read.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum CannotUnpack {
    Link(LinkError),
    Inflating(CannotInflate),
}

/// Packs a text for a link; as it is where the browser cannot deflate it.
pub async fn pack(text: String) -> Packed {
    match deflate(text.as_bytes()).await {
        Some(bytes) => Packed { packing: Packing::Deflated, bytes },
        None => Packed { packing: Packing::Plain, bytes: text.into_bytes() },
    }
}

/// The text that a link carries, or its fragment alone; deflated, it may be at most `most` bytes.
pub async fn unpack(link: &str, most: usize) -> Result<String, CannotUnpack> {
    let packed = link::parse(link::fragment_of(link)).map_err(CannotUnpack::Link)?;
    let bytes = match packed.packing {
        Packing::Plain => packed.bytes,
        Packing::Deflated => inflate(&packed.bytes, most).await.map_err(CannotUnpack::Inflating)?,
    };
    String::from_utf8(bytes).map_err(|_not_utf8| CannotUnpack::Link(LinkError::Damaged))
}

async fn deflate(bytes: &[u8]) -> Option<Vec<u8>> {
    read(&through("CompressionStream", bytes)?, usize::MAX).await.ok()
}

/// Unpacks bytes, and stops as soon as they turn out to be more than `most`.
async fn inflate(bytes: &[u8], most: usize) -> Result<Vec<u8>, CannotInflate> {
    let stream = through("DecompressionStream", bytes).ok_or(CannotInflate::Unsupported)?;
    read(&stream, most).await
}

/// The bytes as a stream that runs through one of the browser's two.
fn through(name: &str, bytes: &[u8]) -> Option<JsValue> {
    let maker: Function = get(&js_sys::global(), name)?.dyn_into().ok()?;
    let packer = Reflect::construct(&maker, &Array::of1(&JsValue::from_str("deflate-raw"))).ok()?;
    let blob = Blob::new_with_u8_array_sequence(&Array::of1(&Uint8Array::from(bytes))).ok()?;
    call(&call(&blob, "stream", &[])?, "pipeThrough", &[&packer])
}

async fn read(stream: &JsValue, most: usize) -> Result<Vec<u8>, CannotInflate> {
    let reader = call(stream, "getReader", &[]).ok_or(CannotInflate::Unsupported)?;
    let mut all = Vec::new();
    loop {
        let piece = ask(&reader, "read", &[]).await.ok_or(CannotInflate::Damaged)?;
        let Some(bytes) = get(&piece, "value") else { return Ok(all) };
        let bytes: Uint8Array = bytes.dyn_into().map_err(|_other| CannotInflate::Damaged)?;
        if most < all.len() + bytes.length() as usize {
            drop(ask(&reader, "cancel", &[]).await);
            return Err(CannotInflate::TooLarge);
        }
        all.extend(bytes.to_vec());
    }
}
