// What is kept on this tablet until the shop's machine has it: acts, half-filled
// forms and the shifts people were unlocked for. All of it lies in IndexedDB and
// nothing only in memory, so that a reload, a killed browser or an empty battery
// loses nothing. web/round/offline.go is the other side.
"use strict";

const kept = (() => {
  const open = idb.openDB("coldrail", 1, {
    upgrade(db) {
      db.createObjectStore("acts", { keyPath: "id" });
      db.createObjectStore("drafts", { keyPath: "page" });
      db.createObjectStore("notes", { keyPath: "name" });
    },
  });
  const all = async (store) => (await open).getAll(store);
  const get = async (store, key) => (await open).get(store, key);
  const remove = async (store, key) => (await open).delete(store, key);
  // Strict: the disk has it before anybody is told that it is kept.
  const put = async (store, value) => {
    const tx = (await open).transaction(store, "readwrite", { durability: "strict" });
    tx.store.put(value);
    await tx.done;
  };

  // newId makes a UUIDv7 (RFC 9562, 5.7): 48 bits of milliseconds, then chance.
  const newId = (now) => {
    const b = crypto.getRandomValues(new Uint8Array(16));
    for (let i = 5, t = now; i >= 0; i--, t = Math.floor(t / 256)) {
      b[i] = t % 256;
    }
    b[6] = (b[6] & 0x0f) | 0x70;
    b[8] = (b[8] & 0x3f) | 0x80;
    const hex = [...b].map((x) => x.toString(16).padStart(2, "0")).join("");
    return hex.replace(/^(.{8})(.{4})(.{4})(.{4})(.{12})$/, "$1-$2-$3-$4-$5");
  };

  // smaller makes a picture at most 1600 px on its longer side: it travels and
  // keeps better. What cannot be read as a picture is left for the shop's machine
  // to refuse.
  const smaller = async (file) => {
    try {
      const bitmap = await createImageBitmap(file);
      const scale = Math.min(1, 1600 / Math.max(bitmap.width, bitmap.height));
      const canvas = document.createElement("canvas");
      canvas.width = Math.round(bitmap.width * scale);
      canvas.height = Math.round(bitmap.height * scale);
      canvas.getContext("2d").drawImage(bitmap, 0, 0, canvas.width, canvas.height);
      return (await new Promise((done) => canvas.toBlob(done, "image/jpeg", 0.85))) || file;
    } catch {
      return file;
    }
  };

  // fields reads a form as [name, value] pairs; pictures stay Blobs.
  const fields = async (form, button) => {
    const list = [];
    for (const [name, value] of new FormData(form, button)) {
      if (typeof value === "string") {
        list.push([name, value]);
      } else if (value.size > 0) {
        list.push([name, await smaller(value)]);
      }
    }
    return list;
  };

  const body = (act) => {
    const withPicture = act.fields.some(([, value]) => typeof value !== "string");
    const form = withPicture ? new FormData() : new URLSearchParams();
    for (const [name, value] of act.fields) {
      typeof value === "string" ? form.append(name, value) : form.append(name, value, "picture.jpg");
    }
    return form;
  };

  // note writes down how an act fared, unless it is gone by now: another tab has had
  // its answer and was done with it.
  const note = async (act) => {
    const tx = (await open).transaction("acts", "readwrite", { durability: "strict" });
    if (await tx.store.get(act.id)) {
      tx.store.put(act);
    }
    await tx.done;
  };

  // The page that refused an act last: its form may stand on it, to be put right.
  let came = {};
  const cameBack = (id) => (came.id === id ? came.text : "");

  // Where the shop's machine sends a tablet that may do nothing yet.
  const gates = ["/who", "/enrol", "/setup/open"];

  // send tries one act. It says "unreached" or "sign-in" where the shop's machine
  // has not judged it; else it keeps what was said with the act.
  const send = async (act) => {
    let answer, text;
    // What is sent as it is tapped is done now and asked whatever is asked of a thing done
    // now. Only what waited was done where nobody could be asked.
    const waited = act.tried || Date.now() - act.at > 10000;
    const waits = async (why) => {
      act.tried = true;
      await note(act);
      return why;
    };
    try {
      answer = await fetch(act.url, {
        method: "POST", body: body(act), cache: "no-store", signal: AbortSignal.timeout(30000),
        headers: { ...(waited && { "Coldrail-Done-At": act.at }), "Coldrail-Device-Now": Date.now(), ...(act.shift && { "Coldrail-Shift": act.shift }) },
      });
      text = await answer.text();
    } catch {
      return waits("unreached");
    }
    const path = new URL(answer.url).pathname;
    if (gates.includes(path)) {
      return waits("sign-in");
    }
    // The shop's machine leads on from what it took, to a page that may fail by itself;
    // a page right here that is no refusal comes from something else on the way.
    const taken = answer.redirected;
    if (!taken && (answer.ok || answer.status >= 500 || answer.status === 429 || answer.status === 408)) {
      return waits("unreached");
    }
    const page = new DOMParser().parseFromString(text, "text/html");
    page.querySelectorAll("main .hidden").forEach((e) => e.remove()); // words for the ear alone
    const lines = (e) => [...e.querySelectorAll("h2, h3, p, li")].map((line) => line.textContent.trim());
    const said = [...page.querySelectorAll("main .notice, main .wrong, body > .notice")]
      .filter((e) => !e.closest("[data-step=end]")) // what is left of the round is said on its own page
      .map((e) => (lines(e).join(" ") || e.textContent.trim()));
    act.state = taken ? "sent" : "refused";
    act.said = said.filter(Boolean).slice(0, 12);
    act.saidAt = Date.parse(answer.headers.get("Date")) || Date.now();
    act.where = taken ? path + new URL(answer.url).search : "";
    if (taken) {
      act.fields = []; // the shop's machine has it now
    } else {
      came = { id: act.id, text };
    }
    await note(act);
    return act.state;
  };

  // sendAll sends what waits, one by one in the order it was done, and stops
  // where there is no answer. Sending twice is harmless: the id is the act's.
  const sendAll = async () => {
    let last = "nothing";
    for (const act of (await all("acts")).filter((a) => a.state === "waiting")) {
      last = await send(act);
      if (last === "unreached" || last === "sign-in") {
        break;
      }
    }
    return last;
  };
  let running = null;
  const sendOnce = () => (running ||= sendAll().finally(() => (running = null)));

  return { all, get, put, remove, newId, fields, send, sendAll: sendOnce, cameBack };
})();
