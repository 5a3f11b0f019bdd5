// Keys, ticking a row, dragging, sliding a clock, and forms that keep the page where it is. Everything works without it.
"use strict";
(() => {
  const all = (what, at = document) => [...at.querySelectorAll(what)];
  const typing = (at) => at instanceof HTMLElement && at.matches("input:not([type=checkbox], [type=range]), textarea, select");
  const visible = (one) => one.getClientRects().length > 0;
  const frames = () => all("main .thumb, main .stack").filter(visible);
  const handle = (frame) => frame.querySelector(":scope > details > summary, a");
  const cards = () => all("main .card");
  const card = () => document.activeElement?.closest(".card");
  const see = (one) => { one.focus({ preventScroll: true }); one.scrollIntoView({ block: "nearest" }); };
  let lastTicked = null;

  // A form of the evening is sent without leaving the page; the place, ticks and what is typed elsewhere stay.
  const seals = (form) => [...new FormData(form)].filter(([name]) => name.startsWith("seen:"));
  const isTyped = (one) => one.value !== (one.defaultValue ?? "")
    || Boolean(one.value && one.type !== "range" && one.closest(".item, fieldset")?.querySelector(".refusal"));
  const fieldsOf = (form) => [...form.elements].filter((one) => one.id && "value" in one);
  const send = async (form, button, older, undo) => {
    const data = undo ?? new FormData(form);
    for (const [name, seal] of older) data.append(name.replace("seen:", "pressed:"), seal);
    if (button?.name) data.append(button.name, button.value);
    if (button?.dataset.at) data.append("at", button.dataset.at);
    const sent = new Map(fieldsOf(form).map((one) => [one.id, one.value]));
    const ticked = () => all("input[name=tick]:checked").map((one) => one.value);
    const picked = /^(of|serve|show):/.test(button?.value) ? ticked() : [];
    const from = document.activeElement;
    const home = button?.dataset.at || from?.closest(".item, .plan")?.id || from?.closest(".card")?.id;
    const place = home && document.getElementById(home);
    const top = place?.getBoundingClientRect().top;
    const asked = new Set(all(".item, .proposed").map((one) => one.id));
    const open = all(".stack > details[open], .item[open]").map((one) => one.id || one.parentElement.dataset.ids);
    form.setAttribute("aria-busy", "true");
    const answer = await answered(undo ? "/undo" : form.action || location.href, data);
    const read = answer && new DOMParser().parseFromString(await answer.text(), "text/html");
    if (!read?.querySelector("form[data-evening]")) {
      form.removeAttribute("aria-busy");
      say(read ? (read.querySelector(".told, main") ?? read.body).textContent.trim() : CLOSED);
      return;
    }
    const main = read.querySelector("main");
    const isDone = answer.redirected || read.querySelector("form[data-done]");
    const used = isDone ? picked : [];
    const typedSince = fieldsOf(form).filter((one) => undo ? isTyped(one) : one.value !== sent.get(one.id));
    const stay = ticked().filter((one) => !used.includes(one));
    document.querySelector("main").replaceWith(main);
    document.querySelector("header.shelf").replaceWith(read.querySelector("header.shelf"));
    typedSince.forEach(carry);
    for (const one of all("input[name=tick]", main)) one.checked = stay.includes(one.value);
    for (const one of all(".stack", main)) if (open.includes(one.dataset.ids)) one.querySelector("details").open = true;
    const now = document.getElementById(home);
    if (!now) { main.focus({ preventScroll: true }); return; }
    const next = all(".item, .proposed", now.closest(".plan, .card")).find((one) => !asked.has(one.id));
    const refused = main.querySelector(".item .refusal")?.closest(".item");
    const goal = refused?.querySelector("input:not([type=hidden]), textarea") ?? next?.querySelector(".choices button") ?? now.querySelector(":scope > summary") ?? now;
    goal.focus({ preventScroll: true });
    if (document.activeElement !== goal) now.closest(".card").focus({ preventScroll: true });
    if (refused && !isDone) goal.scrollIntoView({ block: "nearest" });
    else if (top !== undefined) scrollBy(0, now.getBoundingClientRect().top - top);
  };
  const CLOSED = "Nothing was kept: the logbook is not answering. What you typed is still here; open the logbook again to keep it.";
  const answered = async (address, body) => {
    try { return await fetch(address, { method: "POST", body }); } catch { return null; }
  };
  // What was typed while the page waited goes on, with the seal of the stay that it was typed at.
  const carry = (field) => {
    const now = document.getElementById(field.id);
    if (!now) { say(`Not kept, because its stay has changed: ${field.value}`); return; }
    now.value = field.value;
    const [was, is] = [field, now].map((one) => one.form.elements.namedItem(one.name.replace(/^line:/, "seen:")));
    const about = (seal) => seal.value.split(".").at(-1);
    if (was !== field && was && is && about(was) !== about(is)) is.value = was.value;
  };
  const say = (sentence) => {
    const told = document.querySelector("main .told");
    if (told.lastElementChild?.textContent !== sentence) told.append(Object.assign(document.createElement("p"), { className: "refusal" }));
    told.lastElementChild.textContent = sentence;
    told.scrollIntoView({ block: "nearest" });
  };
  // One after the other: whatever is pressed while the page waits is done on what comes back.
  let pending = Promise.resolve();
  document.addEventListener("submit", (event) => {
    leaving = event.target;
    const isUndo = event.target.matches("form[data-undo]");
    if (!document.querySelector("form[data-evening]") || !(isUndo || event.target.matches("form[data-evening]"))) return;
    event.preventDefault();
    leaving = null;
    const pressed = event.submitter;
    const undo = isUndo && new FormData(event.target);
    const shown = seals(event.target);
    pending = pending.then(() => {
      const form = document.querySelector("form[data-evening]");
      if (undo) return send(form, null, [], undo);
      if (form === event.target) return send(form, pressed, []);
      return send(form, pressed && { name: "do", value: pressed.value, dataset: pressed.dataset }, shown);
    }).catch(reportError);
  });
  // Whoever goes elsewhere with something typed is asked first.
  let leaving = null;
  addEventListener("beforeunload", (event) => {
    const forms = all("main form[method=post]:not([data-plan])").filter((form) => form !== leaving);
    if (forms.some((form) => fieldsOf(form).some((one) => typing(one) && !one.matches("select") && isTyped(one)))) event.preventDefault();
  });

  // What a line would be taken for, shown under it while it is typed.
  let waiting;
  const understand = async (field) => {
    const shown = document.getElementById(field.id.replace("line-", "understood-"));
    if (!field.value.trim()) { shown.textContent = ""; return; }
    const body = new FormData();
    body.append("token", field.form.elements.token.value);
    body.append("key", field.dataset.understood);
    body.append("line", field.value);
    const answer = await answered(`${location.pathname}/understood`, body);
    if (!answer?.ok) return;
    const said = await answer.json();
    shown.textContent = said.refused || said.told.join("; ");
  };

  // A clock slides with its pictures; the hours and minutes are said beside it.
  const slide = (range) => {
    const minutes = Number(range.value);
    const part = range.closest(".sliding");
    const group = part.querySelector("[data-slid]");
    group.setAttribute("transform", `translate(${(minutes - Number(range.defaultValue)) * Number(group.dataset.slid)} 0)`);
    const [hours, rest] = [Math.floor(Math.abs(minutes) / 60), Math.abs(minutes) % 60];
    const span = [hours && `${hours} h`, rest && `${rest} min`].filter(Boolean).join(" ");
    part.querySelector("output").textContent = minutes ? `${span} ${minutes > 0 ? "slow" : "fast"}` : "right";
  };
  document.addEventListener("input", (event) => {
    if (event.target.matches?.("[data-slide]")) slide(event.target);
    if (!event.target.matches?.("[data-understood]")) return;
    clearTimeout(waiting);
    waiting = setTimeout(understand, 350, event.target);
  });

  // Ticking: a click with shift ticks the row between.
  document.addEventListener("click", (event) => {
    const link = event.target.closest?.("a[data-large]");
    if (link && !event.ctrlKey && !event.metaKey && !event.shiftKey) { event.preventDefault(); large(link); return; }
    const box = event.target.closest?.("input[name=tick]");
    if (!box) return;
    const boxes = all("input[name=tick]").filter(visible);
    if (event.shiftKey && lastTicked) {
      const [first, last] = [boxes.indexOf(lastTicked), boxes.indexOf(box)].sort((one, other) => one - other);
      boxes.slice(first, last + 1).forEach((one) => { one.checked = box.checked; });
    }
    lastTicked = box;
  });

  // One picture large, over the page, so that nothing typed is left behind; arrows turn, Escape goes back.
  const large = async (link) => {
    const room = document.querySelector("dialog[data-room]");
    const read = new DOMParser().parseFromString(await (await fetch(link.href)).text(), "text/html");
    room.firstElementChild.replaceChildren(read.querySelector("figure.room"));
    if (!room.open) { room.showModal(); room.addEventListener("close", () => see(room.at), { once: true }); }
    room.at = link;
  };
  const turn = (room, by) => {
    const among = room.at.closest(".beside");
    const links = all("a[data-large]", among ?? document).filter((one) => visible(one) && one.closest(".beside") === among);
    const next = links[links.indexOf(room.at) + by];
    if (next) large(next);
  };

  // Dragging: a ticked picture takes all ticked ones with it; onto a plan they serve it.
  const box = (frame) => frame.querySelector(":scope > .name input[name=tick]");
  document.addEventListener("dragstart", (event) => {
    const frame = event.target.closest?.("[data-ids]");
    if (!frame) return;
    if (!box(frame).checked) all("input[name=tick]:checked").forEach((one) => { one.checked = false; });
    box(frame).checked = true;
    event.dataTransfer.setData("text/plain", frame.dataset.ids);
    event.dataTransfer.effectAllowed = "link";
  });
  for (const kind of ["dragover", "dragleave", "drop"]) document.addEventListener(kind, (event) => {
    const plan = event.target.closest?.("[data-drop]");
    if (!plan) return;
    event.preventDefault();
    plan.classList.toggle("aimed", kind === "dragover");
    if (kind === "drop") plan.querySelector(".serving button").click();
  });

  // Escape leaves a field or a row of choices for what it belongs to.
  const leave = (at) => { (at.closest(".item")?.querySelector("summary") ?? at.closest(".card") ?? document.querySelector("main")).focus(); };

  // In a row of choices the first letter takes one, or walks through those that begin with it. What turns the
  // page or undoes does so there too: whoever goes on to the next part with n has not said "none" or "no".
  const EVERYWHERE = ["n", "p", "u"];
  const chosen = (event) => {
    const row = event.target.closest?.(".choices");
    if (!row || event.target.tagName !== "BUTTON" || EVERYWHERE.includes(event.key)) return false;
    if (event.key === "Escape") { leave(row); return true; }
    const buttons = all("button", row);
    const at = buttons.indexOf(event.target);
    const step = { ArrowRight: 1, ArrowLeft: -1 }[event.key];
    if (step) { see(buttons[(at + step + buttons.length) % buttons.length]); return true; }
    if (event.repeat) return event.key.length === 1;
    const fitting = buttons.filter((one) => one.textContent.trim().toLowerCase().startsWith(event.key.toLowerCase()));
    if (event.key.length > 1 || !fitting.length) return false;
    if (fitting.length === 1) fitting[0].click();
    else see(fitting.find((one) => buttons.indexOf(one) > at) ?? fitting[0]);
    return true;
  };

  // A key is looked for near by first: on the picture, in its card, on the page; what is settled comes last.
  // In another card only a plan's number and a way to another page are found.
  const keyed = (sign) => {
    const here = document.activeElement;
    const scopes = [here?.closest(".thumb, .stack"), here?.closest(".plan"), card(), document].filter(Boolean);
    const found = scopes.flatMap((scope) => all(`[data-key="${CSS.escape(sign)}"]`, scope))
      .filter((one) => visible(one) && !one.disabled && (!card() || one.closest(".card") === card() || !one.closest(".card") || one.matches("a") || Number(sign)));
    return found.find((one) => !one.matches("details:not([open])")) ?? found[0];
  };
  const enter = (one) => {
    if (one.matches("button, a")) { tickFocused(one); one.click(); return; }
    if (one.matches("details")) one.open = true;
    const inside = one.matches("input") ? one : one.querySelector(".choices button[aria-pressed=true], .choices button")
      ?? one.querySelector("button, input:not([type=hidden]), textarea");
    see(one.matches(".long") ? one.querySelector("textarea") : inside);
  };
  const tickFocused = (button) => {
    const frame = document.activeElement?.closest(".thumb, .stack");
    if (frame && button.value.startsWith("serve:") && !all("input[name=tick]:checked").length) box(frame).checked = true;
  };

  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey) return;
    const at = event.target;
    if (event.key === "Enter" && at.matches?.("textarea[data-understood], [data-slide]") && !event.shiftKey) {
      event.preventDefault();
      at.form.requestSubmit(at.form.querySelector(".first"));
      return;
    }
    const room = document.querySelector("dialog[data-room][open]");
    if (room) {
      if (event.key === "ArrowRight" || event.key === "ArrowLeft") turn(room, event.key === "ArrowRight" ? 1 : -1);
      return;
    }
    if (at.matches?.("[data-slide]") && event.key.startsWith("Page")) {
      event.preventDefault();
      at.value = Number(at.value) + (event.key === "PageUp" ? 60 : -60);
      slide(at);
      return;
    }
    if (typing(at)) {
      if (event.key === "Escape") leave(at);
      return;
    }
    if (localStorage.getItem("keys") === "off" && event.key.length === 1) return;
    if (chosen(event)) { event.preventDefault(); return; }
    const parts = cards();
    const row = frames();
    const frame = row.indexOf(document.activeElement?.closest(".thumb, .stack"));
    if ((event.key === "n" || event.key === "p") && parts.length) {
      const next = parts[Math.max(0, Math.min(parts.length - 1, parts.indexOf(card()) + (event.key === "n" ? 1 : -1)))];
      next.focus({ preventScroll: true });
      next.scrollIntoView({ block: "start" });
    } else if ((event.key === "j" || event.key === "k") && row.length) {
      const first = row.findIndex((one) => card()?.contains(one));
      const next = frame < 0 ? Math.max(0, first) : frame + (event.key === "j" ? 1 : -1);
      see(handle(row[Math.max(0, Math.min(row.length - 1, next))]));
    } else if (event.key === "x" && frame >= 0) {
      row[frame].querySelector(":scope > .name input[name=tick]")?.click();
    } else {
      const found = keyed(event.key);
      if (!found || event.repeat) return;
      enter(found);
    }
    event.preventDefault();
  });

  // Single keys can be switched off, for whoever speaks to the machine or leans on its keys.
  const single = document.querySelector("[data-single]");
  const told = () => { single.textContent = `Single keys: ${localStorage.getItem("keys") ?? "on"}`; };
  single.hidden = false;
  single.addEventListener("click", () => { localStorage.setItem("keys", localStorage.getItem("keys") === "off" ? "on" : "off"); told(); });
  told();
  if (location.hash.startsWith("#picture-")) document.querySelector(`${location.hash} a`)?.focus();
})();
