//! Reads codes in camera pictures, in a worker: the page stays smooth meanwhile, and nothing of this is
//! loaded before a camera opens.
//!
//! The worker says that it is ready with an empty list. Each message to it is a square picture, four bytes
//! a pixel (red, green, blue, opacity); each answer is the list of texts that stood in it.

#[cfg(target_arch = "wasm32")]
fn main() {
    use js_sys::{Array, Reflect, Uint8Array};
    use wasm_bindgen::JsValue;
    use wasm_bindgen::closure::Closure;

    let scope = js_sys::global();
    let read = Closure::<dyn FnMut(JsValue)>::new(|message: JsValue| {
        let picture = Reflect::get(&message, &JsValue::from_str("data")).unwrap_or_default();
        let codes = codes(&Uint8Array::new(&picture).to_vec());
        answer(&codes.iter().map(|code| JsValue::from_str(code)).collect());
    });
    drop(Reflect::set(&scope, &JsValue::from_str("onmessage"), &read.into_js_value()));
    answer(&Array::new());
}

#[cfg(target_arch = "wasm32")]
fn answer(codes: &js_sys::Array) {
    use js_sys::{Function, Reflect};
    use wasm_bindgen::{JsCast, JsValue};

    let scope = js_sys::global();
    let post = Reflect::get(&scope, &JsValue::from_str("postMessage")).unwrap_or_default();
    if let Ok(post) = post.dyn_into::<Function>() {
        drop(post.call1(&scope, codes));
    }
}

/// The texts of all codes in a square picture.
#[cfg(any(target_arch = "wasm32", test))]
fn codes(pixels: &[u8]) -> Vec<String> {
    let (pixels, _) = pixels.as_chunks::<4>();
    let side = pixels.len().isqrt();
    // Luma with the weights of ITU-R BT.601, in 256ths.
    let grey = |x: usize, y: usize| {
        let [red, green, blue, _] = pixels[y * side + x].map(u32::from);
        u8::try_from((77 * red + 150 * green + 29 * blue) / 256).unwrap_or(u8::MAX)
    };
    let mut picture = rqrr::PreparedImage::prepare_from_greyscale(side, side, grey);
    let grids = picture.detect_grids();
    grids.iter().filter_map(|grid| grid.decode().ok()).map(|(_, text)| text).collect()
}

/// The scanner lives in a browser; on the host only its test is of use.
#[cfg(not(target_arch = "wasm32"))]
fn main() {}

#[cfg(test)]
mod tests {
    use carryover::exchange::qr::Code;

    use super::codes;

    #[test]
    fn a_code_in_colour_on_a_table_is_read() {
        let code = Code::of("https://carryover.example/take#RMZXW6").unwrap();
        let (module, margin) = (3, 20);
        let side = code.side() * module + 2 * margin;
        let mut pixels = vec![150; side * side * 4];
        for y in 0..code.side() * module {
            for x in 0..code.side() * module {
                let is_dark = code.is_dark(x / module, y / module);
                let colour = if is_dark { [28, 26, 23, 255] } else { [255, 253, 248, 255] };
                let at = ((y + margin) * side + x + margin) * 4;
                pixels[at..at + 4].copy_from_slice(&colour);
            }
        }
        assert_eq!(codes(&pixels), ["https://carryover.example/take#RMZXW6"]);
    }

    #[test]
    fn a_picture_without_a_code_has_no_texts() {
        for pixels in [Vec::new(), vec![0; 7], vec![200; 64 * 64 * 4]] {
            assert!(codes(&pixels).is_empty());
        }
    }
}
