//! Hands on the page's own bench, with a clock that runs as fast as a person works.

use page::bench::Bench;
use page::words::Words;
use serde_json::{Value, json};

/// The value of a step of the bench. Its errors are JavaScript's, which cannot be made or printed natively.
pub fn done<T, E>(result: Result<T, E>) -> T {
    result.unwrap_or_else(|_| panic!("the bench refused a step"))
}

fn read(text: &str) -> Value {
    serde_json::from_str(text).expect("JSON")
}

/// A place of an echo as the page tells it.
#[derive(Clone, Copy, Debug)]
pub struct Echo {
    /// Side the probe stood on: 'A' or 'B'.
    pub side: char,
    /// Index offset, mm.
    pub offset_mm: f64,
    /// Place along the weld, mm.
    pub y_mm: f64,
    /// Across the weld, mm.
    pub x_mm: f64,
    /// Folded depth, mm.
    pub depth_mm: f64,
    /// Height against the reference, dB; runs no higher than the screen.
    pub db: f64,
}

/// The operator's hands.
pub struct Hand {
    bench: Bench,
    about: Value,
    /// Lines of the drawn section.
    pub outline: Value,
    t_ms: f64,
    gain_db: f64,
    /// Whether the plate may be dry.
    wets: bool,
    calibrated: bool,
}

/// Contact that takes more than this is renewed, dB.
const THIN_DB: f64 = 1.0;
/// A stroke reaches so far beyond the wedge, mm.
const BEYOND_WEDGE_MM: f64 = 6.0;

impl Hand {
    /// Takes a plate that was put on the bench.
    pub fn new(bench: Bench) -> Self {
        let (about, outline) = (read(&done(bench.about())), read(&done(bench.outline())));
        let wets = read(&done(bench.bench_state()))["always_wet"] == json!(false);
        let mut hand = Self { bench, about, outline, t_ms: 0.0, gain_db: 0.0, wets, calibrated: false };
        hand.gain(hand.scanning_gain_db());
        hand
    }

    fn procedure(&self, key: &str) -> f64 {
        self.about["procedure"][key].as_f64().expect("a number of the procedure")
    }

    /// Length of the plate along the weld, mm.
    pub fn length_mm(&self) -> f64 {
        self.about["length_mm"].as_f64().expect("a length")
    }

    /// Thickness, mm.
    pub fn thickness_mm(&self) -> f64 {
        self.about["thickness_mm"].as_f64().expect("a thickness")
    }

    /// Whether the drawing shows a weld from both faces.
    pub fn is_welded_from_both_faces(&self) -> bool {
        self.about["preparation"].as_str().is_some_and(|words| words.starts_with("double"))
    }

    /// Whether a place lies where the drawing has the toe of the cap, or an undercut beside it. What comes and goes there alone
    /// is the rim of one or the other.
    pub fn is_at_the_toe(&self, x_mm: f64, depth_mm: f64) -> bool {
        let toe = |k: usize| self.outline["upper_edges_mm"][k].as_f64().expect("a toe");
        depth_mm < 3.0 && (x_mm < toe(0) + 1.5 || x_mm > toe(1) - 1.5)
    }

    /// Level from which on echoes are recorded, dB.
    pub fn recording_level_db(&self) -> f64 {
        self.procedure("recording_level_db")
    }

    /// Gain for scanning, dB.
    pub fn scanning_gain_db(&self) -> f64 {
        self.procedure("reference_gain_db") + self.procedure("scanning_gain_db")
    }

    /// Gain at which nothing runs off the screen, dB.
    pub fn low_gain_db(&self) -> f64 {
        self.procedure("reference_gain_db") - 14.0
    }

    /// Index offsets that the procedure allows, mm.
    pub fn offsets_mm(&self) -> [f64; 2] {
        let ends = self.about["procedure"]["index_offset_mm"].as_array().expect("two offsets");
        [0, 1].map(|k| ends[k].as_f64().expect("a number"))
    }

    /// Turns the gain.
    pub fn gain(&mut self, gain_db: f64) {
        self.gain_db = gain_db;
        self.t_ms += 500.0;
        done(self.bench.set_gain_db(self.t_ms, gain_db));
    }

    /// Goes through the steps on the blocks, as the panel asks for them, then the encoder.
    pub fn calibrate(&mut self) {
        for step in ["speed", "wedge", "angles", "sensitivity", "path-gain"] {
            self.slide_on_block(step);
            done(self.bench.calibration_accept(self.t_ms));
        }
        done(self.bench.encoder_accept(self.t_ms, 500.0));
        self.calibrated = true;
    }

