//! The figure of an exercise: a still, or moving in its tempo. It says nothing that the words beside it do not, so
//! a screen reader passes over it; with less motion wanted it stands still.

use std::rc::Rc;
use std::time::Duration;

use leptos::html::Canvas;
use leptos::prelude::*;
use leptos::task::spawn_local;

use super::later::{Coming, when_idle};
use crate::domain::plan::dose::{Side, Sides};
use crate::domain::plan::ladder::{Foothold, RungNumber};
use crate::domain::plan::routine::Exercise;
use crate::domain::session::runner::Moment;
use crate::platform::{clock, files, screen};

const FIGURES: &str = "figures.json";
/// A frame is painted so often at most.
const FRAME: Duration = Duration::from_millis(33);
/// How long a figure that shows its movement over and over rests between two reps.
const BETWEEN: Duration = Duration::from_millis(700);

/// Where in a rep a figure is.
#[derive(Clone, Copy, Debug, PartialEq)]
pub struct InRep {
    /// Which phase of the tempo, from 0.
    pub phase: usize,
    /// How much of it is over, 0 to 1.
    pub share: f64,
    pub side: Option<Side>,
}

/// How a figure is shown.
#[derive(Clone, Copy, Debug)]
pub enum Shown {
    /// As it begins.
    Still,
    /// As it begins, and at the other end of its movement.
    BothEnds,
    /// Over and over, in its tempo, until it is tapped.
    OverAndOver,
    /// As a set under way.
    With(Signal<Option<InRep>>),
}

/// An exercise on a rung.
#[derive(Clone, Debug)]
pub struct Posed {
    pub exercise: Exercise,
    pub rung: RungNumber,
}

/// What draws figures, once it is there.
pub trait Studio {
    /// None, where it has no figure of an exercise.
    fn show(&self, posed: &Posed, shown: Shown) -> Option<AnyView>;
}

/// Reads the figures that ship.
pub type Open = fn(&str) -> Option<Rc<dyn Studio>>;

/// The figures, as far as they are there: fetched when the first is to be shown.
#[derive(Clone, Copy)]
pub struct Gallery {
    ask: fn() -> Coming<Open>,
    studio: RwSignal<Option<Rc<dyn Studio>>, LocalStorage>,
    is_coming: StoredValue<bool>,
    /// Whether all else comes first.
    comes_last: bool,
}

impl Gallery {
    pub fn new(ask: fn() -> Coming<Open>) -> Self {
        Self {
            ask,
            studio: RwSignal::new_local(None),
            is_coming: StoredValue::new(false),
            comes_last: false,
        }
    }

    /// Figures that come once the page has nothing else to do.
    pub fn that_comes_last(ask: fn() -> Coming<Open>) -> Self {
        Self { comes_last: true, ..Self::new(ask) }
    }

    /// Has them fetched, where they are not there and not on their way.
    pub fn fetch(self) {
        if self.is_coming.get_value() || self.studio.with_untracked(Option::is_some) {
            return;
        }
        self.is_coming.set_value(true);
        if self.comes_last {
            when_idle(move || self.ask_for_them());
        } else {
            self.ask_for_them();
        }
    }

    fn ask_for_them(self) {
        spawn_local(async move {
            let (open, text) = ((self.ask)().await, files::shipped(FIGURES).await);
            let studio = open.ok().zip(text).and_then(|(open, text)| open(&text));
            // What did not arrive is asked for again by the next screen that shows one.
            self.is_coming.try_set_value(false);
            self.studio.try_set(studio);
        });
    }
}

/// The figure of an exercise on a rung; nothing, where there is none, or not yet.
#[component]
pub fn Figure(exercise: Exercise, rung: RungNumber, shown: Shown) -> impl IntoView {
    let gallery = use_context::<Gallery>()?;
    gallery.fetch();
    let posed = Posed { exercise, rung };
    // Many stills on one page come one after the other.
    let is_due = RwSignal::new(!matches!(shown, Shown::Still));
    if !is_due.get_untracked() {
        when_idle(move || {
            is_due.try_set(true);
        });
    }
    Some(move || match gallery.studio.get().filter(|_| is_due.get()) {
        Some(studio) => studio.show(&posed, shown),
        // What stands around a small one keeps its place.
        None => matches!(shown, Shown::Still)
            .then(|| view! { <div class="poses" aria-hidden="true"></div> }.into_any()),
    })
}

/// The side that a still shows.
fn first_side(sides: Sides) -> Side {
    match sides {
        Sides::Left | Sides::InTurn | Sides::OneAfterTheOther => Side::Left,
        Sides::Right | Sides::Together => Side::Right,
    }
}

pub mod drawn {
    //! What draws them, apart from what asks for it, so that it can come later.

    use std::cell::{Cell, RefCell};
    use std::collections::BTreeMap;

