use page::bench::Bench;
use serde_json::Value;
fn look(plate: &str, side: &str, gain: f64, skews: &[f64], offsets: &[f64], ys: &[f64]) {
    let root = std::path::PathBuf::from(env!("CARGO_MANIFEST_DIR")).join("../../scenarios");
    let bytes = std::fs::read(root.join(plate)).unwrap();
    let mut b = Bench::from_paper(plate, &bytes).unwrap_or_else(|_| panic!());
    let mut t = 0.0;
    for &y in ys {
        for &skew in skews {
            for &o in offsets {
                t += 300.0;
                b.set_pose(t, side, o, y, skew).unwrap_or_else(|_| panic!());
                b.set_gain_db(t, gain).unwrap_or_else(|_| panic!());
                b.frame();
                let e: Value = serde_json::from_str(&b.echoes(8.0, 7).unwrap_or_else(|_| panic!())).unwrap();
                print!("{plate} {side} y{y} o{o} sk{skew}:");
                for e in e.as_array().unwrap() {
                    print!(
                        " [L{} d{:.1} x{:.1} {:.0}% b{} p{:.0}]",
                        e["leg"],
                        e["depth_mm"].as_f64().unwrap(),
                        e["offset_mm"].as_f64().unwrap(),
                        e["amplitude_percent"].as_f64().unwrap(),
                        e["beam"],
                        e["sound_path_mm"].as_f64().unwrap()
                    );
                }
                println!();
            }
        }
    }
}
#[test]
fn explore() {
    let o = [15.0, 21.0, 27.0, 33.0, 39.0, 45.0, 51.0];
    look("plates/th-07.toml", "A", 40.0, &[0.0], &o, &[90.0, 130.0, 55.0, 222.0]);
    look("plates/th-07.toml", "B", 40.0, &[0.0], &o, &[90.0, 130.0, 55.0, 222.0]);
    look(
        "blocks/radius-block.toml",
        "B",
        40.0,
        &[0.0],
        &[-98.0, -90.0, -80.0, -70.0, -60.0, -50.0, -45.0, -40.0, -35.0, -30.0, -25.0, -20.0, -10.0, 0.0],
        &[12.0],
    );
    look("plates/th-01.toml", "A", 40.0, &[0.0], &[13.0, 17.0, 21.0, 25.0, 29.0, 33.0], &[50.0, 150.0]);
    look("plates/th-01.toml", "B", 40.0, &[0.0], &[13.0, 17.0, 21.0, 25.0, 29.0, 33.0], &[50.0, 150.0]);
    look("plates/th-13.toml", "A", 40.0, &[0.0], &[20.0, 30.0, 40.0], &[100.0, 110.0]);
}
