//! Drawing primitives of the debrief: boxes, marks and labels in millimetres.

use acoustics::order::sort_indices;
use instrument::pose::Side;
use svg::Document;
use svg::node::element::{Description, Group, Line, Path, Polygon, Polyline, Rectangle, Text, Title};

use crate::said::{Language, Said, said};

/// What a drawn thing stands for.
#[derive(Clone, Copy, PartialEq, Eq)]
pub(crate) enum Role {
    Truth,
    Call,
}

impl Role {
    fn class(self) -> &'static str {
        match self {
            Self::Truth => "truth",
            Self::Call => "call",
        }
    }

    /// Blue and vermilion of Okabe and Ito's palette for all kinds of colour vision.
    fn colour(self) -> &'static str {
        match self {
            Self::Truth => "#0072B2",
            Self::Call => "#D55E00",
        }
    }

    /// What one of its kind is called.
    pub(crate) fn label(self, number: u32) -> Said {
        match self {
            Self::Truth => said!("said.drawn.flaw", number = number),
            Self::Call => said!("said.drawn.call", number = number),
        }
    }
}

/// A drawing of a given part of the plate.
pub(crate) struct Canvas<'a> {
    /// That of its words.
    pub(crate) language: &'a Language,
    document: Document,
    /// Left, upper, right and lower edge, mm.
    window: [f64; 4],
    /// Height of letters, mm.
    pub(crate) letter_mm: f64,
}

/// A box to draw: horizontal and vertical stretch, mm in the drawing.
pub(crate) type Area = [[f64; 2]; 2];

/// Two decimals are finer than any pixel.
fn short(value: f64) -> f64 {
    libm::round(value * 100.0) / 100.0 + 0.0
}

impl<'a> Canvas<'a> {
    /// An empty drawing with its name and description for readers who do not see it.
    pub(crate) fn new(
        language: &'a Language,
        window: [f64; 4],
        letter_mm: f64,
        title: &Said,
        description: &str,
    ) -> Self {
        let [left, upper, right, lower] = window;
        let document = Document::new()
            .set("viewBox", (short(left), short(upper), short(right - left), short(lower - upper)))
            .set("role", "img")
            .set("class", "debrief")
            .set("font-family", "sans-serif")
            .add(Title::new(language.say(title)))
            .add(Description::new().add(svg::node::Text::new(description)));
        Self { language, document, window, letter_mm }
    }

    /// A gate: a thick line between its ends, in the colour of what was called.
    pub(crate) fn gate(&mut self, ends: [f64; 2], y: f64) {
        let bar = Line::new()
            .set("class", "shot-gate")
            .set("x1", short(ends[0]))
            .set("y1", short(y))
            .set("x2", short(ends[1]))
            .set("y2", short(y))
            .set("stroke", Role::Call.colour())
            .set("stroke-width", short(self.letter_mm / 4.0));
        self.add(bar);
    }

    /// Puts a node on top of what is there.
    pub(crate) fn add(&mut self, node: impl Into<Box<dyn svg::Node>>) {
        let document = std::mem::replace(&mut self.document, Document::new());
        self.document = document.add(node);
    }

    /// A line of the plate itself.
    pub(crate) fn plate_line(&mut self, points: &[[f64; 2]], dashed: bool) {
        let text: Vec<String> = points.iter().map(|p| format!("{},{}", short(p[0]), short(p[1]))).collect();
        let mut line = Polyline::new()
            .set("class", "plate")
            .set("points", text.join(" "))
            .set("fill", "none")
            .set("stroke", "currentColor")
            .set("stroke-width", short(self.letter_mm / 12.0));
        if dashed {
            let dash = short(self.letter_mm / 2.0);
            line = line.set("stroke-dasharray", (dash, dash, dash, dash));
        }
        self.add(line);
    }

    /// What is to be ground out: a closed shape, shaded, in a thick line.
    pub(crate) fn ground(&mut self, points: &[[f64; 2]]) {
        let text: Vec<String> = points.iter().map(|p| format!("{},{}", short(p[0]), short(p[1]))).collect();
        let shape = Polygon::new()
            .set("class", "ground")
            .set("points", text.join(" "))
            .set("fill", "currentColor")
            .set("fill-opacity", 0.15)
            .set("stroke", "currentColor")
            .set("stroke-width", short(self.letter_mm / 6.0));
        self.add(shape);
    }

    /// A word of the plate itself.
    pub(crate) fn plate_text(&mut self, at: [f64; 2], anchor: &'static str, text: &str) {
        let node = self.letters(at, anchor, text).set("class", "plate").set("fill", "currentColor");
        self.add(node);
    }

    fn letters(&self, at: [f64; 2], anchor: &'static str, text: &str) -> Text {
        Text::new(text)
            .set("x", short(at[0]))
            .set("y", short(at[1]))
            .set("font-size", short(self.letter_mm))
            .set("text-anchor", anchor)
    }

