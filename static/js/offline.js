// The round without a network. A form marked data-offline is kept on the tablet
// first and then sent; the section #kept says what has not arrived, how old the
// list is and what the shop's machine answered. Its words stand in the page, in
// the shop's language (web/ui/kept.templ).
"use strict";

const bar = () => document.getElementById("kept");
const word = (name, fill = {}) =>
  Object.entries(fill).reduce((text, [key, value]) => text.replace(`{${key}}`, value), bar().querySelector("template").content.querySelector(`[data-word="${name}"]`).textContent);
const clock = (t) => new Date(t).toLocaleString(document.documentElement.lang, { timeZone: bar().dataset.zone, weekday: "short", hour: "numeric", minute: "2-digit" });
const element = (tag, text, set = {}) => Object.assign(document.createElement(tag), { textContent: text }, set);
let reached = true; // whether the shop's machine answered last

// shift is the unlocked person in whose name acts are kept: whoever holds the
// tablet by this page, or whoever was chosen on it without a network.
const shift = async () => {
  const shifts = ((await kept.get("notes", "shifts"))?.value || []).filter((s) => s.ends > Date.now());
  const chosen = (await kept.get("notes", "chosen"))?.value;
  const initials = reached ? bar().dataset.holder : chosen || bar().dataset.holder;
  return { shifts, mine: shifts.find((s) => s.initials === initials) };
};

// keepPages asks for a shift where there is none for this hour and keeps the
// pages of the round as they are now.
const keepPages = async () => {
  if (!bar()?.dataset.holder || !("caches" in window)) {
    return;
  }
  const last = (await kept.get("notes", "synced"))?.value || 0;
  const { shifts, mine } = await shift();
  if (mine && Date.now() - last < 120000 && mine.ends - Date.now() > 11 * 3600000) {
    return;
  }
  const answer = await fetch("/round/shift", { method: "POST", headers: { "Coldrail-Device-Now": Date.now() } });
  if (!answer.ok || answer.redirected) {
    return;
  }
  const got = await answer.json();
  const others = shifts.filter((s) => s.initials !== got.initials);
  await kept.put("notes", { name: "shifts", value: [...others, { initials: got.initials, who: got.who, token: got.token, ends: Date.now() + got.lasts_ms }] });
  await kept.put("notes", { name: "clock", value: got.ahead_ms });
  await kept.put("notes", { name: "chosen", value: got.initials });
  const store = await caches.open("coldrail-pages");
  for (const page of got.pages) {
    const copy = await fetch(page, { headers: { "Coldrail-Keep": "yes" } });
    if (copy.ok && !copy.redirected) {
      await store.put(page, copy);
    }
  }
  await kept.put("notes", { name: "synced", value: Date.now() });
};

// sync sends what waits, keeps the pages anew and says how things stand.
const sync = async () => {
  if (!bar()) {
    return;
  }
  let last = await kept.sendAll();
  if (last === "nothing") {
    last = await fetch("/healthz", { cache: "no-store", signal: AbortSignal.timeout(8000) }).then((a) => (a.ok ? "sent" : "unreached"), () => "unreached");
  }
  reached = last !== "unreached";
  if (reached && last !== "sign-in") {
    await keepPages().catch(() => {});
  }
  await show(last);
};

// openHere reports a refused act whose form stands on this page, to be put right: that
// says it all, and a second answer beside it would be one too many.
const openHere = (act) => !!document.querySelector(`main input[name="act"][value="${act.id}"]`);

// arrived makes one row of all steps that arrived from one page: each of them was
// answered with much the same.
const arrived = (acts) => {
  const rows = [];
  for (const act of acts) {
    const before = act.state === "sent" && rows.find((r) => r.state === "sent" && r.page === act.page && r.title === act.title);
    if (before) {
      Object.assign(before, { ids: [...before.ids, act.id], said: [...new Set([...before.said, ...act.said])], saidAt: act.saidAt, where: act.where });
    } else {
      rows.push({ ...act, ids: [act.id], warned: act.state === "sent" ? [] : act.warned });
    }
  }
  return rows;
};

