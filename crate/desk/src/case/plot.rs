//! The error map: how far the model is from full-wave answers, over the height of the echo, a panel for each group.

use svg::Document;
use svg::node::element::{
    Definitions, Description, Group, Marker, Path, Polyline, Rectangle, Style, Text, Title, Use,
};

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
/// Name of what all panels have in common.
const AXES: &str = "axes";

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

    /// The mark around the origin, drawn once and put at every place by the name of its class.
    fn mark(self) -> Marker {
        let shape = match self {
            Self::Steep => "M-3.2 0a3.2 3.2 0 1 0 6.4 0a3.2 3.2 0 1 0-6.4 0",
            Self::NearCritical => "M0-4.4l4.2 7.6h-8.4z",
            Self::Shallow => "M-3-3h6v6h-6z",
        };
        Marker::new()
            .set("id", self.class())
            .set("markerUnits", "userSpaceOnUse")
            .set("overflow", "visible")
            .add(Path::new().set("class", self.class()).set("d", shape))
    }

    /// The mark at some places.
    fn at(self, places: &[[f64; 2]]) -> Polyline {
        let mut places: Vec<String> =
            places.iter().map(|&[x, y]| format!("{} {}", short(x), short(y))).collect();
        // One mark for those that fall together.
        places.sort();
        places.dedup();
        let mark = format!("url(#{})", self.class());
        Polyline::new()
            .set("points", places.join(" "))
            .set("fill", "none")
            .set("style", format!("marker:{mark}"))
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
text{fill:#1f2e2a}.line,.zero{fill:none;stroke:#6b756f}.zero{stroke:#1f2e2a}.band{fill:#8a8f83;fill-opacity:.22}
.steep{fill:#0072b2}.critical{fill:#d55e00}.shallow{fill:#009e73}
.steep,.critical,.shallow{fill-opacity:.75;stroke:#fffdf8;stroke-width:.6}
@media(prefers-color-scheme:dark){text{fill:#e9eee9}.line{stroke:#9aa69f}.zero{stroke:#e9eee9}
.steep{fill:#56b4e9}.critical{fill:#e69f00}.shallow{fill:#2fd0a0}.steep,.critical,.shallow{stroke:#131c1a}}";

/// Whole pixels are finer than any mark.
fn short(value: f64) -> f64 {
    libm::round(value) + 0.0
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
        .add(Style::new(STYLE))
        .add(Angle::ALL.into_iter().fold(Definitions::new(), |all, angle| all.add(angle.mark())).add(axes()));
    let mut x = LEFT;
    document = document.add(text(x - 44.0, 24.0, "start", "Beam angle"));
    x += 86.0;
    for angle in Angle::ALL {
        document = document.add(angle.at(&[[x, 18.0]])).add(text(x + 10.0, 24.0, "start", angle.words()));
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

/// Places in a panel, from its upper left corner.
fn x(level_db: f64) -> f64 {
    WIDTH * share(level_db, LEVEL_DB)
}

fn y(error_db: f64) -> f64 {
    HEIGHT * (1.0 - share(error_db, ERROR_DB))
}

fn share(value: f64, [from, to]: [f64; 2]) -> f64 {
    ((value - from) / (to - from)).clamp(0.0, 1.0)
}

/// Band, lines and numbers, the same in all panels.
fn axes() -> Group {
    let mut lines = format!("M0 0V{HEIGHT}H{WIDTH}");
    let mut group = Group::new().set("id", AXES);
    for level in [-20.0, -10.0, 0.0, 10.0, 20.0] {
        lines += &format!("M{} {HEIGHT}v4", short(x(level)));
        group = group.add(text(x(level), HEIGHT + 22.0, "middle", &signed(level)));
    }
    for error in [-10.0, 0.0, 10.0] {
        lines += &format!("M-4 {}h4", short(y(error)));
        group = group.add(text(-7.0, y(error) + 6.0, "end", &signed(error)));
    }
    group
        .add(
            Rectangle::new()
                .set("class", "band")
                .set("y", short(y(BAND_DB)))
                .set("width", WIDTH)
                .set("height", short(y(-BAND_DB) - y(BAND_DB))),
        )
        .add(Path::new().set("class", "line").set("d", lines))
        .add(Path::new().set("class", "zero").set("d", format!("M0 {}H{WIDTH}", short(y(0.0)))))
}

fn panel<'a>(name: &str, left: f64, top: f64, dots: impl Iterator<Item = &'a Dot>) -> Group {
    let mut group = Group::new()
        .set("transform", format!("translate({left} {top})"))
        .add(Use::new().set("href", format!("#{AXES}")))
        .add(text(0.0, -8.0, "start", name).set("font-weight", 600));
    let mut places = Angle::ALL.map(|angle| (angle, Vec::new()));
    for dot in dots {
        for (_, own) in places.iter_mut().filter(|(angle, _)| *angle == dot.angle) {
            own.push([x(dot.level_db), y(dot.error_db)]);
        }
    }
    for (angle, own) in places.iter().filter(|(_, own)| !own.is_empty()) {
        group = group.add(angle.at(own));
    }
    group
}

/// A whole number with a true minus.
fn signed(value: f64) -> String {
    if value < 0.0 { format!("−{}", -value) } else { format!("{value}") }
}
