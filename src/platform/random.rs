//! Random bits for event ids.

/// Ten random bytes. A browser without a source of them gives what its clock and its simple
/// generator have: ids only need to differ.
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
