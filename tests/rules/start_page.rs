//! The start page names thickness and joint of every plate of the yard, because it opens none of them; here it is held to
//! the files.

use crate::tree;

fn named_joint(plate: &toml::Table) -> String {
    let joint = plate["joint"].as_table().expect("a joint");
    let preparation = joint["preparation"].as_str().expect("a preparation");
    if joint.contains_key("backing_bar") { "backing-bar" } else { preparation }.to_owned()
}

#[test]
fn the_start_page_tells_every_plate_as_it_is() {
    let (page, texts) = (tree::read("www/page/yard.js"), tree::read("www/page/texts-plates.en.js"));
    let mut complaints = Vec::new();
    let mut plates = 0;
    for file in tree::files("scenarios/plates", &[".toml"]) {
        let paper: toml::Table = file.text.parse().expect("a plate file");
        let plate = paper["plate"].as_table().expect("a plate");
        let name = file.path.trim_start_matches("scenarios/plates/").trim_end_matches(".toml");
        let thickness_mm = plate["thickness_mm"].as_float().expect("a thickness");
        let drawn = format!("['{name}', {thickness_mm}, '{}']", named_joint(plate));
        let told = format!("{} · {thickness_mm} mm, ", name.to_uppercase());
        for (place, wanted) in [(&page, &drawn), (&texts, &told)] {
            if !place.contains(wanted.as_str()) {
                complaints.push(format!("the start page should say {wanted}"));
            }
        }
        plates += 1;
    }
    assert_eq!(page.matches("['th-").count(), plates, "a plate without a file");
    for file in tree::files("scenarios/blocks", &[".toml"]) {
        let name = file.path.trim_start_matches("scenarios/blocks/").trim_end_matches(".toml");
        if !page.contains(&format!("'{name}'")) || !texts.contains(&format!("'block.{name}'")) {
            complaints.push(format!("the start page should offer the block {name}"));
        }
    }
    tree::none(&complaints);
}
