//! Someone who does a lesson by the calls that the page's worker makes.

use std::fs;
use std::path::PathBuf;

use page::bench::Bench;
use page::words::Words;
use serde_json::Value;

pub fn file(path: &str) -> Vec<u8> {
    let root = PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    fs::read(root.join(path)).unwrap_or_else(|error| panic!("{path}: {error}"))
}

/// The hands at the bench.
pub struct Student {
    bench: Bench,
    begin: Vec<Value>,
    step: usize,
    t_ms: f64,
    pose: (String, String, [f64; 3]),
    gain_db: f64,
    view: &'static str,
    leg: Option<u8>,
}

fn parsed(text: Result<String, wasm_bindgen::JsError>) -> Value {
    let text = text.unwrap_or_else(|_| panic!("refused"));
    serde_json::from_str(&text).expect("JSON")
}

impl Student {
    pub fn opens(name: &str) -> Self {
        let lesson = file(&format!("lessons/{name}.toml"));
        let words = file(&format!("lessons/en/{name}.toml"));
        let read = exam::lessons::Lesson::parse(name, &lesson).unwrap_or_else(|error| panic!("{error}"));
        let said = exam::lessons::Words::parse(name, &words).unwrap_or_else(|error| panic!("{error}"));
        said.fit(&read, name, &words).unwrap_or_else(|error| panic!("{error}"));
        let plate = format!("{}.toml", read.plate);
        exam::paper::Paper::parse(&plate, &file(&plate)).unwrap_or_else(|error| panic!("{error}"));
        let mut bench = Bench::from_paper(&plate, &file(&plate)).unwrap_or_else(|_| panic!("refused"));
        let about = parsed(bench.begin_lesson(name, &lesson, name, &words, 0));
        let state = parsed(bench.state());
        let at = |key: &str| state["pose"][key].as_f64().expect("a number");
        let mut student = Self {
            pose: (
                state["pose"]["face"].as_str().expect("a face").to_owned(),
                state["pose"]["side"].as_str().expect("a side").to_owned(),
                [at("index_offset_mm"), at("y_mm"), at("skew_deg")],
            ),
            gain_db: state["gain_db"].as_f64().expect("a gain"),
            begin: about["begin"].as_array().expect("settings").clone(),
            bench,
            step: 0,
            t_ms: 0.0,
            view: "folded",
            leg: None,
        };
        student.begins();
        student
    }

    /// Does what the page does when a step begins; then the goal must still be open.
    fn begins(&mut self) {
        let begin = self.begin[self.step].clone();
        let number = |key: &str| begin[key].as_f64();
        for (key, place) in [("face", 0), ("side", 1)] {
            if let Some(word) = begin[key].as_str() {
                if place == 0 { self.pose.0 = word.to_owned() } else { self.pose.1 = word.to_owned() }
            }
        }
        for (index, key) in ["index_offset_mm", "y_mm", "skew_deg"].into_iter().enumerate() {
            self.pose.2[index] = number(key).unwrap_or(self.pose.2[index]);
        }
        self.gain_db = number("gain_db").unwrap_or(self.gain_db);
        if let Some(angle_deg) = number("beam_deg") {
            self.beam(angle_deg);
        }
        if let Some(gate) = begin["gate"].as_object() {
            let part = |key: &str| gate[key].as_f64().expect("a number");
            self.gate(part("start_mm"), part("length_mm"), part("threshold_percent"));
        }
        let told = self.looks();
        assert_eq!(told["met"], false, "step {} is done before it began: {told}", self.step);
    }

    fn now_ms(&mut self) -> f64 {
        self.t_ms += 300.0;
        self.t_ms
    }

    /// One frame as the worker makes it, then the lesson's view of it.
    pub fn looks(&mut self) -> Value {
        let t_ms = self.now_ms();
        let (face, side, [index_offset_mm, y_mm, skew_deg]) = self.pose.clone();
        let done = |result: Result<(), wasm_bindgen::JsError>| result.unwrap_or_else(|_| panic!("refused"));
        done(self.bench.set_face(&face));
        done(self.bench.set_pose(t_ms, &side, index_offset_mm, y_mm, skew_deg));
        done(self.bench.set_gain_db(t_ms, self.gain_db));
        self.bench.frame();
        done(self.bench.paint(self.view, self.leg));
        self.bench.take_trace();
        let _ = self.bench.examined();
        parsed(self.bench.lesson())
    }

    pub fn stands(&mut self, side: &str, index_offset_mm: f64, y_mm: f64) -> &mut Self {
        (self.pose.1, self.pose.2[0], self.pose.2[1]) = (side.to_owned(), index_offset_mm, y_mm);
        self.looks();
        self
    }

    pub fn gain(&mut self, gain_db: f64) -> &mut Self {
        self.gain_db = gain_db;
        self.looks();
        self
    }

    pub fn shows(&mut self, view: &'static str, leg: Option<u8>) -> &mut Self {
        (self.view, self.leg) = (view, leg);
        self.looks();
        self
    }

    pub fn beam(&mut self, angle_deg: f64) {
        let about = parsed(self.bench.about());
        let beams = about["beams"].as_array().expect("beams");
        let off = |beam: &Value| (beam["angle_deg"].as_f64().expect("an angle") - angle_deg).abs();
        let best =
            (0..beams.len()).min_by(|&a, &b| off(&beams[a]).total_cmp(&off(&beams[b]))).expect("a beam");
        let t_ms = self.now_ms();
        self.bench.set_beam(t_ms, best as u32).unwrap_or_else(|_| panic!("refused"));
    }

