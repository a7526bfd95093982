//! Fields of a form. Each shows what holds now, hands on what was entered, and says why it was refused.

use std::fmt::Display;

use chrono::NaiveDate;
use leptos::ev::SubmitEvent;
use leptos::prelude::*;

use crate::domain::words::{NotWords, Words};
use crate::ui::text::practice::fields as text;
use crate::ui::text::refusals::InWords;

/// What became of a value that was entered: taken, or refused with a reason.
pub type Taken = Result<(), String>;

/// Reads words for a field in which there must be some.
pub fn some_words(typed: &str) -> Result<Words, String> {
    Words::new(typed.trim()).map_err(|wrong| wrong.in_words())
}

/// Reads words for a field that may stay empty.
pub fn maybe_words(typed: &str) -> Result<Option<Words>, String> {
    match Words::new(typed.trim()) {
        Ok(words) => Ok(Some(words)),
        Err(NotWords::Blank) => Ok(None),
        Err(wrong) => Err(wrong.in_words()),
    }
}

#[component]
fn Refusal(problem: RwSignal<Option<String>>) -> impl IntoView {
    view! {
        <span role="alert" class="refusal small">
            {move || problem.get().map(|problem| text::not_taken(&problem))}
        </span>
    }
}

/// A field for words: `input` draws what they are typed into, given what to do with a change.
fn text_field(
    label: String,
    on_change: Callback<String, Taken>,
    input: impl FnOnce(Callback<leptos::ev::Event>) -> AnyView,
) -> impl IntoView {
    let problem = RwSignal::new(None);
    let take = move |event| problem.set(on_change.run(event_target_value(&event)).err());
    view! {
        <label class="field">
            <span class="small soft">{label}</span>
            {input(Callback::new(take))}
            <Refusal problem />
        </label>
    }
}

#[component]
pub fn TextLine(
    #[prop(into)] label: String,
    #[prop(into)] value: Signal<String>,
    on_change: Callback<String, Taken>,
) -> impl IntoView {
    text_field(label, on_change, move |take| {
        view! { <input type="text" autocomplete="off" prop:value=value on:change=move |event| take.run(event) /> }
            .into_any()
    })
}

/// Words that may take more than a line.
#[component]
pub fn TextArea(
    #[prop(into)] label: String,
    #[prop(into)] value: Signal<String>,
    on_change: Callback<String, Taken>,
) -> impl IntoView {
    text_field(label, on_change, move |take| {
        view! { <textarea rows="2" prop:value=value on:change=move |event| take.run(event)></textarea> }.into_any()
    })
}

/// A day, or none.
#[component]
pub fn DayField(
    #[prop(into)] label: String,
    #[prop(into)] value: Signal<Option<NaiveDate>>,
    on_change: Callback<Option<NaiveDate>>,
) -> impl IntoView {
    let take = Callback::new(move |entered: String| {
        // A browser without such a field has one for words.
        match entered.trim() {
            "" => on_change.run(None),
            day => on_change.run(Some(day.parse().map_err(|_no_day| text::A_DAY.to_owned())?)),
        }
        Ok(())
    });
    let shown = move || as_text(value.get().as_ref());
    text_field(label, take, move |take| {
        view! { <input type="date" prop:value=shown on:change=move |event| take.run(event) /> }
            .into_any()
    })
}

/// A line to look for something by, with each letter.
#[component]
pub fn SearchField(label: &'static str, sought: RwSignal<String>) -> impl IntoView {
    view! {
        <label class="field">
            <span class="small soft">{label}</span>
            <input
                type="search"
                autocomplete="off"
                prop:value=sought
                on:input=move |event| sought.set(event_target_value(&event))
            />
        </label>
    }
}

/// One line of words with the button that adds it. It empties once it was taken; `on_add` says in a whole
/// sentence why it was not.
#[component]
pub fn AddLine(
    label: &'static str,
    button: &'static str,
    #[prop(default = "button")] class: &'static str,
    on_add: Callback<String, Taken>,
) -> impl IntoView {
    let typed = RwSignal::new(String::new());
    let problem = RwSignal::new(None);
    let add = move |event: SubmitEvent| {
        event.prevent_default();
        let taken = on_add.run(typed.get_untracked());
        if taken.is_ok() {
            // The page may be left by now.
            typed.try_set(String::new());
        }
        problem.try_set(taken.err());
    };
    view! {
        <form class="row add" on:submit=add>
            <label class="field grow">
                <span class="small soft">{label}</span>
                <input
                    type="text"
                    autocomplete="off"
                    prop:value=typed
                    on:input=move |event| typed.set(event_target_value(&event))
                />
            </label>
            <button type="submit" class=class>{button}</button>
        </form>
        <p role="alert" class="refusal small">{move || problem.get()}</p>
    }
}

