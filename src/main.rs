//! The thin binary: opens the journal and mounts the app, or says why it cannot.

#[cfg(target_arch = "wasm32")]
fn main() {
    use carryover::platform::indexed_db::IndexedDb;
    use carryover::platform::{panic, preview, screen};
    use carryover::store::backend::BackendError;
    use carryover::store::journal::Journal;
    use carryover::ui::client::app::App;
    use carryover::ui::components::cannot_open::CannotOpen;
    use leptos::prelude::*;

    async fn open(log: preview::Log) -> Result<Journal<IndexedDb>, BackendError> {
        let name = match log {
            preview::Log::Client => "carryover",
            preview::Log::NewPreview | preview::Log::Preview => "carryover-preview",
        };
        let database = IndexedDb::open(name).await?;
        if log == preview::Log::NewPreview {
            database.clear().await?;
        }
        Journal::open(database).await
    }

    panic::show_faults();
    screen::swallow_bounces();
    wasm_bindgen_futures::spawn_local(async {
        let journal = open(preview::log()).await;
        screen::clear_shell();
        match journal {
            Ok(journal) => {
                leptos::mount::mount_to_body(move || view! { <App journal=journal.clone() /> });
            }
            Err(error) => {
                leptos::mount::mount_to_body(
                    move || view! { <CannotOpen what="log" error=error.clone() /> },
                );
            }
        }
    });
}

/// The app lives in a browser; on the host only its library is of use, to the tests.
#[cfg(not(target_arch = "wasm32"))]
fn main() {}
