//! Handing the log back to the practitioner: as a file, by download or the share sheet.

use leptos::prelude::*;
use leptos::task::spawn_local;
use leptos_router::components::A;

use crate::platform::{clock, files};
use crate::ui::components::other_formats::OtherFormats;
use crate::ui::components::screen::Screen;
use crate::ui::diary::use_diary;
use crate::ui::text::{dates, dose, who};

#[component]
pub fn HandBack() -> impl IntoView {
    let diary = use_diary();
    let history = diary.history_untracked();
    let said = RwSignal::new(None::<&'static str>);
    let who = who(&history);
    // The ending lets the file through share sheets that know few endings; its content is what counts.
    let name = format!("carryover-log-{}.txt", clock::now().date_naive());
    let saved_as = name.clone();
    let save = move |_| {
        let (text, note) = diary.as_handed_back();
        said.set(Some(match files::save(&saved_as, &text) {
            Some(()) => {
                diary.handed_back(note);
                "Saved with your downloads."
            }
            None => {
                "This browser would not save the file. Try the share button, or another browser."
            }
        }));
    };
    let share = move |_| {
        let name = name.clone();
        let (text, note) = diary.as_handed_back();
        spawn_local(async move {
            match files::share(&name, &text).await {
                files::Shared::Done => {
                    diary.handed_back(note);
                    said.set(Some("Handed on."));
                }
                files::Shared::Dismissed => {}
                files::Shared::Failed => {
                    said.set(Some("This browser would not share the file. Save it, and send it from your downloads."));
                }
            }
        });
    };
    let count = |length: usize| u16::try_from(length).unwrap_or(u16::MAX);
    let sessions = dose::count(count(history.sessions.len()), "session");
    let mornings = dose::count(count(history.mornings.len()), "morning answer");
    let since = history.accepted.first().map(|accepted| dates::day(accepted.at.date_naive()));
    let can_share = files::can_share();
    view! {
        <Screen
            title="Hand back the log"
            above=format!("For {who}")
            foot=Box::new(move || {
                view! {
                    <p role="status" class="small">{said}</p>
                    {can_share.then(|| view! { <button type="button" class="button main" on:click=share>"Share the log"</button> })}
                    <button type="button" class="button" class:main=!can_share on:click=save>"Save the log as a file"</button>
                    <A href="/" attr:class="button quiet">"Back to Today"</A>
                }
                    .into_any()
            })
        >
            <p class="lead">{format!("{sessions} and {mornings}")} {since.map(|since| format!(", since {since}"))} "."</p>
            <p>
                "The file holds your ratings, your notes and your routine. It goes only where you send it, so send it only to your practitioner."
            </p>
            <p class="soft">"Keep a copy now and then: notes are lost if this phone or its browser data is wiped."</p>
            <OtherFormats records=Callback::new(move |()| diary.records()) />
        </Screen>
    }
}
