// The list of a position: its channels in its own order, then the mixes it sends out.

/** Return the rows of one end: its paths, with what is empty between them said in one row. */
function rowsOfEnd(end, period) {
  const items = [];
  let last = 0;
  for (const path of inPeriod(period).byEnd.get(end.id) || []) {
    if (end.kind !== "feed" && path.number > last + 1) items.push({ empty: [last + 1, path.number - 1] });
    items.push({ path });
    last = Math.max(last, path.number);
  }
  return items;
}

/** Return the words of a tick, for a row. */
function tickWords(path, period) {
  const line = store.line(lineKey(path, period));
  if (!line.state) return line.notes.length ? say("note") : "";
  const word = line.state === "ok" ? say("checked") : say("FAULT");
  return line.path && line.path !== wayOf(path) ? say("{state} before it moved", { state: word }) : word;
}

/** Return one row: number, name, where it comes in, what matters at a glance. */
function pathRow(path, period, { chosen, zone = false } = {}) {
  const first = firstOf(path);
  const signal = book.signal.get(path.signal) || {};
  const tick = tickWords(path, period);
  const facts = [
    phantomWords(path),
    ownerWords(path),
    path.gain,
    path.trim ? say("trim {trim}", { trim: path.trim }) : "",
  ].filter(Boolean);
  const row = make(
    "button",
    {
      type: "button",
      class: `row go${path.changes.length ? " changed" : ""}${path.alternate ? " other" : ""}`,
      "aria-current": chosen === path.number_of ? "true" : null,
      "data-kind": "go",
      "data-path": path.number_of,
      does: () => route.to({ path: path.number_of }),
    },
    make("span", { class: "number" }, make("span", { class: "unseen" }, `${placeWord(path)} `), String(path.number)),
    make(
      "span",
      { class: "body" },
      make("span", { class: "name" }, said(path.name), path.alternate ? make("span", { class: "tag" }, say("alternate")) : null),
      make(
        "span",
        { class: "line" },
        said(first.line),
        zone && signal.zone ? " \u00b7 " : null,
        zone && signal.zone ? said(signal.zone) : null,
      ),
      facts.length ? make("span", { class: "facts" }, facts.join(" \u00b7 ")) : null,
      path.changes.length ? make("span", { class: "change" }, make("b", {}, say("CHANGED")), " ", said(changeWords(path))) : null,
    ),
    tick ? make("span", { class: `mark ${store.line(lineKey(path, period)).state === "fault" ? "bad" : "good"}` }, tick) : null,
  );
  return row;
}

/** Return a row for empty places: nothing to press, yet arrows pass it. */
function emptyRow([first, last]) {
  const words = say("{run} empty", { run: first === last ? first : `${first}\u2013${last}` });
  return make("div", { class: "row empty go", tabindex: -1, "data-kind": "go" }, words);
}

/** Return what was delivered and is no more, for the ends of a position. */
function goneList(ends, period) {
  const ids = new Set(ends.map((end) => end.id));
  const rows = (book.gone || []).filter((row) => ids.has(row.to) && holds(row, period));
  if (!rows.length) return null;
  return make(
    "section",
    { class: "gone" },
    make("h3", {}, say("No more since the issue before")),
    make(
      "ul",
      {},
      ...rows.map((row) => make("li", {}, phrase("{leg} from {places}", { leg: said(row.leg), places: said(row.was) }))),
    ),
  );
}

let shownRows = [];

/** Show the list of a position. */
function showList({ position, period, path, only }) {
  const ends = endsOf(position, period);
  const sections = [];
  shownRows = [];
  let changed = 0;
  for (const end of ends) {
    const every = rowsOfEnd(end, period);
    changed += every.filter((item) => item.path && item.path.changes.length).length;
    const items = only ? every.filter((item) => item.path && item.path.changes.length) : every;
    if (!items.length) continue;
    const name = nameOf(end, end.id);
    const title = end.kind === "feed" ? say("Mix out: {name}", { name }) : name === positionName(position) ? say("Inputs") : name;
    const rows = rowsOf({
      items,
      label: title,
      high: 76,
      looks: (item) => (item.path ? tickWords(item.path, period) : ""),
      draw: (item) => (item.path ? pathRow(item.path, period, { chosen: path }) : emptyRow(item.empty)),
    });
    shownRows.push(rows);
    const legs = every.filter((item) => item.path).length;
    const count =
      end.kind === "feed" ? plural(legs, "{count} leg", "{count} legs") : plural(legs, "{count} line", "{count} lines");
    sections.push(
      make(
        "section",
        { class: "end" },
        make(
          "h3",
          {},
          said(title),
          make("span", { class: "count" }, ` ${count}`, end.places ? ", " : "", said(end.places || "")),
        ),
        rows,
      ),
    );
  }
  const lost = goneList(ends, period);
  const compare = book.compared
    ? make(
        "p",
        { class: "compare" },
        make(
          "button",
          {
            type: "button",
            class: "chip",
            "aria-pressed": only ? "true" : "false",
            does: () => route.to({ only: only ? "" : "1" }),
          },
          say("Only what changed"),
        ),
        " ",
        book.stamp.replaces
          ? plural(changed, "{count} line changed since REV {revision}", "{count} lines changed since REV {revision}").replace(
              "{revision}",
              book.stamp.replaces,
            )
          : plural(changed, "{count} line changed since the issue before", "{count} lines changed since the issue before"),
      )
    : null;
  fill(
    byId("main"),
    make("h2", { id: "title" }, phrase("{position}: my list", { position: said(positionName(position)) })),
    compare,
    ...(sections.length
      ? sections
      : [make("p", { class: "quiet" }, only ? say("Nothing here has changed.") : say("No lines here in this act or scene."))]),
    lost,
  );
}