    use super::{
        BETWEEN, Canvas, Duration, Exercise, FRAME, Foothold, InRep, Moment, Posed, Rc, Shown,
        Studio, clock, first_side, screen,
    };
    use crate::domain::plan::dose::{Side, Tempo};
    use crate::domain::plan::figure::data::Figures;
    use crate::domain::plan::figure::draw::{Look, bounds, draw};
    use crate::domain::plan::figure::film::Film;
    use crate::domain::plan::figure::flesh::Build;
    use crate::domain::plan::figure::shape::{Bounds, Ink, Role, Shape};
    use crate::domain::plan::figure::skeleton;
    use crate::domain::plan::figure::svg;
    use crate::platform::canvas::Surface;
    use crate::ui::text::components::figure as text;
    use leptos::prelude::*;

    /// How much thicker the lines of a small figure are.
    const SMALL_LINES: f64 = 1.5;

    thread_local! {
        /// Keeps the washes of several figures on one page apart.
        static NAMES: Cell<u32> = const { Cell::new(0) };
    }

    struct Shipped {
        figures: Figures,
        /// What was shown before, so that no pose is found twice.
        films: RefCell<BTreeMap<(String, u16), Rc<Film>>>,
    }

    /// Reads the figures that ship; none, where the file is none of ours.
    pub fn open(file: &str) -> Option<Rc<dyn Studio>> {
        let figures = Figures::parse(file).ok()?;
        Some(Rc::new(Shipped { figures, films: RefCell::default() }))
    }

    impl Shipped {
        fn film(&self, posed: &Posed) -> Option<Rc<Film>> {
            let id = posed.exercise.id.as_str();
            // A copy of an exercise has a number behind its name.
            let base = id.rsplit_once('-').filter(|(_, number)| number.parse::<u16>().is_ok());
            let help = &posed.exercise.ladder.rung(posed.rung).help;
            let drawn =
                |id: &str| Some((id.to_owned(), self.figures.drawn_for(id, help.as_str())?));
            let key = drawn(id).or_else(|| drawn(base?.0))?;
            if let Some(film) = self.films.borrow().get(&key) {
                return Some(Rc::clone(film));
            }
            let film = Rc::new(Film::of(self.figures.figure(&key.0, key.1)?.ok()?));
            self.films.borrow_mut().insert(key, Rc::clone(&film));
            Some(film)
        }
    }

    impl Studio for Shipped {
        fn show(&self, posed: &Posed, shown: Shown) -> Option<AnyView> {
            let film = self.film(posed)?;
            let scene = Scene::of(film, posed);
            Some(match shown {
                Shown::Still => scene.still(&[0.0]),
                Shown::BothEnds => scene.still(&[0.0, 1.0]),
                Shown::OverAndOver | Shown::With(_) if screen::less_motion_is_wanted() => {
                    scene.still(&[0.0, 1.0])
                }
                Shown::OverAndOver => scene.over_and_over(),
                Shown::With(now) => scene.with(now),
            })
        }
    }

    /// A film with the tempo that it moves in.
    struct Scene {
        film: Rc<Film>,
        tempo: Tempo,
        side: Side,
    }

    impl Scene {
        fn of(film: Rc<Film>, posed: &Posed) -> Self {
            let Exercise { dose, ladder, .. } = &posed.exercise;
            let dose = Foothold::on(posed.rung).dose(dose, ladder);
            Self { film, tempo: dose.tempo, side: first_side(dose.sides) }
        }

        fn look(&self, side: Side) -> Look {
            let figure = &self.film.motion().figure;
            let side = match side {
                Side::Left => skeleton::Side::Left,
                Side::Right => skeleton::Side::Right,
            };
            Look::of(figure, figure.view, Build::Average, side)
        }

        /// What all of a rep reaches over.
        fn bounds(&self, side: Side) -> Option<Bounds> {
            let ends = (0..self.tempo.phases().len())
                .flat_map(|phase| [0.0, 1.0].map(|share| self.film.at(&self.tempo, phase, share)));
            bounds(ends, &self.film.motion().figure, self.look(side))
        }

        /// Stills of the first phase: one alone is small, and as large as the body lets it be.
        fn still(&self, shares: &[f64]) -> AnyView {
            let figure = &self.film.motion().figure;
            let mut look = self.look(self.side);
            if shares.len() == 1 {
                look.line *= SMALL_LINES;
            }
            let drawn_at =
                |share: &f64| draw(&self.film.at(&self.tempo, 0, *share), &figure.props, look);
            let bounds = match shares {
                [share] if figure.near.is_none() => {
                    let body: Vec<Shape> =
                        drawn_at(share).into_iter().filter(|shape| is_body(&shape.ink)).collect();
                    Bounds::of(&body).map(|bounds| bounds.wider(4.0))
                }
                _ => self.bounds(self.side),
            };
            let Some(bounds) = bounds else { return ().into_any() };
            let one = |share: &f64| {
                let drawing = drawn_at(share);
                let palette = |role: Role| format!("var(--{})", role.token());
                let name = NAMES.with(|names| format!("figure{}-", names.replace(names.get() + 1)));
                let drawn = svg::elements(&drawing, &palette, &name);
                let view_box = format!(
                    "{:.1} {:.1} {:.1} {:.1}",
                    bounds.least.x,
                    bounds.least.y,
                    bounds.width(),
                    bounds.height()
                );
                view! { <svg class="pose still" viewBox=view_box aria-hidden="true" inner_html=drawn></svg> }
            };
            let all = shares.iter().map(one).collect_view();
            view! { <div class="poses" aria-hidden="true">{all}</div> }.into_any()
        }

