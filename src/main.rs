//! The thin binary: mounts the app.
#[cfg(target_arch = "wasm32")]
fn main() {
    leptos::mount::mount_to_body(|| leptos::view! { <h1>"Carryover"</h1> });
}

#[cfg(not(target_arch = "wasm32"))]
fn main() {}
