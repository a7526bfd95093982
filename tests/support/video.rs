//! What a camera sees that is held in front of a screen with a code.

use carryover::exchange::qr::Code;

/// The picture's size in pixels.
pub const WIDTH: usize = 640;
pub const HEIGHT: usize = 480;

/// The brightness of one pixel: a code so many pixels a side in the middle, turned by so many radians, in
/// light from the left.
#[expect(
    clippy::cast_precision_loss,
    clippy::cast_possible_truncation,
    clippy::cast_sign_loss,
    reason = "pixels of a small picture; what lies outside of the code is cut off before"
)]
pub fn luma(code: &Code, side: f64, turned: f64, x: usize, y: usize) -> u8 {
    let (right, down) = (x as f64 - WIDTH as f64 / 2.0, y as f64 - HEIGHT as f64 / 2.0);
    let (sin, cos) = turned.sin_cos();
    let module = |along: f64| (along / side + 0.5) * code.side() as f64;
    let (column, row) = (module(right * cos + down * sin), module(down * cos - right * sin));
    let is_inside = |place: f64| (0.0..code.side() as f64).contains(&place);
    let ground = if !is_inside(column) || !is_inside(row) {
        110.0
    } else if code.is_dark(column as usize, row as usize) {
        40.0
    } else {
        225.0
    };
    (ground * (1.0 - 0.3 * x as f64 / WIDTH as f64)) as u8
}