        fn with(self, now: Signal<Option<InRep>>) -> AnyView {
            let canvas = NodeRef::<Canvas>::new();
            let first = InRep { phase: 0, share: 0.0, side: None };
            self.paint(canvas, move |_| now.get_untracked().unwrap_or(first));
            view! { <canvas class="pose moving" aria-hidden="true" node_ref=canvas></canvas> }
                .into_any()
        }

        fn over_and_over(self) -> AnyView {
            let canvas = NodeRef::<Canvas>::new();
            let lengths: Vec<Duration> = self
                .tempo
                .phases()
                .iter()
                .map(|phase| Duration::from_secs(phase.secs.get().into()))
                .collect();
            // The time that it has moved, and since when it moves; none while it stands.
            let moved = StoredValue::new(Duration::ZERO);
            let since = RwSignal::new(Some(clock::moment()));
            let tap = move |_| {
                let now = clock::moment();
                since.update(|since| match since.take() {
                    Some(start) => moved.update_value(|moved| *moved += now.since(start)),
                    None => *since = Some(now),
                });
            };
            self.paint(canvas, move |now| {
                let running =
                    since.get_untracked().map_or(Duration::ZERO, |start| now.since(start));
                in_rep(&lengths, moved.get_value() + running)
            });
            let label = move || {
                if since.get().is_some() { text::STAND_STILL } else { text::MOVE }
            };
            view! {
                <button type="button" class="pose-button" aria-label=label on:click=tap>
                    <canvas class="pose moving" aria-hidden="true" node_ref=canvas></canvas>
                </button>
            }
            .into_any()
        }

        /// Paints frame by frame for as long as the canvas is there. What has not changed is not painted again.
        fn paint(self, canvas: NodeRef<Canvas>, place: impl Fn(Moment) -> InRep + 'static) {
            let is_over = StoredValue::new(false);
            on_cleanup(move || is_over.set_value(true));
            let mut surface = None;
            let mut painted: Option<(Moment, InRep)> = None;
            let mut reach: Option<(Side, Bounds)> = None;
            each_frame(move || {
                if is_over.try_get_value() != Some(false) {
                    return false;
                }
                let now = clock::moment();
                let here = place(now);
                let is_due = painted.is_none_or(|(at, was)| was != here && FRAME <= now.since(at));
                if !is_due {
                    return true;
                }
                let Some(element) = canvas.get_untracked() else { return true };
                if painted.is_none_or(|(_, was)| was.phase != here.phase) {
                    element.dataset().set("phase", &here.phase.to_string()).ok();
                }
                if surface.is_none() {
                    surface = Surface::on(element);
                }
                // Where text is large or the screen low, it has no room, and nothing is worked out for it.
                if !surface.as_ref().is_some_and(Surface::is_seen) {
                    return true;
                }
                let side = here.side.unwrap_or(self.side);
                if reach.is_none_or(|(of, _)| of != side) {
                    reach = self.bounds(side).map(|bounds| (side, bounds));
                }
                if let (Some(surface), Some((_, bounds))) = (&surface, reach) {
                    let moment = self.film.at(&self.tempo, here.phase, here.share);
                    let props = &self.film.motion().figure.props;
                    surface.paint(&draw(&moment, props, self.look(side)), bounds);
                    painted = Some((now, here));
                }
                true
            });
        }
    }

    const fn is_body(ink: &Ink) -> bool {
        let (Ink::Fill(role) | Ink::Stroke { role, .. } | Ink::Wash { role, .. }) = ink;
        matches!(role, Role::Body | Role::BodyLine | Role::Far | Role::FarLine)
    }

    /// Where in a rep a figure is that has moved for so long, with a rest between two reps.
    fn in_rep(lengths: &[Duration], moved: Duration) -> InRep {
        let whole: Duration = lengths.iter().sum::<Duration>() + BETWEEN;
        let mut left = moved.as_secs_f64() % whole.as_secs_f64().max(0.1);
        for (phase, length) in lengths.iter().enumerate() {
            let length = length.as_secs_f64();
            if left < length {
                return InRep { phase, share: left / length, side: None };
            }
            left -= length;
        }
        InRep { phase: lengths.len().saturating_sub(1), share: 1.0, side: None }
    }

    /// Calls something before each frame, until it says that it is over.
    fn each_frame(mut frame: impl FnMut() -> bool + 'static) {
        request_animation_frame(move || {
            if frame() {
                each_frame(frame);
            }
        });
    }
}
