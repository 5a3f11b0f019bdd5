// While work is under way its page is looked at again every second; everything else on it stays.
"use strict";
(() => {
  const look = async () => {
    const at = document.querySelector("[data-working]");
    if (!at) return;
    const answer = await fetch(location.href);
    const read = new DOMParser().parseFromString(await answer.text(), "text/html");
    const now = read.querySelector("[data-working]");
    if (now) {
      at.querySelector("p").textContent = now.querySelector("p").textContent;
      at.querySelector("progress").replaceWith(now.querySelector("progress"));
      setTimeout(look, 1000);
    } else if (read.querySelector("main")) {
      document.querySelector("main").replaceWith(read.querySelector("main"));
      document.querySelector("header.shelf").replaceWith(read.querySelector("header.shelf"));
      document.getElementById("ended")?.focus();
    }
  };
  setTimeout(look, 1000);
})();
