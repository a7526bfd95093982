//! The camera's picture, and the codes it reads: one code, or a sequence of them in any order.

use leptos::prelude::*;
use leptos::task::spawn_local;

use crate::exchange::frames::{Collector, Taken};
use crate::platform::camera::{Camera, NoCamera};
use crate::ui::text::components::camera as text;
use crate::ui::text::refusals::InWords;

/// How far a sequence has been read.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Progress {
    Nothing,
    Seen { frames: usize, of: usize },
    Foreign,
    Damaged,
}

/// Opens the camera at once, so it belongs behind a tap.
#[component]
pub fn CodeCamera(
    /// What to do where there is no camera: "ask for the routine as a file".
    way_out: &'static str,
    /// Tells whether a code that is no frame is one to take all the same.
    is_ours: fn(&str) -> bool,
    /// Gets the text of a whole sequence, or of a single code that is ours.
    on_text: Callback<String>,
) -> impl IntoView {
    let video = NodeRef::<leptos::html::Video>::new();
    let progress = RwSignal::new(Progress::Nothing);
    let problem = RwSignal::new(None::<NoCamera>);
    let is_open = StoredValue::new(());
    Effect::new(move || {
        let Some(video) = video.get() else { return };
        spawn_local(async move {
            let mut collector = Collector::default();
            let mut camera = match Camera::open(&video).await {
                Ok(camera) => camera,
                Err(error) => {
                    problem.try_set(Some(error));
                    return;
                }
            };
            loop {
                let codes = match camera.read().await {
                    Ok(codes) => codes,
                    Err(error) => {
                        problem.try_set(Some(error));
                        return;
                    }
                };
                // The view may have been closed meanwhile.
                if is_open.try_get_value().is_none() {
                    return;
                }
                for code in codes {
                    let seen = match collector.take(&code) {
                        Taken::Whole(whole) => return on_text.run(whole),
                        Taken::Foreign if is_ours(&code) => return on_text.run(code),
                        Taken::Foreign => Progress::Foreign,
                        Taken::Seen { frames, of } => Progress::Seen { frames, of },
                        Taken::Damaged => Progress::Damaged,
                    };
                    progress.maybe_update(|before| std::mem::replace(before, seen) != seen);
                }
            }
        });
    });
    let said = move || match progress.get() {
        Progress::Nothing => text::KEEP_IN_FRAME.to_owned(),
        Progress::Seen { frames, of } => text::seen(frames, of),
        Progress::Foreign => text::FOREIGN.to_owned(),
        Progress::Damaged => text::DAMAGED.to_owned(),
    };
    move || {
        match problem.get() {
        None => view! {
            <div class="camera stack">
                <video node_ref=video autoplay playsinline prop:muted=true aria-label=text::WHAT_IT_SEES />
                <p class="num lead" role="status">{said}</p>
            </div>
        }
        .into_any(),
        Some(problem) => view! {
            <p class="problem" role="alert">{problem.in_words()} " " {way_out}</p>
        }
        .into_any(),
    }
    }
}
