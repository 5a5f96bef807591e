// The service worker: it hands out the pages of the round and the sheet of what is
// in the house, as the shop's machine last wrote them, when that machine cannot be
// reached, and our own files at any time. Before this text stand the version and the
// list of files (static/worker.go). It keeps no form: kept.js does that.
"use strict";

const FILES = "coldrail-files-" + VERSION;
const PAGES = "coldrail-pages";
const isKept = (path) => /^\/round(\/|$)|^\/animals\/[^/]+\/look$|^\/register\/now$|^\/without$/.test(path);

self.addEventListener("install", (event) => {
  event.waitUntil((async () => {
    await (await caches.open(FILES)).addAll(LIST);
    await (await caches.open(PAGES)).add("/without");
    await self.skipWaiting();
  })());
});

self.addEventListener("activate", (event) => {
  event.waitUntil((async () => {
    for (const name of await caches.keys()) {
      if (name.startsWith("coldrail-files-") && name !== FILES) {
        await caches.delete(name);
      }
    }
    await self.clients.claim();
  })());
});

// page asks the shop's machine first, for four seconds; then the copy counts.
const page = async (request, path) => {
  const store = await caches.open(PAGES);
  try {
    const answer = await Promise.race([fetch(request), new Promise((_, late) => setTimeout(late, 4000))]);
    if (answer.ok && !answer.redirected && isKept(path)) {
      await store.put(path, answer.clone());
    }
    return answer;
  } catch {
    return (isKept(path) && (await store.match(path, { ignoreVary: true }))) || store.match("/without", { ignoreVary: true });
  }
};

self.addEventListener("fetch", (event) => {
  const url = new URL(event.request.url);
  if (event.request.method !== "GET" || url.origin !== self.location.origin) {
    return;
  }
  if (url.pathname.startsWith("/static/")) {
    event.respondWith(caches.match(event.request, { ignoreVary: true }).then((copy) => copy || fetch(event.request)));
  } else if (event.request.mode === "navigate" || isKept(url.pathname) && event.request.headers.has("HX-Request")) {
    event.respondWith(page(event.request, url.pathname));
  }
});