    pub fn gate(&mut self, start_mm: f64, length_mm: f64, threshold_percent: f64) {
        let t_ms = self.now_ms();
        self.bench
            .set_gate(t_ms, start_mm, length_mm, threshold_percent)
            .unwrap_or_else(|_| panic!("refused"));
    }

    /// Every echo of the frame, highest first.
    pub fn echoes(&mut self) -> Vec<Value> {
        self.looks();
        parsed(self.bench.echoes(8.0, 200)).as_array().expect("echoes").clone()
    }

    /// Puts the gate on the highest echo of a leg within 3 mm of a place; tells whether there was one.
    pub fn gates(&mut self, depth_mm: f64, offset_mm: f64, leg: u8) -> bool {
        let near = |echo: &Value, key: &str, wanted_mm: f64| {
            (echo[key].as_f64().expect("a number") - wanted_mm).abs() < 3.0
        };
        let found = self.echoes().into_iter().find(|echo| {
            echo["leg"] == leg && near(echo, "depth_mm", depth_mm) && near(echo, "offset_mm", offset_mm)
        });
        let Some(echo) = found else { return false };
        let t_ms = self.now_ms();
        let beam = echo["beam"].as_u64().expect("a beam") as u32;
        self.bench.set_beam(t_ms, beam).unwrap_or_else(|_| panic!("refused"));
        let path_mm = echo["sound_path_mm"].as_f64().expect("a path");
        self.gate(path_mm - 3.0, 6.0, 15.0);
        true
    }

    pub fn reading(&mut self) -> Value {
        self.looks();
        parsed(self.bench.reading())
    }

    pub fn turns(&mut self, skew_deg: f64) -> &mut Self {
        self.pose.2[2] = skew_deg;
        self.looks();
        self
    }

    /// Moves along to each place in turn until a measure of the goal is met.
    pub fn seeks(&mut self, what: &str, places_mm: impl Iterator<Item = f64>) {
        for y_mm in places_mm {
            self.pose.2[1] = y_mm;
            let told = self.looks();
            let measures = told["measures"].as_array().expect("measures");
            if measures.iter().any(|measure| measure["what"] == what && measure["met"] == true) {
                return;
            }
        }
        panic!("{what} is nowhere as wanted: {}", self.looks());
    }

    /// Lays couplant as the brush of the page does on one side.
    pub fn wets(&mut self) {
        let sign = if self.pose.1 == "A" { -1.0 } else { 1.0 };
        let stroke = serde_json::json!({ "from_mm": [sign * 55.0, 0.0], "to_mm": [sign * 55.0, 300.0], "reach_mm": 60.0 });
        let t_ms = self.now_ms();
        self.bench.lay_couplant(t_ms, &stroke.to_string()).unwrap_or_else(|_| panic!("refused"));
        self.looks();
    }

    /// Presses a wet finger on the cap beside the probe, or lifts it.
    pub fn presses(&mut self, on: bool) {
        let place =
            serde_json::json!({ "plate": { "face": "upper", "offset_mm": 0.0, "y_mm": self.pose.2[1] } });
        let finger = if on { place } else { Value::Null };
        let t_ms = self.now_ms();
        self.bench.press_finger(t_ms, &finger.to_string()).unwrap_or_else(|_| panic!("refused"));
        self.looks();
    }

    /// Sets what the step lets be changed of a flaw.
    pub fn varies(&mut self, value: f64) {
        self.bench.vary_lesson(value).unwrap_or_else(|_| panic!("refused"));
        self.looks();
    }

    /// Does a step of the calibration over the whole way of its block.
    pub fn calibrates(&mut self, step: &str) {
        let about = parsed(self.bench.calibration_begin(step));
        for end in [0, 1] {
            let _ = parsed(self.bench.calibration_move(about["way_mm"][end].as_f64().expect("a place")));
        }
        let t_ms = self.now_ms();
        let _ = parsed(self.bench.calibration_accept(t_ms));
    }

    pub fn calibrates_encoder(&mut self) {
        let t_ms = self.now_ms();
        let _ = parsed(self.bench.encoder_accept(t_ms, 500.0));
    }

    pub fn calls(&mut self, call: &Value) {
        let t_ms = self.now_ms();
        let _ = parsed(self.bench.add_call(t_ms, &call.to_string()));
    }

    pub fn hands_in(&mut self) {
        let t_ms = self.now_ms();
        // Nobody reads its drawings.
        let words = Words::of("");
        let _ = parsed(self.bench.hand_in(&words, t_ms));
    }

    pub fn place_mm(&self) -> f64 {
        self.pose.2[1]
    }

    /// The goal of the present step is reached; goes on.
    pub fn reached(&mut self) {
        let told = self.looks();
        let reading = self.reading();
        assert_eq!(told["met"], true, "step {}: {told}, reading {reading}", self.step);
        self.bench.next_lesson_step().unwrap_or_else(|_| panic!("refused"));
        self.step += 1;
        if told["done"] == true {
            assert_eq!(self.step, self.begin.len());
        } else {
            self.begins();
        }
    }

    /// Every step was done.
    pub fn is_done(&mut self) {
        assert_eq!(self.step, self.begin.len(), "steps are left");
        assert_eq!(self.looks()["done"], true);
    }
}