/// A list with one entry a line.
#[component]
pub fn TextLines(
    #[prop(into)] label: String,
    #[prop(into)] value: Signal<Vec<Words>>,
    on_change: Callback<Vec<Words>, Taken>,
) -> impl IntoView {
    let problem = RwSignal::new(None);
    let take = move |event| {
        let typed = event_target_value(&event);
        let lines: Result<Vec<Words>, String> =
            typed.lines().filter(|line| !line.trim().is_empty()).map(some_words).collect();
        problem.set(lines.and_then(|lines| on_change.run(lines)).err());
    };
    let shown = move || value.get().iter().map(Words::as_str).collect::<Vec<_>>().join("\n");
    let rows = move || value.with(Vec::len).clamp(2, 8).to_string();
    view! {
        <label class="field">
            <span class="small soft">{text::one_a_line(&label)}</span>
            <textarea rows=rows prop:value=shown on:change=take></textarea>
            <Refusal problem />
        </label>
    }
}

/// A whole number, typed or stepped with the thumb.
#[component]
pub fn Number(
    #[prop(into)] label: String,
    #[prop(into)] value: Signal<i64>,
    #[prop(default = 1)] step: i64,
    on_change: Callback<i64, Taken>,
) -> impl IntoView {
    let problem = RwSignal::new(None);
    let offer = move |number: i64| problem.set(on_change.run(number).err());
    let typed = move |event| match event_target_value(&event).trim().parse() {
        Ok(number) => offer(number),
        Err(_) => problem.set(Some(text::WHOLE_NUMBER.to_owned())),
    };
    let by = move |change: i64| move |_| offer(value.get_untracked() + change);
    let (less, more) = (text::less(&label), text::more(&label));
    view! {
        <div class="field number">
            <span class="small soft" aria-hidden="true">{label.clone()}</span>
            <span class="stepper">
                <button type="button" aria-label=less on:click=by(-step)>"−"</button>
                <input
                    type="text"
                    inputmode="numeric"
                    autocomplete="off"
                    class="num"
                    aria-label=label
                    prop:value=move || value.get().to_string()
                    on:change=typed
                />
                <button type="button" aria-label=more on:click=by(step)>"+"</button>
            </span>
            <Refusal problem />
        </div>
    }
}

/// One of a few, as buttons.
#[component]
pub fn Choice<T: Copy + PartialEq + Send + Sync + 'static>(
    #[prop(into)] label: String,
    options: Vec<(T, &'static str)>,
    #[prop(into)] value: Signal<Option<T>>,
    on_change: Callback<T>,
) -> impl IntoView {
    let option = move |(option, words): (T, &'static str)| {
        view! {
            <button
                type="button"
                class="chip"
                aria-pressed=move || (value.get() == Some(option)).to_string()
                on:click=move |_| on_change.run(option)
            >
                {words}
            </button>
        }
    };
    let heading = label.clone();
    view! {
        <div class="field" role="group" aria-label=label>
            <span class="small soft">{heading}</span>
            <div class="chips">{options.into_iter().map(option).collect_view()}</div>
        </div>
    }
}

/// One of several, as a list that opens.
#[component]
pub fn Select<T: Copy + PartialEq + Send + Sync + 'static>(
    #[prop(into)] label: String,
    /// Whether the label is seen, or only read out.
    #[prop(optional)]
    unseen: bool,
    options: Vec<(T, &'static str)>,
    #[prop(into)] value: Signal<T>,
    on_change: Callback<T, Taken>,
) -> impl IntoView {
    let problem = RwSignal::new(None);
    let names = options.clone();
    let take = move |event| {
        let chosen: Option<usize> = event_target_value(&event).parse().ok();
        if let Some(&(option, _)) = chosen.and_then(|index| names.get(index)) {
            problem.set(on_change.run(option).err());
        }
    };
    let at = options.clone();
    let now = move || {
        let now = value.get();
        at.iter().position(|(option, _)| *option == now).unwrap_or(0).to_string()
    };
    let shown = options.into_iter().enumerate().map(|(index, (option, words))| {
        view! {
            <option value=index.to_string() selected=move || value.get() == option>
                {words}
            </option>
        }
    });
    let shown = shown.collect_view();
    view! {
        <div class="field">
            <span class=if unseen { "unseen" } else { "small soft" } aria-hidden="true">{label.clone()}</span>
            <select aria-label=label prop:value=now on:change=take>
                {shown}
            </select>
            <Refusal problem />
        </div>
    }
}

/// A value as the text of a field.
pub fn as_text<T: Display>(value: Option<&T>) -> String {
    value.map(T::to_string).unwrap_or_default()
}
