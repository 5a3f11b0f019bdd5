// The large view: keys, swipes, full screen, the neighbours fetched in advance; the contents at hand. All pages work without this file.
const turn = document.querySelector(".turn");
const link = (rel) => turn?.querySelector(`a[rel="${rel}"]`);
// Pictures that are turned replace each other, so that the browser's own way back leads to the report.
const go = (to) => to && (to.rel ? location.replace(to.href) : to.click());

document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.defaultPrevented || !turn) return;
  const about = document.querySelector(".about-picture");
  const done = {
    ArrowLeft: () => go(link("prev")),
    ArrowRight: () => go(link("next")),
    Escape: () => document.fullscreenElement || turn.querySelector(".back").click(),
    c: () => { about.open = !about.open; document.body.classList.remove("quiet"); },
    f: () => turn.querySelector(".fill").click(),
  }[event.key];
  const across = document.documentElement.scrollWidth > document.documentElement.clientWidth;
  if (done && !across) done();
});

if (turn) {
  for (const to of turn.querySelectorAll("a[rel]")) {
    to.addEventListener("click", (event) => {
      if (event.ctrlKey || event.metaKey || event.shiftKey) return;
      event.preventDefault();
      go(to);
    });
  }

  const figure = document.querySelector("figure.large");
  let begun = null;
  figure.addEventListener("touchstart", (event) => { begun = event.touches.length === 1 ? event.touches[0] : null; }, { passive: true });
  figure.addEventListener("touchend", (event) => {
    const ended = event.changedTouches[0];
    if (!begun || !ended || (window.visualViewport?.scale ?? 1) > 1.01) return;
    const across = ended.clientX - begun.clientX;
    if (Math.abs(across) > 48 && Math.abs(across) > 2 * Math.abs(ended.clientY - begun.clientY)) go(link(across < 0 ? "next" : "prev"));
  }, { passive: true });

  // A click on the picture takes the words away and brings them back; whatever takes the focus is shown.
  figure.querySelector("img")?.addEventListener("click", () => document.body.classList.toggle("quiet"));
  document.addEventListener("focusin", () => document.body.classList.remove("quiet"));

  const fill = turn.querySelector(".fill");
  if (document.documentElement.requestFullscreen && document.fullscreenEnabled) {
    fill.hidden = false;
    fill.addEventListener("click", () => (document.fullscreenElement ? document.exitFullscreen() : document.documentElement.requestFullscreen()).catch(() => {}));
  }

  window.addEventListener("load", () => {
    for (const to of turn.querySelectorAll("a[data-srcset]")) {
      const ahead = new Image();
      ahead.sizes = to.dataset.sizes;
      ahead.srcset = to.dataset.srcset;
    }
  });
}

// The contents at hand fold up again once a part of the page was chosen, or by Escape.
const atHand = document.querySelector(".at-hand details");
atHand?.addEventListener("click", (event) => { if (event.target.closest("a")) atHand.open = false; });
atHand?.addEventListener("keydown", (event) => {
  if (event.key !== "Escape" || !atHand.open) return;
  atHand.open = false;
  atHand.querySelector("summary").focus();
});
