// Voila's own page hides everything until all has arrived. Here one sentence stays until the
// first widget stands below it, so that nobody looks at an empty sheet.
window.voila_finish = function () {}; // Voila's scripts expect it
document.addEventListener("DOMContentLoaded", function () {
  const note = document.getElementById("loading");
  const cells = document.getElementById("rendered_cells");
  const late = setTimeout(function () {
    note.textContent = "This takes longer than it should. Please reload the page.";
  }, 30000);
  const watch = new MutationObserver(whenThere);
  watch.observe(cells, { childList: true, subtree: true });
  whenThere(); // a cell that failed stands there from the start
  function whenThere() {
    if (!cells.querySelector(".jupyter-widgets, .jp-RenderedText")) return;
    watch.disconnect();
    clearTimeout(late);
    note.remove();
  }
});

// Tells a screen reader what the last click brought. The widgets are made anew by Voila, and a live
// region that arrives together with its words is often passed over; #told stands from the start.
document.addEventListener("DOMContentLoaded", function () {
  const told = document.getElementById("told");
  const cells = document.getElementById("rendered_cells");
  let soon;
  new MutationObserver(function (changes) {
    const spoken = cells.querySelector(".spoken");
    if (!spoken || !changes.some((change) => spoken.contains(change.target))) return;
    told.textContent = "";
    clearTimeout(soon); // one reading changes the words more than once
    soon = setTimeout(() => { told.textContent = spoken.textContent.trim(); }, 100); // empty first: the same words count as new
  }).observe(cells, { childList: true, characterData: true, subtree: true });
});

// Paper has nothing to press: grounds and sources are opened for the print and closed again after it.
(function () {
  let opened = [];
  addEventListener("beforeprint", function () {
    opened = [...document.querySelectorAll(".results .part details.more:not([open])")];
    for (const one of opened) one.open = true;
  });
  addEventListener("afterprint", function () {
    for (const one of opened) one.open = false;
    opened = [];
  });
})();

// A kernel is put away when its page was out of reach too long (a phone asleep), or ends with a fault. The page
// itself would then just stop answering; this looks when somebody comes back or presses, and when widgets lose their
// kernel.
(function () {
  let last = 0;
  async function look() {
    const setup = document.getElementById("jupyter-config-data");
    if (!setup || document.hidden || Date.now() - last < 5000) return;
    last = Date.now();
    const { baseUrl, kernelId } = JSON.parse(setup.textContent);
    const answer = await fetch(baseUrl + "api/kernels/" + kernelId).catch(() => null);
    if (!answer) tell("The reader's server does not answer. What you typed is still here: start the server again, then reload.");
    else if (answer.status === 404) tell("This page rested too long and no longer answers. What you typed is still here: copy it if you need it, then reload.");
  }
  function tell(text) {
    if (document.getElementById("gone")) return;
    const note = document.createElement("p");
    note.id = "gone";
    note.className = "frame-note";
    note.setAttribute("role", "alert");
    note.textContent = text;
    document.body.prepend(note);
    scrollTo(0, 0);
  }
  document.addEventListener("visibilitychange", look);
  document.addEventListener("click", look, true);
  document.addEventListener("DOMContentLoaded", function () {
    const cells = document.getElementById("rendered_cells");
    const watch = new MutationObserver(function () {
      if (!cells.querySelector(".jupyter-widgets-disconnected")) return;
      watch.disconnect();
      tell("This page has lost its reader and no longer answers. What you typed is still here: copy it if you need it, then reload.");
    });
    watch.observe(cells, { attributes: true, attributeFilter: ["class"], subtree: true });
  });
})();

// Keys to shelves stay in this browser. The page's kernel learns them once, when its first box stands here, and hands
// over what changes; nothing else is kept.
document.addEventListener("DOMContentLoaded", function () {
  const NAME = "label-reader-keys";
  const cells = document.getElementById("rendered_cells");
  let asked = false;
  new MutationObserver(look).observe(cells, { childList: true, characterData: true, subtree: true });
  look();
  function held() {
    try {
      return { lasting: true, ...JSON.parse(localStorage.getItem(NAME) || "{}") };
    } catch {
      return { lasting: false }; // storage is refused or spoiled
    }
  }
  function look() {
    const box = cells.querySelector(".keys-in input");
    if (box && !asked) {
      asked = true;
      box.value = JSON.stringify(held());
      for (const kind of ["input", "change"]) box.dispatchEvent(new Event(kind, { bubbles: true }));
    }
    const change = cells.querySelector(".keys-out .widget-html-content")?.textContent.trim();
    if (!change || change === look.last) return;
    look.last = change;
    const { lasting, ...keys } = { ...held(), ...JSON.parse(change) };
    for (const name of Object.keys(keys)) if (keys[name] === null) delete keys[name];
    if (lasting) localStorage.setItem(NAME, JSON.stringify(keys));
  }
});
