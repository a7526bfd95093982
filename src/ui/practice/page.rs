//! The frame of a practitioner's page, and the client it is about.

use leptos::prelude::*;
use leptos_router::components::A;
use leptos_router::hooks::use_params_map;

use super::live_caseload::use_caseload;
use crate::domain::words::Id;
use crate::platform::address::at;
use crate::platform::focus;
use crate::ui::components::saved::{SavedMark, UnsavedNotice};
use crate::ui::components::screen::{TITLE, use_frame};
use crate::ui::saving::use_saver;
use crate::ui::text::practice::caseload::list;
use crate::ui::text::practice::page as text;

#[component]
pub fn Page(
    #[prop(into)] title: Signal<String>,
    /// Where the way back leads, and what it is called.
    #[prop(into)]
    back: String,
    #[prop(into)] back_to: String,
    children: Children,
    #[prop(optional)] foot: Option<Children>,
) -> impl IntoView {
    let frame = use_frame();
    let saver = use_saver();
    let hidden =
        window_event_listener(leptos::ev::visibilitychange, |_| focus::take_what_is_typed());
    let left = window_event_listener(leptos::ev::pagehide, |_| focus::take_what_is_typed());
    on_cleanup(move || {
        hidden.remove();
        left.remove();
        saver.typed(false);
    });
    view! {
        <main
            class="screen wide practice"
            node_ref=frame
            tabindex="-1"
            aria-labelledby=TITLE
            on:input=move |event| if focus::is_of_a_field(&event) { saver.typed(true) }
            on:change=move |_| saver.typed(false)
        >
            <div class="screen-body">
                <header class="unprinted">
                    <div class="spread">
                        <A href=at(&back)>{back_to}</A>
                        <SavedMark />
                    </div>
                    <h1 id=TITLE>{title}</h1>
                </header>
                <UnsavedNotice />
                {children()}
            </div>
            {foot.map(|foot| view! { <div class="screen-foot">{foot()}</div> })}
        </main>
    }
}

/// The client whom the address names.
pub fn use_client_id() -> Option<Id> {
    use_id("client")
}

/// A page about the client whom the address names, or the word that there is none such here. From one client's
/// page to the same page of another it begins anew.
pub fn about_client<V: IntoView + 'static>(page: impl Fn(Id) -> V + Send + 'static) -> AnyView {
    let caseload = use_caseload();
    let params = use_params_map();
    let named = Memo::new(move |_| Id::new(&params.read().get("client")?).ok());
    let is_known = move |id: &Id| caseload.read_now(|caseload| caseload.client(id)).is_some();
    let shown = move || match named.get().filter(is_known) {
        Some(id) => page(id).into_any(),
        None => view! { <NotInCaseload /> }.into_any(),
    };
    shown.into_any()
}

/// An id that the address names.
pub fn use_id(name: &'static str) -> Option<Id> {
    Id::new(&use_params_map().read_untracked().get(name)?).ok()
}

/// The address of a client's page, or of one below it.
pub fn address(client: &Id, below: &str) -> String {
    let client = client.as_str();
    if below.is_empty() {
        format!("/practice/client/{client}")
    } else {
        format!("/practice/client/{client}/{below}")
    }
}

/// Shown where an address names what is not in the caseload.
#[component]
pub fn NotInCaseload() -> impl IntoView {
    view! {
        <Page title=text::NOT_IN_CASELOAD.to_owned() back="/practice" back_to=list::TITLE>
            <p>{text::MAY_BE_ERASED}</p>
        </Page>
    }
}
