//! The thin binary: mounts the practitioner's page.

#[cfg(target_arch = "wasm32")]
fn main() {
    use carryover::platform::panic;
    use carryover::ui::practice::window::Window;
    use carryover::ui::text::fault;

    panic::show_faults(fault::broke);
    leptos::mount::mount_to_body(Window);
}

/// The app lives in a browser; on the host only its library is of use, to the tests.
#[cfg(not(target_arch = "wasm32"))]
fn main() {}
