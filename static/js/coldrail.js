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

// A sheet of paper is a page of its own, with its own style and size: a tap that came to
// one within another page loads it whole.
document.addEventListener("htmx:beforeSwap", (event) => {
  const { boosted, xhr } = event.detail;
  if (boosted && xhr.responseText.includes('<body class="desk">')) {
    event.detail.shouldSwap = false;
    location.assign(xhr.responseURL);
  }
});

// On a phone the row of screens is wider than the glass: show where one is. The page
// itself stays where it was read.
const showWhere = () => {
  const nav = document.querySelector(".nav"), here = nav?.querySelector("[aria-current]");
  if (here) {
    nav.scrollLeft = here.offsetLeft - (nav.clientWidth - here.offsetWidth) / 2;
  }
};
// A drawing wider than its page opens at now; the stylesheet opens one without a line
// for now at its end. What somebody has moved since stays: only what is new is opened.
const showNow = (page) => {
  for (const now of page.querySelectorAll(".chart-scroll .chart-now")) {
    const box = now.closest(".chart-scroll");
    box.scrollLeft += now.getBoundingClientRect().left - box.getBoundingClientRect().left - box.clientWidth * .75;
  }
};
showNow(document);
document.addEventListener("htmx:load", (event) => showNow(event.target));

document.addEventListener("htmx:afterSettle", showWhere);
window.addEventListener("resize", showWhere);
showWhere();

// A page opens at its top. What a form that came back says is wrong, or the field that
// is to be typed in next, may lie far below and would not be seen.
const showAsked = (event) => {
  const asked = document.querySelector("main [role=alert], main .is-wrong") || document.activeElement.closest("main [autofocus]");
  if (event.target !== document.body || location.hash || !asked) {
    return;
  }
  setTimeout(() => {
    const { top, bottom } = asked.getBoundingClientRect();
    if (top < 0 || bottom > innerHeight) {
      asked.scrollIntoView({ block: "center" });
    }
  });
};
document.addEventListener("htmx:afterSettle", showAsked);

// A file on its way says how much of it has gone; then, with no number, that the
// shop's machine reads it. A picture is gone before a person could read the line.
document.addEventListener("htmx:xhr:progress", (event) => {
  const form = event.target.closest?.("form[enctype^=multipart]");
  const { loaded, total, lengthComputable } = event.detail;
  if (!form || !document.getElementById("sending")) {
    return;
  }
  if (!form.querySelector(".sending")) {
    form.append(document.getElementById("sending").content.cloneNode(true));
  }
  const bar = form.querySelector(".sending progress");
  if (lengthComputable && loaded < total) {
    bar.value = loaded / total;
  } else {
    bar.removeAttribute("value");
  }
});

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

// A board asks for itself again as soon as something was done anywhere in the
// shop. While nobody looks at it, or where no word comes through, it asks once a
// minute as it would without this.
let live = null;
const followLive = () => {
  const wanted = document.querySelector("[data-live]") && !document.hidden;
  if (!wanted) {
    live?.close();
    live = null;
  } else if (!live) {
    live = new EventSource("/live");
    live.addEventListener("changed", () => document.querySelectorAll("[data-live]").forEach((board) => board.dispatchEvent(new Event("changed"))));
  }
};
document.addEventListener("visibilitychange", followLive);
document.addEventListener("htmx:afterSettle", followLive);
followLive();

// A signature is drawn with finger, pen or mouse as moves and lines of a path; the
// hidden field of the form carries it.
const signing = (event) => event.target.closest?.(".sign-pad");
const signedAt = (pad, event) => {
  const box = pad.getBoundingClientRect();
  const part = (at, from, size, most) => Math.max(0, Math.min(most, Math.round((at - from) / size * most)));
  return part(event.clientX, box.left, box.width, 600) + " " + part(event.clientY, box.top, box.height, 200);
};
const draw = (pad, more) => {
  const field = pad.closest("fieldset").querySelector("[name=strokes]");
  const strokes = more === "" ? "" : (field.value + " " + more).trim();
  if (strokes.length <= 20000) {
    field.value = strokes;
    pad.querySelector("path").setAttribute("d", strokes);
  }
};
document.addEventListener("pointerdown", (event) => {
  const pad = signing(event);
  if (pad) {
    event.preventDefault();
    pad.setPointerCapture(event.pointerId);
    draw(pad, "M" + signedAt(pad, event));
  }
});
document.addEventListener("pointermove", (event) => {
  const pad = signing(event);
  if (pad?.hasPointerCapture(event.pointerId)) {
    draw(pad, "L" + signedAt(pad, event));
  }
});
document.addEventListener("click", (event) => {
  if (event.target.closest("[data-sign-clear]")) {
    draw(event.target.closest("fieldset").querySelector(".sign-pad"), "");
  }
});

// What must not be missed with one's eyes on a box is said aloud too, where the
// device can speak.
const sayAloud = () => {
  const words = document.querySelector("[data-aloud]")?.textContent.trim();
  if (words && window.speechSynthesis) {
    speechSynthesis.cancel();
    speechSynthesis.speak(new SpeechSynthesisUtterance(words));
  }
};
document.addEventListener("htmx:afterSettle", sayAloud);
sayAloud();
