// Where a reader is, kept in the address behind the #: the Back key, a reload and a bookmark all know it.

const VIEWS = {
  list: [say("My list"), showList],
  find: [say("Find"), showFind],
  check: [say("Line check"), showCheck],
  papers: [say("Papers"), showPapers],
};
const KEYS = ["view", "position", "period", "path", "find", "paper", "order", "only", "open"];

const route = (() => {
  let now = {};
  let came = null;

  /** Return where the address says we are; what it says wrongly or not at all is the first there is. */
  function read() {
    const given = new URLSearchParams(location.hash.slice(1));
    const at = Object.fromEntries(KEYS.map((key) => [key, given.get(key) || ""]));
    const number = (text, rows) => (/^\d+$/.test(text) && Number(text) < rows.length ? Number(text) : -1);
    const first = (map) => (map.size ? [...map.keys()][0] : "");
    return {
      ...at,
      view: at.view in VIEWS ? at.view : "list",
      position: book.position.has(at.position)
        ? at.position
        : book.position.has(store.choice("position"))
          ? store.choice("position")
          : first(book.position),
      period: book.period.has(at.period) ? at.period : first(book.period),
      path: number(at.path, book.paths),
      paper: number(at.paper, book.papers),
    };
  }

  /** Go somewhere: what is not named stays; another view or position lets go of the path and the paper. */
  function to(change, replace) {
    const next = { ...now, ...change }; // `key` says what is drawn, and is no part of the address
    if ("view" in change && change.view !== now.view) next.paper = "";
    if (next.view === "papers") next.path = "";
    if (("position" in change && change.position !== now.position) || ("period" in change && change.period !== now.period))
      next.path = "";
    const words = new URLSearchParams();
    for (const key of KEYS) {
      const value = next[key];
      if (value !== "" && value !== undefined && value !== -1) words.set(key, value);
    }
    if ("path" in change && change.path !== "" && change.path !== -1) came = document.activeElement;
    const hash = `#${words}`;
    if (hash === location.hash) return;
    if (replace) {
      history.replaceState(null, "", hash);
      show();
    } else {
      location.hash = hash;
    }
  }

  /** Leave the path. */
  const close = () => to({ path: "" });

  /** Go back to the row a path was opened from. */
  function backTo(row) {
    const again = came && came.isConnected ? came : document.querySelector(`#main [data-path="${row}"]`);
    if (again) again.focus();
    came = null;
  }

  /** Show where we are: the list anew only where it is another one, so that a long list keeps its place. */
  function show() {
    const before = now;
    now = read();
    const key = (now.key = JSON.stringify([
      now.view,
      now.position,
      now.period,
      now.find,
      now.paper,
      now.order,
      now.only,
      now.open,
    ]));
    if (key !== before.key) {
      VIEWS[now.view][1](now);
      if (before.view && (before.view !== now.view || before.paper !== now.paper || before.position !== now.position)) {
        if ((narrow() && now.view !== "find") || now.paper !== -1) byId("title").scrollIntoView();
        else window.scrollTo(0, 0);
        tell(byId("title").textContent);
      }
    }
    for (const element of document.querySelectorAll("#main [data-path]")) {
      if (Number(element.dataset.path) === now.path) element.setAttribute("aria-current", "true");
      else element.removeAttribute("aria-current");
    }
    if (before.path !== now.path || before.period !== now.period) {
      showPath(now);
      const title = byId("path-title");
      if (title && before.view) {
        title.focus({ preventScroll: !narrow() });
        if (narrow()) byId("side").scrollIntoView();
      } else if (!title && key === before.key && before.path !== -1) backTo(before.path);
    }
    document.body.dataset.view = now.view;
    document.body.classList.toggle("reading", now.view === "papers");
    controls(now);
  }

  return { to, close, show, now: () => now };
})();

const narrow = () => window.innerWidth < 900;
