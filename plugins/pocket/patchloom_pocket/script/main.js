// What stands around the list: stamp, findings, the choice of position and act, search, theme; and the start of it all.

const THEMES = ["dark", "daylight"];

/** Return the theme in force. */
function themeNow() {
  const set = document.documentElement.dataset.theme;
  if (THEMES.includes(set)) return set;
  return window.matchMedia("(prefers-color-scheme: dark)").matches ? "dark" : "daylight";
}

function setTheme(theme) {
  document.documentElement.dataset.theme = theme;
  fill(byId("theme"), theme === "dark" ? say("Daylight") : say("Dark stage"));
}

/** Say the shell's own words in the book's language. */
function shell() {
  for (const element of document.querySelectorAll("[data-say]")) element.prepend(say(element.dataset.say), " ");
  for (const element of document.querySelectorAll("[data-say-label]"))
    element.setAttribute("aria-label", say(element.dataset.sayLabel));
}

/** Write what every view has: the stamp, and what the checks found. */
function frame() {
  const stamp = book.stamp;
  const digest = (stamp.patch || "").split(":")[1] || "";
  fill(byId("show"), said(stamp.show || say("Pocket book")));
  const words = [
    stamp.date,
    stamp.revision ? `REV ${stamp.revision}` : say("REV none given"),
    say(stamp.status || "DRAFT"),
    stamp.replaces ? say("replaces {revision}", { revision: stamp.replaces }) : "",
    stamp.generated ? say("made {when}", { when: stamp.generated }) : "",
    stamp.approver ? say("approved: {who}", { who: stamp.approver }) : "",
    digest ? say("patch {digest}", { digest: digest.slice(0, 12) }) : "",
  ];
  fill(byId("stamp"), said(words.filter(Boolean).join(" \u00b7 ")));
  const grave = (book.remarks || []).filter((row) => row.kind === "stop" || row.kind === "safety");
  const other = (book.remarks || []).filter((row) => !grave.includes(row));
  const line = (row) => make("p", { class: `remark ${row.kind}` }, make("b", {}, `${kindWord(row.kind)}: `), said(row.text));
  fill(
    byId("grave"),
    ...grave.map(line),
    grave.length
      ? make(
          "button",
          {
            type: "button",
            class: "chip whole",
            "aria-pressed": "false",
            does: (event) => {
              const whole = byId("grave").classList.toggle("full");
              event.currentTarget.setAttribute("aria-pressed", whole ? "true" : "false");
            },
          },
          say("In full"),
        )
      : null,
    other.length
      ? make(
          "details",
          {},
          make(
            "summary",
            {},
            plural(other.length, "{count} further remark of the checks", "{count} further remarks of the checks"),
          ),
          ...other.map(line),
        )
      : null,
  );
  byId("grave").hidden = !grave.length && !other.length;
  fill(
    byId("foot"),
    ...(book.cautions || []).map((row) => make("p", {}, make("b", {}, `${kindWord(row.area)}: `), said(row.text))),
    make("p", {}, book.checked),
  );
}

/** Make the choices: position, act, view. */
function choices() {
  const positions = byId("positions");
  for (const position of book.positions || []) {
    const input = make("input", { type: "radio", name: "position", value: position.id, id: `position-${position.id}` });
    input.addEventListener("change", () => {
      store.choose("position", position.id);
      const { view } = route.now();
      route.to({
        position: position.id,
        view: view === "find" ? "list" : view,
        find: view === "find" ? "" : route.now().find,
        paper: "",
      });
    });
    positions.append(
      make(
        "label",
        { class: "pick", for: `position-${position.id}` },
        input,
        make("span", {}, said(nameOf(position, position.id))),
      ),
    );
  }
  positions.hidden = !(book.positions || []).length;
  const period = byId("period");
  for (const each of book.periods || [])
    period.append(make("option", { value: each.id }, `${each.act ? "\u2013 " : ""}${nameOf(each, each.id)}`));
  period.addEventListener("change", () => route.to({ period: period.value }));
  byId("periods").hidden = (book.periods || []).length < 2;
  for (const [key, [words]] of Object.entries(VIEWS)) {
    byId("parts").append(
      make(
        "button",
        { type: "button", "data-view": key, does: () => route.to({ view: key, path: narrow() ? "" : route.now().path }) },
        words,
      ),
    );
  }
}

/** Bring the choices in line with where we are. */
function controls(now) {
  for (const input of document.querySelectorAll("input[name=position]")) input.checked = input.value === now.position;
  byId("period").value = now.period;
  for (const button of byId("parts").children) {
    if (button.dataset.view === now.view) button.setAttribute("aria-current", "page");
    else button.removeAttribute("aria-current");
  }
  if (document.activeElement !== byId("find")) byId("find").value = now.view === "find" ? now.find : "";
  byId("find").setAttribute("aria-describedby", "live");
}

shell();
frame();
choices();
setTheme(THEMES.includes(store.choice("theme")) ? store.choice("theme") : themeNow());
byId("theme").addEventListener("click", () => {
  const next = themeNow() === "dark" ? "daylight" : "dark";
  store.choose("theme", next);
  setTheme(next);
});
byId("find").addEventListener("input", () => route.to({ view: "find", find: byId("find").value }, route.now().view === "find"));
byId("find").addEventListener("keydown", (event) => {
  if (
    (event.key === "ArrowDown" || event.key === "Enter") &&
    route.now().view === "find" &&
    shownRows[0] &&
    shownRows[0].childElementCount
  ) {
    event.preventDefault();
    shownRows[0].go(0);
  }
});
byId("skip").addEventListener("click", (event) => {
  event.preventDefault();
  byId("main").focus();
});
document.addEventListener("keydown", (event) => {
  if (event.key === "Escape" && route.now().path !== -1) route.close();
});
store.listen(() => {
  if (route.now().view === "check" && showCheck.again) showCheck.again();
  else for (const rows of shownRows) rows.refresh();
});
window.addEventListener("hashchange", route.show);
window.addEventListener("beforeprint", () => {
  for (const rows of shownRows) rows.whole();
});
route.show();
performance.mark("patchloom shown");
