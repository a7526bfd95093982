//! Handing the log back to the practitioner: as a file, by download or the share sheet, or as codes.

use leptos::prelude::*;

use super::log_codes::{OfferCodes, Showing};
use super::log_file::{LogFile, Purpose, SendButtons};
use crate::ui::components::other_formats::OtherFormats;
use crate::ui::components::passphrase::SealWithPassphrase;
use crate::ui::components::screen::Screen;
use crate::ui::live_log::{use_log, use_whole_log};
use crate::ui::text::client::hand_back as text;
use crate::ui::text::client::window::LOG;
use crate::ui::text::components::screen::BACK_TO_TODAY;
use crate::ui::text::{log, who};

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
    let log = use_log();
    let whole = use_whole_log();
    let history = log.history_untracked();
    let holds = log::what_it_holds(&history);
    let file = LogFile::to(Purpose::HandBack);
    let who = who(&history);
    let since = history.first_accepted().map(|first| first.date_naive());
    view! {
        <Screen
            title=text::HAND_BACK_THE_LOG
            above=text::for_whom(&who)
            columns=true
            foot=Box::new(move || {
                view! {
                    <SendButtons file />
                    <a href="./" class="button quiet">{BACK_TO_TODAY}</a>
                }
                    .into_any()
            })
        >
            <p class="lead">{text::holds_since(&holds, since)}</p>
            <p>
                {text::ONLY_TO_THEM}
            </p>
            <SealWithPassphrase passphrase=file.passphrase what=LOG />
            <OfferCodes />
            <OtherFormats
                records=Callback::new(move |()| whole.records())
                routine=Signal::derive(move || log.history().routine().cloned())
            />
        </Screen>
    }
}
