// Turns a set-up into a frame, in buffers that travel to the page and back.

/** Puts the probe where a set-up has it: lifted off before it moves, set down after. */
export function placeProbe(bench, { t_ms, pose, lifted }) {
  if (lifted) bench.set_lifted(t_ms, true);
  bench.set_face(pose.face);
  bench.set_pose(t_ms, pose.side, pose.index_offset_mm, pose.y_mm, pose.skew_deg);
  bench.set_lifted(t_ms, lifted);
}

export class Frames {
  #memory;
  #spare = [];

  constructor(memory) {
    this.#memory = memory;
  }

  /** Takes back buffers the page is done with. */
  giveBack(buffers) {
    if (buffers) this.#spare.push(...buffers);
    this.#spare.splice(0, this.#spare.length - 6);
  }

  /** Scans at the set-up and copies picture and trace out of the program's memory. */
  make(bench, setup) {
    const start = performance.now();
    const { pose, gate } = setup;
    placeProbe(bench, setup);
    bench.set_rail(setup.t_ms, setup.rail ? pose.index_offset_mm : undefined);
    bench.set_gain_db(setup.t_ms, setup.gain_db);
    bench.set_beam(setup.t_ms, setup.beam);
    bench.set_gate(setup.t_ms, gate.start_mm, gate.length_mm, gate.threshold_percent);
    bench.set_gates(setup.t_ms, JSON.stringify({ second: setup.second_gate, points: setup.gate_points }));
    bench.frame();
    const scanned = performance.now();
    bench.paint(setup.view, setup.leg ?? undefined);
    bench.take_trace();
    const picture = this.#copy(bench.picture_pointer(), bench.picture_length());
    const trace = this.#copy(bench.trace_pointer(), bench.trace_length() * Float32Array.BYTES_PER_ELEMENT);
    const end = performance.now();
    const content = {
      setup,
      picture: { buffer: picture, place: JSON.parse(bench.picture_frame()) },
      trace: { buffer: trace, step_mm: bench.trace_step_mm() },
      reading: JSON.parse(bench.reading()),
      second_reading: JSON.parse(bench.second_reading()),
      points: bench.points_seen(),
      times_ms: { scan: scanned - start, paint: end - scanned, whole: end - start },
    };
    return { content, transfer: [picture, trace] };
  }

  #copy(pointer, bytes) {
    const at = this.#spare.findIndex((buffer) => buffer.byteLength === bytes);
    const buffer = at < 0 ? new ArrayBuffer(bytes) : this.#spare.splice(at, 1)[0];
    new Uint8Array(buffer).set(new Uint8Array(this.#memory.buffer, pointer, bytes));
    return buffer;
  }
}
