//! The day of a client's next visit: for the order of the caseload, on this device alone.

use leptos::prelude::*;

use crate::domain::words::Id;
use crate::ui::practice::fields::DayField;
use crate::ui::practice::live_caseload::use_caseload;
use crate::ui::text::practice::caseload::client as text;

#[component]
pub fn NextVisit(id: Id) -> impl IntoView {
    let caseload = use_caseload();
    let of = id.clone();
    let day = Memo::new(move |_| caseload.read(|caseload| caseload.client(&of))?.next_visit);
    let set = Callback::new(move |day| {
        caseload.change_client(&id, |client| client.next_visit = day);
    });
    view! { <DayField label=text::NEXT_VISIT value=day on_change=set /> }
}
