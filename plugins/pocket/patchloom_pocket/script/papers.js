// Every paper of the book, to look at and to print.

const BROAD = 8; // columns; a table with more is printed across

const paperTitle = (paper) =>
  [paper.title, paper.subject_name || paper.subject, paper.period_name].filter(Boolean).join(" \u00b7 ");

/** Return a table of a paper. */
function tableOf(table) {
  const columns = table.columns || [];
  const head = make(
    "tr",
    {},
    ...columns.map((column) => make("th", { scope: "col", class: column.kind || "text" }, said(column.title || ""))),
  );
  const blocks = [];
  let body = null;
  let last;
  for (const row of table.rows || []) {
    const block = row.block === undefined ? null : row.block;
    if (!body || block === null || block !== last) {
      body = make("tbody", { class: block === null ? "" : "block" });
      blocks.push(body);
    }
    last = block;
    body.append(rowOf(row, columns));
  }
  return [
    table.title ? make("h3", {}, said(table.title)) : null,
    make(
      "div",
      { class: "wide", role: "region", tabindex: 0, "aria-label": table.title || say("Table") },
      gridOf(table, head, blocks),
    ),
    ...(table.notes || []).map((note) => make("p", { class: "quiet" }, said(note))),
  ].filter(Boolean);
}

/** Return the table itself; a strip to be cut out has columns of exactly its pitch. */
function gridOf(table, head, blocks) {
  const grid = make("table", { class: table.pitch_mm ? "grid strip" : "grid" }, make("thead", {}, head), ...blocks);
  if (table.pitch_mm) {
    const columns = make("colgroup", {}, ...(table.columns || []).map(() => make("col")));
    for (const column of columns.children) column.style.width = `${table.pitch_mm}mm`;
    grid.style.width = `${table.pitch_mm * columns.children.length}mm`;
    grid.prepend(columns);
  }
  return grid;
}

function rowOf(row, columns) {
  if (row.kind === "section") {
    return make(
      "tr",
      { class: "section" },
      make("th", { colspan: Math.max(1, columns.length), scope: "rowgroup" }, said(cellText(row.cells[0] || ""))),
    );
  }
  return make(
    "tr",
    { class: row.kind || "" },
    ...row.cells.map((cell, place) => {
      const column = columns[place] || {};
      const marks = Array.isArray(cell) ? cell.slice(1) : [];
      const box =
        marks.includes("tick") || (column.kind === "tick" && !cellText(cell))
          ? make("span", { class: "box", role: "img", "aria-label": say("to tick") })
          : null;
      const one = (column.kind === "address" || column.kind === "number") && cellText(cell).length <= 14 ? "one" : "";
      return make(
        "td",
        {
          class: [column.kind || "text", column.size || "", one, ...marks.filter((mark) => /^[a-z-]+$/.test(mark))].join(" "),
          "data-head": column.title || "",
        },
        box,
        said(cellText(cell)),
      );
    }),
  );
}

const cellText = (cell) => (Array.isArray(cell) ? cell[0] : cell);

/** Return the steps of a checklist. */
function stepsOf(group) {
  return make(
    "section",
    { class: "steps" },
    make("h3", {}, said(group.title)),
    group.why ? make("p", { class: "quiet" }, said(group.why)) : null,
    make(
      "ol",
      {},
      ...(group.steps || []).map((step) =>
        make(
          "li",
          {},
          step.caution ? make("p", { class: "caution" }, make("b", {}, "! "), said(step.caution)) : null,
          make(
            "p",
            {},
            make("span", { class: "box", role: "img", "aria-label": say("to tick") }),
            make("b", {}, said(step.text)),
          ),
          step.hears && step.hears.length
            ? make("p", { class: "quiet" }, phrase("heard by {positions}", { positions: said(step.hears.join(", ")) }))
            : null,
          step.lines && step.lines.length
            ? make("div", { class: "lines" }, ...step.lines.map((line) => make("p", {}, said(line))))
            : null,
        ),
      ),
    ),
  );
}

