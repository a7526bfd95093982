//! The files of a second place in memory, for as long as a test lives.

#![allow(dead_code, reason = "each test file uses its own part")]

use std::cell::{Cell, RefCell};
use std::future::{Ready, poll_fn, ready};
use std::rc::Rc;
use std::task::Poll;

use carryover::store::backend::{BackendError, File, Strip};

/// What a write comes to.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Write {
    Done,
    /// The disk was full halfway.
    Half,
    /// All of it was written, and the answer did not arrive.
    LostAnswer,
    /// Another window had the file open: nothing was written.
    Held,
}

type Decides = Rc<dyn Fn() -> Write>;

/// Two files, and the worker that writes them: once a write failed, it writes nothing before all is written anew.
#[derive(Clone)]
pub struct Files {
    lines: Rc<RefCell<Vec<u8>>>,
    anew: Rc<RefCell<Vec<u8>>>,
    decides: Decides,
    has_failed: Rc<Cell<bool>>,
    is_slow: Rc<Cell<bool>>,
}

impl Files {
    /// Files that never fail.
    pub fn sound() -> Self {
        Self::that(|| Write::Done)
    }

    pub fn that(decides: impl Fn() -> Write + 'static) -> Self {
        let (lines, anew, has_failed) = (Rc::default(), Rc::default(), Rc::default());
        Self { lines, anew, decides: Rc::new(decides), has_failed, is_slow: Rc::default() }
    }

    /// The same files, with a worker of their own.
    pub fn anew(&self) -> Self {
        Self { has_failed: Rc::default(), ..self.clone() }
    }

    /// Answers nothing that is read, nor that all is done, until it is no longer slow.
    pub fn slow(&self, is_slow: bool) {
        self.is_slow.set(is_slow);
    }

    fn in_time(&self) -> impl Future<Output = ()> + use<> {
        let is_slow = Rc::clone(&self.is_slow);
        poll_fn(move |_| if is_slow.get() { Poll::Pending } else { Poll::Ready(()) })
    }

    pub fn lines(&self) -> Rc<RefCell<Vec<u8>>> {
        Rc::clone(&self.lines)
    }

    pub fn are_there(&self) -> bool {
        !self.lines.borrow().is_empty()
    }

    fn file(&self, file: File) -> &RefCell<Vec<u8>> {
        match file {
            File::Lines => &self.lines,
            File::Anew => &self.anew,
        }
    }

    fn put(&self, file: File, text: &str, is_afresh: bool) -> Ready<Result<(), BackendError>> {
        if self.has_failed.get() {
            return ready(Err(BackendError::Failed("InvalidStateError".to_owned())));
        }
        let (bytes, what) = (text.as_bytes(), (self.decides)());
        let written = match what {
            Write::Done | Write::LostAnswer => bytes.len(),
            Write::Half => bytes.len() / 2,
            Write::Held => 0,
        };
        let mut held = self.file(file).borrow_mut();
        if is_afresh && what != Write::Held {
            held.clear();
        }
        held.extend(&bytes[..written]);
        self.has_failed.set(what != Write::Done);
        ready(match what {
            Write::Done => Ok(()),
            Write::Half => Err(BackendError::Full),
            Write::LostAnswer => Err(BackendError::Failed("AbortError".to_owned())),
            Write::Held => Err(BackendError::Failed("NoModificationAllowedError".to_owned())),
        })
    }
}

impl Strip for Files {
    fn read(
        &self,
        file: File,
        last: Option<u32>,
    ) -> impl Future<Output = Result<Vec<u8>, BackendError>> + use<> {
        let bytes = self.file(file).borrow();
        let from = last.map_or(0, |last| bytes.len().saturating_sub(last as usize));
        let read = match (self.decides)() {
            Write::Done => Ok(bytes[from..].to_vec()),
            Write::Half | Write::LostAnswer | Write::Held => {
                Err(BackendError::Failed("AbortError".to_owned()))
            }
        };
        let in_time = self.in_time();
        async move {
            in_time.await;
            read
        }
    }

    fn append(&self, text: &str) -> impl Future<Output = Result<(), BackendError>> + use<> {
        self.put(File::Lines, text, false)
    }

    fn write(
        &self,
        file: File,
        text: &str,
    ) -> impl Future<Output = Result<(), BackendError>> + use<> {
        if file == File::Anew && !text.is_empty() {
            self.has_failed.set(false);
        }
        self.put(file, text, true)
    }

    fn answered(&self) -> impl Future<Output = ()> + use<> {
        self.in_time()
    }
}
