//! Writes every figure as pictures to look at: start, middle and end of each move, in light, in dark,
//! and small in black and white. `cargo run --example figures [id ...]` writes to target/figures/.

#![expect(
    clippy::unwrap_used,
    clippy::print_stdout,
    reason = "a tool for the eye: what fails shall be seen"
)]

use std::fmt::Write;
use std::fs;

use carryover::domain::plan::figure::data::{Figures, NotAFigure, View};
use carryover::domain::plan::figure::draw::{Look, bounds, draw};
use carryover::domain::plan::figure::flesh::Build;
use carryover::domain::plan::figure::motion::Motion;
use carryover::domain::plan::figure::shape::Role;
use carryover::domain::plan::figure::skeleton::Side;
use carryover::domain::plan::figure::svg::elements;

const COLUMNS: usize = 4;
/// Pictures on one sheet.
const ON_A_SHEET: usize = 20;
const CELL: (f64, f64) = (520.0, 170.0);

#[derive(Clone, Copy)]
enum Paper {
    Light,
    Dark,
    BlackAndWhite,
}

fn main() {
    let asked: Vec<String> = std::env::args().skip(1).collect();
    let figures = Figures::parse(&fs::read_to_string("public/figures.json").unwrap()).unwrap();
    let tokens = fs::read_to_string("style/tokens.css").unwrap();
    fs::create_dir_all("target/figures").unwrap();
    let mut cells = Vec::new();
    for id in figures.ids() {
        if !asked.is_empty() && !asked.iter().any(|asked| asked == id) {
            continue;
        }
        for rung in figures.rungs(id) {
            match figures.figure(id, rung).unwrap() {
                Ok(figure) => cells.push((format!("{id} {rung}"), Motion::of(figure))),
                Err(NotAFigure { id, place, what }) => {
                    println!("the figure of {id} cannot be read at {place}: {what}");
                }
            }
        }
    }
    for (paper, name) in
        [(Paper::Light, "light"), (Paper::Dark, "dark"), (Paper::BlackAndWhite, "paper")]
    {
        for (sheet, cells) in cells.chunks(ON_A_SHEET).enumerate() {
            let text = page(cells, paper, &tokens);
            fs::write(format!("target/figures/{name}-{sheet:02}.svg"), text).unwrap();
        }
    }
    println!("{} figures in target/figures/", cells.len());
}

fn page(cells: &[(String, Motion)], paper: Paper, tokens: &str) -> String {
    let ground = match paper {
        Paper::BlackAndWhite => "#ffffff".to_owned(),
        Paper::Light | Paper::Dark => colour(tokens, "paper", paper),
    };
    let ink = match paper {
        Paper::BlackAndWhite => "#000000".to_owned(),
        Paper::Light | Paper::Dark => colour(tokens, "ink", paper),
    };
    let lines = cells.len().div_ceil(COLUMNS);
    let (width, height) = (CELL.0 * 4.0, CELL.1 * f64::from(u32::try_from(lines).unwrap()));
    let mut text = format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" width="{width}" height="{height}" viewBox="0 0 {width} {height}"><rect width="100%" height="100%" fill="{ground}"/>"#
    );
    for (place, (name, motion)) in cells.iter().enumerate() {
        let x = CELL.0 * f64::from(u32::try_from(place % COLUMNS).unwrap());
        let y = CELL.1 * f64::from(u32::try_from(place / COLUMNS).unwrap());
        write!(text, r#"<g transform="translate({x} {y})"><text x="6" y="14" font-family="DejaVu Sans" font-size="12" fill="{ink}">{name}</text>"#).unwrap();
        text += &stills(motion, paper, tokens, &format!("g{place}"));
        text += "</g>";
    }
    text + "</svg>"
}

fn stills(motion: &Motion, paper: Paper, tokens: &str, name: &str) -> String {
    let palette = |role: Role| match paper {
        Paper::BlackAndWhite => grey(role).to_owned(),
        Paper::Light | Paper::Dark => colour(tokens, role.token(), paper),
    };
    let views: Vec<View> = std::iter::once(motion.figure.view).chain(motion.figure.also).collect();
    let mut moments = Vec::new();
    let mut shown: Vec<Vec<usize>> = Vec::new();
    for one in &motion.figure.moves {
        let way = one.through.clone();
        let back: Vec<usize> = way.iter().rev().copied().collect();
        if way.len() < 2 || shown.contains(&back) || shown.contains(&way) {
            continue;
        }
        shown.push(way);
        moments.extend([0.0, 0.5, 1.0].map(|share| motion.along(one, share)));
    }
    if moments.is_empty() {
        moments.push(motion.along(&motion.figure.moves[0], 0.0));
    }
    moments.truncate(if views.len() == 1 { 5 } else { 3 });
    let look = |view| Look::of(&motion.figure, view, Build::Average, Side::Right);
    let mut text = String::new();
    let room = CELL.0 / f64::from(u32::try_from(moments.len().max(3) * views.len()).unwrap());
    let mut x = 0.0;
    for view in views {
        let Some(all) = bounds(moments.clone(), &motion.figure, look(view)) else { continue };
        let scale = ((room - 8.0) / all.width()).min((CELL.1 - 24.0) / all.height()).min(2.0);
        for (place, moment) in moments.iter().enumerate() {
            let shapes = draw(moment, &motion.figure.props, look(view));
            let (width, height) = (all.width() * scale, all.height() * scale);
            write!(text, r#"<svg x="{:.1}" y="{:.1}" width="{width:.1}" height="{height:.1}" viewBox="{:.1} {:.1} {:.1} {:.1}">{}</svg>"#,
                x + 4.0, CELL.1 - 4.0 - height, all.least.x, all.least.y, all.width(), all.height(),
                elements(&shapes, &palette, &format!("{name}x{x:.0}p{place}"))).unwrap();
            x += room;
        }
    }
    text
}

fn colour(tokens: &str, name: &str, paper: Paper) -> String {
    let line =
        tokens.lines().find_map(|line| line.trim().strip_prefix(&format!("--{name}: light-dark(")));
    let (light, dark) = line.unwrap_or_else(|| panic!("no --{name}")).split_once(", ").unwrap();
    match paper {
        Paper::Light => light.to_owned(),
        Paper::Dark | Paper::BlackAndWhite => dark.trim_end_matches(");").to_owned(),
    }
}

const fn grey(role: Role) -> &'static str {
    match role {
        Role::BodyLine => "#000000",
        Role::Body | Role::PropTop | Role::Band => "#ffffff",
        Role::Work => "#333333",
        Role::Detail | Role::Path | Role::Ground => "#444444",
        Role::FarLine | Role::PropLine => "#888888",
        Role::FarWork => "#8a8a8a",
        Role::Far | Role::PropSide => "#dddddd",
        Role::PropFace => "#f0f0f0",
    }
}
