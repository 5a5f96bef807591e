// The only script of ordinary pages. It wakes what cannot work without script
// (class js-only) and lets a print page open the print dialogue.
"use strict";

document.documentElement.classList.add("js");

document.addEventListener("click", (event) => {
  if (event.target.closest("[data-print]")) {
    window.print();
  }
});
