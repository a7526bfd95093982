//! One exercise as a picture: pain during and on the next morning against days, over the zones, with the
//! rung below. The table of days has the same numbers for those who do not see it.

use std::sync::Arc;

use chrono::{Datelike, NaiveDate, Weekday};
use leptos::html::Div;
use leptos::prelude::*;

use crate::domain::log::course::{AnsweredMorning, Course};
use crate::domain::log::history::History;
use crate::domain::pain::PainRating;
use crate::domain::plan::limits::{Limits, Zone};
use crate::domain::visit::differences::{Difference, differences};
use crate::domain::visit::readings::{Series, during, next_mornings, sites};
use crate::domain::visit::review::{DayDone, ExerciseReview, Review};
use crate::domain::words::Words;
use crate::platform::screen;
use crate::ui::components::later::when_idle;
use crate::ui::text::practice::visit::{plot as text, strip};
use crate::ui::text::trend as words;
use crate::ui::text::{capitalised, dates, verdict};

const LEFT: f64 = 30.0;
const RIGHT: f64 = 46.0;
const TOP: f64 = 8.0;
const POINT: f64 = 15.0;
/// The row of marks under the pain.
const MARKS: f64 = TOP + 10.0 * POINT + 18.0;
const RUNGS: f64 = MARKS + 16.0;
const RUNG: f64 = 13.0;
const MOST_LABELS: f64 = 9.0;
/// Where in the column of its day something stands: a morning before an evening.
const MORNING: f64 = 0.25;
const EVENING: f64 = 0.7;

/// Where days and points stand in the picture, in its own units.
#[derive(Clone, Copy)]
struct Frame {
    from: NaiveDate,
    days: f64,
    step: f64,
}

impl Frame {
    fn of(from: NaiveDate, to: NaiveDate) -> Self {
        let days = f64::from(i32::try_from((to - from).num_days() + 1).unwrap_or(1).max(1));
        Self { from, days, step: (216.0 / days).clamp(7.0, 24.0) }
    }

    fn x(self, day: NaiveDate, part: f64) -> f64 {
        let days = i32::try_from((day - self.from).num_days()).unwrap_or_default();
        LEFT + (f64::from(days) + part) * self.step
    }

    fn right(self) -> f64 {
        LEFT + self.days * self.step
    }

    fn width(self) -> f64 {
        self.right() + RIGHT
    }
}

fn y(points: u8) -> f64 {
    TOP + f64::from(10 - points.min(10)) * POINT
}

/// What is drawn of one exercise.
struct Drawn {
    frame: Frame,
    during: Series,
    /// The next mornings of training days, and the mornings after other days.
    mornings: Series,
    other_mornings: Series,
    marks: Marks,
}

impl Drawn {
    fn of(exercise: &ExerciseReview, review: &Review, history: &History) -> Self {
        let course = history.course(&exercise.exercise.id);
        let mornings = next_mornings(exercise);
        let is_other = |morning: &&AnsweredMorning| {
            (review.from..=review.to).contains(&morning.date)
                && mornings.binary_search_by_key(&morning.date, |(date, _)| *date).is_err()
        };
        let all = course.map(Course::mornings).unwrap_or_default().iter();
        let other_mornings =
            all.filter(is_other).map(|morning| (morning.date, morning.rating)).collect();
        Self {
            frame: Frame::of(review.from, review.to),
            during: during(exercise),
            mornings,
            other_mornings,
            marks: Marks::of(exercise, course.map(Course::limits)),
        }
    }
}

/// The sites that ratings name, in the order in which the practitioner set them; each has a mark of its own.
pub struct Marks(Vec<Option<Words>>);

