//! The pain rating: one tap, never preselected.

use leptos::prelude::*;

use crate::domain::pain::PainRating;
use crate::ui::text::components::scale as text;

/// Eleven buttons with both ends in words. They are buttons rather than radios, so that moving
/// along them by keyboard gives no rating that was not meant.
#[component]
pub fn PainScale(
    /// The question, for those who do not see it above.
    label: String,
    #[prop(into)] chosen: Signal<Option<PainRating>>,
    on_rate: Callback<PainRating>,
) -> impl IntoView {
    let button = move |rating: PainRating| {
        let is_chosen = move || chosen.get() == Some(rating);
        view! {
            <button
                type="button"
                class="scale-point"
                aria-pressed=move || is_chosen().to_string()
                on:click=move |_| on_rate.run(rating)
            >
                {rating.points()}
            </button>
        }
    };
    view! {
        <div class="scale-box" role="group" aria-label=label>
            <div class="scale">{PainRating::all().map(button).collect_view()}</div>
            <p class="scale-ends">
                <span>{text::NO_PAIN}</span>
                <span>{text::WORST}</span>
            </p>
        </div>
    }
}
