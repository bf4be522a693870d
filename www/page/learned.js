// What is kept of a plate after hand-in, for the history over plates. Sealed exams without debrief tell nothing, so nothing is kept.

/** Calls where no flaw is. */
const WRONG = ['false', 'geometry'];

const size = ([from, to]) => to - from;
const middle = ([from, to]) => (from + to) / 2;

/** The sitting of a session as the simulation reads it, with title and mark; null before hand-in and where no marks were told. */
export function learned({ handed_in, about, sheet, started }) {
  const marks = handed_in?.marks;
  if (!marks || about.block) return null;
  const kindOf = (words) => about.kinds.find((kind) => kind.words === words)?.value ?? null;
  return {
    paper_digest: marks.paper_digest,
    begun_ms: started,
    title: about.title,
    mark_percent: marks.percent,
    passed: marks.passed,
    weld_length_mm: about.length_mm,
    false_calls: marks.calls.filter((call) => WRONG.includes(call.outcome)).length,
    // A flaw that nobody can see with this procedure is nobody's miss.
    flaws: marks.flaws.filter((row) => row.counted).map((row) => ({
      kind: kindOf(row.kind),
      length_mm: size(row.extent.along_mm),
      depth_mm: middle(row.extent.depth_mm),
      height_mm: size(row.extent.depth_mm),
      called: row.call ? said(sheet.calls[row.call - 1]) : null,
    })),
  };
}

function said({ kind, start_mm, end_mm, depth_mm, height_mm }) {
  const both = start_mm !== null && end_mm !== null;
  return { kind, length_mm: both ? Math.abs(end_mm - start_mm) : null, depth_mm, height_mm };
}