/** Return a paper as it is read and printed: what must be said first, then its content, then the cautions. */
function sheetOf(paper) {
  const loud = (paper.remarks || []).filter((row) => row.kind === "stop" || row.kind === "safety");
  const rest = (paper.remarks || []).filter((row) => !loud.includes(row));
  const stamp = book.stamp;
  const drawn = (paper.drawings || []).map((number) =>
    make("div", { class: "frame drawn", role: "region", tabindex: 0, "aria-label": say("Drawing") }, drawingOf(number)),
  );
  const broad = drawn.length || (paper.tables || []).some((table) => (table.columns || []).length > BROAD);
  const content = [
    paper.about ? make("p", { class: "about" }, said(paper.about)) : null,
    ...drawn,
    ...loud.map((row) => make("p", { class: "remark loud" }, make("b", {}, `${kindWord(row.kind)}: `), said(row.text))),
    ...(paper.steps || []).map(stepsOf),
    ...(paper.tables || []).flatMap(tableOf),
    ...(paper.notes || []).map((note) => make("p", { class: "quiet" }, said(note))),
    ...rest.map((row) => make("p", { class: "remark" }, make("b", {}, `${kindWord(row.kind)}: `), said(row.text))),
    ...(paper.cautions || []).map((row) =>
      make("p", { class: "caution" }, make("b", {}, `${kindWord(row.area)}: `), said(row.text)),
    ),
    make("p", { class: "caution" }, book.checked),
  ].filter(Boolean);
  const head = make(
    "p",
    { class: "running" },
    said(paperTitle(paper)),
    paper.position ? ` \u00b7 ${positionName(paper.position)}` : "",
    stamp.revision ? ` \u00b7 REV ${stamp.revision}` : "",
    ` \u00b7 ${say(stamp.status || "DRAFT")}`,
    paper.digest ? ` \u00b7 ${say("this paper {digest}", { digest: paper.digest.split(":")[1].slice(0, 8) })}` : "",
  );
  const table = make(
    "table",
    { class: "sheet", role: "presentation" },
    make("thead", { role: "presentation" }, make("tr", { role: "presentation" }, make("td", { role: "presentation" }, head))),
    make(
      "tbody",
      { role: "presentation" },
      make("tr", { role: "presentation" }, make("td", { role: "presentation" }, ...content)),
    ),
  );
  return make(
    "article",
    { id: "sheet", lang: paper.language || "en", class: broad ? "landscape" : "", "aria-labelledby": "title" },
    table,
  );
}

/** Show the papers there are, or one of them. */
function showPapers({ position, paper: number, period }) {
  const paper = book.papers[number];
  shownRows = [];
  if (paper) {
    fill(
      byId("main"),
      make(
        "p",
        { class: "tasks screen" },
        make("button", { type: "button", id: "papers-back", does: () => route.to({ paper: "" }) }, say("All papers")),
        make("button", { type: "button", id: "print", does: () => window.print() }, say("Print this paper")),
      ),
      make("h2", { id: "title", tabindex: -1 }, said(paperTitle(paper))),
      sheetOf(paper),
    );
    return;
  }
  const groups = new Map([
    [position, []],
    ["", []],
  ]);
  book.papers.forEach((each, place) => {
    const key = each.position || "";
    if (!groups.has(key)) groups.set(key, []);
    groups.get(key).push([each, place]);
  });
  const section = ([key, rows]) =>
    rows.length &&
    make(
      "section",
      {},
      make("h3", {}, key ? said(positionName(key)) : say("Everybody's")),
      make(
        "ul",
        { class: "papers" },
        ...rows.map(([each, place]) =>
          make(
            "li",
            {},
            make(
              "button",
              { type: "button", class: "paper", does: () => route.to({ paper: place }) },
              said(paperTitle(each)),
              each.period && each.period !== period && !(each.also || []).includes(period)
                ? make("span", { class: "quiet" }, " ", say("another act"))
                : null,
            ),
          ),
        ),
      ),
    );
  fill(
    byId("main"),
    make("h2", { id: "title" }, say("Papers")),
    make("p", { class: "quiet" }, say("Open one to print it.")),
    ...[...groups].map(section).filter(Boolean),
  );
}
