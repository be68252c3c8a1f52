// The book as it came: the data block, read once, its rows turned into things, and the indexes everybody asks.
// Start reading here.  `book` is never changed; what a reader does lives in `store.js`, where they are in `route.js`.

const book = (() => {
  const data = JSON.parse(byId("book").textContent);
  const { words } = data;
  /** Return what makes the n-th thing of a kind out of its row. */
  const maker = ({ fields, lists, texts, rows }) => {
    const kinds = fields.map((name) => (lists.includes(name) ? "words" : texts.includes(name) ? "word" : "as it is"));
    return (number) => {
      const row = rows[number];
      const thing = { number_of: number };
      for (let place = 0; place < fields.length; place += 1) {
        const held = row[place];
        thing[fields[place]] =
          kinds[place] === "word" ? words[held] : kinds[place] === "words" ? held.map((word) => words[word]) : held;
      }
      return thing;
    };
  };
  const makePath = maker(data.paths);
  const makeHop = maker(data.hops);
  const paths = data.paths.rows.map((_, number) => makePath(number));
  const known = []; // hops are many, and made when first looked at
  const hop = (number) => known[number] || (known[number] = makeHop(number));
  const keyed = (rows) => new Map(rows.map((row) => [row.id || "", row]));
  return {
    ...data,
    hop,
    paths,
    end: keyed(data.ends),
    signal: keyed(data.signals),
    position: keyed(data.positions),
    period: keyed(data.periods),
  };
})();

/** Return the hops of a path, from where the leg enters to where it is wanted. */
const hopsOf = (path) => path.hops.map(book.hop);
const firstOf = (path) => book.hop(path.hops[0]);
const lastOf = (path) => book.hop(path.hops[path.hops.length - 1]);

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
