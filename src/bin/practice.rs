//! The practitioner's page: opens the caseload and mounts it, or says why it cannot.

#[cfg(target_arch = "wasm32")]
fn main() {
    use carryover::platform::indexed_db::IndexedDb;
    use carryover::platform::{panic, screen};
    use carryover::store::caseload::Caseload;
    use carryover::ui::components::cannot_open::CannotOpen;
    use carryover::ui::practice::app::App;
    use leptos::prelude::*;

    panic::show_faults();
    wasm_bindgen_futures::spawn_local(async {
        let caseload = match IndexedDb::open("carryover-practice").await {
            Ok(database) => Caseload::open(database).await,
            Err(error) => Err(error),
        };
        screen::clear_shell();
        match caseload {
            Ok(caseload) => {
                leptos::mount::mount_to_body(move || view! { <App caseload=caseload.clone() /> });
            }
            Err(error) => {
                leptos::mount::mount_to_body(
                    move || view! { <CannotOpen what="caseload" error=error.clone() /> },
                );
            }
        }
    });
}

/// The app lives in a browser; on the host only its library is of use, to the tests.
#[cfg(not(target_arch = "wasm32"))]
fn main() {}
