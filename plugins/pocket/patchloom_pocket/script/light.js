// Drawings, with a path lit in them: what it passes stands out, the rest steps back, devices are numbered in its order.

const SVG = "http://www.w3.org/2000/svg";
const READABLE = 4.6; // pixels a millimetre: the smallest type of a drawing comes out at 14 pixels or more
const templates = () => document.querySelectorAll("template.drawing");

/** Return a fresh copy of a drawing. */
const drawingOf = (number) => templates()[number].content.firstElementChild.cloneNode(true);

/** Return the ids that a path lights in the drawings of a paper: nodes, edges, things. */
function litIds(path, paper) {
  const hops = hopsOf(path);
  const ids = new Set();
  for (const hop of hops) {
    ids.add(`node ${hop.device}`);
    if (hop.over) ids.add(`edge ${hop.over}`);
  }
  const stands = new Set([`source ${path.signal}`, `feed ${path.signal}`, ...hops.map((hop) => `device ${hop.device}`)]);
  for (const [thing, of] of Object.entries(paper.of || {})) {
    if (of.some((word) => stands.has(word))) ids.add(thing);
  }
  return ids;
}

/** Return whether a part of a drawing shows one of the ids. */
function shows(part, ids) {
  try {
    return JSON.parse(part.dataset.of).some((id) => ids.has(id));
  } catch {
    return false;
  }
}

/** Light a drawing; return its lit parts. */
function light(svg, ids) {
  const lit = [];
  for (const part of svg.querySelectorAll("[data-of]")) {
    const on = shows(part, ids);
    part.classList.toggle("lit", on);
    if (on) lit.push(part);
  }
  svg.classList.toggle("dim", lit.length > 0);
  return lit;
}

/** Number the devices of a path at the corner of their frames, in its order. */
function numberNodes(svg, path) {
  devicesOf(path).forEach((device, place) => {
    const part = [...svg.querySelectorAll("[data-of].lit")].find(
      (each) => shows(each, new Set([`node ${device}`])) && each.querySelector("rect"),
    );
    if (!part) return;
    const frame = part.querySelector("rect");
    const [x, y] = [Number(frame.getAttribute("x")), Number(frame.getAttribute("y"))];
    const mark = document.createElementNS(SVG, "g");
    mark.setAttribute("class", "order");
    const spot = document.createElementNS(SVG, "circle");
    for (const [name, value] of [
      ["cx", x],
      ["cy", y],
      ["r", 3],
    ])
      spot.setAttribute(name, value);
    const words = document.createElementNS(SVG, "text");
    for (const [name, value] of [
      ["x", x],
      ["y", y + 1.2],
      ["font-size", 3.6],
      ["text-anchor", "middle"],
      ["font-weight", "bold"],
    ])
      words.setAttribute(name, value);
    words.textContent = String(place + 1);
    mark.append(spot, words);
    svg.append(mark);
  });
}

/** Return the papers with drawings that hold in a period, each with how many parts of it a path would light. */
function drawnPapers(path, period) {
  const act = actOf(period);
  return book.papers
    .filter(
      (paper) =>
        paper.drawings &&
        (!paper.period || [paper.period, ...(paper.also || [])].some((each) => each === period || each === act)),
    )
    .map((paper) => ({ paper, ids: litIds(path, paper) }));
}

/** Return figures of the diagram and of the plot that show most of a path. */
function litDrawings(path, period) {
  const figures = [];
  for (const kind of ["diagram", "plan"]) {
    let best = null;
    for (const { paper, ids } of drawnPapers(path, period)) {
      if (paper.kind !== kind) continue;
      for (const number of paper.whole || []) {
        const svg = drawingOf(number);
        const lit = light(svg, ids);
        const count = new Set(lit.map((part) => part.dataset.of)).size;
        if (count && (!best || count > best.count)) best = { paper, svg, lit, count };
      }
    }
    if (best) figures.push(figureOf(best, path));
  }
  return figures;
}

/** Return a figure with its drawing, and buttons that look closer. */
function figureOf({ paper, svg, lit }, path) {
  const title = [paper.title, paper.subject_name, paper.period_name].filter(Boolean).join(" \u00b7 ");
  numberNodes(svg, path);
  svg.removeAttribute("width");
  svg.removeAttribute("height");
  const frame = make("div", { class: "frame", role: "region", tabindex: 0, "aria-label": title }, svg);
  const closer = make(
    "button",
    { type: "button", class: "chip", "aria-pressed": "false", does: () => look(closer.getAttribute("aria-pressed") !== "true") },
    say("Closer"),
  );
  function look(close) {
    closer.setAttribute("aria-pressed", close ? "true" : "false");
    frame.classList.toggle("near", close);
    svg.style.width = close ? `${Number(svg.getAttribute("viewBox").split(" ")[2]) * READABLE}px` : "";
    if (close) towards(frame, lit);
  }
  const figure = make("figure", { class: `lit-figure ${paper.kind}` }, make("figcaption", {}, said(title), " ", closer), frame);
  requestAnimationFrame(() => {
    if (paper.kind === "diagram") crop(svg); // a plot keeps its edges: they say which side is which
    if (narrow()) look(true);
  });
  return figure;
}

/** Cut a drawing to the parts that show something; its notes and legend stand on the paper. */
function crop(svg) {
  const boxes = [...svg.querySelectorAll("[data-of]")].map((part) => part.getBBox()).filter((box) => box.width || box.height);
  if (!boxes.length) return;
  const pad = 6;
  const [left, top] = [Math.min(...boxes.map((box) => box.x)) - pad, Math.min(...boxes.map((box) => box.y)) - pad];
  const [right, low] = [
    Math.max(...boxes.map((box) => box.x + box.width)) + pad,
    Math.max(...boxes.map((box) => box.y + box.height)) + pad,
  ];
  svg.setAttribute("viewBox", [left, top, right - left, low - top].map((number) => number.toFixed(1)).join(" "));
}

/** Move what a frame shows so that the first lit part stands in its middle. */
function towards(frame, lit) {
  const part = lit.find((each) => each.querySelector("rect, circle, polygon")) || lit[0];
  if (!part) return;
  const [box, room] = [part.getBoundingClientRect(), frame.getBoundingClientRect()];
  frame.scrollLeft += box.left + box.width / 2 - room.left - room.width / 2;
  frame.scrollTop += box.top + box.height / 2 - room.top - room.height / 2;
}
