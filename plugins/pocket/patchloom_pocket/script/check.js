// The line check: tick, fault, note; kept on this device, out as a file, in again and merged.

const orders = {
  channel: say("channel order"),
  walking: say("walking order"),
};

/** Return the lines of a position in the order asked for. */
function checkLines(position, period, way) {
  const lines = endsOf(position, period)
    .filter((end) => end.kind !== "feed")
    .flatMap((end) => inPeriod(period).byEnd.get(end.id) || []);
  if (way !== "walking") return lines;
  const zones = new Map((book.signals || []).map((signal) => [signal.zone || "", 0]));
  [...zones.keys()].forEach((zone, place) => zones.set(zone, place));
  const zone = (path) => zones.get((book.signal.get(path.signal) || {}).zone || "") || 0;
  const socket = (path) => [firstOf(path).device, Number((firstOf(path).at.match(/\[(\d+)\]$/) || [])[1] || 0)];
  return lines
    .map((path) => ({ path, zone: zone(path), socket: socket(path) }))
    .sort((one, two) => order(one.socket[0], two.socket[0]) || one.zone - two.zone || one.socket[1] - two.socket[1])
    .map((row) => row.path);
}

const noteOpen = new Set();

/** Return one line of the check, with its buttons and notes. */
function checkRow(path, period, chosen, again) {
  const key = lineKey(path, period);
  const line = store.line(key);
  const set = (state) => () => {
    const next = store.line(key).state === state ? "" : state;
    store.set(key, next, wayOf(path));
    tell(`${path.name}: ${next === "ok" ? say("checked") : next === "fault" ? say("fault") : say("open again")}`);
  };
  const button = (state, words) =>
    make(
      "button",
      {
        type: "button",
        class: `tick ${state}`,
        "data-kind": state,
        "aria-pressed": line.state === state ? "true" : "false",
        does: set(state),
      },
      words,
      make("span", { class: "unseen" }, " ", path.name),
    );
  const open = noteOpen.has(key);
  const toggle = make(
    "button",
    {
      type: "button",
      class: "tick note",
      "data-kind": "note",
      "aria-expanded": open ? "true" : "false",
      does: () => {
        if (open) noteOpen.delete(key);
        else noteOpen.add(key);
        again();
        const box = document.querySelector(`textarea[data-key="${CSS.escape(key)}"]`);
        if (!open && box) box.focus();
      },
    },
    say("Note"),
    make("span", { class: "unseen" }, " ", path.name),
  );
  const stamp =
    line.at && line.state
      ? [line.state === "ok" ? say("checked") : say("fault"), timeWords(line.at), line.by].filter(Boolean).join(" \u00b7 ")
      : "";
  const moved = line.state && line.path && line.path !== wayOf(path);
  return make(
    "div",
    { class: `check ${line.state}` },
    pathRow(path, period, { chosen, zone: true }),
    make("div", { class: "ticks" }, button("ok", say("OK")), button("fault", say("Fault")), toggle),
    stamp
      ? make("p", { class: "facts" }, said(stamp), moved ? make("b", {}, " ", say("before it moved: check again")) : null)
      : null,
    line.notes.length
      ? make(
          "ul",
          { class: "notes" },
          ...line.notes.map((note) =>
            make(
              "li",
              {},
              said(note.text),
              make("span", { class: "quiet" }, " ", said([timeWords(note.at), note.by].filter(Boolean).join(" \u00b7 "))),
            ),
          ),
        )
      : null,
    open ? noteBox(path, key, again) : null,
  );
}

/** Return the field for a new note. */
function noteBox(path, key, again) {
  const area = make("textarea", {
    rows: 2,
    maxlength: MOST_TEXT,
    "data-key": key,
    "aria-label": say("Note on {name}", { name: path.name }),
  });
  const keep = () => {
    noteOpen.delete(key);
    if (area.value.trim()) {
      store.note(key, area.value.trim());
      tell(say("Note kept"));
    }
    again();
  };
  area.addEventListener("keydown", (event) => {
    if (event.key === "Escape" || (event.key === "Enter" && (event.ctrlKey || event.metaKey))) {
      event.stopPropagation();
      event.preventDefault();
      if (event.key === "Escape") area.value = "";
      keep();
    }
  });
  return make(
    "div",
    { class: "writing" },
    area,
    make("button", { type: "button", class: "plain", does: keep }, say("Keep note")),
  );
}

/** Hand the check out as a file. */
function exportCheck() {
  const url = URL.createObjectURL(new Blob([store.text()], { type: "application/json" }));
  const name = `line-check-${(book.stamp.revision || "x").replace(/[^A-Za-z0-9]/g, "")}-${new Date()
    .toISOString()
    .slice(0, 16)
    .replace(/[^0-9]/g, "")}.json`;
  const link = make("a", { href: url, download: name });
  document.body.append(link);
  link.click();
  link.remove();
  setTimeout(() => URL.revokeObjectURL(url), 10000);
  tell(say("Exported as {name}", { name }));
}

