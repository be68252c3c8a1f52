// Words for people: names, numbers of channels, what a path says in one line.

const nameOf = (thing, id) => (thing && (thing.name || thing.id)) || id;
const positionName = (id) => nameOf(book.position.get(id), id);
const plural = (count, one, many) => `${count} ${count === 1 ? one : many || one + "s"}`;

/** Return what stands before the number of a path's end: channel, track, place. */
function placeWord(path) {
  const end = book.end.get(path.to) || {};
  if (end.kind === "feed") return "place";
  const position = book.position.get(end.position) || {};
  return position.kind === "record" ? "track" : "channel";
}

/** Return who moves the preamp of a path, seen from its end's position; nothing where it passes none. */
function ownerWords(path) {
  if (!path.preamp) return "";
  const end = book.end.get(path.to) || {};
  if (!path.owner) return "gain at the box";
  return path.owner === end.position ? "gain is yours" : `gain: ${positionName(path.owner)}`;
}

/** Return 48V in words that say unknown where it is unknown. */
function phantomWords(path) {
  const signal = book.signal.get(path.signal) || {};
  if (!signal.phantom) return "";
  return `48V ${path.phantom || "unknown"}`;
}

/** Return the devices a path passes, each once, in order. */
const devicesOf = (path) => [...new Set(hopsOf(path).map((hop) => hop.device))];

/** Return the changes of a path in one line. */
const changeWords = (path) => path.changes.map((words) => (words === "new" ? "new line" : words)).join("; ");

/** Return a text as it is searched: without accents and capitals. */
const folded = (text) => (/^[\x00-\x7f]*$/.test(text) ? text : text.normalize("NFKD").replace(/\p{M}/gu, "")).toLowerCase();

/** Return an ISO time as people read it, in the time of this device. */
function timeWords(iso) {
  const time = new Date(iso);
  if (Number.isNaN(time.getTime())) return "";
  const two = (number) => String(number).padStart(2, "0");
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} ${two(time.getHours())}:${two(time.getMinutes())}`;
}
