//! Sector images of textbook situations for the page "the model and its limits", made from a plate file.

use std::path::PathBuf;

use acoustics::scene::{Scene, Surface};
use clap::Args;
use exam::findable;
use exam::paper::Paper;
use instrument::pose::{Face, Pose};

use crate::case::hole;
use crate::failure::Failure;
use crate::files;

mod drawing;
mod situations;

use drawing::Drawing;
use situations::{MIDDLE_MM, SITUATIONS, Situation, What};

/// Diameter of the side-drilled holes, mm.
const HOLE_MM: f64 = 3.0;
/// Places of the holes, x and depth, mm.
const HOLES_MM: [[f64; 2]; 4] = [[-9.0, 4.0], [0.0, 8.0], [9.0, 12.0], [18.0, 16.0]];

/// What the command takes.
#[derive(Args)]
pub struct Arguments {
    /// Plate file whose weld and procedure the situations use; its own flaws are left out.
    plate: PathBuf,
    /// Folder the pictures are written to (PNG).
    #[arg(short, long)]
    output: PathBuf,
}

/// Draws all situations.
///
/// # Errors
/// A plate that cannot be used, or a file that cannot be written.
pub fn run(arguments: &Arguments) -> Result<(), Failure> {
    let base = files::paper(&arguments.plate)?;
    for situation in &SITUATIONS {
        let mut paper = base.clone();
        paper.plate.flaws = situation.flaws();
        let complaints = paper.plate.check();
        if !complaints.is_empty() {
            return Err(Failure::Said(format!("{}: {complaints:?}", situation.name)));
        }
        let path = arguments.output.join(format!("{}.png", situation.name));
        files::write(&path, &draw(&paper, situation)?.png()?)?;
    }
    Ok(())
}

fn draw(paper: &Paper, situation: &Situation) -> Result<Drawing, Failure> {
    let mut instrument = findable::instrument(paper, &paper.plate)?;
    instrument.set_gain_db(paper.procedure.reference_gain_db + situation.more_gain_db);
    let holes = matches!(situation.what, What::Holes);
    if holes {
        let bare = instrument.replace_scene(empty(paper));
        instrument.replace_scene(Scene { surface: row_of_holes(), grain: bare.grain, ..empty(paper) });
    }
    let pose = Pose {
        face: Face::Upper,
        side: situation.side,
        index_offset_mm: situation.index_offset_mm,
        y_mm: if holes { 0.0 } else { MIDDLE_MM },
        skew_deg: 0.0,
    };
    instrument.scan(&pose, 0);
    let mut drawing = Drawing::new(&mut instrument, &pose, paper.plate.thickness_mm);
    if holes {
        drawing.faces(paper.plate.width_mm);
        for centre in HOLES_MM {
            drawing.circle(centre, 0.5 * HOLE_MM);
        }
    } else {
        drawing.weld(&paper.plate.outline());
        for flaw in &paper.plate.flaws {
            drawing.place(&flaw.extent(&paper.plate));
        }
    }
    Ok(drawing)
}

/// The plate's metal between flat faces, without a weld.
fn empty(paper: &Paper) -> Scene {
    Scene {
        solid: paper.plate.solid,
        thickness_mm: Some(paper.plate.thickness_mm),
        surface: Surface::default(),
        upper_not_flat: Vec::new(),
        lower_not_flat: Vec::new(),
        grain: None,
        longitudinal: false,
    }
}

/// Holes along y, around y = 0.
fn row_of_holes() -> Surface {
    let hole = |&[x, z]: &[f64; 2]| hole([x, 0.0, z], 0.5 * HOLE_MM).cavities;
    Surface::default().with_cavities(HOLES_MM.iter().flat_map(hole).collect())
}

#[cfg(test)]
mod tests {
    use instrument::pose::Side;

    use super::{HOLES_MM, draw, situations::SITUATIONS};
    use crate::files;

    #[test]
    fn six_situations_stand_in_seven_pictures() {
        assert_eq!(SITUATIONS.len(), 7);
        assert_eq!(SITUATIONS.iter().filter(|situation| situation.side == Side::B).count(), 1);
        assert!(HOLES_MM.iter().all(|[_, z]| (2.0..18.0).contains(z)));
    }

    #[test]
    fn an_echo_is_drawn_where_the_flaw_is() {
        let file = concat!(env!("CARGO_MANIFEST_DIR"), "/../../scenarios/plates/th-07.toml");
        let mut paper = files::paper(file.as_ref()).expect("a plate");
        let situation =
            SITUATIONS.iter().find(|situation| situation.name == "fusion-a").expect("it is there");
        paper.plate.flaws = situation.flaws();
        // Its highest echo is far above all others.
        let [x, z] = draw(&paper, situation).expect("a picture").brightest();
        let extent = paper.plate.flaws[0].extent(&paper.plate);
        let within = |[from, to]: [f64; 2], place: f64| (from - 0.6..=to + 0.6).contains(&place);
        assert!(within(extent.across_mm, x) && within(extent.depth_mm, z), "{x} {z} of {extent:?}");
    }
}
