//! Random bits for event ids.

use std::cell::OnceCell;

thread_local! {
    static OF_THIS_RUN: OnceCell<[u8; 10]> = const { OnceCell::new() };
}

/// Ten random bytes, drawn once each time the app starts: its ids differ from each other by their moments, and
/// from those of every other run by these. What repeats packs small.
pub fn of_this_run() -> [u8; 10] {
    OF_THIS_RUN.with(|bytes| *bytes.get_or_init(ten_bytes))
}

/// Ten random bytes. A browser without a source of them gives what its clock and its simple generator have: ids
/// only need to differ.
pub fn ten_bytes() -> [u8; 10] {
    let mut bytes = [0; 10];
    let filled = web_sys::window()
        .and_then(|window| window.crypto().ok())
        .is_some_and(|crypto| crypto.get_random_values_with_u8_array(&mut bytes).is_ok());
    if !filled {
        #[expect(clippy::cast_possible_truncation, clippy::cast_sign_loss, reason = "0 to 255")]
        bytes.fill_with(|| (js_sys::Math::random() * 256.0) as u8);
    }
    bytes
}
