//! A photo made small by a real browser: what the largest phones take fits, and what is no picture is refused.
#![cfg(target_arch = "wasm32")]
#![expect(clippy::unwrap_used, reason = "a test that cannot unwrap has failed")]

use carryover::domain::plan::photo::Photo;
use carryover::platform::picture::{NotTaken, shrunk};
use js_sys::{Array, Function, Promise, Reflect};
use wasm_bindgen::{JsCast, JsValue};
use wasm_bindgen_futures::JsFuture;
use wasm_bindgen_test::{wasm_bindgen_test, wasm_bindgen_test_configure};

wasm_bindgen_test_configure!(run_in_browser);

#[wasm_bindgen_test]
async fn a_photo_from_a_phone_is_made_small_and_keeps_its_shape() {
    let blob = drawn(4000, 3000, "image/jpeg", SMOOTH).await;
    let photo = shrunk(&blob).await.unwrap();
    assert!(photo.bytes() <= Photo::MOST_BYTES, "{photo:?}");
    assert_eq!(size(&photo).await, (900, 675));
}

/// Noise is the worst that there is to shrink.
#[wasm_bindgen_test]
async fn a_picture_of_nothing_but_noise_still_fits() {
    let blob = drawn(1200, 1600, "image/png", NOISE).await;
    let photo = shrunk(&blob).await.unwrap();
    assert!(photo.bytes() <= Photo::MOST_BYTES, "{photo:?}");
    let (width, height) = size(&photo).await;
    assert!(width < height && height <= 900, "{width} × {height}");
}

#[wasm_bindgen_test]
async fn a_small_picture_is_not_blown_up() {
    let blob = drawn(120, 60, "image/png", SMOOTH).await;
    assert_eq!(size(&shrunk(&blob).await.unwrap()).await, (120, 60));
}

#[wasm_bindgen_test]
async fn what_is_no_picture_is_refused() {
    for (kind, text) in [
        ("text/plain", "hello"),
        ("image/jpeg", "not one"),
        ("image/svg+xml", "<svg xmlns='http://www.w3.org/2000/svg' width='9' height='9'/>"),
        ("image/png", ""),
    ] {
        let options = web_sys::BlobPropertyBag::new();
        options.set_type(kind);
        let parts = Array::of1(&JsValue::from_str(text));
        let blob = web_sys::Blob::new_with_str_sequence_and_options(&parts, &options).unwrap();
        assert_eq!(shrunk(&blob).await, Err(NotTaken::NotAPicture), "{kind}");
    }
}

const SMOOTH: &str = "
    const light = pen.createLinearGradient(0, 0, width, height);
    light.addColorStop(0, 'black');
    light.addColorStop(1, 'orange');
    pen.fillStyle = light;
    pen.fillRect(0, 0, width, height);";
const NOISE: &str = "
    const image = pen.createImageData(width, height);
    let seed = 1;
    for (let at = 0; at < image.data.length; at += 1) {
        seed = (seed * 1103515245 + 12345) % 2147483648;
        image.data[at] = at % 4 === 3 ? 255 : seed >> 16;
    }
    pen.putImageData(image, 0, 0);";

/// A picture file of that size, drawn by the browser.
async fn drawn(width: u32, height: u32, kind: &str, how: &str) -> JsValue {
    let body = format!(
        "const canvas = document.createElement('canvas');
        canvas.width = width; canvas.height = height;
        const pen = canvas.getContext('2d');
        {how}
        return new Promise((done) => canvas.toBlob(done, '{kind}', 0.95));"
    );
    let draw = Function::new_with_args("width, height", &body);
    let promise = draw.call2(&JsValue::NULL, &width.into(), &height.into()).unwrap();
    JsFuture::from(promise.dyn_into::<Promise>().unwrap()).await.unwrap()
}

/// The width and height that a browser reads from a photo.
async fn size(photo: &Photo) -> (u32, u32) {
    let load = Function::new_with_args(
        "address",
        "return new Promise((done, fail) => {
            const image = new Image();
            image.onload = () => done([image.naturalWidth, image.naturalHeight]);
            image.onerror = fail;
            image.src = address;
        });",
    );
    let promise = load.call1(&JsValue::NULL, &photo.as_str().into()).unwrap();
    let sides = JsFuture::from(promise.dyn_into::<Promise>().unwrap()).await.unwrap();
    let side = |at: u32| -> u32 {
        let side = Reflect::get_u32(&sides, at).unwrap().as_f64().unwrap();
        format!("{side}").parse().unwrap()
    };
    (side(0), side(1))
}
