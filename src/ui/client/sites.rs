//! Where it hurt, of the places that the practitioner named.

use leptos::prelude::*;

use crate::domain::words::Words;
use crate::ui::text::client::sites as text;

/// The named places; a second tap on the chosen one chooses none.
#[component]
pub fn SiteChoice(
    names: Vec<Words>,
    #[prop(into)] chosen: Signal<Option<Words>>,
    on_choose: Callback<Option<Words>>,
) -> impl IntoView {
    let chip = move |name: Words| {
        let shown = name.to_string();
        let of = name.clone();
        let is_chosen = move || chosen.with(|chosen| chosen.as_ref() == Some(&of));
        let is_pressed = is_chosen.clone();
        let choose = move |_| on_choose.run(if is_chosen() { None } else { Some(name.clone()) });
        view! {
            <button type="button" class="chip" aria-pressed=move || is_pressed().to_string() on:click=choose>
                {shown}
            </button>
        }
    };
    view! {
        <div class="chips" role="group" aria-label=text::WHERE_DID_IT_HURT>
            <span class="small soft" aria-hidden="true">{text::WHERE}</span>
            {names.into_iter().map(chip).collect_view()}
        </div>
    }
}
