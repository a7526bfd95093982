//! The last words when the app meets a fault of its own: plain, and with the way out.

use super::floor;

/// Shows a fault in the page itself, since nothing else can be relied on then, in such words.
pub fn show_faults(words: fn(&str) -> String) {
    std::panic::set_hook(Box::new(move |fault| {
        let document = web_sys::window().and_then(|window| window.document());
        let Some((document, body)) =
            document.and_then(|document| Some((document.clone(), document.body()?)))
        else {
            return;
        };
        let Ok(notice) = document.create_element("p") else { return };
        notice.set_class_name("fault");
        notice.set_attribute("role", "alert").unwrap_or_default();
        notice.set_text_content(Some(&words(&fault.to_string())));
        drop(body.prepend_with_node_1(&notice));
        floor::offer_file(&notice);
    }));
}