// row is one act that was kept, with what may be done about it.
const row = (act) => {
  const li = element("li", "", { className: "kept-" + act.state });
  li.append(element("strong", `${clock(act.at)} ${act.title}`), " ");
  li.append(element("span", word(act.state, { at: clock(act.saidAt || act.at) })));
  for (const text of act.warned || []) {
    li.append(element("p", word("on-tablet", { said: text })));
  }
  for (const text of act.said || []) {
    li.append(element("p", word("by-shop", { at: clock(act.saidAt), said: text })));
  }
  const button = (name, tap) => li.append(element("button", word(name), { type: "button", className: "button quiet", onclick: tap }));
  if (act.state === "sent") {
    li.append(Object.assign(element("a", word("look"), { href: act.where, className: "button quiet" })));
    button("seen", () => Promise.all(act.ids.map((id) => kept.remove("acts", id))).then(() => show()));
  }
  if (act.state === "refused") {
    button("settle", () => settle(act));
    button("own-name", () => kept.put("acts", { ...act, state: "waiting", shift: "" }).then(sync));
    button("discard", () => discard(act));
  }
  return li;
};

// showAgain shows the form of a refused act as it came back, to be put right and sent
// under the same id. Not every page that refuses has one.
const showAgain = (act, text) => {
  const page = new DOMParser().parseFromString(text, "text/html").querySelector("#main");
  const form = page?.querySelector("form[data-offline]");
  if (form) {
    form.setAttribute("action", act.url);
    document.getElementById("main").replaceWith(page);
    (page.querySelector(".is-wrong, .wrong, [role=alert]") || page).scrollIntoView({ block: "center" });
  }
  return !!form;
};

// settle sends a refused act again and shows its form if it is refused again.
const settle = async (act) => {
  const again = { ...act, state: "waiting" };
  await kept.put("acts", again);
  const last = await kept.send(again);
  reached = last !== "unreached";
  if (last === "refused") {
    showAgain(again, kept.cameBack(act.id));
  }
  await show(last);
};

// answered are the acts that were refused on the page where they were done, by id. They
// are not kept, for whoever did them has read it; put right there, they want their pictures.
const answered = new Map();

// discard gives a refused act up, with a reason that goes to the records first.
const discard = async (act) => {
  const reason = window.prompt(word("discard-why"));
  if (!reason?.trim()) {
    return;
  }
  const fields = new URLSearchParams({ act: kept.newId(Date.now()), of: act.id, kept_at: act.at, title: act.title, said: (act.said || []).join(" "), reason });
  act.fields.forEach(([name, value]) => fields.append("f-" + name, typeof value === "string" ? value : word("picture")));
  const answer = await fetch("/round/discard", { method: "POST", body: fields }).catch(() => null);
  if (answer?.status === 204) {
    await kept.remove("acts", act.id);
  }
  await show(answer ? "" : "unreached");
};

// show fills the section with what is kept here and how old the page is.
const show = async (last) => {
  const acts = await kept.all("acts");
  const waiting = acts.filter((a) => a.state === "waiting");
  const lines = [];
  if (!reached) {
    lines.push(element("p", word("no-network")));
  }
  if (last === "sign-in") {
    lines.push(element("p", "", { className: "row" }));
    lines.at(-1).append(word("sign-in"), element("a", word("sign-in-now"), { href: "/who?next=/round", className: "button" }));
  }
  const synced = (await kept.get("notes", "synced"))?.value;
  if (synced && (!reached || Date.now() - synced > 600000)) {
    lines.push(element("p", word("list-age", { at: clock(synced) })));
  }
  const ahead = (await kept.get("notes", "clock"))?.value || 0;
  if (Math.abs(ahead) > 180000) {
    lines.push(element("p", word(ahead > 0 ? "clock-fast" : "clock-slow", { n: Math.round(Math.abs(ahead) / 60000) })));
  }
  const { shifts, mine } = await shift();
  if (!reached && shifts.length > 1) {
    const pick = element("select", "", { ariaLabel: word("whose"), onchange: () => kept.put("notes", { name: "chosen", value: pick.value }) });
    shifts.forEach((s) => pick.append(new Option(s.who, s.initials, false, s === mine)));
    lines.push(element("label", word("whose")), pick);
  }
  if (!reached && !mine && bar().dataset.holder) {
    lines.push(element("p", word("shift-over")));
  }
  if (waiting.length) {
    lines.push(element("h2", word("waiting-count", { n: waiting.length, at: clock(waiting[0].at) })));
  }
  const walking = document.querySelector("[data-walk]"); // a hand on the rail needs the page, not the list
  const list = element("ul", "");
  list.append(...arrived(acts.filter((a) => (a.state === "refused" ? !openHere(a) : !walking))).map(row));
  bar().querySelector(".kept-lines").replaceChildren(...lines, ...(list.children.length ? [list] : []));
  bar().hidden = !lines.length && !list.children.length;
  document.querySelectorAll(".kept-mark").forEach((mark) => mark.remove());
  for (const page of new Set(waiting.map((a) => a.page))) {
    document.querySelectorAll(`main a[href="${page}"]`).forEach((a) => a.append(element("small", word("waiting"), { className: "kept-mark" })));
  }
};

