//! The sentences of the mark in English, by key.

/// Key and sentence.
pub(super) const SENTENCES: &[(&str, &str)] = &[
    ("said.mark.passed", "Passed: {got_points} of {of_points} points, {got_mark}; {pass_mark} is needed."),
    (
        "said.mark.failed",
        "Not passed: {got_points} of {of_points} points, {got_mark}; {pass_mark} is needed.",
    ),
    (
        "said.mark.sheet",
        "Detection and report: {got_points} of {of_points} points, as the sheet itself earned {sheet_points} of {whole_points}. \
         Application of the method: {method_points} of {most_points} points.",
    ),
    (
        "said.mark.apparatus",
        "Knowledge of the apparatus: {got_points} of {of_points} points (scheme.apparatus).",
    ),
    (
        "said.mark.mandatory.one",
        "Mandatory flaw {flaws} not called: this fails the plate whatever the points.",
    ),
    (
        "said.mark.mandatory.more",
        "Mandatory flaws {flaws} not called: this fails the plate whatever the points.",
    ),
    ("said.mark.found", "{found} of {there} called."),
    ("said.mark.stated", "“No recordable indication” was stated, but the plate has {there}."),
    (
        "said.mark.uncounted",
        "Not counted, for with this procedure they stay below the recording level: flaw {flaws}.",
    ),
    ("said.mark.cost", "{calls} without a flaw of its own took off {cost_points} points."),
    (
        "said.not_marked.sheet",
        "Marked is detection and reporting only; knowledge of the apparatus and application of the method, the other \
         parts of a practical examination, are not marked.",
    ),
    (
        "said.not_marked.recorded",
        "Marked is detection and reporting only, for recorded scans were analysed: knowledge of the apparatus \
         (calibration) and application of the method (coverage, contact, gain, time) are not marked.",
    ),
    (
        "said.not_marked.log",
        "Marked are detection and reporting, and the application of the method; knowledge of the apparatus, another part \
         of a practical examination, is not marked.",
    ),
    (
        "said.not_marked.apparatus",
        "Marked are knowledge of the apparatus, application of the method, and detection and reporting; the written \
         instruction, the last part of a practical examination, is not marked.",
    ),
    ("said.flaws.one", "1 flaw"),
    ("said.flaws.more", "{number} flaws"),
    ("said.calls.one", "1 call"),
    ("said.calls.more", "{number} calls"),
    ("said.flaw", "Flaw {flaw}, {kind}, {from_mm:n}–{to_mm} along the weld, depth {top_mm:n}–{bottom_mm}"),
    ("said.flaw.found", "{what}: found by call {call}, {got_points} of {of_points} points."),
    ("said.flaw.missed", "{what}: not called."),
    ("said.flaw.mandatory", "{what}: not called. It is mandatory, so the plate is failed."),
    (
        "said.flaw.found_low",
        "{what}: found by call {call}, though with this procedure it stays below the recording level; it is not counted.",
    ),
    (
        "said.flaw.low",
        "{what}: not called, and rightly so: with this procedure it stays below the recording level. It is not counted.",
    ),
    ("said.called", "The flaw was called."),
    ("said.length", "{value_mm}"),
    ("said.centre", "on the centreline"),
    ("said.towards", "{value_mm} towards side {side}"),
    ("said.what.along", "Middle along the weld"),
    ("said.what.across", "Place across the weld"),
    ("said.what.length", "Length"),
    ("said.what.depth", "Depth of the middle"),
    ("said.what.height", "Height"),
    ("said.measured.missing", "{what} not given; true: {truth}."),
    ("said.measured.within", "{what} called {called}, true {truth}: {error_mm} off; within {limit_mm}."),
    (
        "said.measured.beyond",
        "{what} called {called}, true {truth}: {error_mm} off; full points within {limit_mm}, none from {none_mm} on.",
    ),
    ("said.kind.right", "Kind called rightly: {true_kind}."),
    ("said.kind.planar", "Kind called {called_kind}, true {true_kind}: another kind, but both are planar."),
    (
        "said.kind.volumetric",
        "Kind called {called_kind}, true {true_kind}: another kind, but both are volumetric.",
    ),
    ("said.kind.not_planar", "Kind called {called_kind} (planar), true {true_kind} (volumetric)."),
    ("said.kind.not_volumetric", "Kind called {called_kind} (volumetric), true {true_kind} (planar)."),
    ("said.kind.missing", "Kind not given; true: {true_kind}."),
    ("said.decision.accept", "accept"),
    ("said.decision.reject", "reject"),
    ("said.decision.none", "not given"),
    ("said.decision.right", "Decision {given} is right: {why}."),
    ("said.decision.wrong", "Decision {given}, right is {right}: {why}."),
    ("said.decision.unknown", "Decision {given}; not marked, for what is right is not known: {why}."),
    ("said.accept.planar", "planar: rejected whatever its size"),
    ("said.accept.volumetric", "volumetric: length {length}, height {height}"),
    ("said.accept.size", "{value_mm} of at most {most_mm}"),
    ("said.accept.no_size", "not known of at most {most_mm}"),
    ("said.accept.no_length", "the length is missing"),
    ("said.accept.no_height", "the height is missing"),
    ("said.accept.no_echo", "the echo is missing"),
    ("said.accept.no_kind", "the kind is missing"),
    ("said.accept.no_levels", "the levels for this thickness are not held"),
    ("said.accept.echo", "{echo_db} against {limit_db}, {length_mm} long"),
    ("said.hit", "Call {call} is flaw {flaw}, {kind}."),
    ("said.stray.cost", "{why} It takes off {cost_points} points."),
    ("said.stray.free", "{why} That flaw is not counted, so it takes off nothing."),
    (
        "said.stray.again",
        "Call {call} is a second call of flaw {flaw} that call {first} has named already; it counts as a false call.",
    ),
    (
        "said.stray.again_free",
        "Call {call} is a second call of flaw {flaw} that call {first} has named already.",
    ),
    (
        "said.stray.outside",
        "Call {call} lies {place} at a depth of {depth_mm}, where {what} echoes: geometry called as a flaw, a false call.",
    ),
    ("said.stray.no_place", "Call {call} names no place along the weld, so it belongs to no flaw."),
    ("said.stray.near", "Call {call} is a false call. Flaw {flaw} is the nearest, but {limits}."),
    ("said.stray.none", "Call {call} is a false call: there is no flaw near this place."),
    ("said.outside.cap", "the cap"),
    ("said.outside.lower_cap", "the lower cap"),
    ("said.outside.drawn_in", "the drawn-in root"),
    ("said.outside.bead", "the root bead"),
    ("said.outside.bar", "the backing bar"),
    ("said.off.start", "its start is {off_mm} off (limit {limit_mm})"),
    ("said.off.end", "its end is {off_mm} off (limit {limit_mm})"),
    ("said.off.across", "its place across the weld is {off_mm} off (limit {limit_mm})"),
    ("said.off.depth", "its depth is {off_mm} off (limit {limit_mm})"),
    ("said.off.no_place", "it names no place along the weld"),
    ("said.clean.nothing", "The plate has nothing to record, and nothing was called wrongly."),
    ("said.clean.calls", "The plate has nothing to record, but the sheet has {calls}."),
    ("said.clean.stated", "“No recordable indication” was stated."),
    ("said.clean.silent", "The sheet is empty; “no recordable indication” was not stated."),
    ("said.clean.beside", "“No recordable indication” cannot stand beside {calls}."),
    (
        "said.examined",
        "Sound met {sides} of what the procedure reaches of weld and heat-affected zone, {mean_mark} on average; full \
         points from {full_mark} on.",
    ),
    ("said.examined.side", "{met_mark} from side {side}"),
    ("said.examined.led", "{examined} {led}."),
    ("said.led.one", "{led_mark} of the way along the weld was led by a guide rail at {offset_mm}"),
    (
        "said.led.more",
        "{led_mark} of the way along the weld was led by a guide rail, laid at {number} index offsets from {low_mm} to \
         {high_mm}",
    ),
    ("said.loud", "Of that, {loud_mark} at scanning gain or above."),
    ("said.minutes", "{used_points} of {allowed_points} minutes were used."),
    ("said.not_scanned", "The weld was not scanned."),
    ("said.gain_begun", "The scan was begun at {gain_decibels}; scanning gain is {wanted_decibels}."),
    ("said.calibrated", "{way_mark} of the way along the weld was scanned with a whole calibration."),
    ("said.checked.never", "The calibration was never checked while or after scanning."),
    ("said.checked", "The last check, after {t_ms}, told {height_db} in height and {path_mm} in sound path"),
    ("said.checked.good", "{check}."),
    ("said.checked.since", "{check}; after it {way_mm:0} along the weld were scanned without another."),
    (
        "said.checked.again",
        "{check}. A check was beyond {most_decibels} or {most_mm} and {most_mark} of the path: what was scanned since the \
         last good one had to be scanned again, and was not: {places}.",
    ),
    ("said.checked.place", "{from_mm:0n} to {to_mm:0} from side {side}"),
    ("said.told", "You could have told it by {by}."),
    ("said.told.place", "{across}, {depth_mm} deep"),
    ("said.told.one", "{level_db} from side {side} ({angle_deg}, leg {leg})"),
    ("said.told.two", "{best} and {other}, {apart_decibels} apart"),
    ("said.told.silent", "{best} and nothing from the other"),
    ("said.told.off", "{off_deg} off square from side {side}"),
    ("said.told.never_lying", "no beam meets it square"),
    ("said.told.lying", "it is met {off}"),
    ("said.told.never_upright", "square by no beam"),
    (
        "said.told.side_wall",
        "its two sides: {two}. A face is heard from where it is met square; a rounded flaw differs little between the \
         sides",
    ),
    ("said.told.side_wall_place", "its place: {place}, on the prepared edge, all along {long_mm}; {two}"),
    ("said.told.inter_run", "how little it gives for its {long_mm}: {two}. It lies flat, and {square}"),
    (
        "said.told.root_edge",
        "where its corner plots: {deep_mm} deep by the {angle_deg} beam in leg {leg}, with the lower face at \
         {thickness_mm}; {two}: one edge of the root alone",
    ),
    (
        "said.told.root_whole",
        "where its corner plots: {deep_mm} deep by the {angle_deg} beam in leg {leg}, with the lower face at \
         {thickness_mm}; {two}: the root as a whole, and no bead, which plots beyond the face",
    ),
    ("said.told.toe", "where its corner plots: {deep_mm} deep in leg {leg}, at the toe ({across}); {two}"),
    (
        "said.told.centreline",
        "its place in mid weld ({place}) and its two sides: {two}. Upright, it is met {square}: its edges answer, one \
         above the other, {apart_mm} apart in depth",
    ),
    (
        "said.told.transverse",
        "turning the probe: across the weld it stands on edge to every beam that is square to the weld, which then hear \
         {level_db} of it at most, over {long_mm} along the tape",
    ),
    ("said.told.slag", "its two sides: {two}, over {long_mm}. A face would be loud from one side only"),
    (
        "said.told.pore",
        "its two sides and its length: {two}, over {long_mm}, no longer than the beam is wide",
    ),
    ("said.told.pores", "its two sides and its many tops: {two}, rising and falling over {long_mm}"),
];
