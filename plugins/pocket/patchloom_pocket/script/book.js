// The book as it came: the data block, read once, its rows turned into things, and the indexes everybody asks.
// Start reading here.  `book` is never changed; what a reader does lives in `store.js`, where they are in `route.js`.

const book = (() => {
  const data = JSON.parse(byId("book").textContent);
  const things = ({ fields, lists, texts, rows }) =>
    rows.map((row, number) => {
      const thing = { number_of: number };
      fields.forEach((name, place) => {
        const held = row[place];
        thing[name] = lists.includes(name) ? held.map((word) => data.words[word]) : texts.includes(name) ? data.words[held] : held;
      });
      return thing;
    });
  const hops = things(data.hops);
  const paths = things(data.paths);
  const keyed = (rows) => new Map(rows.map((row) => [row.id || "", row]));
  return { ...data, hops, paths, end: keyed(data.ends), signal: keyed(data.signals), position: keyed(data.positions), period: keyed(data.periods) };
})();

/** Return the hops of a path, from where the leg enters to where it is wanted. */
const hopsOf = (path) => path.hops.map((number) => book.hops[number]);
const firstOf = (path) => book.hops[path.hops[0]];
const lastOf = (path) => book.hops[path.hops[path.hops.length - 1]];

/** Return whether something holds in a period: what names none holds in all. */
const holds = (thing, period) => !thing.periods || !thing.periods.length || thing.periods.includes(period);

/** Return the act a period belongs to: scenes move no plugs. */
const actOf = (period) => (book.period.get(period) || {}).act || period;

const indexes = new Map();

/** Return what is known of one period: paths by end, by signal; made when first asked for. */
function inPeriod(period) {
  if (!indexes.has(period)) {
    const byEnd = new Map();
    const bySignal = new Map();
    for (const path of book.paths) {
      if (!holds(path, period)) continue;
      if (!byEnd.has(path.to)) byEnd.set(path.to, []);
      byEnd.get(path.to).push(path);
      if (!bySignal.has(path.signal)) bySignal.set(path.signal, []);
      bySignal.get(path.signal).push(path);
    }
    indexes.set(period, { byEnd, bySignal });
  }
  return indexes.get(period);
}

/** Return the ends of a position that have paths in a period: its lists, then the feeds it mixes. */
function endsOf(position, period) {
  const { byEnd } = inPeriod(period);
  return (book.ends || []).filter((end) => end.position === position && byEnd.has(end.id));
}
