//! The sheet of a drawing: A3 across, in millimetres of paper, with lines, letters and dimensions.

use svg::Document;
use svg::node::element::{Path, Polyline, Rectangle, Style, Text, Title};

const STYLE: &str = "svg { background: #fff; color: #1c2b2a; font-family: sans-serif }
text { fill: currentColor }
.edge, .thin, .run, .dash, .size { fill: none; stroke: currentColor }
.edge { stroke-width: 0.5 } .thin { stroke-width: 0.25 } .run { stroke-width: 0.18; opacity: 0.6 }
.dash { stroke-width: 0.25; stroke-dasharray: 4 1 1 1 } .size { stroke-width: 0.18 }
.flaw { fill: #d55e00; fill-opacity: 0.4; stroke: #d55e00; stroke-width: 0.4 }
@media screen and (prefers-color-scheme: dark) { svg { background: #14201f; color: #e6efec } .flaw { fill: #f0a04b; stroke: #f0a04b } }";

/// Where a text stands to its place.
#[derive(Clone, Copy)]
pub enum Anchor {
    Start,
    Middle,
    End,
}

/// Letters of dimensions, mm.
const LETTER: f64 = 3.0;
/// Half a slash at the end of a dimension, mm.
const SLASH: f64 = 0.9;

/// A drawing in the making; all places are mm on paper from the upper left corner.
pub struct Sheet(Document);

/// From the plate to paper: origin on paper and mm of paper per mm.
#[derive(Clone, Copy)]
pub struct Frame {
    pub origin: [f64; 2],
    pub scale: f64,
}

impl Frame {
    /// A place of the plate on paper.
    pub fn at(&self, [x, y]: [f64; 2]) -> [f64; 2] {
        [self.origin[0] + self.scale * x, self.origin[1] + self.scale * y]
    }
}

/// The largest usual scale at which so much fits into so much room; the smallest where none does.
pub fn scale(size: [f64; 2], room: [f64; 2]) -> f64 {
    let scales = [10.0, 5.0, 4.0, 3.0, 2.0, 1.0, 0.5, 0.2, 0.1, 0.05];
    let fits = |scale: &f64| size[0] * scale <= room[0] && size[1] * scale <= room[1];
    scales.into_iter().find(fits).unwrap_or(0.05)
}

/// A text in lines; SVG does not break them.
pub fn wrapped(text: &str, letters: usize) -> Vec<String> {
    let mut lines: Vec<String> = Vec::new();
    for word in text.split_whitespace() {
        match lines.last_mut() {
            Some(line) if line.chars().count() + word.chars().count() < letters => {
                line.push(' ');
                line.push_str(word);
            }
            _ => lines.push(word.to_owned()),
        }
    }
    lines
}

/// Two decimals are finer than any printer.
fn short(value: f64) -> f64 {
    libm::round(value * 100.0) / 100.0 + 0.0
}

impl Sheet {
    pub fn new(title: &str) -> Self {
        Self(
            Document::new()
                .set("viewBox", "0 0 420 297")
                .set("width", "420mm")
                .set("height", "297mm")
                .set("role", "img")
                .add(Title::new(title))
                .add(Style::new(STYLE)),
        )
    }

    pub fn to_svg(&self) -> String {
        self.0.to_string()
    }

    fn add(&mut self, node: impl Into<Box<dyn svg::Node>>) {
        let document = std::mem::replace(&mut self.0, Document::new());
        self.0 = document.add(node);
    }

    pub fn line(&mut self, points: &[[f64; 2]], class: &str) {
        let points: Vec<String> =
            points.iter().map(|[x, y]| format!("{},{}", short(*x), short(*y))).collect();
        self.add(Polyline::new().set("points", points.join(" ")).set("class", class));
    }

    /// An arc from one place to another, clockwise on paper.
    pub fn arc(&mut self, from: [f64; 2], to: [f64; 2], radius: f64, class: &str) {
        let [[x0, y0], [x1, y1]] = [from.map(short), to.map(short)];
        let data = format!("M{x0} {y0}A{0} {0} 0 0 1 {x1} {y1}", short(radius));
        self.add(Path::new().set("d", data).set("class", class));
    }

    pub fn rectangle(&mut self, from: [f64; 2], to: [f64; 2], class: &str) {
        let (x, y) = (from[0].min(to[0]), from[1].min(to[1]));
        let rectangle = Rectangle::new()
            .set("x", short(x))
            .set("y", short(y))
            .set("width", short((to[0] - from[0]).abs().max(0.4)))
            .set("height", short((to[1] - from[1]).abs().max(0.4)))
            .set("class", class);
        self.add(rectangle);
    }

    pub fn text(&mut self, at: [f64; 2], anchor: Anchor, letters: f64, text: &str) {
        let anchor = match anchor {
            Anchor::Start => "start",
            Anchor::Middle => "middle",
            Anchor::End => "end",
        };
        let text = Text::new(text)
            .set("x", short(at[0]))
            .set("y", short(at[1]))
            .set("font-size", letters)
            .set("text-anchor", anchor);
        self.add(text);
    }

    /// A dimension along x at a height on paper, with lines to the two places it measures.
    pub fn size_across(&mut self, from: [f64; 2], to: [f64; 2], y: f64, text: &str) {
        for [x, foot] in [from, to] {
            let beyond = if foot < y { 1.5 } else { -1.5 };
            self.line(&[[x, foot + 0.5 * beyond], [x, y + beyond]], "size");
            self.line(&[[x - SLASH, y + SLASH], [x + SLASH, y - SLASH]], "thin");
        }
        // A narrow one has its number beside it.
        let narrow = (to[0] - from[0]).abs() < 8.0;
        let end = if narrow { to[0] + 9.0 } else { to[0] };
        self.line(&[[if narrow { from[0] - 4.0 } else { from[0] }, y], [end, y]], "size");
        let middle = if narrow { to[0] + 5.5 } else { f64::midpoint(from[0], to[0]) };
        self.text([middle, y - 1.0], Anchor::Middle, LETTER, text);
    }

    /// A dimension along y at a place on paper, with lines to the two places it measures; the number stands outside.
    pub fn size_along(&mut self, from: [f64; 2], to: [f64; 2], x: f64, text: &str) {
        for [foot, y] in [from, to] {
            let beyond = if foot < x { 1.5 } else { -1.5 };
            self.line(&[[foot + 0.5 * beyond, y], [x + beyond, y]], "size");
            self.line(&[[x - SLASH, y + SLASH], [x + SLASH, y - SLASH]], "thin");
        }
        self.line(&[[x, from[1]], [x, to[1]]], "size");
        let (side, anchor) = if from[0] < x { (1.8, Anchor::Start) } else { (-1.8, Anchor::End) };
        let middle = f64::midpoint(from[1], to[1]) + 0.35 * LETTER;
        self.text([x + side, middle], anchor, LETTER, text);
    }
}
