// Words for people: names, numbers of channels, what a path says in one line.

/** Return a fixed word or sentence in the book's language, `{name}`s filled in; English is the key. */
function say(text, values = {}) {
  return (book.said[text] || text).replace(/\{(\w+)\}/g, (whole, name) => (name in values ? values[name] : whole));
}

/** Return a sentence with elements in it: like `say`, `{name}`s being whatever can be put on a page. */
function phrase(text, values) {
  const sentence = document.createDocumentFragment();
  (book.said[text] || text).split(/\{(\w+)\}/).forEach((part, place) => sentence.append(place % 2 ? values[part] : part));
  return sentence;
}

/** Return how many there are: `plural(3, "{count} line", "{count} lines")`. */
const plural = (count, one, many) => say(count === 1 ? one : many, { count });

/** Return the word of a remark's kind, or of a caution's area. */
const kindWord = (kind) => (book.kinds[kind] || kind).toUpperCase();

const nameOf = (thing, id) => (thing && (thing.name || thing.id)) || id;
const positionName = (id) => nameOf(book.position.get(id), id);

/** Return what stands before the number of a path's end: channel, track, place. */
function placeWord(path) {
  const end = book.end.get(path.to) || {};
  if (end.kind === "feed") return say("place");
  const position = book.position.get(end.position) || {};
  return position.kind === "record" ? say("track") : say("channel");
}

/** Return who moves the preamp of a path, seen from its end's position; nothing where it passes none. */
function ownerWords(path) {
  if (!path.preamp) return "";
  const end = book.end.get(path.to) || {};
  if (!path.owner) return say("gain at the box");
  return path.owner === end.position ? say("gain is yours") : say("gain: {who}", { who: positionName(path.owner) });
}

/** Return 48V in words that say unknown where it is unknown. */
function phantomWords(path) {
  const signal = book.signal.get(path.signal) || {};
  if (!signal.phantom) return "";
  return `48V ${path.phantom || say("unknown")}`;
}

/** Return the devices a path passes, each once, in order. */
const devicesOf = (path) => [...new Set(hopsOf(path).map((hop) => hop.device))];

/** Return the changes of a path in one line. */
const changeWords = (path) => path.changes.map((words) => (words === "new" ? say("new line") : words)).join("; ");

/** Return a text as it is searched: without accents and capitals. */
const folded = (text) => (/^[\x00-\x7f]*$/.test(text) ? text : text.normalize("NFKD").replace(/\p{M}/gu, "")).toLowerCase();

/** Return an ISO time as people read it, in the time of this device. */
function timeWords(iso) {
  const time = new Date(iso);
  if (Number.isNaN(time.getTime())) return "";
  const two = (number) => String(number).padStart(2, "0");
  return `${time.getFullYear()}-${two(time.getMonth() + 1)}-${two(time.getDate())} ${two(time.getHours())}:${two(time.getMinutes())}`;
}