/// A mark: where its line begins, seen from its centre, and how it goes on from there.
#[derive(Clone, Copy, Debug, PartialEq)]
struct Shape(f64, f64, &'static str);

impl Shape {
    fn at(self, (x, y): (f64, f64)) -> String {
        format!("M{:.1} {:.1}{}", x + self.0, y + self.1, self.2)
    }
}

/// One for each of six sites and for none named.
const SHAPES: [Shape; 7] = [
    Shape(-3.6, 0.0, "a3.6 3.6 0 1 0 7.2 0a3.6 3.6 0 1 0 -7.2 0z"),
    Shape(0.0, -5.2, "l5.2 5.2l-5.2 5.2l-5.2 -5.2z"),
    Shape(-5.0, -4.0, "h10l-5 9z"),
    Shape(-1.4, -5.0, "h2.8v3.6h3.6v2.8h-3.6v3.6h-2.8v-3.6h-3.6v-2.8h3.6z"),
    Shape(-5.0, -4.0, "l10 8v-8l-10 8z"),
    Shape(-5.5, -2.0, "h11v4h-11z"),
    Shape(-2.0, -5.5, "h4v11h-4z"),
];
const NEXT_MORNING: Shape = Shape(0.0, -5.0, "l4.6 8h-9.2z");
const STOPPED: Shape = Shape(-6.0, -6.0, "h12v12h-12z");
const MISSED: Shape = Shape(-3.5, -3.5, "l7 7m0 -7l-7 7");
const LEFT_OUT: Shape = Shape(-4.0, -4.0, "h8v8h-8zm2 4h4");

/// All marks of one kind as a single line: an element for each would take a year's plot too long to draw.
fn marks(class: &'static str, shape: Shape, places: &[(f64, f64)]) -> Option<AnyView> {
    let line: String = places.iter().map(|place| shape.at(*place)).collect();
    (!line.is_empty()).then(|| view! { <path class=class d=line /> }.into_any())
}

impl Marks {
    pub fn of(exercise: &ExerciseReview, limits: Option<&Limits>) -> Self {
        Self(sites(exercise, limits))
    }

    fn are_several(&self) -> bool {
        1 < self.0.len()
    }

    /// The worst of a day at each site, where there are several: "heel 5, calf 2".
    pub fn said(&self, day: &DayDone) -> Option<String> {
        let worst =
            |site: &Option<Words>| Some(text::at_site(site.as_ref(), *day.sites.get(site)?));
        let sites: Vec<String> = self.0.iter().filter_map(worst).collect();
        (self.are_several() && !sites.is_empty()).then(|| sites.join(", "))
    }

    /// The shape of each site, and what it stands for.
    fn shapes(&self) -> impl Iterator<Item = (Shape, &Option<Words>)> {
        SHAPES.into_iter().cycle().zip(&self.0)
    }
}

/// The picture, and, where the whole is asked for, what its marks mean and what the numbers bear.
///
/// It is laid out before its card is opened, since a slow phone needs most of a frame for that.
#[component]
pub fn PainPlot(
    exercise: Arc<ExerciseReview>,
    review: Arc<Review>,
    history: Arc<History>,
    #[prop(into)] whole: Signal<bool>,
) -> impl IntoView {
    let limits = history.course(&exercise.exercise.id).map(Course::limits);
    let drawn = Drawn::of(&exercise, &review, &history);
    let picture = picture(&exercise, &drawn, limits, review.to, "plot");
    let name = text::plot_of(&exercise.exercise.name);
    let window = NodeRef::<Div>::new();
    window.on_load(|window| when_idle(move || screen::lay_out(&window)));
    let caption = move || whole.get().then(|| caption(&exercise, &drawn, &review, &history));
    view! {
        <figure class="plot stack">
            <div class="plot-window" node_ref=window tabindex="0" role="group" aria-label=name>
                {picture}
            </div>
            <figcaption class="stack">{caption}</figcaption>
        </figure>
    }
}

fn caption(
    exercise: &ExerciseReview,
    drawn: &Drawn,
    review: &Review,
    history: &History,
) -> impl IntoView + use<> {
    let limits = history.course(&exercise.exercise.id).map(Course::limits);
    view! {
        <ul class="bare legend small">
            {during_signs(&drawn.marks)}
            {other_signs()}
        </ul>
        <ul class="plain-list small num">{readings(exercise, limits)}</ul>
        <Differences differences=differences(history, &exercise.exercise.id, review.from, review.to) />
        {days_off(exercise, review)}
    }
}

/// The picture alone, for paper.
#[component]
pub fn PlotOnPaper(
    exercise: ExerciseReview,
    review: Review,
    history: Arc<History>,
) -> impl IntoView {
    let drawn = Drawn::of(&exercise, &review, &history);
    let limits = history.course(&exercise.exercise.id).map(Course::limits);
    view! {
        <figure class="plot">
            {picture(&exercise, &drawn, limits, review.to, "sheet")}
            <figcaption>
                {drawn
                    .marks
                    .are_several()
                    .then(|| view! { <ul class="bare legend">{during_signs(&drawn.marks)}</ul> })}
            </figcaption>
        </figure>
    }
}

fn picture(
    exercise: &ExerciseReview,
    drawn: &Drawn,
    limits: Option<&Limits>,
    to: NaiveDate,
    // What the ids in it begin with: the same picture can stand on a page twice.
    stem: &str,
) -> impl IntoView + use<> {
    let frame = drawn.frame;
    let id = exercise.exercise.id.as_str();
    let (title_id, desc_id) = (format!("{stem}-{id}-title"), format!("{stem}-{id}-desc"));
    let labelled_by = format!("{title_id} {desc_id}");
    let title = text::title(&exercise.exercise.name);
    let desc = text::described(exercise, frame.from, to);
    let (width, height) = (frame.width(), ladder_end(exercise) + 20.0);
    let labelled = labelled_days(frame, to);
    let week = |day: &NaiveDate| format!("M{:.1} {TOP}V{:.1}", frame.x(*day, 0.0), height - 20.0);
    let weeks = labelled.iter().map(week).collect::<Vec<_>>().concat();
    let mut words: Vec<Label> = labelled
        .into_iter()
        .map(|day| Label::new(frame.x(day, 0.0) + 2.0, height - 9.0, dates::day_and_month(day)))
        .collect();
    let scale = [0_u8, 5, 10].map(|points| (y(points), u16::from(points)));
    let rungs = (1..=rungs(exercise)).map(|rung| (rung_y(exercise, rung), rung));
    let zones = limits.map(zones).unwrap_or_default();
    let ceiling = ceiling_y(exercise);
    let places = zones.iter().map(|zone| (zone.name, zone.top + 0.5 * zone.height));
    let places = places.chain(ceiling.map(|at| (text::CEILING, at)));
    let places = places.chain([(text::RUNG, rung_y(exercise, 1))]);
    words.extend(places.map(|(name, at)| Label::new(frame.right() + 4.0, at, name.to_owned())));
    view! {
        <svg
            role="img"
            aria-labelledby=labelled_by
            viewBox=format!("0 0 {width} {height}")
            style:min-width=format!("{width}px")
            style:max-width=format!("{}px", width * 1.6)
        >
            <title id=title_id>{title}</title>
            <desc id=desc_id>{desc}</desc>
            {bands(frame, zones)}
            {grid(frame, scale.into_iter().chain(rungs))}
            <path class="week" d=weeks />
            {labels("axis", words)}
            {pain(exercise, drawn)}
            {ceiling.map(|at| view! { <path class="ceiling" d=across(frame, at) /> })}
            <path class="steps" d=steps(exercise, frame) />
        </svg>
    }
}

/// A few words in the picture, and where their line begins.
struct Label {
    x: f64,
    y: f64,
    says: String,
}

impl Label {
    /// Words that stand in the middle of a height.
    fn new(x: f64, middle: f64, says: String) -> Self {
        Self { x, y: middle + 4.0, says }
    }
}

/// Words that are set the same way as a single text: one for each would take too long to draw.
fn labels(class: &'static str, labels: Vec<Label>) -> impl IntoView + use<> {
    let label = |Label { x, y, says }| view! { <tspan x=x y=y>{says}</tspan> };
    let spans = labels.into_iter().map(label).collect_view();
    view! { <text class=class>{spans}</text> }
}

fn across(frame: Frame, at: f64) -> String {
    format!("M{LEFT} {at}H{}", frame.right())
}

/// Lines across the picture, each with its number before it.
fn grid(frame: Frame, lines: impl Iterator<Item = (f64, u16)>) -> AnyView {
    let (lines, numbers): (Vec<String>, Vec<Label>) = lines
        .map(|(at, number)| (across(frame, at), Label::new(LEFT - 6.0, at, number.to_string())))
        .unzip();
    view! {
        <path class="grid" d=lines.concat() />
        {labels("axis end", numbers)}
    }
    .into_any()
}

/// The ratings, and a row of marks for the days without any.
fn pain(exercise: &ExerciseReview, drawn: &Drawn) -> impl IntoView + use<> {
    let frame = drawn.frame;
    let places = |series: &[(NaiveDate, PainRating)], part| -> Vec<(f64, f64)> {
        series.iter().map(|(day, rating)| (frame.x(*day, part), y(rating.points()))).collect()
    };
    let during = places(&drawn.during, EVENING);
    let mornings = places(&drawn.mornings, MORNING);
    let (during_line, morning_line) = (joined(&during), joined(&mornings));
    let dots = if drawn.marks.are_several() {
        dots_by_site(exercise, drawn)
    } else {
        marks("during", SHAPES[0], &during).into_iter().collect()
    };
    let stopped: Vec<(f64, f64)> = exercise
        .days
        .iter()
        .filter(|day| 0 < day.stops)
        .map(|day| (frame.x(day.day, EVENING), day.worst.map_or(TOP, |worst| y(worst.points()))))
        .collect();
    let below = |days: &[NaiveDate]| -> Vec<(f64, f64)> {
        days.iter().map(|day| (frame.x(*day, 0.5), MARKS)).collect()
    };
    view! {
        <polyline class="during" points=during_line />
        <polyline class="morning" points=morning_line />
        {dots}
        {marks("morning", NEXT_MORNING, &mornings)}
        {marks("morning other", NEXT_MORNING, &places(&drawn.other_mornings, MORNING))}
        {marks("stopped", STOPPED, &stopped)}
        {marks("missed", MISSED, &below(&exercise.missed))}
        {marks("held", LEFT_OUT, &below(&exercise.left_out))}
    }
}

/// The worst at each site of a day, beside each other.
fn dots_by_site(exercise: &ExerciseReview, drawn: &Drawn) -> Vec<AnyView> {
    let place = |day: &DayDone, site: &Option<Words>| {
        let rating = day.sites.get(site)?;
        let named = drawn.marks.0.iter().filter(|site| day.sites.contains_key(site));
        let of_day: Vec<&Option<Words>> = named.collect();
        let count = |number: usize| f64::from(u16::try_from(number).unwrap_or(u16::MAX));
        let place = count(of_day.iter().position(|other| *other == site)?);
        let part = EVENING - 0.12 + 0.24 * (place + 0.5) / count(of_day.len());
        Some((drawn.frame.x(day.day, part), y(rating.points())))
    };
    let of_site = |(shape, site): (Shape, &Option<Words>)| {
        let places = exercise.days.iter().filter_map(|day| place(day, site));
        marks("during", shape, &places.collect::<Vec<_>>())
    };
    drawn.marks.shapes().filter_map(of_site).collect()
}

fn rungs(exercise: &ExerciseReview) -> u16 {
    exercise.exercise.ladder.top().get()
}

fn rung_y(exercise: &ExerciseReview, rung: u16) -> f64 {
    RUNGS + (f64::from(rungs(exercise).saturating_sub(rung)) + 0.5) * RUNG
}

fn ladder_end(exercise: &ExerciseReview) -> f64 {
    rung_y(exercise, 1) + 0.5 * RUNG
}

/// Where the ceiling stands that the practitioner set, if it is not the top.
fn ceiling_y(exercise: &ExerciseReview) -> Option<f64> {
    let ceiling = exercise.exercise.ladder.ceiling().get();
    (ceiling < rungs(exercise)).then(|| rung_y(exercise, ceiling) - 0.5 * RUNG)
}

/// The steps between the rungs.
fn steps(exercise: &ExerciseReview, frame: Frame) -> String {
    let step = |day: &DayDone| {
        // Sets taken off the lowest rung show as a little less than that rung.
        let fewer = f64::from(day.at.fewer_sets.min(2)) * 2.0;
        let at = rung_y(exercise, day.at.rung.get()) + fewer;
        (frame.x(day.day, 0.0), at, frame.x(day.day, 1.0))
    };
    let mut days = exercise.days.iter().map(step);
    let begin = days.next().map(|(start, at, end)| format!("M{start} {at}H{end}"));
    let rest = days.map(|(start, at, end)| format!("H{start}V{at}H{end}"));
    begin.into_iter().chain(rest).collect()
}

fn joined(points: &[(f64, f64)]) -> String {
    points.iter().map(|(x, y)| format!("{x:.1},{y:.1}")).collect::<Vec<_>>().join(" ")
}

/// The first day and each Monday that has room for its name; not too many, since words take long to draw.
fn labelled_days(frame: Frame, to: NaiveDate) -> Vec<NaiveDate> {
    let apart = (frame.width() / MOST_LABELS).max(44.0);
    let mut named: Vec<NaiveDate> = vec![frame.from];
    for day in frame.from.iter_days().skip(1).take_while(|day| *day <= to) {
        let room = frame.x(day, 0.0) - named.last().map_or(0.0, |last| frame.x(*last, 0.0));
        if day.weekday() == Weekday::Mon && apart <= room {
            named.push(day);
        }
    }
    named
}

/// A band of the picture.
struct Band {
    class: &'static str,
    name: &'static str,
    top: f64,
    height: f64,
}

fn zones(limits: &Limits) -> Vec<Band> {
    let (low, middle) =
        (f64::from(limits.table.low_max().points()), f64::from(limits.table.middle_max().points()));
    // A band ends half way between its last rating and the first of the next.
    let bands = [
        ("low", Zone::Low, -0.5, low + 0.5),
        ("middle", Zone::Middle, low + 0.5, middle + 0.5),
        ("high", Zone::High, middle + 0.5, 10.5),
    ];
    let band = |(class, zone, from, to): (&'static str, Zone, f64, f64)| Band {
        class,
        name: verdict::zone(zone),
        top: TOP + (10.0 - to) * POINT,
        height: (to - from) * POINT,
    };
    bands.into_iter().filter(|(_, _, from, to)| from < to).map(band).collect()
}

fn bands(frame: Frame, zones: Vec<Band>) -> Vec<AnyView> {
    let width = frame.right() - LEFT;
    let band = |Band { class, top, height, .. }| {
        view! { <rect class=format!("zone {class}") x=LEFT y=top width=width height=height /> }
            .into_any()
    };
    zones.into_iter().map(band).collect()
}

fn sign(shape: Shape, class: &'static str, words: String) -> AnyView {
    view! {
        <li>
            <svg viewBox="-8 -8 16 16" aria-hidden="true">
                {marks(class, shape, &[(0.0, 0.0)])}
            </svg>
            {words}
        </li>
    }
    .into_any()
}

/// The mark of each site, or the one of all.
fn during_signs(marks: &Marks) -> Vec<AnyView> {
    let of_all = || sign(SHAPES[0], "during", text::WORST_DURING.to_owned());
    let of_site = |(shape, site): (Shape, &Option<Words>)| match site {
        None if !marks.are_several() => of_all(),
        _ => sign(shape, "during", text::worst_during_at(site.as_ref())),
    };
    if marks.0.is_empty() { vec![of_all()] } else { marks.shapes().map(of_site).collect() }
}

/// What the other marks of a plot mean.
fn other_signs() -> Vec<AnyView> {
    [
        (NEXT_MORNING, "morning", text::NEXT_MORNING),
        (NEXT_MORNING, "morning other", text::OTHER_MORNING),
        (STOPPED, "stopped", text::STOPPED),
        (MISSED, "missed", strip::MISSED),
        (LEFT_OUT, "held", strip::LEFT_OUT),
    ]
    .into_iter()
    .map(|(shape, class, words)| sign(shape, class, words.to_owned()))
    .collect()
}

/// What the marks mean, once for all plots on a page.
#[component]
pub fn PlotLegend() -> impl IntoView {
    view! {
        <ul class="bare legend plot">
            {during_signs(&Marks(Vec::new()))}
            {other_signs()}
        </ul>
    }
}

/// Differences that the numbers show, with how that was decided.
#[component]
fn Differences(differences: Vec<Difference>) -> impl IntoView {
    (!differences.is_empty()).then(|| {
        let line = |difference: Difference| {
            view! { <li>{capitalised(&words::difference(&difference))}</li> }
        };
        view! {
            <div class="small num">
                <ul class="plain-list">{differences.into_iter().map(line).collect_view()}</ul>
                <details>
                    <summary>{text::HOW_DECIDED}</summary>
                    <p class="soft">{text::difference_rule()}</p>
                </details>
            </div>
        }
    })
}

/// What the numbers bear, a line each.
fn readings(exercise: &ExerciseReview, limits: Option<&Limits>) -> Vec<AnyView> {
    let line = |(name, says): (&'static str, String)| {
        view! {
            <li>
                <strong>{name}</strong>
                ": "
                {says}
            </li>
        }
        .into_any()
    };
    words::all_readings(exercise, limits).into_iter().map(line).collect()
}

/// The days without training in words, which have no row in the table, and those of a warning sign.
fn days_off(exercise: &ExerciseReview, review: &Review) -> impl IntoView + use<> {
    let line =
        |what: &str, days: &[NaiveDate]| (!days.is_empty()).then(|| text::on_days(what, days));
    let warned: Vec<NaiveDate> = review.warned.iter().copied().collect();
    let lines = [
        line(text::MISSED, &exercise.missed),
        line(text::LEFT_OUT, &exercise.left_out),
        line(text::WARNED, &warned),
    ];
    lines.into_iter().flatten().map(|line| view! { <p class="small">{line}</p> }).collect_view()
}
