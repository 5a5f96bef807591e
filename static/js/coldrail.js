// The only script of ordinary pages. It wakes what cannot work without script
// (class js-only), opens the print dialogue and shows the current screen.
"use strict";

document.documentElement.classList.add("js");

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) {
    window.print();
  }
});

// On a phone the row of screens is wider than the glass: show where one is.
const showWhere = () => {
  document.querySelector(".nav [aria-current]")?.scrollIntoView({ block: "nearest", inline: "center" });
};
document.addEventListener("htmx:afterSettle", showWhere);
showWhere();
