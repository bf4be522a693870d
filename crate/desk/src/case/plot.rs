//! The error map: how far the model is from full-wave answers, over the height of the echo, a panel for each group.

use svg::Document;
use svg::node::element::{Circle, Description, Group, Line, Polygon, Rectangle, Style, Text, Title};

use super::answer::Peaks;
use super::file::CaseFile;
use super::report;

/// Groups of cases in the order of the panels, and their names.
const PANELS: [(&[&str], &str); 8] = [
    (&["A", "REF"], "A  Side-drilled holes"),
    (&["B"], "B  Crack in the metal"),
    (&["C"], "C  Notch at the far face"),
    (&["D"], "D  Lack of fusion"),
    (&["E"], "E  Upright crack"),
    (&["F"], "F  Pores and slag"),
    (&["G"], "G  Cap and root bead"),
    (&["3D"], "3D  Voids, discs, strips"),
];

/// Level of the echo, dB relative to the hole, and error, dB, at the edges of a panel.
const LEVEL_DB: [f64; 2] = [-30.0, 20.0];
const ERROR_DB: [f64; 2] = [-10.0, 10.0];
/// Errors within this are marked as a band, dB.
const BAND_DB: f64 = 3.0;

/// Size and spacing of panels.
const WIDTH: f64 = 256.0;
const HEIGHT: f64 = 150.0;
const LEFT: f64 = 58.0;
const ABOVE: f64 = 112.0;
const BESIDE: f64 = 56.0;
const BELOW: f64 = 66.0;
const LETTER: f64 = 19.0;

/// Beam angles in three classes, told apart by colour (Okabe and Ito's palette) and shape.
#[derive(Clone, Copy, PartialEq, Eq)]
enum Angle {
    Steep,
    NearCritical,
    Shallow,
}

impl Angle {
    const ALL: [Self; 3] = [Self::Steep, Self::NearCritical, Self::Shallow];

    fn of(theta_deg: f64) -> Self {
        match theta_deg {
            ..53.0 => Self::Steep,
            53.0..62.0 => Self::NearCritical,
            _ => Self::Shallow,
        }
    }

    fn class(self) -> &'static str {
        match self {
            Self::Steep => "steep",
            Self::NearCritical => "critical",
            Self::Shallow => "shallow",
        }
    }

    fn words(self) -> &'static str {
        match self {
            Self::Steep => "40° to 50°",
            Self::NearCritical => "55°, 60°",
            Self::Shallow => "65°, 70°",
        }
    }

    fn mark(self, x: f64, y: f64) -> Box<dyn svg::Node> {
        let corners = |list: &[[f64; 2]]| {
            let text: Vec<String> =
                list.iter().map(|[dx, dy]| format!("{},{}", short(x + dx), short(y + dy))).collect();
            Box::new(Polygon::new().set("class", self.class()).set("points", text.join(" ")))
        };
        match self {
            Self::Steep => Box::new(
                Circle::new()
                    .set("class", self.class())
                    .set("cx", short(x))
                    .set("cy", short(y))
                    .set("r", 3.2),
            ),
            Self::NearCritical => corners(&[[0.0, -4.4], [4.2, 3.2], [-4.2, 3.2]]),
            Self::Shallow => corners(&[[-3.0, -3.0], [3.0, -3.0], [3.0, 3.0], [-3.0, 3.0]]),
        }
    }
}

/// What the marks mean.
const LEGEND: [&str; 3] = [
    "Error (model less full wave, dB) over the height of",
    "the echo (dB from a 3 mm hole). Grey: within 3 dB.",
    "Beyond 10 dB: drawn at the edge.",
];

