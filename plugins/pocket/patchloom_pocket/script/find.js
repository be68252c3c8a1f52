// Search: a source, and where it is at every desk.

const searched = new Map();

/** Return what is searched of every signal in a period: made once, then only read. */
function searchRows(period) {
  if (!searched.has(period)) {
    const rows = [];
    for (const [id, paths] of inPeriod(period).bySignal) {
      const signal = book.signal.get(id) || { id, name: id, about: [], legs: [] };
      const words = [id, signal.name || "", signal.zone || "", ...(signal.about || [])];
      for (const path of paths) {
        const first = firstOf(path);
        const last = lastOf(path);
        words.push(
          path.leg,
          path.name,
          first.line,
          first.at,
          last.line,
          last.at,
          `${path.to} ${path.number}`,
          `${path.to}${path.number}`,
        );
      }
      rows.push({ id, signal, paths, name: folded(`${signal.name || ""} ${id}`), text: folded([...new Set(words)].join("\n")) });
    }
    searched.set(period, rows);
  }
  return searched.get(period);
}

/** Return the signals that have every word asked for, those whose name begins with it first. */
function found(words, period) {
  const parts = folded(words).split(/\s+/).filter(Boolean);
  const rank = (row) => (row.name.startsWith(parts[0]) ? 0 : row.name.includes(parts[0]) ? 1 : 2);
  return searchRows(period)
    .filter((row) => parts.every((part) => row.text.includes(part)))
    .map((row, place) => [parts.length ? rank(row) : 0, place, row])
    .sort((one, two) => one[0] - two[0] || one[1] - two[1])
    .map((row) => row[2]);
}

/** Return the paths of a position whose channel is the number asked for. */
function channelsAt(words, position, period) {
  if (!/^\d+$/.test(words.trim())) return [];
  return endsOf(position, period)
    .filter((end) => end.kind !== "feed")
    .flatMap((end) =>
      inPeriod(period)
        .byEnd.get(end.id)
        .filter((path) => path.number === Number(words)),
    );
}

/** Return where a signal enters: each leg's socket, or the mix it is made on. */
function entries(paths) {
  const lines = new Map();
  for (const path of paths) if (!lines.has(path.leg)) lines.set(path.leg, firstOf(path).line);
  return [...lines.values()].join(", ");
}

/** Return one result: the source, its socket, and a button for each desk that has it. */
function findRow({ signal, paths }, chosen) {
  const places = paths.map((path) => {
    const end = book.end.get(path.to) || {};
    const where = end.kind === "feed" ? say("out {line}", { line: lastOf(path).line }) : `${nameOf(end, path.to)} ${path.number}`;
    return make(
      "button",
      {
        type: "button",
        class: "place go",
        "data-kind": "go",
        "data-path": path.number_of,
        "aria-current": chosen === path.number_of ? "true" : null,
        does: () => route.to({ path: path.number_of }),
      },
      said(where),
      path.leg.includes(".") ? make("span", { class: "leg" }, ` ${path.leg.split(".").slice(1).join(".")}`) : null,
      path.changes.length ? make("span", { class: "unseen" }, " ", say("changed")) : null,
    );
  });
  return make(
    "div",
    { class: "hit" },
    make("p", { class: "name" }, said(signal.name || signal.id)),
    make(
      "p",
      { class: "line" },
      said(entries(paths)),
      signal.zone ? make("span", { class: "quiet" }, " ", said(signal.zone)) : null,
    ),
    signal.about && signal.about.length ? make("p", { class: "facts" }, said(signal.about.join(" \u00b7 "))) : null,
    make("p", { class: "places" }, ...places),
  );
}

/** Show what is found. */
function showFind({ position, period, path, find }) {
  const hits = found(find, period);
  const own = channelsAt(find, position, period);
  const rows = rowsOf({ items: hits, label: say("Found"), high: 150, draw: (hit) => findRow(hit, path) });
  shownRows = [rows];
  const count = plural(hits.length, "{count} source or mix", "{count} sources and mixes");
  fill(
    byId("main"),
    make("h2", { id: "title" }, find.trim() ? say("Found") : say("Everything, at every desk")),
    make("p", { class: "quiet" }, count, find.trim() ? ": " : "", find.trim() ? said(find.trim()) : ""),
    own.length
      ? make(
          "div",
          { class: "own" },
          make("h3", {}, say("{position}: number {number}", { position: positionName(position), number: find.trim() })),
          ...own.map((each) => pathRow(each, period, { chosen: path })),
        )
      : null,
    rows,
  );
  tell(count);
}
