//! The shapes as the text of an SVG picture: for paper, for a still, for looking at all of them.

use std::fmt::Write;

use super::shape::{Bounds, Ink, Role, Shape, Step};

/// Which colour a role has, as SVG writes colours.
pub type Palette<'a> = &'a dyn Fn(Role) -> String;

/// The shapes as SVG elements. `name` keeps gradients of several pictures on one page apart.
pub fn elements(shapes: &[Shape], palette: Palette<'_>, name: &str) -> String {
    let mut text = String::new();
    for (place, shape) in shapes.iter().enumerate() {
        let path = path(&shape.path);
        let written = match &shape.ink {
            Ink::Fill(role) => {
                write!(text, r#"<path d="{path}" fill="{}"/>"#, palette(*role))
            }
            Ink::Stroke { role, width } => write!(
                text,
                r#"<path d="{path}" fill="none" stroke="{}" stroke-width="{width:.1}" stroke-linejoin="round" stroke-linecap="round"/>"#,
                palette(*role)
            ),
            Ink::Wash { role, from, to, full } => {
                let colour = palette(*role);
                write!(
                    text,
                    r#"<linearGradient id="{name}{place}" gradientUnits="userSpaceOnUse" x1="{:.1}" y1="{:.1}" x2="{:.1}" y2="{:.1}"><stop stop-color="{colour}" stop-opacity="0"/><stop offset="{:.2}" stop-color="{colour}"/><stop offset="{:.2}" stop-color="{colour}"/><stop offset="1" stop-color="{colour}" stop-opacity="0"/></linearGradient><path d="{path}" fill="url(#{name}{place})"/>"#,
                    from.x, from.y, to.x, to.y, full[0], full[1]
                )
            }
        };
        // Writing into a String does not fail.
        debug_assert!(written.is_ok());
    }
    text
}

/// A whole picture.
pub fn picture(shapes: &[Shape], bounds: Bounds, palette: Palette<'_>, name: &str) -> String {
    format!(
        r#"<svg xmlns="http://www.w3.org/2000/svg" viewBox="{:.1} {:.1} {:.1} {:.1}">{}</svg>"#,
        bounds.least.x,
        bounds.least.y,
        bounds.width(),
        bounds.height(),
        elements(shapes, palette, name)
    )
}

fn path(steps: &[Step]) -> String {
    let mut text = String::new();
    for step in steps {
        let written = match step {
            Step::To(to) => write!(text, "M{:.1} {:.1}", to.x, to.y),
            Step::Line(to) => write!(text, "L{:.1} {:.1}", to.x, to.y),
            Step::Curve(one, two, to) => write!(
                text,
                "C{:.1} {:.1} {:.1} {:.1} {:.1} {:.1}",
                one.x, one.y, two.x, two.y, to.x, to.y
            ),
            Step::Close => write!(text, "Z"),
        };
        debug_assert!(written.is_ok());
    }
    text
}
