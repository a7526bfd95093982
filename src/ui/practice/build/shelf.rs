//! The library of exercises, fetched once when it is first asked for.

use std::rc::Rc;

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::domain::plan::library::Library;
use crate::platform::files::{self, LIBRARY};
use crate::ui::text::practice::build::shelf as text;
use crate::ui::text::refusals::InWords;

/// The library that ships: read, and in its very words, against which a link is condensed.
#[derive(Debug)]
pub struct Shipped {
    pub library: Library,
    pub text: String,
}

/// The library as far as it is there.
#[derive(Clone, Debug)]
pub enum Shelved {
    /// Still being fetched, or not asked for yet.
    Waiting,
    Here(Rc<Shipped>),
    /// It could not be fetched or read; why.
    Away(String),
}

#[derive(Clone, Copy)]
pub struct LibraryShelf(RwSignal<Option<Shelved>, LocalStorage>);

pub fn use_library() -> LibraryShelf {
    expect_context()
}

impl LibraryShelf {
    pub fn open() -> Self {
        Self(RwSignal::new_local(None))
    }

    /// The library; the first to ask has it fetched.
    pub fn get(self) -> Shelved {
        if self.0.with_untracked(Option::is_none) {
            self.fetch();
        }
        self.0.get().unwrap_or(Shelved::Waiting)
    }

    /// Fetches it, again if need be.
    pub fn fetch(self) {
        self.0.set(Some(Shelved::Waiting));
        spawn_local(async move {
            let shelved = match files::shipped(LIBRARY).await {
                None => Shelved::Away(text::NOT_FETCHED.to_owned()),
                Some(shipped) => match Library::parse(&shipped) {
                    Ok(library) => Shelved::Here(Rc::new(Shipped { library, text: shipped })),
                    Err(wrong) => Shelved::Away(wrong.in_words()),
                },
            };
            self.0.set(Some(shelved));
        });
    }
}
