// Arrow keys turn the large pictures. Everything on the pages works without this file.
document.addEventListener("keydown", (event) => {
  if (event.altKey || event.ctrlKey || event.metaKey || event.shiftKey || event.defaultPrevented) return;
  const where = { ArrowLeft: 'a[rel="prev"]', ArrowRight: 'a[rel="next"]', Escape: ".turn .back" }[event.key];
  const link = where && document.querySelector(where);
  const across = document.documentElement.scrollWidth > document.documentElement.clientWidth;
  if (link && !across) link.click();
});