    /// The name of a side.
    pub(crate) fn side(&mut self, at: [f64; 2], anchor: &'static str, side: Side) {
        let words = self.language.say(&said!("said.side", side = side));
        self.plate_text(at, anchor, &words);
    }

    /// A flaw or call: its box, a mark in its middle, a label with a leading line. Truth has an unbroken line and
    /// a diamond, a call a broken line and a cross.
    pub(crate) fn thing(
        &mut self,
        role: Role,
        area: Area,
        number: u32,
        label: [f64; 2],
        anchor: &'static str,
    ) {
        let least = self.letter_mm / 4.0;
        let [[x0, x1], [y0, y1]] = area.map(|ends| widen(ends, least));
        let (x, y) = (f64::midpoint(x0, x1), f64::midpoint(y0, y1));
        let thick = short(self.letter_mm / 8.0);
        let mark = self.letter_mm / 3.5;
        let dash = short(self.letter_mm / 3.0);
        let mut frame = Rectangle::new()
            .set("x", short(x0))
            .set("y", short(y0))
            .set("width", short(x1 - x0))
            .set("height", short(y1 - y0));
        let (left, right, up, down) = (short(x - mark), short(x + mark), short(y - mark), short(y + mark));
        let shape = match role {
            Role::Truth => format!("M{left} {0}L{1} {up}L{right} {0}L{1} {down}Z", short(y), short(x)),
            Role::Call => format!("M{left} {up}L{right} {down}M{left} {down}L{right} {up}"),
        };
        if role == Role::Call {
            frame = frame.set("stroke-dasharray", (dash, dash, dash, dash));
        }
        // The leading line ends a little before the letters.
        let gap = self.letter_mm * 0.25;
        let foot = match anchor {
            "end" => [label[0] + gap, label[1] - self.letter_mm * 0.35],
            "start" => [label[0] - gap, label[1] - self.letter_mm * 0.35],
            _ if y > label[1] => [label[0], label[1] + gap],
            _ => [label[0], label[1] - self.letter_mm * 0.75 - gap],
        };
        let leader = Line::new()
            .set("x1", short(x))
            .set("y1", short(y))
            .set("x2", short(foot[0]))
            .set("y2", short(foot[1]))
            .set("stroke-width", short(thick / 2.0));
        let text = self
            .letters(label, anchor, &self.language.say(&role.label(number)))
            .set("fill", role.colour())
            .set("stroke", "none")
            .set("font-weight", "bold");
        let group = Group::new()
            .set("class", role.class())
            .set("fill", "none")
            .set("stroke", role.colour())
            .set("stroke-width", thick)
            .add(leader)
            .add(frame)
            .add(Path::new().set("d", shape))
            .add(text);
        self.add(group);
    }

    /// The key: what the two line shapes mean, in the lower left corner.
    pub(crate) fn key(&mut self, truth: bool) {
        let [left, _, _, lower] = self.window;
        let letter = self.letter_mm;
        let y = lower - letter;
        let both = [
            (Role::Truth, left + letter, "said.drawn.truth"),
            (Role::Call, left + 8.0 * letter, "said.drawn.called"),
        ];
        for (role, x, key) in both.into_iter().filter(|(role, ..)| truth || *role == Role::Call) {
            let mut sample = Line::new()
                .set("x1", short(x))
                .set("y1", short(y - letter * 0.35))
                .set("x2", short(x + 2.0 * letter))
                .set("y2", short(y - letter * 0.35))
                .set("stroke", role.colour())
                .set("stroke-width", short(letter / 6.0));
            if role == Role::Call {
                let dash = short(letter / 3.0);
                sample = sample.set("stroke-dasharray", (dash, dash, dash, dash));
            }
            let word = self.language.text(key);
            let word = self.letters([x + 2.5 * letter, y], "start", word).set("fill", role.colour());
            self.add(Group::new().set("class", role.class()).add(sample).add(word));
        }
    }

    /// The finished document.
    pub(crate) fn finish(self) -> String {
        self.document.to_string()
    }
}

/// A stretch widened about its middle to a least width.
fn widen(ends: [f64; 2], least: f64) -> [f64; 2] {
    let missing = (least - (ends[1] - ends[0])).max(0.0) / 2.0;
    [ends[0] - missing, ends[1] + missing]
}

/// Places for labels side by side in rows: each goes as near to where it is wanted as the labels before it allow.
/// Takes the wanted places, the room one label needs, and the allowed stretch; keeps the order of the input.
pub(crate) fn spread(wanted: &[f64], room: f64, within: [f64; 2]) -> Vec<f64> {
    let mut order: Vec<usize> = (0..wanted.len()).collect();
    sort_indices(&mut order, &|a, b| wanted[a].total_cmp(&wanted[b]));
    let mut places = vec![0.0; wanted.len()];
    let mut free = within[0];
    for &index in &order {
        places[index] = wanted[index].max(free);
        free = places[index] + room;
    }
    // Push back what ran out at the far end.
    let mut limit = within[1];
    for &index in order.iter().rev() {
        places[index] = places[index].min(limit);
        limit = places[index] - room;
    }
    places
}
