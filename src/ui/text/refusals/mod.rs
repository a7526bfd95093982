//! Why something could not be done, in words: a file here for each kind of thing that refuses. The layers above
//! find the reasons and pass them on as values; they word none of them.

mod complaint;

#[cfg(target_arch = "wasm32")]
mod device;

mod files;

mod links;

mod measuring;

mod plan;

mod storage;

mod tempo;

mod values;

use crate::domain::refused::Refused;

/// Words without a capital or a full stop, unless its file says otherwise, so that they can go on with a sentence.
pub trait InWords {
    fn in_words(&self) -> String;
}

impl<E: InWords> InWords for Refused<E> {
    fn in_words(&self) -> String {
        self.0.in_words()
    }
}
