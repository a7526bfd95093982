//! What people see and tap. Screens read signals and hand on what was tapped; they decide nothing.
//! The words alone are there without a browser, too.

#![cfg_attr(
    target_arch = "wasm32",
    expect(clippy::needless_pass_by_value, reason = "a component owns what it is given")
)]

pub mod text;

#[cfg(target_arch = "wasm32")]
pub mod saving;

#[cfg(target_arch = "wasm32")]
pub mod loss_watch;

#[cfg(target_arch = "wasm32")]
pub mod live_log;

#[cfg(target_arch = "wasm32")]
pub mod wall_clock;

#[cfg(target_arch = "wasm32")]
pub mod training;

#[cfg(target_arch = "wasm32")]
pub mod components;

#[cfg(target_arch = "wasm32")]
pub mod only_window;

#[cfg(target_arch = "wasm32")]
pub mod client;

#[cfg(target_arch = "wasm32")]
pub mod practice;
