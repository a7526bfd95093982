//! The second place beside a database: what was stored there goes into a file as well, so that what one of the
//! two loses is put back from the other.
//!
//! Nothing comes here before it is in the database, and nothing is called saved because it is here alone. What is in
//! the database waits to be called so until this place has answered, for a moment at most.

use std::cell::RefCell;
use std::collections::BTreeMap;
use std::future::poll_fn;
use std::task::{Poll, Waker};

use super::backend::{BackendError, Entry, File, Strip};
use crate::exchange::ledger::{self, Ledger, Line};

/// Where the last line stands in nearly every file: routines with a photo are longer.
const TAIL: u32 = 1 << 15;

/// What joining the two places came to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Joined {
    /// There is no second place.
    OnePlace,
    /// Neither lacked anything that the other had; or only the second did.
    Whole,
    /// So many texts were put back into the database.
    PutBack(usize),
}

/// How closely the two places are compared.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Look {
    /// By how much they hold, and the last of it.
    AtTheEnd,
    Through,
}

/// Those who wait for the end of a joining.
#[derive(Debug, Default)]
pub struct Waiting(RefCell<Vec<Waker>>);

impl Waiting {
    /// Completes once nothing is being joined.
    async fn while_joining(&self, is_joining: impl Fn() -> bool) {
        poll_fn(|context| {
            if is_joining() {
                self.0.borrow_mut().push(context.waker().clone());
                Poll::Pending
            } else {
                Poll::Ready(())
            }
        })
        .await;
    }

    /// Completes once the second place has all that is safe in the database by now, or has answered that it could
    /// not be written; at once, where none `follows`, as far as can be told once nothing is being joined.
    pub async fn until_handed_on<S: Strip>(
        &self,
        is_joining: impl Fn() -> bool,
        follows: impl Fn() -> Option<S>,
    ) {
        self.while_joining(is_joining).await;
        if let Some(strip) = follows() {
            strip.answered().await;
        }
    }

    pub fn tell(&self) {
        for waker in self.0.take() {
            waker.wake();
        }
    }
}

/// The lines, in files.
#[derive(Debug)]
pub struct Second<S>(S);

impl<S: Strip> Second<S> {
    pub const fn on(strip: S) -> Self {
        Self(strip)
    }

    /// The last line, where that can be told without reading all.
    pub async fn last(&self) -> Result<Option<Line>, BackendError> {
        if !self.0.read(File::Anew, Some(1)).await?.is_empty() {
            return Ok(None);
        }
        Ok(ledger::last(&self.0.read(File::Lines, Some(TAIL)).await?))
    }

    /// Every line. A replacing that was cut short is brought to its end, or never was.
    pub async fn read(&self) -> Result<Ledger, BackendError> {
        let anew = self.0.read(File::Anew, None).await?;
        if anew.is_empty() {
            return Ok(ledger::parse(&self.0.read(File::Lines, None).await?));
        }
        if let Some(whole) = ledger::whole(&anew) {
            self.0.write(File::Lines, &ledger::print_whole(&whole.lines)).await?;
            self.0.write(File::Anew, "").await?;
            return Ok(whole);
        }
        self.0.write(File::Anew, "").await?;
        Ok(ledger::parse(&self.0.read(File::Lines, None).await?))
    }

    /// Adds lines. It is asked for before this returns, so that it may be left to itself.
    pub fn append(
        &self,
        lines: &[Line],
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        self.0.append(&ledger::print(lines))
    }

    /// Puts lines in the place of all others, all or none. It is asked for before this returns, so that what is
    /// added next comes after it.
    pub fn replace(
        &self,
        lines: &[Line],
    ) -> impl Future<Output = Result<(), BackendError>> + use<S> {
        let text = ledger::print_whole(lines);
        let first = self.0.write(File::Anew, &text);
        let then = self.0.write(File::Lines, &text);
        let last = self.0.write(File::Anew, "");
        async move {
            first.await?;
            then.await?;
            last.await
        }
    }
}

/// The texts that stand after all lines, by their keys.
pub fn standing(lines: &[Line]) -> BTreeMap<&str, &str> {
    let mut texts = BTreeMap::new();
    for line in lines {
        match &line.text {
            Some(text) => texts.insert(line.key.as_str(), text.as_str()),
            None => texts.remove(line.key.as_str()),
        };
    }
    texts
}

/// Numbers entries as lines, from the one after `last` on.
pub fn number(entries: &[Entry], last: u64) -> Vec<Line> {
    let line = |(number, entry): (u64, &Entry)| Line {
        number,
        key: entry.key.clone(),
        text: Some(entry.text.clone()),
    };
    (last + 1..).zip(entries).map(line).collect()
}

/// Entries by their keys.
pub fn by_key(entries: &[Entry]) -> BTreeMap<&str, &str> {
    let mut texts = BTreeMap::new();
    for entry in entries {
        texts.insert(entry.key.as_str(), entry.text.as_str());
    }
    texts
}

pub fn entry((key, text): (&str, &str)) -> Entry {
    Entry { key: key.to_owned(), text: text.to_owned() }
}