// airWarnings are what the domain says of the room's air, as typed or as tapped, above
// the highest limit it is over.
const airWarnings = (fields) => {
  const said = (name) => fields.find(([field, value]) => field === name && value)?.[1];
  const read = ["panel", "independent"].map((name) => Number((said(name + "_exact") || said(name))?.replace(",", ".").replace("\u2212", "-")));
  const over = [...document.querySelectorAll("template[data-air-above]")].filter((t) => read.some((c) => c > t.dataset.airAbove));
  return over.slice(-1).map((t) => t.content.textContent.trim());
};

// warnings are what the domain says of single answers, written into the page by
// the shop's machine: smell=sour, and the like.
const warnings = (fields) => {
  const of = fields.find(([name, value]) => value && (name === "number" || name === "touch"))?.[1];
  return airWarnings(fields).concat(fields.flatMap(([name, value]) => [...document.querySelectorAll("template[data-answer]")]
    .filter((t) => of && t.dataset.answer === `${name.replace("touch_", "")}=${value}`)
    .map((t) => `${of}: ${t.content.textContent.trim()}`)));
};

// told stands in the place of a form that is kept here: what its answers call for,
// which cannot wait for a network, and that it is kept.
const told = (act) => {
  const box = element("div", "", { className: act.warned?.length ? "notice urgent" : "" });
  box.append(...(act.warned || []).map((text) => element("p", text)), element("p", word("waiting")));
  return box;
};

// goesTo is the step that opens after a form: this one again while somebody is left on it,
// and behind the last look of a rail that is counted already the one after it.
const goesTo = (form) => {
  const here = form.closest("[data-step]");
  return leaves(here, form) ? here.id : form.elements.single ? here.nextElementSibling.id : form.dataset.offline.split("#")[1];
};

// leaves reports whether a step has more to be done than this form.
const leaves = (step, form) => [...step.querySelectorAll("form[data-offline]")].some((other) => other !== form && !other.closest("details"));

// putAside puts what was told in the place of a step's form, under the carcass it is of.
// The next step opens, and what the answers call for stands at its head too: it was read
// nowhere else.
const putAside = (form, act, next) => {
  const here = form.closest("[data-step]");
  markStep(form);
  const box = told(act);
  box.prepend(...form.querySelectorAll("h3"));
  form.replaceWith(box);
  if (act.warned?.length && here.id !== next) {
    document.getElementById(next).prepend(told(act));
  }
};

// goOn leads on from a step of a round that is kept here: what was said is put
// away, so that nobody says it twice, and the next step opens. The end of a round has
// no next step.
const goOn = async (form, act) => {
  if (!form.dataset.offline.includes("#")) {
    location.assign(form.dataset.offline);
    return;
  }
  const next = goesTo(form);
  const fold = form.closest("details");
  if (fold) {
    form.reset();
    fold.open = false;
    fold.before(told(act));
  } else {
    putAside(form, act, next);
  }
  location.hash = next;
  if (form.elements.count) {
    document.getElementById(next).scrollIntoView();
  }
  await show();
};

