//! The sentences in English, by key. The page has the same in its catalogues; a test holds the two together.

use std::sync::LazyLock;

use super::Language;

/// Key and sentence.
const SENTENCES: &[(&str, &str)] = &[
    (
        "said.corner.lower",
        "It is open to the lower face and makes a corner with it. A corner sends sound back from every direction, well near \
         45° and 70°, but poorly near 60°, where most of it turns into longitudinal waves.",
    ),
    (
        "said.corner.upper",
        "It is open to the upper face and makes a corner with it. A corner sends sound back from every direction, well near \
         45° and 70°, but poorly near 60°, where most of it turns into longitudinal waves.",
    ),
    (
        "said.foot",
        "From side {side} its foot is best met by the {angle_deg} beam in leg {leg}, at index offset {offset_mm}.",
    ),
    ("said.foot.none", "From side {side} no beam of the procedure reaches its foot."),
    ("said.face.none", "From side {side} no beam of the procedure reaches it."),
    (
        "said.face.round",
        "From side {side} it is met by the {angle_deg} beam in leg {leg}, at index offset {offset_mm}. It is rounded and sends \
         some sound back in every direction.",
    ),
    (
        "said.face.square",
        "From side {side} the {angle_deg} beam in leg {leg} meets this face {off_deg} off square, at index offset {offset_mm}: \
         the face itself answers.",
    ),
    (
        "said.face.weak",
        "From side {side} this face stands {off_deg} off the nearest beam (the {angle_deg} beam in leg {leg}, at index offset \
         {offset_mm}): it answers weakly.",
    ),
    (
        "said.face.edges",
        "From side {side} this face stands {off_deg} off the nearest beam (the {angle_deg} beam in leg {leg}, at index offset \
         {offset_mm}): only its edges answer.",
    ),
    (
        "said.best",
        "Best with this procedure: {level_db} from side {side} by the {angle_deg} beam in leg {leg}, at index offset \
         {offset_mm}, {y_mm} along.",
    ),
    ("said.had", "At its highest you had it at {seen}."),
    ("said.never", "This session never had its echo on the screen."),
    ("said.lower", "That is {apart_decibels} below the best."),
    ("said.set_ups", "Looked at were the {looked_at} most used of your {used} set-ups."),
    (
        "said.seen",
        "{level_db} ({percent} of the screen) after {t_ms}, from side {side} by the {angle_deg} beam in leg {leg}, at index \
         offset {offset_mm}, {y_mm} along",
    ),
    (
        "said.seen.beyond",
        "{level_db} (beyond the top of the screen) after {t_ms}, from side {side} by the {angle_deg} beam in leg {leg}, at \
         index offset {offset_mm}, {y_mm} along",
    ),
    ("said.miss.unmet", "Missed because no beam of yours ever met it."),
    (
        "said.miss.dry",
        "Missed because the probe had no contact wherever a beam would have met it: keep it on the plate, on fresh couplant.",
    ),
    ("said.miss.silent", "Missed because it gave no echo from where you stood, though beams met it."),
    (
        "said.miss.low",
        "Missed because it stayed low on the screen: at most {seen}. More gain would have shown it.",
    ),
    (
        "said.miss.below",
        "Missed because what you had of it stayed below the recording level of {limit_db}: at most {seen}.",
    ),
    ("said.miss.passed", "You had it before you and did not call it: {seen}, above the recording level."),
    ("said.sheet.clean", "“No recordable indication” is stated, but calls stand on the sheet: {number}"),
    ("said.sheet.calls", "{number} calls, expected at most {most}"),
    ("said.call.start", "Call {call}: its start is {value_mm}, expected {low_mm} to {high_mm}"),
    ("said.call.end", "Call {call}: its end is {value_mm}, expected {low_mm} to {high_mm}"),
    (
        "said.call.across",
        "Call {call}: its place across the weld is {value_mm}, expected {low_mm} to {high_mm}",
    ),
    ("said.call.depth", "Call {call}: its depth is {value_mm}, expected {low_mm} to {high_mm}"),
    ("said.call.height", "Call {call}: its height is {value_mm}, expected {low_mm} to {high_mm}"),
    ("said.call.no_ends", "Call {call}: start and end along the weld are missing"),
    ("said.call.no_start", "Call {call}: the start along the weld is missing"),
    ("said.call.no_end", "Call {call}: the end along the weld is missing"),
    ("said.call.backwards", "Call {call}: the end, {end_mm}, lies before the start, {start_mm}"),
    ("said.call.no_length", "Call {call}: start and end are the same place, {value_mm}"),
    ("said.call.amplitude", "Call {call}: the amplitude is not between −80 and +80 dB"),
    ("said.call.leg", "Call {call}: the leg is not between 1 and 5"),
    ("said.call.kind", "Call {call}: the kind is missing"),
    ("said.call.decision", "Call {call}: accept or reject is missing"),
    ("said.call.remark", "Call {call}: the remark is longer than {most} characters"),
];

/// Every one of them.
pub(super) fn all() -> impl Iterator<Item = (&'static str, &'static str)> {
    use super::{english_drawings, english_marks, english_reports};
    let all = [SENTENCES, english_marks::SENTENCES, english_reports::SENTENCES, english_drawings::SENTENCES];
    all.into_iter().flatten().copied()
}

/// English itself, made once.
pub(super) static LANGUAGE: LazyLock<Language> = LazyLock::new(Language::english);
