// The plan as a sheet: arrow keys, pasting rows, a new row when the last one is begun. Everything works without it.
"use strict";
(() => {
  const form = document.querySelector("form[data-plan]");
  if (!form) return;
  const rows = () => [...form.querySelectorAll("tr[data-row]")];
  const cells = (row) => [...row.querySelectorAll("[name^='cell:']")];
  const isTouched = (cell) => cell.type === "checkbox" ? cell.checked : cell.value !== cell.defaultValue;
  const own = (row) => [...row.querySelectorAll("[name^='cell:'], [name^='out:']")];

  // Where a cell stands, and going to another; a move past the edge stays.
  const at = (cell) => {
    const row = cell.closest("tr[data-row]");
    return [rows().indexOf(row), cells(row).indexOf(cell)];
  };
  const go = (down, across) => {
    const row = rows()[down];
    const cell = row && cells(row)[across];
    if (!cell) return false;
    cell.focus();
    cell.select();
    return true;
  };

  // One empty row stands at the end: whoever begins it gets the next one.
  const grow = () => {
    const last = rows().at(-1);
    if (!cells(last).some((cell) => cell.value)) return last;
    const number = Number(last.dataset.row.replace("new-", "")) + 1;
    const next = last.cloneNode(true);
    next.dataset.row = `new-${number}`;
    for (const cell of cells(next)) {
      const field = cell.name.split(":")[2];
      cell.name = `cell:new-${number}:${field}`;
      cell.id = `new-${number}-${field}`;
      cell.setAttribute("aria-label", cell.getAttribute("aria-label").replace(/: .*/s, ": new shot"));
      cell.removeAttribute("aria-invalid");
      cell.removeAttribute("aria-describedby");
      cell.defaultValue = "";
      cell.value = "";
    }
    next.querySelectorAll(".refusal").forEach((one) => one.remove());
    last.after(next);
    return next;
  };

  form.addEventListener("input", (event) => { if (event.target.name?.startsWith("cell:new-")) grow(); });

  form.addEventListener("keydown", (event) => {
    const cell = event.target;
    if (!cell.name?.startsWith("cell:") || event.altKey || event.isComposing) return;
    if (event.key === "Enter" && (event.ctrlKey || event.metaKey)) { event.preventDefault(); form.requestSubmit(); return; }
    if (event.ctrlKey || event.metaKey || event.shiftKey) return;
    const [down, across] = at(cell);
    const isLong = cell.value.includes("\n");
    const start = cell.selectionStart === 0;
    const end = cell.selectionEnd === cell.value.length;
    const to = {
      ArrowUp: !isLong && [down - 1, across],
      ArrowDown: !isLong && [down + 1, across],
      ArrowLeft: start && (end || cell.selectionEnd === 0) && [down, across - 1],
      ArrowRight: end && (start || cell.selectionStart === cell.value.length) && [down, across + 1],
      Enter: [down + 1, across],
    }[event.key];
    if (!to) return;
    event.preventDefault();
    go(...to);
  });

  // Rows of a spreadsheet: quoted cells may hold line breaks. What is pasted fills cells from here on.
  const table = (text) => {
    const found = [[""]];
    let isQuoted = false;
    for (let i = 0; i < text.length; i += 1) {
      const sign = text[i];
      const row = found.at(-1);
      if (isQuoted && sign === '"' && text[i + 1] === '"') { row[row.length - 1] += '"'; i += 1; }
      else if (isQuoted && sign === '"') isQuoted = false;
      else if (isQuoted) row[row.length - 1] += sign;
      else if (sign === '"' && row.at(-1) === "" && /^"(?:[^"]|"")*"(?:[\t\r\n]|$)/.test(text.slice(i))) isQuoted = true;
      else if (sign === "\t") row.push("");
      else if (sign === "\n") found.push([""]);
      else if (sign !== "\r") row[row.length - 1] += sign;
    }
    if (found.at(-1).join("") === "" && found.length > 1) found.pop();
    return found;
  };

  form.addEventListener("paste", (event) => {
    const cell = event.target;
    const text = event.clipboardData?.getData("text/plain") ?? "";
    if (!cell.name?.startsWith("cell:") || !/[\t\n]/.test(text.trimEnd())) return;
    event.preventDefault();
    const [down, across] = at(cell);
    table(text).forEach((pasted, number) => {
      const row = rows()[down + number] ?? grow();
      pasted.forEach((value, column) => {
        const into = cells(row)[across + column];
        if (into && !into.readOnly) into.value = value;
      });
      grow();
    });
    go(down, across);
  });

  // Only rows that were touched are sent, and the page goes on where one was.
  form.addEventListener("submit", () => {
    form.elements.at.value = document.activeElement?.id ?? "";
    for (const row of rows()) {
      const isKept = !row.dataset.row.startsWith("new-") && !own(row).some(isTouched) && !row.querySelector(".refusal");
      if (isKept) row.querySelectorAll("[name]").forEach((one) => { one.disabled = true; });
    }
    isSent = true;
  });
  let isSent = false;
  addEventListener("beforeunload", (event) => { if (!isSent && rows().some((row) => own(row).some(isTouched))) event.preventDefault(); });
  addEventListener("pageshow", (event) => {
    if (!event.persisted) return;
    isSent = false;
    form.querySelectorAll("[name]").forEach((one) => { one.disabled = false; });
  });

  // The light of each day, one after the other.
  const light = async () => {
    for (const place of form.querySelectorAll("[data-strip-of]")) {
      const answer = await fetch(`${location.pathname}/light/${place.dataset.stripOf}`);
      if (!answer.ok) return;
      const read = new DOMParser().parseFromString(await answer.text(), "text/html");
      place.replaceChildren(...(read.querySelector("[data-strip]")?.childNodes ?? []));
      for (const one of read.querySelectorAll("[data-about]")) {
        form.querySelector(`[data-about-of="${CSS.escape(one.dataset.about)}"]`)?.replaceChildren(...one.childNodes);
      }
    }
  };
  light().catch(() => {});
})();