// markStep says in the row of steps that all of this one is kept here.
const markStep = (form) => {
  const here = form.closest("[data-step]");
  const small = document.querySelector(`.walk-steps a[href="#${here.id}"] small`);
  if (small && !leaves(here, form)) {
    small.textContent = word("waiting");
  }
};

// putAway closes the steps of a round that are kept here already: the page of a
// reload is the one from before they were done.
const putAway = async () => {
  const here = (await kept.all("acts")).filter((a) => a.state === "waiting" && a.page === location.pathname);
  let next = "";
  for (const form of document.querySelectorAll("[data-step] form[data-offline]")) {
    const single = form.elements.single && form.elements.number.value;
    const same = (a) => a.url === form.getAttribute("action") && (!single || a.fields.some(([name, value]) => name === "number" && value === single));
    const act = !form.closest("details") && here.find(same);
    if (act) {
      next = goesTo(form);
      putAside(form, act, next);
    }
  }
  if (next && !location.hash) {
    location.hash = next;
  }
};

// keep is what a tap on the button of a marked form does.
const keep = async (form, button) => {
  const now = Date.now();
  const fields = await kept.fields(form, button);
  const stored = await kept.get("acts", form.elements.act.value);
  const before = stored || answered.get(form.elements.act.value);
  const id = before ? before.id : kept.newId(now);
  const pictures = (before?.fields || []).filter(([name, v]) => typeof v !== "string" && !fields.some(([n]) => n === name));
  const act = {
    id, at: stored?.at || now, url: form.getAttribute("action") || location.pathname, page: location.pathname, state: "waiting",
    title: form.dataset.title || document.querySelector("h1").textContent, shift: stored ? stored.shift : (await shift()).mine?.token,
    fields: [...fields.filter(([name]) => name !== "act"), ["act", id], ...pictures], warned: warnings(fields),
  };
  await kept.put("acts", act);
  await kept.remove("drafts", draftName(form));
  let last = await kept.sendAll();
  let after = await kept.get("acts", id);
  if (after?.state === "waiting" && last !== "unreached" && last !== "sign-in") { // a sending under way did not know of it
    last = await kept.sendAll();
    after = await kept.get("acts", id);
  }
  if (after?.state === "sent") {
    await kept.remove("acts", id);
    location.assign(after.where);
  } else if (after?.state === "refused" && last !== "sign-in") {
    if (showAgain(after, kept.cameBack(id)) && !stored) {
      answered.set(id, after);
      if (drafted()) {
        await kept.put("drafts", { page: draftName(form), at: now, fields });
      }
      await kept.remove("acts", id);
    }
    await show();
  } else {
    reached = last !== "unreached";
    await goOn(form, act);
  }
};

document.addEventListener("submit", (event) => {
  const form = event.target.closest("form[data-offline]");
  if (!form || event.submitter?.formNoValidate) {
    return;
  }
  event.preventDefault();
  event.stopImmediatePropagation();
  if (form.dataset.sending) {
    return;
  }
  form.dataset.sending = "yes";
  keep(form, event.submitter).catch(() => bar().querySelector(".kept-lines").replaceChildren(element("p", word("no-room")))).finally(() => {
    bar().hidden &&= !bar().textContent.trim();
    delete form.dataset.sending;
  });
}, true);

const begin = async () => {
  if (!bar()) {
    return;
  }
  for (const form of document.querySelectorAll("form[data-offline]")) {
    await fillDraft(form);
  }
  await putAway();
  const walked = document.querySelector(".step.now:not([data-step=room])");
  if (walked && !location.hash) {
    walked.scrollIntoView(); // the next step, not the title again, on each page of a walk
  }
  await show();
  await sync();
};
document.addEventListener("htmx:afterSettle", (event) => event.target === document.body && begin());
window.addEventListener("online", sync);
setInterval(sync, 15000);
if ("serviceWorker" in navigator) {
  navigator.serviceWorker.register("/sw.js").catch(() => {});
  navigator.storage?.persist?.();
}
begin();
