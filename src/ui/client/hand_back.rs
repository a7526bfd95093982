//! Handing the log back to the practitioner: as a file, by download or the share sheet, or as codes.

use leptos::prelude::*;

use super::log_codes::{OfferCodes, Showing};
use super::log_file::{LogFile, Purpose, SendButtons};
use crate::ui::components::other_formats::OtherFormats;
use crate::ui::components::passphrase::SealWithPassphrase;
use crate::ui::components::screen::Screen;
use crate::ui::diary::{use_diary, use_whole_diary};
use crate::ui::text::{dates, log, who};

#[component]
pub fn HandBack() -> impl IntoView {
    view! {
        <Showing>
            <AsFile />
        </Showing>
    }
}

#[component]
fn AsFile() -> impl IntoView {
    let diary = use_diary();
    let whole = use_whole_diary();
    let history = diary.history_untracked();
    let holds = log::what_it_holds(&history);
    let file = LogFile::to(Purpose::HandBack);
    let who = who(&history);
    let since = history.first_accepted().map(|first| dates::day(first.date_naive()));
    view! {
        <Screen
            title="Hand back the log"
            above=format!("For {who}")
            columns=true
            foot=Box::new(move || {
                view! {
                    <SendButtons file />
                    <a href="./" class="button quiet">"Back to Today"</a>
                }
                    .into_any()
            })
        >
            <p class="lead">{holds} {since.map(|since| format!(", since {since}"))} "."</p>
            <p>
                "Your ratings, your notes and your routine are in the file. It goes only where you send it, so send it only to your practitioner."
            </p>
            <SealWithPassphrase passphrase=file.passphrase what="log" />
            <OfferCodes />
            <OtherFormats
                records=Callback::new(move |()| whole.records())
                routine=Signal::derive(move || diary.history().routine().cloned())
            />
        </Screen>
    }
}
