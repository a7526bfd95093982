//! Whether what was entered is safe on the device, for whatever keeps it: the log or the caseload.

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::store::backend::BackendError;

/// A storage that has not answered after so many seconds is lost, as far as anyone can tell.
pub const ANSWERS_WITHIN: u64 = 10;

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saving {
    Saved,
    Writing,
    Failed(BackendError),
}

/// Follows the writing of one place, and tries again from a tap.
#[derive(Clone, Copy)]
pub struct Keeping {
    saving: RwSignal<Saving>,
    again: StoredValue<Option<Callback<()>>>,
}

pub fn use_keeping() -> Keeping {
    expect_context()
}

impl Keeping {
    pub fn new() -> Self {
        Self { saving: RwSignal::new(Saving::Saved), again: StoredValue::new(None) }
    }

    /// What writes everything that is not safe yet.
    pub fn set_again(self, again: impl Fn() + Send + Sync + 'static) {
        self.again.set_value(Some(Callback::new(move |()| again())));
    }

    pub fn saving(self) -> Saving {
        self.saving.get()
    }

    /// Tries again to save what is not safe yet.
    pub fn try_again(self) {
        if let Some(again) = self.again.get_value() {
            again.run(());
        }
    }

    /// Follows one writing to its end; `is_saved` tells whether everything is safe by then.
    pub fn follow(
        self,
        writing: impl Future<Output = Result<(), BackendError>> + 'static,
        is_saved: impl FnOnce() -> bool + 'static,
    ) {
        self.saving.set(Saving::Writing);
        let give_up = move || {
            if self.saving.try_get_untracked() == Some(Saving::Writing) {
                self.saving.set(Saving::Failed(BackendError::Lost));
            }
        };
        let patience = set_timeout_with_handle(give_up, Duration::from_secs(ANSWERS_WITHIN));
        spawn_local(async move {
            let saving = match writing.await {
                Ok(()) if is_saved() => Saving::Saved,
                Ok(()) => Saving::Writing,
                Err(error) => Saving::Failed(error),
            };
            if let Ok(patience) = patience {
                patience.clear();
            }
            // The screens may be gone by now, where another window took over.
            self.saving.try_set(saving);
        });
    }
}

impl Default for Keeping {
    fn default() -> Self {
        Self::new()
    }
}
