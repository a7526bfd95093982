//! A photo of the client's own set-up: shown, and taken, replaced or removed.

use leptos::ev::Event;
use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::domain::plan::photo::Photo;
use crate::domain::words::Words;
use crate::platform::{focus, picture};
use crate::ui::text::components::photo as text;
use crate::ui::text::photo::not_shown;
use crate::ui::text::refusals::InWords;

/// The photo of an exercise.
#[component]
pub fn ExercisePhoto(photo: Photo, name: Words) -> impl IntoView {
    match photo.shown() {
        Ok(source) => {
            let source = source.to_owned();
            view! { <img class="photo" src=source alt=text::set_up_for(&name) /> }.into_any()
        }
        Err(why) => view! { <p class="small soft">{not_shown(why)}</p> }.into_any(),
    }
}

/// The photo of one exercise, with the ways to take one, to take another, and to remove it.
#[component]
pub fn PhotoInput(
    /// The exercise's name, for the picture's text.
    #[prop(into)]
    name: Signal<Words>,
    #[prop(into)] value: Signal<Option<Photo>>,
    on_change: Callback<Option<Photo>>,
) -> impl IntoView {
    let problem = RwSignal::new(None);
    let take = move |event: Event| {
        spawn_local(async move {
            match picture::taken(event).await {
                Some(Ok(photo)) => {
                    problem.set(None);
                    on_change.run(Some(photo));
                }
                Some(Err(error)) => problem.set(Some(text::not_added(&error.in_words()))),
                None => {}
            }
        });
    };
    let input = NodeRef::<leptos::html::Input>::new();
    let remove = move |_| {
        problem.set(None);
        on_change.run(None);
        if let Some(input) = input.get_untracked() {
            focus::on(&input);
        }
    };
    let has_photo = Memo::new(move |_| value.with(Option::is_some));
    let label = move || if has_photo.get() { text::TAKE_ANOTHER } else { text::ADD };
    view! {
        <div class="stack">
            {move || value.get().map(|photo| view! { <ExercisePhoto photo name=name.get() /> })}
            <p role="alert" class="problem" class:empty=move || problem.get().is_none()>
                {move || problem.get()}
            </p>
            <label class="button file">
                {label} <input type="file" accept="image/jpeg,image/png,image/webp" node_ref=input on:change=take />
            </label>
            <Show when=move || has_photo.get()>
                <button type="button" class="button quiet" on:click=remove>
                    {text::REMOVE}
                </button>
            </Show>
            <p class="small soft">
                {text::WHERE_IT_GOES}
            </p>
        </div>
    }
}
