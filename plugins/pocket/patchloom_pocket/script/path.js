// The path of one line: a thread with a knot for every hop, what the checks say of it, and the drawings it is lit in.

const STEPS = { plug: say("plugs in"), mix: say("is mixed"), link: say("over"), wired: say("wired"), select: say("chosen") };

/** Return one hop of the thread. */
function hopRow(hop, place, before) {
  const fresh = !before || before.device !== hop.device;
  const facts = [
    [say("can change it"), hop.who || say("not stated")],
    [say("look or listen"), hop.listen || say("not stated for this place")],
  ];
  return make(
    "li",
    { class: `hop ${hop.step}${fresh ? " fresh" : ""}` },
    fresh
      ? make(
          "p",
          { class: "device" },
          said(hop.device),
          hop.place ? make("span", { class: "quiet" }, " ", said(hop.place)) : null,
        )
      : null,
    make(
      "p",
      { class: "spot" },
      make("b", {}, said(hop.line)),
      make("span", { class: "step" }, ` ${STEPS[hop.step] || hop.step}${hop.over ? " " : ""}`, hop.over ? said(hop.over) : ""),
    ),
    make("p", { class: "how", lang: "en" }, said(hop.how)),
    hop.notes.length ? make("p", { class: "set", lang: "en" }, said(hop.notes.join(" \u00b7 "))) : null,
    make("dl", {}, ...facts.flatMap(([term, words]) => [make("dt", {}, term), make("dd", {}, said(words))])),
  );
}

/** Return what the checks say of a path: remarks that name its leg, its signal, its end, or a device or link on its way. */
function remarksOf(path) {
  const names = new Set([path.leg, path.signal]);
  const spots = new Set(hopsOf(path).map((hop) => hop.at));
  return (book.remarks || []).filter((row) => (row.where || []).some((word) => names.has(word) || spots.has(word)));
}

/** Return the other places of the same leg. */
function alsoAt(path, period) {
  const rows = (inPeriod(period).bySignal.get(path.signal) || []).filter((other) => other !== path && other.leg === path.leg);
  if (!rows.length) return null;
  return make(
    "p",
    { class: "places" },
    say("Also at"),
    ...rows.map((other) =>
      make(
        "button",
        { type: "button", class: "place", does: () => route.to({ path: other.number_of }) },
        said(`${nameOf(book.end.get(other.to), other.to)} ${other.number}`),
      ),
    ),
  );
}

/** Show the path a reader pressed, or say how to get one. */
function showPath({ path: number, period }) {
  const side = byId("side");
  const path = book.paths[number];
  document.body.classList.toggle("following", Boolean(path));
  if (!path) {
    fill(side, make("p", { class: "quiet hint" }, say("Press a line to follow its path.")));
    return;
  }
  const end = book.end.get(path.to) || {};
  const hops = hopsOf(path);
  const facts = [
    phantomWords(path),
    ownerWords(path),
    path.gain ? say("gain {gain}", { gain: path.gain }) : "",
    path.trim ? say("trim here {trim}", { trim: path.trim }) : "",
  ].filter(Boolean);
  const remarks = remarksOf(path);
  const figures = litDrawings(path, period);
  fill(
    side,
    make(
      "p",
      { class: "tasks" },
      make("button", { type: "button", id: "back", does: () => route.close() }, say("Back to the list")),
    ),
    make("h2", { id: "path-title", tabindex: -1 }, said(path.name)),
    make(
      "p",
      { class: "from" },
      phrase("{start} to {end}", {
        start: said(firstOf(path).line),
        end: said(end.kind === "feed" ? lastOf(path).line : `${nameOf(end, path.to)} ${placeWord(path)} ${path.number}`),
      }),
      path.alternate ? ` (${say("alternate input")})` : "",
    ),
    path.preamp
      ? make(
          "p",
          { class: "owner" },
          phrase("{who} moves the preamp at {line}", {
            who: make("b", {}, path.owner ? positionName(path.owner) : say("Nobody from afar")),
            line: said(path.preamp),
          }),
        )
      : null,
    facts.length ? make("p", { class: "facts" }, facts.join(" \u00b7 ")) : null,
    path.changes.length ? make("p", { class: "change" }, make("b", {}, say("CHANGED")), " ", said(changeWords(path))) : null,
    ...remarks.map((row) => make("p", { class: `remark ${row.kind}` }, make("b", {}, `${kindWord(row.kind)} `), said(row.text))),
    alsoAt(path, period),
    figures.length
      ? make(
          "p",
          { class: "tasks jump" },
          make("button", { type: "button", does: () => figures[0].scrollIntoView() }, say("See it drawn")),
        )
      : null,
    make(
      "div",
      { class: "way" },
      make(
        "ol",
        { class: "thread", "aria-label": say("Hops") },
        ...hops.map((hop, place) => hopRow(hop, place, hops[place - 1])),
      ),
      make("div", {}, ...figures),
    ),
  );
}
