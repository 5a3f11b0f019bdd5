// Tables sort by their headings and, where they are long, can be searched. Without this file they are whole.
for (const table of document.querySelectorAll("main .scroll table")) {
  const body = table.tBodies[0];
  const rows = [...body.rows];
  const heads = [...table.tHead.rows[0].cells];
  if (rows.length < 2) continue;
  const status = document.createElement("output");
  const say = (sorted = "") => {
    const shown = rows.filter((row) => !row.hidden).length;
    status.value = `${shown} of ${rows.length} rows${sorted}`;
  };

  // What is unknown comes last, whichever way the rest is turned.
  const known = (cell) => cell.dataset.exact || !(cell.querySelector(".unknown") || cell.textContent.trim() === "–");
  const order = (column, turn) => (a, b) => {
    const [one, other] = [a.cells[column], b.cells[column]];
    if (!known(one) || !known(other)) return known(other) - known(one);
    const exact = one.dataset.exact && other.dataset.exact;
    return turn * (exact ? one.dataset.exact - other.dataset.exact
      : one.textContent.localeCompare(other.textContent, "en", { numeric: true }));
  };

  heads.forEach((head, column) => {
    const button = document.createElement("button");
    button.type = "button";
    button.append(...head.childNodes);
    head.append(button);
    button.addEventListener("click", () => {
      const rising = head.getAttribute("aria-sort") !== "ascending";
      for (const other of heads) other.removeAttribute("aria-sort");
      head.setAttribute("aria-sort", rising ? "ascending" : "descending");
      body.append(...rows.sort(order(column, rising ? 1 : -1)));
      say(`, by ${button.textContent}, ${rising ? "rising" : "falling"}`);
    });
  });

  const tools = document.createElement("div");
  tools.className = "tools";
  if (rows.length >= 8) {
    const label = document.createElement("label");
    const field = document.createElement("input");
    field.type = "search";
    label.append("Rows that contain ", field);
    field.addEventListener("input", () => {
      const words = field.value.toLowerCase().split(/\s+/).filter(Boolean);
      for (const row of rows) {
        const text = row.textContent.toLowerCase();
        row.hidden = !words.every((word) => text.includes(word));
      }
      say();
    });
    tools.append(label);
    say();
  } else status.className = "spoken";
  tools.append(status);
  table.closest(".scroll").before(tools);
}
