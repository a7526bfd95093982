//! What a place that keeps texts must do, and why it may refuse.

/// One stored text under its key.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct Entry {
    pub key: String,
    pub text: String,
}

/// Why the device would not store or give back something.
#[derive(Clone, Debug, PartialEq, Eq)]
pub enum BackendError {
    Denied,
    Full,
    /// What a disk without room looks like in a browser that does not say so: reading works, and no writing.
    TakesNothing,
    Newer,
    Blocked,
    /// It happens to an app in the background, most of all in `WebKit`.
    Lost,
    Failed(String),
}

/// Files beside the database, in which a second place is kept. What is asked first is done first, and once
/// something could not be written, nothing is before a text for [`File::Anew`].
pub trait Strip {
    /// All that a file holds, or the last so many bytes of it; nothing where there is none.
    fn read(
        &self,
        file: File,
        last: Option<u32>,
    ) -> impl Future<Output = Result<Vec<u8>, BackendError>> + use<Self>;

    /// Adds to what a file holds. It is asked for before this returns.
    fn append(&self, text: &str) -> impl Future<Output = Result<(), BackendError>> + use<Self>;

    /// Puts a text in the place of what a file holds. It is asked for before this returns.
    fn write(
        &self,
        file: File,
        text: &str,
    ) -> impl Future<Output = Result<(), BackendError>> + use<Self>;

    /// Completes once all is answered that was asked for before.
    fn answered(&self) -> impl Future<Output = ()> + use<Self>;
}

impl BackendError {
    /// Why a write failed over a connection that was just made, and read from.
    #[must_use]
    pub fn after_reading(self) -> Self {
        match self {
            Self::Lost | Self::Failed(_) => Self::TakesNothing,
            Self::Denied | Self::Full | Self::TakesNothing | Self::Newer | Self::Blocked => self,
        }
    }
}

/// One of the two files of a second place.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum File {
    Lines,
    /// What is about to take the place of the lines.
    Anew,
}

/// A place that keeps texts and adds to them.
pub trait Backend {
    type Strip: Strip;

    /// The files beside it, once they are there; none, where the browser has no such.
    fn strip(&self) -> Option<Self::Strip>;

    /// Gets in touch anew. What is stored then may be less than was.
    fn reconnect(&self) -> impl Future<Output = Result<(), BackendError>>;

    /// How many entries are stored.
    fn count(&self) -> impl Future<Output = Result<usize, BackendError>>;

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

    /// What a page before this one had not saved, where the browser kept it.
    fn spare(&self) -> Vec<Entry>;

    /// Holds what is not saved yet for the next page. Failing is no error, and nothing is called saved for it.
    fn keep_spare(&self, entries: &[Entry]);
}

/// A place whose texts can also be replaced and taken away.
pub trait Shelf {
    type Strip: Strip;

    /// As of a [`Backend`].
    fn strip(&self) -> Option<Self::Strip>;

    /// As of a [`Backend`].
    fn reconnect(&self) -> impl Future<Output = Result<(), BackendError>>;

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
