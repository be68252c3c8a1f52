// A list of any length: rows are made when they come near the window and let go when they are far, a block at a time.
// One row can be reached by the Tab key; arrows, Home, End and Page keys go from row to row.

const BLOCK = 40;
const MOST_BLOCKS = 25;
const NEAR = "900px";

/**
 * Return the element of a list.  `draw(item, place)` returns a row's element, whose first element to be focused has the class
 * `go`; `high` is about a row's height in pixels; `label` names the list; `looks(item)` is a text that changes when the row does.
 */
function rowsOf({ items, draw, high, label, looks = () => "" }) {
  const list = make("div", { role: "list", "aria-label": label, class: "rows" });
  const blocks = [];
  const full = [];
  let current = 0;

  for (let first = 0; first < items.length; first += BLOCK) {
    const count = Math.min(BLOCK, items.length - first);
    const element = make("div", { role: "none", class: "block" });
    element.style.height = `${count * high}px`;
    const block = { first, count, element, filled: false };
    element.block = block;
    blocks.push(block);
    list.append(element);
  }

  function row(place) {
    const element = make("div", { role: "listitem", "aria-setsize": items.length, "aria-posinset": place + 1, class: "item" });
    element.dataset.place = place;
    element.looks = looks(items[place]);
    element.append(draw(items[place], place));
    reach(element, place === current);
    return element;
  }

  const focusOn = (element, kind) => (element.querySelector(`[data-kind="${kind}"]`) || element.querySelector(".go")).focus();

  /** Let the Tab key reach a row's buttons, or not. */
  function reach(element, whether) {
    for (const button of element.querySelectorAll("button, textarea")) button.tabIndex = whether ? 0 : -1;
  }

  function fillBlock(block) {
    if (block.filled) return;
    block.filled = true;
    full.push(block);
    const made = [];
    for (let place = block.first; place < block.first + block.count; place += 1) made.push(row(place));
    block.element.replaceChildren(...made);
    block.element.style.height = "";
    letGo();
  }

  /** Empty the blocks that were filled longest ago and are out of sight, keeping their height. */
  function letGo() {
    let extra = full.length - MOST_BLOCKS;
    for (const block of [...full]) {
      if (extra <= 0) return;
      const box = block.element.getBoundingClientRect();
      const far = box.bottom < -2000 || box.top > window.innerHeight + 2000;
      if (!far || block.element.contains(document.activeElement)) continue;
      block.element.style.height = `${box.height}px`;
      block.element.replaceChildren();
      block.filled = false;
      full.splice(full.indexOf(block), 1);
      extra -= 1;
    }
  }

  const watcher = new IntersectionObserver(
    (entries) => {
      for (const entry of entries) if (entry.isIntersecting) fillBlock(entry.target.block);
    },
    { rootMargin: NEAR },
  );
  for (const block of blocks) watcher.observe(block.element);
  if (blocks.length) fillBlock(blocks[0]);

  const elementAt = (place) => {
    const block = blocks[Math.floor(place / BLOCK)];
    fillBlock(block);
    return block.element.children[place - block.first];
  };

  function mark(place) {
    const old = blocks[Math.floor(current / BLOCK)];
    if (old && old.filled) reach(old.element.children[current - old.first], false);
    current = place;
    reach(elementAt(place), true);
  }

  function go(place, kind = "go") {
    const bound = Math.max(0, Math.min(items.length - 1, place));
    mark(bound);
    const element = elementAt(bound);
    focusOn(element, kind);
    element.scrollIntoView({ block: "nearest" });
  }

  list.addEventListener("keydown", (event) => {
    if (event.target.tagName === "TEXTAREA" || event.altKey || event.ctrlKey || event.metaKey) return;
    const steps = {
      ArrowDown: current + 1,
      ArrowUp: current - 1,
      PageDown: current + 10,
      PageUp: current - 10,
      Home: 0,
      End: items.length - 1,
    };
    if (!(event.key in steps)) return;
    event.preventDefault();
    go(steps[event.key], event.target.dataset.kind || "go");
  });
  list.addEventListener("focusin", (event) => {
    const item = event.target.closest(".item");
    if (item && Number(item.dataset.place) !== current) mark(Number(item.dataset.place));
  });

  list.go = go;
  /** Draw one row anew, keeping the focus where it was. */
  list.redraw = (place) => {
    const block = blocks[Math.floor(place / BLOCK)];
    if (!block || !block.filled) return;
    const old = block.element.children[place - block.first];
    const kind = old.contains(document.activeElement) ? document.activeElement.dataset.kind || "go" : "";
    const element = row(place);
    old.replaceWith(element);
    if (kind) focusOn(element, kind);
  };
  /** Draw those rows anew that look otherwise now. */
  list.refresh = () => {
    for (const block of full) {
      for (let place = block.first; place < block.first + block.count; place += 1) {
        if (block.element.children[place - block.first].looks !== looks(items[place])) list.redraw(place);
      }
    }
  };
  /** Make every row, for printing. */
  list.whole = () =>
    blocks.forEach((block) => {
      if (!block.filled) {
        block.filled = true;
        block.element.replaceChildren(...Array.from({ length: block.count }, (_, step) => row(block.first + step)));
        block.element.style.height = "";
        full.push(block);
      }
    });
  return list;
}
