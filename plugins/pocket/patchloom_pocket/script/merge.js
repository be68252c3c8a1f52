// What a line check is, and how two of them become one.  No page and no storage here: plain values in, plain values out.
//
// A check is {format, show, lines}; `lines` is a Map from a line's key to {state, at, by, path, notes}.  `state` is "ok",
// "fault" or "" (taken back); the newest wins.  Notes are only added: {at, by, text}; both sides' are kept.  Merging gives the
// same whichever way round it is done, and however often.

const CHECK_FORMAT = "patchloom-line-check/1";
const STATES = ["", "ok", "fault"];
const MOST_TEXT = 4000;

const emptyLine = () => ({ state: "", at: "", by: "", path: "", notes: [] });

/** Return the key of a line: act, end, leg, place, and whether it is the alternate input. */
const lineKey = (path, period) => JSON.stringify([actOf(period), path.to, path.leg, path.number, path.alternate ? 1 : 0]);

/** Return what a line runs through, to tell a tick of before it moved. */
const wayOf = (path) => `${firstOf(path).at} > ${lastOf(path).at}`;

const order = (one, two) => (one < two ? -1 : one > two ? 1 : 0);
const inOrder = (keys) => (one, two) => keys.map((key) => order(one[key], two[key])).find((way) => way) || 0;

/** Return two records of one line as one: the newest state, and the notes of both. */
function mergedLine(one, two) {
  const newer = inOrder(["at", "by", "state", "path"])(one, two) >= 0 ? one : two;
  const notes = new Map();
  for (const note of [...one.notes, ...two.notes]) notes.set(JSON.stringify([note.at, note.by, note.text]), note);
  return {
    state: newer.state,
    at: newer.at,
    by: newer.by,
    path: newer.path,
    notes: [...notes.values()].sort(inOrder(["at", "by", "text"])),
  };
}

/** Return two checks' lines as one. */
function mergedLines(one, two) {
  const lines = new Map();
  for (const key of [...new Set([...one.keys(), ...two.keys()])].sort()) {
    lines.set(key, one.has(key) && two.has(key) ? mergedLine(one.get(key), two.get(key)) : one.get(key) || two.get(key));
  }
  return lines;
}

const short = (text) => (typeof text === "string" ? text.slice(0, MOST_TEXT) : "");
const timely = (text) => (typeof text === "string" && /^\d{4}-\d\d-\d\dT\d\d:\d\d:\d\d(\.\d+)?Z$/.test(text) ? text : "");

/** Return a check as it is written to a file, lines in order, always the same text for the same check. */
function checkText(lines, about) {
  const rows = Object.fromEntries([...lines.entries()].sort((one, two) => order(one[0], two[0])));
  return JSON.stringify({ format: CHECK_FORMAT, ...about, lines: rows }, null, 1) + "\n";
}

/** Return the lines of a check read from a text; throw words for a person where it is none, or of another show. */
function readCheck(text, show) {
  let data;
  try {
    data = JSON.parse(text);
  } catch {
    throw new Error(say("This is no line check: it cannot be read as one."));
  }
  if (!data || typeof data !== "object" || data.format !== CHECK_FORMAT) {
    throw new Error(say("This is no line check of this kind of book."));
  }
  if (data.show !== show) throw new Error(say("This line check is of another show."));
  const lines = new Map();
  for (const [key, row] of Object.entries(data.lines && typeof data.lines === "object" ? data.lines : {})) {
    if (!row || typeof row !== "object") continue;
    const notes = (Array.isArray(row.notes) ? row.notes : [])
      .filter((note) => note && typeof note === "object" && short(note.text) && timely(note.at))
      .map((note) => ({ at: timely(note.at), by: short(note.by), text: short(note.text) }));
    const state = STATES.includes(row.state) && timely(row.at) ? row.state : "";
    const line = { state, at: state === row.state ? timely(row.at) : "", by: short(row.by), path: short(row.path), notes };
    lines.set(short(key), line.at || notes.length ? mergedLine(line, emptyLine()) : emptyLine());
  }
  return lines;
}
