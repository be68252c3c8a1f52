// What a reader does, kept on this device: ticks and notes by the show's digest, and what they chose to look at.
// Where a browser keeps nothing, everything works until the page is closed, and the book says so.

const store = (() => {
  const lineKeyOfShow = `patchloom pocket ${book.show}`;
  const choiceKey = "patchloom pocket choices";
  let kept = true;
  let box = null;
  try {
    box = window.localStorage;
    box.setItem("patchloom pocket try", "1");
    box.removeItem("patchloom pocket try");
  } catch {
    kept = false;
  }

  const read = (key) => {
    try {
      return kept ? box.getItem(key) : null;
    } catch {
      return null;
    }
  };
  const write = (key, text) => {
    try {
      if (kept) box.setItem(key, text);
    } catch {
      kept = false;
      changed();
    }
  };

  let lines = stored();
  let choices = {};
  try {
    const found = JSON.parse(read(choiceKey) || "{}");
    if (found && typeof found === "object") choices = found;
  } catch {
    choices = {};
  }
  const listeners = [];

  function stored() {
    try {
      return readCheck(read(lineKeyOfShow) || "", book.show);
    } catch {
      return new Map();
    }
  }

  /** Keep what is there, with what another window of this book may have kept meanwhile. */
  function keep() {
    lines = mergedLines(lines, stored());
    write(lineKeyOfShow, checkText(lines, { show: book.show }));
    changed();
  }

  function changed() {
    for (const listener of listeners) listener();
  }

  window.addEventListener("storage", (event) => {
    if (event.key === lineKeyOfShow) {
      lines = mergedLines(lines, stored());
      changed();
    }
  });

  return {
    kept: () => kept,
    lines: () => lines,
    line: (key) => lines.get(key) || emptyLine(),
    /** Set the state of a line, now. */
    set(key, state, way) {
      const line = lines.get(key) || emptyLine();
      lines.set(key, { ...line, state, at: new Date().toISOString(), by: short(choices.by || ""), path: way });
      keep();
    },
    /** Add a note to a line, now. */
    note(key, text) {
      const line = lines.get(key) || emptyLine();
      const note = { at: new Date().toISOString(), by: short(choices.by || ""), text: short(text) };
      lines.set(key, mergedLine({ ...line, notes: [...line.notes, note] }, emptyLine()));
      keep();
    },
    /** Take in the lines of another check; return how many lines are different now. */
    merge(others) {
      const before = new Map([...lines].map(([key, line]) => [key, JSON.stringify(line)]));
      lines = mergedLines(lines, others);
      keep();
      return [...lines].filter(([key, line]) => before.get(key) !== JSON.stringify(line)).length;
    },
    text: () =>
      checkText(lines, {
        show: book.show,
        name: book.stamp.show || "",
        revision: book.stamp.revision || "",
        patch: book.stamp.patch || "",
      }),
    choice: (name) => (typeof choices[name] === "string" ? choices[name] : ""),
    choose(name, value) {
      choices = { ...choices, [name]: value };
      write(choiceKey, JSON.stringify(choices));
    },
    listen: (listener) => listeners.push(listener),
  };
})();
