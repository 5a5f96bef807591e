// The only script of ordinary pages. It wakes what cannot work without script
// (class js-only), opens the print dialogue, shows the current screen, and says
// when the shop's machine did not answer.
"use strict";

document.documentElement.classList.add("js");

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) {
    printSheet();
  }
});

// A label is kept as printed before it goes to the printer; where somebody else
// has printed it meanwhile, the page says so instead.
const printSheet = async () => {
  const kept = document.querySelector("form[data-printed]");
  if (kept) {
    const answer = await fetch(kept.action, { method: "POST", body: new URLSearchParams(new FormData(kept)) });
    if (!answer.ok) {
      location.reload();
      return;
    }
    kept.remove();
  }
  window.print();
};

// Each carcass and each rail of a round keeps the moment it was touched last.
// Without script the end of the walk counts for all.
document.addEventListener("change", (event) => {
  const stamp = event.target.closest("[data-stamped]")?.querySelector("[data-stamp]");
  if (stamp) {
    stamp.value = new Date().toISOString();
  }
});

// On a phone the row of screens is wider than the glass: show where one is.
const showWhere = () => {
  document.querySelector(".nav [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
};
document.addEventListener("htmx:afterSettle", showWhere);
showWhere();

// Without this a tap that never reached the shop's machine would look like one
// that did nothing, and a board that asks by itself would grow old unseen. The
// words stand in the page, in the shop's language. They go with the next answer.
const sayUnreached = (event) => {
  const words = document.getElementById("unreached");
  document.getElementById("problem")?.replaceChildren(words.content.cloneNode(true));
  if (!event.target.closest("[hx-trigger^=every]")) {
    window.scrollTo(0, 0);
  }
};
document.addEventListener("htmx:sendError", sayUnreached);
document.addEventListener("htmx:timeout", sayUnreached);
document.addEventListener("htmx:afterOnLoad", () => {
  document.querySelector("#problem .unreached")?.remove();
});
