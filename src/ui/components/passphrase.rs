//! Passphrases: one for what is to be sealed, and the one of a sealed file that was opened.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::sealed::FEWEST_LETTERS;
use crate::platform::sealer;

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
            Err("The two passphrases are not the same. Nothing was saved.".to_owned())
        } else if first.is_empty() {
            Ok(None)
        } else if first.chars().count() < FEWEST_LETTERS {
            Err(format!(
                "The passphrase is too short: it takes at least {FEWEST_LETTERS} letters. Nothing was saved."
            ))
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
    #[prop(default = "copy")]
    what: &'static str,
) -> impl IntoView {
    let NewPassphrase { first, again } = passphrase;
    view! {
        <details class="card">
            <summary>{format!("Seal the {what} with a passphrase")}</summary>
            <div class="stack">
                <p class="small">
                    {format!("A sealed {what} can only be read with its passphrase. Four words that do not belong together are a good one. ")}
                    <strong>{format!("If you forget it, nobody can open the {what}: not you, not us.")}</strong>
                </p>
                <PassphraseField label="Passphrase" value=first kind=Kind::New />
                <PassphraseField label="The same passphrase again" value=again kind=Kind::New />
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
    let name = format!("\"{}\" is sealed with a passphrase.", file.name);
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
                Ok(text) => on_open.run(text),
                Err(why) => {
                    problem
                        .set(Some(format!("It could not be opened: {why}. Nothing was changed.")));
                    opening.set(false);
                }
            }
        });
    };
    view! {
        <form class="card stack" on:submit=open>
            <h2>"Open this sealed file?"</h2>
            <p>{name}</p>
            <PassphraseField label="Its passphrase" value=passphrase kind=Kind::Known />
            <p role="alert" class="refusal small">{move || problem.get()}</p>
            <button type="submit" class="button" disabled=move || opening.get()>
                {move || if opening.get() { "Opening…" } else { "Open it" }}
            </button>
            <button type="button" class="button quiet" on:click=move |_| on_leave.run(())>"Not now"</button>
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
                aria-label=format!("Show: {label}")
                aria-pressed=move || seen.get().to_string()
                on:click=move |_| seen.update(|seen| *seen = !*seen)
            >
                "Show"
            </button>
        </div>
    }
}
