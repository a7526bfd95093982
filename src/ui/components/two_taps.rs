//! What cannot be undone takes two taps, the second on words that say what goes.

use leptos::prelude::*;

use crate::platform::focus;

#[component]
pub fn TwoTaps(
    /// What the ids in it begin with.
    stem: &'static str,
    /// The button that only asks.
    ask: &'static str,
    #[prop(default = "button quiet")] ask_class: &'static str,
    #[prop(default = "stack")] class: &'static str,
    yes: &'static str,
    no: &'static str,
    #[prop(default = "button quiet")] no_class: &'static str,
    on_yes: Callback<()>,
    /// What goes.
    children: ChildrenFn,
) -> impl IntoView {
    let asked = RwSignal::new(false);
    let (asking, said) = (format!("{stem}-ask"), format!("{stem}-asked"));
    let (ask_id, said_id) = (asking.clone(), said.clone());
    let turn = move |is_asked: bool, to: &str| {
        asked.set(is_asked);
        focus::go_to([to.to_owned()]);
    };
    let on_ask = move |_| turn(true, &said);
    let on_no = move |_| turn(false, &asking);
    view! {
        <Show
            when=move || asked.get()
            fallback=move || {
                view! {
                    <button type="button" class=ask_class id=ask_id.clone() on:click=on_ask.clone()>
                        {ask}
                    </button>
                }
            }
        >
            <section class=class>
                <div class="stack" id=said_id.clone() tabindex="-1">
                    {children()}
                </div>
                <button type="button" class="button stop" on:click=move |_| on_yes.run(())>
                    {yes}
                </button>
                <button type="button" class=no_class on:click=on_no.clone()>
                    {no}
                </button>
            </section>
        </Show>
    }
}