/** Take a check in from a text, and say what came of it. */
function importCheck(text, report) {
  try {
    const count = store.merge(readCheck(text, book.show));
    const words = plural(count, "{count} line changed here.", "{count} lines changed here.");
    report(`${say("Merged:")} ${words} ${say("The newest tick of a line wins; notes of both are kept.")}`);
  } catch (problem) {
    report(`${problem.message} ${say("Nothing was merged.")}`);
  }
}

/** Return a button that opens all lines of a list again, asked twice; notes stay. */
function openAgain(lines, period) {
  const button = make(
    "button",
    {
      type: "button",
      id: "open-again",
      does: () => {
        if (button.dataset.sure) {
          for (const path of lines)
            if (store.line(lineKey(path, period)).state) store.set(lineKey(path, period), "", wayOf(path));
          delete button.dataset.sure;
          fill(button, say("Open all lines again"));
        } else {
          button.dataset.sure = "asked";
          fill(button, say("Press again to open them all"));
        }
      },
    },
    say("Open all lines again"),
  );
  return button;
}

/** Return the part that hands ticks out and takes them in. */
function exchange(lines, period) {
  const result = make("p", { id: "merged", role: "status" });
  const report = (words) => fill(result, words);
  const input = make("input", { type: "file", accept: ".json,application/json", id: "merge" });
  input.addEventListener("change", async () => {
    for (const file of input.files) importCheck(await file.text(), report);
    input.value = "";
  });
  const area = make("textarea", { id: "paste", rows: 3, "aria-label": say("A line check as text") });
  const by = make("input", { type: "text", id: "by", maxlength: 12, autocomplete: "off", value: store.choice("by") });
  by.addEventListener("change", () => store.choose("by", by.value.trim()));
  return make(
    "details",
    { class: "exchange", open: true },
    make("summary", {}, say("Share and merge")),
    store.kept()
      ? make("p", { class: "quiet" }, say("Ticks and notes stay on this device until you export them."))
      : make(
          "p",
          { class: "loud", id: "unkept" },
          say("This browser keeps nothing: ticks and notes are lost when the page is closed. Export them first."),
        ),
    make("p", {}, make("label", { for: "by" }, say("Your initials"), " ", by)),
    make(
      "p",
      { class: "tasks" },
      make("button", { type: "button", id: "export", does: exportCheck }, say("Export as a file")),
      make("label", { class: "file", for: "merge" }, say("Merge a file"), " ", input),
      openAgain(lines, period),
    ),
    make(
      "details",
      {},
      make("summary", {}, say("Without files")),
      make("p", {}, area),
      make(
        "p",
        { class: "tasks" },
        make(
          "button",
          {
            type: "button",
            does: () => {
              area.value = store.text();
              area.select();
            },
          },
          say("Show as text"),
        ),
        make("button", { type: "button", does: () => importCheck(area.value, report) }, say("Merge this text")),
      ),
    ),
    result,
  );
}

/** Return how far the check is, in words and as a bar. */
function progress(lines, period) {
  const states = lines.map((path) => store.line(lineKey(path, period)));
  const done = states.filter((line) => line.state).length;
  const bad = states.filter((line) => line.state === "fault").length;
  const words = `${say("{done} of {count} checked", { done, count: lines.length })}, ${plural(bad, "{count} fault", "{count} faults")}`;
  return make(
    "div",
    { class: "progress" },
    make("p", { id: "progress" }, words),
    make("progress", { max: Math.max(1, lines.length), value: done, "aria-label": say("Lines checked") }),
  );
}

/** Show the line check of a position. */
function showCheck({ position, period, path, order: way, open }) {
  const every = checkLines(position, period, way);
  const items = open ? every.filter((each) => store.line(lineKey(each, period)).state !== "ok") : every;
  const looks = (item) => JSON.stringify(store.line(lineKey(item, period)));
  const rows = rowsOf({
    items,
    label: say("Line check"),
    high: 150,
    looks,
    draw: (item, place) => checkRow(item, period, path, () => rows.redraw(place)),
  });
  shownRows = [rows];
  const bar = make("div", {}, progress(every, period));
  const choose = make(
    "select",
    { id: "order" },
    ...Object.entries(orders).map(([key, words]) => make("option", { value: key, selected: key === (way || "channel") }, words)),
  );
  choose.addEventListener("change", () => route.to({ order: choose.value }));
  fill(
    byId("main"),
    make("h2", { id: "title" }, phrase("{position}: line check", { position: said(positionName(position)) })),
    bar,
    make(
      "p",
      { class: "tasks" },
      make("label", { for: "order" }, say("Order"), " ", choose),
      make(
        "button",
        {
          type: "button",
          class: "chip",
          "aria-pressed": open ? "true" : "false",
          does: () => route.to({ open: open ? "" : "1" }),
        },
        say("Only what is open"),
      ),
    ),
    make(
      "p",
      { class: "quiet" },
      say("Say the name aloud. One line of every block first, then the rest. 48V only when muted and out of ears."),
    ),
    rows,
    exchange(every, period),
  );
  showCheck.again = () => {
    fill(bar, progress(every, period));
    rows.refresh();
  };
}