    /// From one end of the way on the block to the other.
    fn slide_on_block(&mut self, step: &str) {
        let block = read(&done(self.bench.calibration_begin(step)));
        for end in 0..2 {
            self.t_ms += 20_000.0;
            let end_mm = block["way_mm"][end].as_f64().expect("an end of the way");
            done(self.bench.calibration_move(end_mm));
        }
    }

    /// Wets all of a side that the wedge comes over.
    fn wet(&mut self, side: char) {
        let [near, far] = self.offsets_mm();
        let back = far + self.about["procedure"]["probe"]["wedge_length_mm"].as_f64().expect("a length");
        let sign = if side == 'A' { -1.0 } else { 1.0 };
        let x_mm = sign * f64::midpoint(near, back);
        let reach_mm = (back - near) / 2.0 + BEYOND_WEDGE_MM;
        let stroke =
            json!({ "from_mm": [x_mm, 0.0], "to_mm": [x_mm, self.length_mm()], "reach_mm": reach_mm });
        self.t_ms += 5_000.0;
        done(self.bench.lay_couplant(self.t_ms, &stroke.to_string()));
    }

    /// Slides to a place, a tenth of a second for every 5 mm, and looks at what stands higher than a level.
    pub fn look(&mut self, side: char, offset_mm: f64, y_mm: f64, above_db: f64) -> Vec<Echo> {
        self.t_ms += 100.0;
        done(self.bench.set_pose(self.t_ms, &side.to_string(), offset_mm, y_mm, 0.0));
        self.bench.frame();
        let loss = |bench: &Bench| read(&done(bench.bench_state()))["contact_loss_db"].as_f64();
        if self.wets && loss(&self.bench).is_none_or(|loss| loss > THIN_DB) {
            self.wet(side);
            self.bench.frame();
        }
        let height = |db: f64| 80.0 * 10_f64.powf(db / 20.0);
        let gain = self.gain_db - self.procedure("reference_gain_db");
        let spots = read(&done(self.bench.echoes(height(above_db + gain), 60)));
        let number = |spot: &Value, key: &str| spot[key].as_f64().expect("a number");
        let echo = |spot: &Value| Echo {
            side,
            offset_mm,
            y_mm,
            x_mm: number(spot, "offset_mm"),
            depth_mm: number(spot, "depth_mm"),
            db: 20.0 * (number(spot, "amplitude_percent") / 80.0).log10() - gain,
        };
        spots.as_array().expect("a list of echoes").iter().map(echo).collect()
    }

    /// Writes a row of the answer sheet.
    pub fn call(&mut self, call: &Value) {
        self.t_ms += 20_000.0;
        done(self.bench.add_call(self.t_ms, &call.to_string()));
    }

    /// States that nothing is to be recorded.
    pub fn nothing_found(&mut self) {
        done(self.bench.set_no_recordable_indication(self.t_ms, true));
    }

    /// Hands in; the debrief as the page gets it. Who has calibrated checks once more before.
    pub fn hand_in(mut self) -> Value {
        if self.calibrated {
            self.slide_on_block("recheck");
            let check = read(&done(self.bench.calibration_check(self.t_ms)));
            assert_eq!(check["good"], true, "{check}");
        }
        read(&done(self.bench.hand_in(&Words::of(""), self.t_ms)))
    }

    /// Where a prepared edge of side A (0) or B (1) lies at a depth, mm across.
    pub fn edge_mm(&self, side: usize, depth_mm: f64) -> Option<f64> {
        let line = self.outline["preparation"].get(side)?.as_array()?;
        let points: Vec<[f64; 2]> =
            line.iter().map(|point| [0, 1].map(|k| point[k].as_f64().unwrap_or_default())).collect();
        points.windows(2).find_map(|pair| {
            let [[x, z], [next_x, next_z]] = [pair[0], pair[1]];
            let share = (depth_mm - z) / (next_z - z);
            (0.0..=1.0).contains(&share).then_some(x + share * (next_x - x))
        })
    }

    /// A row with a kind and a place.
    pub fn row(kind: &str, along_mm: [f64; 2], x_mm: f64, depth_mm: f64, height_mm: f64) -> Value {
        json!({
            "kind": kind, "start_mm": along_mm[0], "end_mm": along_mm[1], "offset_mm": x_mm, "depth_mm": depth_mm,
            "height_mm": height_mm, "decision": "reject",
        })
    }
}
