// Keys, ticking a row, and forms that keep the page where it is. Everything works without it.
"use strict";
(() => {
  const typing = (at) => at instanceof HTMLElement && at.matches("input:not([type=checkbox]), textarea, select");
  const thumbs = () => [...document.querySelectorAll("main .thumb")];
  let lastTicked = null;

  // A form of the evening is sent without leaving the page; the place, the focus and what is typed elsewhere stay.
  const send = async (form, button) => {
    const data = new FormData(form);
    if (button?.name) data.append(button.name, button.value);
    if (button?.dataset.at) data.append("at", button.dataset.at);
    const sent = new Map([...form.elements].filter((one) => one.id && "value" in one).map((one) => [one.id, one.value]));
    const focused = document.activeElement?.id;
    const top = (document.activeElement?.closest(".item, .stay, .card") ?? form).getBoundingClientRect().top;
    form.setAttribute("aria-busy", "true");
    const answer = await fetch(form.action || location.href, { method: "POST", body: data });
    const read = new DOMParser().parseFromString(await answer.text(), "text/html");
    const main = read.querySelector("main");
    if (!main || !read.querySelector("form[data-evening]")) { location.reload(); return; }
    const meanwhile = [...form.elements].filter((one) => one.id && "value" in one && one.value !== sent.get(one.id));
    document.querySelector("main").replaceWith(main);
    document.querySelector("header.shelf").replaceWith(read.querySelector("header.shelf"));
    for (const one of meanwhile) { const now = document.getElementById(one.id); if (now) now.value = one.value; }
    const now = focused && document.getElementById(focused);
    if (now) {
      now.focus({ preventScroll: true });
      scrollBy(0, (now.closest(".item, .stay, .card") ?? main).getBoundingClientRect().top - top);
    }
  };
  document.addEventListener("submit", (event) => {
    if (!event.target.matches("form[data-evening]") || !window.fetch) return;
    event.preventDefault();
    send(event.target, event.submitter).catch(() => event.target.submit());
  });

  // What a line would be taken for, shown under it while it is typed.
  let waiting;
  document.addEventListener("input", (event) => {
    const field = event.target.closest?.("[data-understood]");
    if (!field) return;
    clearTimeout(waiting);
    waiting = setTimeout(async () => {
      const shown = document.getElementById(field.id.replace("line-", "understood-"));
      if (!field.value.trim()) { shown.textContent = ""; return; }
      const body = new FormData();
      body.append("token", field.form.elements.token.value);
      body.append("key", field.dataset.understood);
      body.append("line", field.value);
      const answer = await fetch(`${location.pathname}/understood`, { method: "POST", body });
      if (!answer.ok) return;
      const said = await answer.json();
      shown.textContent = said.refused || said.told.join(" ");
    }, 350);
  });

  // Ticking: a click with shift ticks the row between.
  document.addEventListener("click", (event) => {
    const box = event.target.closest?.("input[name=tick]");
    if (!box) return;
    const boxes = [...document.querySelectorAll("input[name=tick]")];
    if (event.shiftKey && lastTicked) {
      const [first, last] = [boxes.indexOf(lastTicked), boxes.indexOf(box)].sort((one, other) => one - other);
      boxes.slice(first, last + 1).forEach((one) => { one.checked = box.checked; });
    }
    lastTicked = box;
  });

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    if (event.key === "Enter" && event.target.matches?.("textarea[data-understood]") && !event.shiftKey) {
      event.preventDefault();
      event.target.form.requestSubmit(event.target.form.querySelector(".first"));
      return;
    }
    if (typing(event.target)) return;
    const keyed = document.querySelector(`[data-key="${CSS.escape(event.key)}"]`);
    if (keyed && !keyed.disabled) { event.preventDefault(); keyed.click(); return; }
    const all = thumbs();
    const at = all.indexOf(document.activeElement?.closest(".thumb"));
    if ((event.key === "j" || event.key === "k") && all.length) {
      const next = event.key === "j" ? Math.min(at + 1, all.length - 1) : Math.max(at - 1, 0);
      all[next].querySelector("a").focus();
    } else if (event.key === "x" && at >= 0) {
      all[at].querySelector("input[name=tick]")?.click();
    }
  });
})();
