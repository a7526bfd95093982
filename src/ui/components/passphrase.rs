//! Passphrases: one for what is to be sealed, and the one of a sealed file that was opened.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::sealed::FEWEST_LETTERS;
use crate::platform::sealer;
use crate::ui::text::components::passphrase as text;
use crate::ui::text::refusals::InWords;

/// A sealed file that waits for its passphrase.
#[derive(Clone, Debug, PartialEq, Eq)]
pub struct SealedFile {
    pub name: String,
    pub text: String,
}

/// A passphrase in the making, entered twice.
#[derive(Clone, Copy)]
pub struct NewPassphrase {
    first: RwSignal<String>,
    again: RwSignal<String>,
}

impl NewPassphrase {
    pub fn empty() -> Self {
        Self { first: RwSignal::new(String::new()), again: RwSignal::new(String::new()) }
    }

    pub fn is_begun(self) -> bool {
        self.first.with(|first| !first.is_empty()) || self.again.with(|again| !again.is_empty())
    }

    /// The passphrase, `None` where none is wanted, or why it is not taken.
    pub fn agreed(self) -> Result<Option<String>, String> {
        let (first, again) = (self.first.get_untracked(), self.again.get_untracked());
        if first != again {
            Err(text::NOT_THE_SAME.to_owned())
        } else if first.is_empty() {
            Ok(None)
        } else if first.chars().count() < FEWEST_LETTERS {
            Err(text::too_short(FEWEST_LETTERS))
        } else {
            Ok(Some(first))
        }
    }

    /// Follows what is entered.
    pub fn entered(self) -> (String, String) {
        (self.first.get(), self.again.get())
    }

    pub fn clear(self) {
        self.first.set(String::new());
        self.again.set(String::new());
    }
}

/// The choice to seal what leaves the device. Left empty, it is not sealed.
#[component]
pub fn SealWithPassphrase(
    passphrase: NewPassphrase,
    /// What is sealed: "copy", or "log".
    #[prop(default = text::COPY)]
    what: &'static str,
) -> impl IntoView {
    let NewPassphrase { first, again } = passphrase;
    view! {
        <details class="card">
            <summary>{text::seal(what)}</summary>
            <div class="stack">
                <p class="small">
                    {text::needs_its_passphrase(what)} " "
                    <strong>{text::if_forgotten(what)}</strong>
                </p>
                <PassphraseField label=text::PASSPHRASE value=first kind=Kind::New />
                <PassphraseField label=text::THE_SAME_AGAIN value=again kind=Kind::New />
            </div>
        </details>
    }
}

/// Asks for the passphrase of a sealed file that was opened.
#[component]
pub fn OpenSealed(
    file: SealedFile,
    /// Gets the text that was sealed.
    on_open: Callback<String>,
    on_leave: Callback<()>,
) -> impl IntoView {
    let passphrase = RwSignal::new(String::new());
    let opening = RwSignal::new(false);
    let problem = RwSignal::new(None::<String>);
    let name = text::is_sealed(&file.name);
    let sealed = StoredValue::new(file.text);
    let open = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        if opening.get_untracked() {
            return;
        }
        opening.set(true);
        problem.set(None);
        let (sealed, passphrase) = (sealed.get_value(), passphrase.get_untracked());
        spawn_local(async move {
            let opened = sealer::open(&sealed, &passphrase).await;
            match opened {
                Ok(content) => on_open.run(content),
                Err(why) => {
                    problem.set(Some(text::not_opened(&why.in_words())));
                    opening.set(false);
                }
            }
        });
    };
    view! {
        <form class="card stack" on:submit=open>
            <h2>{text::OPEN_SEALED_FILE}</h2>
            <p>{name}</p>
            <PassphraseField label=text::ITS_PASSPHRASE value=passphrase kind=Kind::Known />
            <p role="alert" class="refusal small">{move || problem.get()}</p>
            <button type="submit" class="button" disabled=move || opening.get()>
                {move || if opening.get() { text::OPENING } else { text::OPEN_IT }}
            </button>
            <button type="button" class="button quiet" on:click=move |_| on_leave.run(())>{text::NOT_NOW}</button>
        </form>
    }
}

/// Whether the device is to offer keeping the passphrase, or one that it has kept.
#[derive(Clone, Copy, Debug, PartialEq, Eq)]
enum Kind {
    New,
    Known,
}

/// A passphrase: hidden from who looks over the shoulder, until it is asked for.
#[component]
fn PassphraseField(label: &'static str, value: RwSignal<String>, kind: Kind) -> impl IntoView {
    let seen = RwSignal::new(false);
    let autocomplete = match kind {
        Kind::New => "new-password",
        Kind::Known => "current-password",
    };
    view! {
        <div class="row add">
            <label class="field grow">
                <span class="small soft">{label}</span>
                <input
                    type=move || if seen.get() { "text" } else { "password" }
                    autocomplete=autocomplete
                    autocapitalize="none"
                    spellcheck="false"
                    prop:value=value
                    on:input=move |event| value.set(event_target_value(&event))
                />
            </label>
            <button
                type="button"
                class="chip"
                aria-label=text::show(label)
                aria-pressed=move || seen.get().to_string()
                on:click=move |_| seen.update(|seen| *seen = !*seen)
            >
                {text::SHOW}
            </button>
        </div>
    }
}
