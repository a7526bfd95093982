//! Passphrases: one for a copy that is to be sealed, and the one of a sealed file that was opened.

use leptos::prelude::*;
use leptos::task::spawn_local;

use super::bench::{Bench, SealedFile};
use crate::exchange::sealed::FEWEST_LETTERS;
use crate::platform::files::Picked;
use crate::platform::sealer;

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

    pub fn clear(self) {
        self.first.set(String::new());
        self.again.set(String::new());
    }
}

/// The choice to seal a copy. Left empty, it is not sealed.
#[component]
pub fn SealWithPassphrase(passphrase: NewPassphrase) -> impl IntoView {
    let NewPassphrase { first, again } = passphrase;
    view! {
        <details class="card">
            <summary>"Seal the copy with a passphrase"</summary>
            <div class="stack">
                <p class="small">
                    "A sealed copy can only be read with its passphrase. Four words that do not belong together are a good one. "
                    <strong>"If you forget it, nobody can open the copy: not you, not us."</strong>
                </p>
                <PassphraseField label="Passphrase" value=first kind=Kind::New />
                <PassphraseField label="The same passphrase again" value=again kind=Kind::New />
            </div>
        </details>
    }
}

/// Asks for the passphrase of the sealed file that was opened.
#[component]
pub fn SealedToOpen(bench: Bench) -> impl IntoView {
    let first = Memo::new(move |_| bench.sealed.with(|waiting| waiting.first().cloned()));
    move || first.get().map(|file| view! { <OneSealed bench file /> })
}

#[component]
fn OneSealed(bench: Bench, file: SealedFile) -> impl IntoView {
    let passphrase = RwSignal::new(String::new());
    let opening = RwSignal::new(false);
    let problem = RwSignal::new(None::<String>);
    let name = format!("\"{}\" is sealed with a passphrase.", file.name);
    let file = StoredValue::new(file);
    let put_away =
        move || bench.sealed.update(|waiting| waiting.retain(|one| *one != file.get_value()));
    let open = move |event: leptos::ev::SubmitEvent| {
        event.prevent_default();
        if opening.get_untracked() {
            return;
        }
        opening.set(true);
        problem.set(None);
        let (sealed, passphrase) = (file.get_value(), passphrase.get_untracked());
        spawn_local(async move {
            let opened = sealer::open(&sealed.text, &passphrase).await;
            match opened {
                Ok(text) => {
                    put_away();
                    bench.open(vec![Picked { name: sealed.name, text: Ok(text) }]);
                }
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
            <button type="button" class="button quiet" on:click=move |_| put_away()>"Not now"</button>
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
