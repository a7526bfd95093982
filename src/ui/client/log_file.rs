//! The log as a file on its way out: as it is or sealed with a passphrase, by download or the share sheet.

use chrono::NaiveDate;
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::record::Record;
use crate::exchange::{file, file_name};
use crate::platform::copy_file::{self, NotWritten};
use crate::platform::{clock, files, preferences, sealer};
use crate::ui::components::passphrase::NewPassphrase;
use crate::ui::live_log::{LiveLog, WholeLiveLog, use_whole_log};
use crate::ui::text::client::log_file as text;
use crate::ui::text::refusals::InWords;

const LAST_COPY: &str = "carryover.last-copy";

/// The day on which the whole log last left the device as a file, if that is known.
pub fn last_copy() -> Option<NaiveDate> {
    preferences::get(LAST_COPY)
}

/// Writes a copy into the file that was chosen for it, if the browser lets it; what to say of it.
pub async fn write_copy(log: LiveLog) -> Result<&'static str, NotWritten> {
    let content = log.as_copy().await.map_err(|_told| NotWritten::Failed)?;
    copy_file::write(&content).await?;
    preferences::set(LAST_COPY, clock::now().date_naive());
    Ok(text::COPY_IS_WRITTEN)
}

/// What the file is for.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
pub enum Purpose {
    /// The practitioner reads it; that it was handed back is noted in it.
    HandBack,
    /// The client keeps it.
    Copy,
}

#[derive(Clone, Copy)]
enum WayOut {
    Save,
    Share,
}

#[derive(Clone)]
struct Outgoing {
    name: String,
    text: String,
    note: Option<Record>,
    /// The passphrase it is sealed with.
    sealed_with: Option<String>,
}

#[derive(Clone, Copy)]
pub struct LogFile {
    log: WholeLiveLog,
    purpose: Purpose,
    pub passphrase: NewPassphrase,
    pub last_copy: RwSignal<Option<NaiveDate>>,
    said: RwSignal<Option<String>>,
    sealing: RwSignal<bool>,
    /// Browsers share only right after a tap, and sealing takes longer: then the next tap sends this.
    sealed: StoredValue<Option<Outgoing>, LocalStorage>,
}

impl LogFile {
    pub fn to(purpose: Purpose) -> Self {
        Self {
            log: use_whole_log(),
            purpose,
            passphrase: NewPassphrase::empty(),
            last_copy: RwSignal::new(last_copy()),
            said: RwSignal::new(None),
            sealing: RwSignal::new(false),
            sealed: StoredValue::new_local(None),
        }
    }

    fn send(self, way: WayOut) {
        self.said.set(None);
        let passphrase = match self.passphrase.agreed() {
            Ok(passphrase) => passphrase,
            Err(why) => {
                self.said.set(Some(why));
                return;
            }
        };
        let waiting = self.sealed.get_value();
        if let Some(sealed) = waiting.filter(|sealed| sealed.sealed_with == passphrase) {
            self.hand_out(sealed, way);
            return;
        }
        let plain = self.plain();
        let Some(passphrase) = passphrase else {
            self.hand_out(plain, way);
            return;
        };
        self.sealing.set(true);
        spawn_local(async move {
            match sealer::seal(&plain.text, &passphrase).await {
                Ok(content) => {
                    let name = plain.name.replace(".txt", "-sealed.txt");
                    let sealed = Outgoing {
                        name,
                        text: content,
                        sealed_with: Some(passphrase),
                        note: plain.note,
                    };
                    self.sealed.set_value(Some(sealed.clone()));
                    self.hand_out(sealed, way);
                }
                Err(why) => self.said.set(Some(text::not_sealed(&why.in_words()))),
            }
            self.sealing.set(false);
        });
    }

    fn plain(self) -> Outgoing {
        let today = clock::now().date_naive();
        let (name, (content, note)) = match self.purpose {
            Purpose::HandBack => (file_name::of_log(today), self.log.as_handed_back()),
            Purpose::Copy => {
                (file_name::of_copy(today), (file::print_log(&self.log.records()), None))
            }
        };
        Outgoing { name, text: content, note, sealed_with: None }
    }

    fn hand_out(self, file: Outgoing, way: WayOut) {
        match way {
            WayOut::Save => match files::save(&file.name, &file.text) {
                Some(()) => self.left(file, text::SAVED),
                None => self.said.set(Some(text::NOT_SAVED.to_owned())),
            },
            WayOut::Share => spawn_local(async move {
                match files::share(&file.name, &file.text).await {
                    files::Shared::Done => self.left(file, text::HANDED_ON),
                    files::Shared::Dismissed => {}
                    files::Shared::Failed if file.sealed_with.is_some() => {
                        self.said.set(Some(text::TAP_ONCE_MORE.to_owned()));
                    }
                    files::Shared::Failed => self.said.set(Some(text::NOT_SHARED.to_owned())),
                }
            }),
        }
    }

    /// The file has left the app.
    fn left(self, file: Outgoing, said: &str) {
        self.log.handed_back(file.note);
        let today = clock::now().date_naive();
        preferences::set(LAST_COPY, today);
        self.last_copy.set(Some(today));
        self.sealed.set_value(None);
        self.passphrase.clear();
        self.said.set(Some(said.to_owned()));
    }
}

/// The buttons that send the file, and what came of it.
#[component]
pub fn SendButtons(file: LogFile) -> impl IntoView {
    let (share, save) = match file.purpose {
        Purpose::HandBack => (text::SHARE_THE_LOG, text::SAVE_THE_LOG),
        Purpose::Copy => (text::SHARE_A_COPY, text::SAVE_A_COPY),
    };
    let can_share = files::can_share();
    let busy = move || file.sealing.get();
    view! {
        <p role="status" class="small">
            {move || if busy() { Some(text::SEALING.to_owned()) } else { file.said.get() }}
        </p>
        {can_share
            .then(|| {
                view! {
                    <button type="button" class="button main" disabled=busy on:click=move |_| file.send(WayOut::Share)>
                        {share}
                    </button>
                }
            })}
        <button type="button" class="button" class:main=!can_share disabled=busy on:click=move |_| file.send(WayOut::Save)>
            {save}
        </button>
    }
}
