// Elements out of names and texts.  Whatever a rig or a show says comes in here as text, and nowhere as markup.

/** Return an element: `make("button", {class: "tick", type: "button"}, "text", child, ...)`; null children are left out. */
function make(tag, given, ...children) {
  const element = document.createElement(tag);
  for (const [name, value] of Object.entries(given || {})) {
    if (value === null || value === undefined || value === false) continue;
    if (name === "does") element.addEventListener("click", value);
    else element.setAttribute(name, value === true ? "" : String(value));
  }
  for (const child of children) {
    if (child !== null && child !== undefined && child !== "") element.append(child);
  }
  return element;
}

/** Return a text of the show, kept to itself: its direction moves no neighbour. */
function said(text) {
  const element = document.createElement("bdi");
  element.textContent = text;
  return element;
}

/** Empty an element and put children into it. */
function fill(element, ...children) {
  element.replaceChildren(...children.filter((child) => child !== null && child !== undefined && child !== ""));
  return element;
}

const byId = (id) => document.getElementById(id);

/** Say something to people who listen rather than look. */
function tell(words) {
  const live = byId("live");
  live.textContent = live.textContent === words ? words + "\u00a0" : words;
}
