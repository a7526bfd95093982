//! The thin binary: mounts the client's page, and says which parts of it come later.

#[cfg(target_arch = "wasm32")]
mod parts;

#[cfg(target_arch = "wasm32")]
fn main() {
    use carryover::platform::{panic, screen};
    use carryover::ui::client::window::Window;
    use carryover::ui::text::fault;
    use leptos::prelude::*;

    panic::show_faults(fault::broke);
    screen::swallow_bounces();
    leptos::mount::mount_to_body(|| view! { <Window parts=parts::PARTS /> });
}

/// The app lives in a browser; on the host only its library is of use, to the tests.
#[cfg(not(target_arch = "wasm32"))]
fn main() {}
