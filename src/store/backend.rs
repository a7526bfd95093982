//! What a place that keeps texts must do, and why it may refuse.

use thiserror::Error;

/// One stored text under its key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    pub key: String,
    pub text: String,
}

/// Why the device would not store or give back something; each is shown in plain words.
#[derive(Clone, Debug, PartialEq, Eq, Error)]
pub enum BackendError {
    #[error("this browser does not let the app store anything")]
    Denied,
    #[error("the device's storage is full")]
    Full,
    #[error("the stored data was written by a newer version of this app")]
    Newer,
    #[error("another window of this app is in the way; close it")]
    Blocked,
    /// It happens to an app in the background, most of all in `WebKit`.
    #[error("the browser has lost touch with the device's storage")]
    Lost,
    #[error("the device's storage did not answer ({0})")]
    Failed(String),
}

/// A place that keeps texts and adds to them.
pub trait Backend {
    /// Every stored entry, or those with a later key.
    fn read(&self, after: Option<&str>) -> impl Future<Output = Result<Vec<Entry>, BackendError>>;

    /// Stores entries, all or none. Everything that must happen in the caller's own task happens
    /// before this returns; the future completes when the entries are safe. What was brought forward from
    /// the entries up to one of these keys, or to a later one, goes with it.
    fn write(
        &self,
        entries: &[Entry],
    ) -> impl Future<Output = Result<(), BackendError>> + use<Self>;

    /// Takes every entry away, with what was brought forward, and leaves one in their place, all or nothing. As with
    /// [`write`](Self::write), what must happen in the caller's own task happens before this returns.
    fn clear(&self, leave: &Entry) -> impl Future<Output = Result<(), BackendError>> + use<Self>;

    /// What the entries up to its key were folded into, where that was kept.
    fn brought_forward(&self) -> impl Future<Output = Result<Option<Entry>, BackendError>>;

    /// Keeps what the entries up to its key were folded into, in the place of what was kept before. Failing
    /// is no error: it can be worked out again.
    fn bring_forward(
        &self,
        forward: &Entry,
    ) -> impl Future<Output = Result<(), BackendError>> + use<Self>;

    /// What a second, smaller place holds for the moment in which the first is broken.
    fn spare(&self) -> Vec<Entry>;

    /// Replaces what the second place holds. Failing is no error: it is only a spare.
    fn keep_spare(&self, entries: &[Entry]);
}

/// A place whose texts can also be replaced and taken away.
pub trait Shelf {
    /// Every stored entry.
    fn read(&self) -> impl Future<Output = Result<Vec<Entry>, BackendError>>;

    /// Puts entries in their places and takes the texts under other keys away, all or none. As with
    /// [`Backend::write`], what must happen in the caller's own task happens before this returns.
    fn change(
        &self,
        put: &[Entry],
        take: &[String],
    ) -> impl Future<Output = Result<(), BackendError>> + use<Self>;

    /// Refuses every change from now on; completes once those that were begun have ended.
    fn leave(&self) -> impl Future<Output = ()> + use<Self>;
}
