//! Which place of a list a finger or a mouse is over.

/// The number in `data-place` of the nearest element around a point of the window.
pub fn place_at(x: i32, y: i32) -> Option<usize> {
    #[expect(clippy::cast_precision_loss, reason = "a window is far smaller")]
    let element = web_sys::window()?.document()?.element_from_point(x as f32, y as f32)?;
    element.closest("[data-place]").ok()??.get_attribute("data-place")?.parse().ok()
}

/// Keeps a drag with the element it began on, wherever the pointer goes.
pub fn hold(event: &web_sys::PointerEvent) {
    use wasm_bindgen::JsCast;
    let target =
        event.current_target().and_then(|target| target.dyn_into::<web_sys::Element>().ok());
    if let Some(target) = target {
        // Without it the drag only ends early.
        drop(target.set_pointer_capture(event.pointer_id()));
    }
}
