// Calibration and contact: what the page asks of the bench.

/** Answers one call with its values. */
export function calibration(bench, { call, t_ms, step, index_offset_mm, way_mm, stroke, finger }) {
  switch (call) {
    case 'state': return JSON.parse(bench.bench_state());
    case 'film': return JSON.parse(bench.film());
    case 'begin': return JSON.parse(bench.calibration_begin(step));
    case 'move': return JSON.parse(bench.calibration_move(index_offset_mm));
    case 'accept': return JSON.parse(bench.calibration_accept(t_ms));
    case 'check': return JSON.parse(bench.calibration_check(t_ms));
    case 'encoder': return bench.encoder_counts(way_mm);
    case 'encoder_accept': return JSON.parse(bench.encoder_accept(t_ms, way_mm));
    case 'couplant': return bench.lay_couplant(t_ms, JSON.stringify(stroke));
    case 'finger': return bench.press_finger(t_ms, JSON.stringify(finger));
    default: throw new Error(call);
  }
}
