//! Whether what was entered is safe on the device, for whatever keeps it: the log or the caseload.

use std::time::Duration;

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::platform::clock;
use crate::store::backend::BackendError;

/// A storage that has not answered after so many seconds is lost, as far as anyone can tell.
pub const ANSWERS_WITHIN: u64 = 10;

/// How often it is tried again to join two places of which one could not be read or written, and after how long:
/// a window that was just closed may still hold it.
const JOINED_AGAIN: u8 = 3;
const JOIN_AGAIN_AFTER: Duration = Duration::from_secs(4);

/// For how many milliseconds what is in the database is not called saved for want of the second place.
const HANDED_ON_WITHIN: i32 = 1_000;

/// Joins the two places in which something is kept. `join` says whether they could be joined; where they cannot be,
/// it is tried again later, and after some tries at the next start.
pub async fn until_joined<Joining: Future<Output = bool> + 'static>(
    join: impl Fn() -> Joining + 'static,
) {
    fn again<Joining: Future<Output = bool> + 'static>(
        join: impl Fn() -> Joining + 'static,
        left: u8,
    ) {
        let go = async move {
            if !join().await && 0 < left {
                again(join, left - 1);
            }
        };
        set_timeout(move || spawn_local(go), JOIN_AGAIN_AFTER);
    }
    if !join().await {
        again(join, JOINED_AGAIN - 1);
    }
}

#[derive(Clone, Debug, PartialEq, Eq)]
pub enum Saving {
    Saved,
    Writing,
    Failed(BackendError),
}

/// Follows the writing of one place, and tries again from a tap.
#[derive(Clone, Copy)]
pub struct Saver {
    saving: RwSignal<Saving>,
    /// Whether a field holds something that it has not handed on yet.
    is_typed: RwSignal<bool>,
    /// How many texts were put back that the storage had lost.
    put_back: RwSignal<usize>,
    again: StoredValue<Option<Callback<()>>>,
    /// How many writings were followed.
    followed: StoredValue<u32>,
    /// Whether the two places are brought together, or were.
    is_joining: StoredValue<bool>,
    as_file: StoredValue<Option<Callback<()>>>,
}

pub fn use_saver() -> Saver {
    expect_context()
}

impl Saver {
    pub fn new() -> Self {
        Self {
            saving: RwSignal::new(Saving::Saved),
            is_typed: RwSignal::new(false),
            put_back: RwSignal::new(0),
            again: StoredValue::new(None),
            followed: StoredValue::new(0),
            is_joining: StoredValue::new(false),
            as_file: StoredValue::new(None),
        }
    }

    /// What writes everything that is not safe yet.
    pub fn set_again(self, again: impl Fn() + Send + Sync + 'static) {
        self.again.set_value(Some(Callback::new(move |()| again())));
    }

    /// What saves everything as a file, with what is not safe yet in it.
    pub fn set_as_file(self, as_file: impl Fn() + Send + Sync + 'static) {
        self.as_file.set_value(Some(Callback::new(move |()| as_file())));
    }

    /// Saves everything as a file, from a tap.
    pub fn save_as_file(self) {
        if let Some(as_file) = self.as_file.get_value() {
            as_file.run(());
        }
    }

    /// Brings the two places together, once after each start: some time after it, so that the first screen need not
    /// wait, or as soon as something was noted, which should not stand in one place alone.
    pub async fn join_once<Joining: Future<Output = bool> + 'static>(
        self,
        join: impl Fn() -> Joining + 'static,
    ) {
        if self.is_joining.try_get_value() == Some(false) {
            self.is_joining.set_value(true);
            until_joined(join).await;
        }
    }

    /// Waits until something that is in the database is in the second place, too, so that what is called saved
    /// stands in both. A place that does not answer keeps nobody waiting.
    pub async fn hand_on<Joining: Future<Output = bool> + 'static>(
        self,
        join: impl Fn() -> Joining + 'static,
        handed_on: impl Future<Output = ()> + 'static,
    ) {
        let both = async move {
            self.join_once(join).await;
            handed_on.await;
        };
        clock::at_most(HANDED_ON_WITHIN, both).await;
    }

    /// Tells of what was put back so far, until that was read.
    pub fn tell_put_back(self, so_far: usize) {
        if self.put_back.try_get_untracked().is_some_and(|told| told < so_far) {
            self.put_back.try_set(so_far);
        }
    }

    pub fn put_back(self) -> usize {
        self.put_back.get()
    }

    /// Something was typed into a field, or handed on by it.
    pub fn typed(self, is_typed: bool) {
        self.is_typed.try_set(is_typed);
    }

    pub fn is_typed(self) -> bool {
        self.is_typed.get()
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

    /// Follows one writing to its end; `is_saved` tells whether everything is safe by then. Each writes all that
    /// is not safe, so the last one begun says how it stands.
    pub fn follow(
        self,
        writing: impl Future<Output = Result<(), BackendError>> + 'static,
        is_saved: impl FnOnce() -> bool + 'static,
    ) {
        self.saving.set(Saving::Writing);
        self.followed.update_value(|followed| *followed += 1);
        let this = self.followed.get_value();
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
            if self.followed.try_get_value() == Some(this) {
                self.saving.set(saving);
            }
        });
    }
}

impl Default for Saver {
    fn default() -> Self {
        Self::new()
    }
}
