//! Shapes on a canvas, in the colours that the style has for them.

use std::cell::RefCell;
use std::collections::BTreeMap;

use wasm_bindgen::JsCast;
use web_sys::{CanvasRenderingContext2d, HtmlCanvasElement, Path2d};

use crate::domain::plan::figure::shape::{Bounds, Ink, Role, Shape, Step};

/// A device may have more dots than a figure needs.
const MOST_DOTS: f64 = 2.0;

/// Colours by the names of their tokens, and the scheme of which they are.
#[derive(Debug, Default)]
struct Colours {
    is_dark: bool,
    known: BTreeMap<&'static str, String>,
}

/// A canvas to paint on.
#[derive(Debug)]
pub struct Surface {
    canvas: HtmlCanvasElement,
    context: CanvasRenderingContext2d,
    colours: RefCell<Colours>,
}

impl Surface {
    /// None, where the browser gives nothing to draw with.
    pub fn on(canvas: HtmlCanvasElement) -> Option<Self> {
        let context = canvas.get_context("2d").ok()??.dyn_into().ok()?;
        Some(Self { canvas, context, colours: RefCell::default() })
    }

    /// Whether it has any room on the page now.
    pub fn is_seen(&self) -> bool {
        0 < self.canvas.client_width() && 0 < self.canvas.client_height()
    }

    /// Paints shapes in the place of what was there: as large as they fit, in the middle, at the bottom.
    pub fn paint(&self, shapes: &[Shape], bounds: Bounds) {
        let Some(window) = web_sys::window() else { return };
        let dots = window.device_pixel_ratio().clamp(1.0, MOST_DOTS);
        if !self.is_seen() {
            return;
        }
        let (width, height) =
            (f64::from(self.canvas.client_width()), f64::from(self.canvas.client_height()));
        #[expect(
            clippy::cast_possible_truncation,
            clippy::cast_sign_loss,
            reason = "sizes of a screen"
        )]
        let (wide, high) = ((width * dots).round() as u32, (height * dots).round() as u32);
        if self.canvas.width() != wide || self.canvas.height() != high {
            self.canvas.set_width(wide);
            self.canvas.set_height(high);
        }
        let (wide, high) = (f64::from(wide), f64::from(high));
        let pen = &self.context;
        drop(pen.reset_transform());
        pen.clear_rect(0.0, 0.0, wide, high);
        let scale = (wide / bounds.width()).min(high / bounds.height());
        let left = (wide - bounds.width() * scale) / 2.0 - bounds.least.x * scale;
        let top = high - bounds.most.y * scale;
        drop(pen.set_transform(scale, 0.0, 0.0, scale, left, top));
        pen.set_line_cap("round");
        pen.set_line_join("round");
        self.look_up_colours();
        let colours = self.colours.borrow();
        let colour = |role: Role| colours.known.get(role.token()).map_or("", String::as_str);
        for shape in shapes {
            let Some(path) = path(&shape.path) else { continue };
            match &shape.ink {
                Ink::Fill(role) => {
                    pen.set_fill_style_str(colour(*role));
                    pen.fill_with_path_2d(&path);
                }
                Ink::Stroke { role, width } => {
                    pen.set_stroke_style_str(colour(*role));
                    pen.set_line_width(*width);
                    pen.stroke_with_path(&path);
                }
                Ink::Wash { role, from, to, full } => {
                    let wash = pen.create_linear_gradient(from.x, from.y, to.x, to.y);
                    let whole = colour(*role);
                    let gone = see_through(whole);
                    #[expect(clippy::cast_possible_truncation, reason = "shares of a line")]
                    let stops = [
                        (0.0, &gone[..]),
                        (full[0] as f32, whole),
                        (full[1] as f32, whole),
                        (1.0, &gone),
                    ];
                    for (at, colour) in stops {
                        drop(wash.add_color_stop(at, colour));
                    }
                    pen.set_fill_style_canvas_gradient(&wash);
                    pen.fill_with_path_2d(&path);
                }
            }
        }
    }

    /// Asks the style what the colours are, once for each scheme.
    fn look_up_colours(&self) {
        let Some(window) = web_sys::window() else { return };
        let dark = window.match_media("(prefers-color-scheme: dark)").ok().flatten();
        let is_dark = dark.is_some_and(|query| query.matches());
        let mut colours = self.colours.borrow_mut();
        if !colours.known.is_empty() && colours.is_dark == is_dark {
            return;
        }
        colours.is_dark = is_dark;
        colours.known.clear();
        let style = self.canvas.style();
        for role in Role::ALL {
            let token = role.token();
            if colours.known.contains_key(token) {
                continue;
            }
            // The browser works out what a token comes to only where it is used.
            drop(style.set_property("color", &format!("var(--{token})")));
            let worked_out = window.get_computed_style(&self.canvas).ok().flatten();
            let colour = worked_out.and_then(|style| style.get_property_value("color").ok());
            colours.known.insert(token, colour.unwrap_or_default());
        }
        drop(style.remove_property("color"));
    }
}

/// A colour "rgb(1, 2, 3)" of which nothing is seen.
fn see_through(colour: &str) -> String {
    match colour.strip_prefix("rgb(").and_then(|rest| rest.strip_suffix(')')) {
        Some(parts) => format!("rgba({parts}, 0)"),
        None => "transparent".to_owned(),
    }
}

fn path(steps: &[Step]) -> Option<Path2d> {
    let path = Path2d::new().ok()?;
    for step in steps {
        match step {
            Step::To(to) => path.move_to(to.x, to.y),
            Step::Line(to) => path.line_to(to.x, to.y),
            Step::Curve(one, two, to) => {
                path.bezier_curve_to(one.x, one.y, two.x, two.y, to.x, to.y);
            }
            Step::Close => path.close_path(),
        }
    }
    Some(path)
}