/// Dark letters on light ground and the reverse; bright variants of the palette on dark ground.
const STYLE: &str = "
text{fill:#1f2e2a}.line{stroke:#6b756f}.zero{stroke:#1f2e2a}.band{fill:#8a8f83;fill-opacity:.22}
.steep{fill:#0072b2}.critical{fill:#d55e00}.shallow{fill:#009e73}
.steep,.critical,.shallow{fill-opacity:.75;stroke:#fffdf8;stroke-width:.6}
@media(prefers-color-scheme:dark){text{fill:#e9eee9}.line{stroke:#9aa69f}.zero{stroke:#e9eee9}
.steep{fill:#56b4e9}.critical{fill:#e69f00}.shallow{fill:#2fd0a0}.steep,.critical,.shallow{stroke:#131c1a}}";

/// One place is finer than any pixel.
fn short(value: f64) -> f64 {
    libm::round(value * 10.0) / 10.0 + 0.0
}

fn text(x: f64, y: f64, anchor: &str, words: &str) -> Text {
    Text::new(words).set("x", short(x)).set("y", short(y)).set("text-anchor", anchor)
}

/// One comparison.
struct Dot {
    group: String,
    angle: Angle,
    level_db: f64,
    error_db: f64,
}

fn dots(file: &CaseFile, peaks: &Peaks) -> Vec<Dot> {
    let mut dots: Vec<Dot> = report::compared(file, peaks)
        .map(|(case, level_db, peak)| Dot {
            group: case.group.clone(),
            angle: Angle::of(case.theta_deg),
            level_db,
            error_db: peak.db - level_db,
        })
        .collect();
    for case in &file.cases3d {
        let peak = peaks.get(&(case.id.clone(), "direct".to_owned()));
        if let (Some(peak), Some(level_db)) = (peak, case.db_re_sdh3_3d) {
            let (group, angle) = ("3D".to_owned(), Angle::of(case.theta_deg));
            dots.push(Dot { group, angle, level_db, error_db: peak.db - level_db });
        }
    }
    dots
}

/// The map as SVG; `None` when there is nothing to compare with.
pub fn map(file: &CaseFile, peaks: &Peaks) -> Option<String> {
    let dots = dots(file, peaks);
    if dots.is_empty() {
        return None;
    }
    let rows = PANELS.len().div_ceil(2) as f64;
    let (width, height) = (LEFT + 2.0 * WIDTH + BESIDE + 12.0, ABOVE + rows * (HEIGHT + BELOW) + 8.0);
    let words = format!(
        "Error of the echo model against a full-wave computation for {} echoes, over the height of the echo, a panel \
         for each kind of reflector.",
        dots.len()
    );
    let mut document = Document::new()
        .set("viewBox", (0, 0, width, height))
        .set("role", "img")
        .set("font-family", "system-ui, sans-serif")
        .set("font-size", LETTER)
        .add(Title::new("Error map of the echo model"))
        .add(Description::new().add(svg::node::Text::new(words)))
        .add(Style::new(STYLE));
    let mut x = LEFT;
    document = document.add(text(x - 44.0, 24.0, "start", "Beam angle"));
    x += 86.0;
    for angle in Angle::ALL {
        document = document.add(angle.mark(x, 18.0)).add(text(x + 10.0, 24.0, "start", angle.words()));
        x += 134.0;
    }
    for (line, words) in (0..).zip(LEGEND) {
        document = document.add(text(LEFT - 44.0, 50.0 + 23.0 * f64::from(line), "start", words));
    }
    for (index, (groups, name)) in PANELS.iter().enumerate() {
        let left = LEFT + (index % 2) as f64 * (WIDTH + BESIDE);
        let top = ABOVE + (index / 2) as f64 * (HEIGHT + BELOW) + 22.0;
        let own = dots.iter().filter(|dot| groups.contains(&dot.group.as_str()));
        document = document.add(panel(name, left, top, own));
    }
    Some(format!("{document}\n"))
}

fn panel<'a>(name: &str, left: f64, top: f64, dots: impl Iterator<Item = &'a Dot>) -> Group {
    let share = |value: f64, [from, to]: [f64; 2]| ((value - from) / (to - from)).clamp(0.0, 1.0);
    let x = |level: f64| left + WIDTH * share(level, LEVEL_DB);
    let y = |error: f64| top + HEIGHT * (1.0 - share(error, ERROR_DB));
    let line = |class: &str, [x1, y1]: [f64; 2], [x2, y2]: [f64; 2]| {
        Line::new()
            .set("class", class)
            .set("x1", short(x1))
            .set("y1", short(y1))
            .set("x2", short(x2))
            .set("y2", short(y2))
    };
    let mut group = Group::new()
        .add(
            Rectangle::new()
                .set("class", "band")
                .set("x", short(left))
                .set("y", short(y(BAND_DB)))
                .set("width", WIDTH)
                .set("height", short(y(-BAND_DB) - y(BAND_DB))),
        )
        .add(line("zero", [left, y(0.0)], [left + WIDTH, y(0.0)]))
        .add(line("line", [left, top], [left, top + HEIGHT]))
        .add(line("line", [left, top + HEIGHT], [left + WIDTH, top + HEIGHT]))
        .add(text(left, top - 8.0, "start", name).set("font-weight", 600));
    for level in [-20.0, -10.0, 0.0, 10.0, 20.0] {
        let at = x(level);
        group = group.add(line("line", [at, top + HEIGHT], [at, top + HEIGHT + 4.0])).add(text(
            at,
            top + HEIGHT + 22.0,
            "middle",
            &signed(level),
        ));
    }
    for error in [-10.0, 0.0, 10.0] {
        group = group.add(line("line", [left - 4.0, y(error)], [left, y(error)])).add(text(
            left - 7.0,
            y(error) + 6.0,
            "end",
            &signed(error),
        ));
    }
    dots.fold(group, |group, dot| group.add(dot.angle.mark(x(dot.level_db), y(dot.error_db))))
}

/// A whole number with a true minus.
fn signed(value: f64) -> String {
    if value < 0.0 { format!("−{}", -value) } else { format!("{value}") }
}
