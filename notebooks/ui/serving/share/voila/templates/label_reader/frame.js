// Voila calls these three while the page arrives. Ours keep one sentence on the page until
// the first widget stands there, so that nobody looks at an empty sheet.
window.voila_heartbeat = window.voila_process = function () {};
window.voila_finish = function () {
  if (!window.themeLoaded) { window.cellLoaded = true; return; } // Voila calls again later
  const note = document.getElementById("loading");
  const cells = document.getElementById("rendered_cells");
  if (!note) return;
  const late = setTimeout(function () {
    note.textContent = "This takes longer than it should. Please reload the page.";
  }, 30000);
  const look = new MutationObserver(function () {
    if (!cells.querySelector(".jupyter-widgets, .jp-RenderedText")) return;
    look.disconnect();
    clearTimeout(late);
    note.remove();
  });
  look.observe(cells, { childList: true, subtree: true });
};
