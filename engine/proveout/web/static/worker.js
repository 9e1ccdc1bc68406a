"use strict";
// Keeps the looks of the pages and the pages looked at last, for when the connection is gone. It sends nothing
// by itself and answers no form.

const LOOKS = "proveout-looks-1";
const PAGES = "proveout-pages-1";
const MOST_PAGES = 40;
const FIXED = ["/offline", "/static/app.css", "/static/app.js", "/static/icon.svg", "/manifest.webmanifest"];

self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(LOOKS).then((cache) => cache.addAll(FIXED)).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));

async function keepPage(request, answer) {
  const cache = await caches.open(PAGES);
  await cache.put(request, answer);
  const held = await cache.keys();
  await Promise.all(held.slice(0, Math.max(0, held.length - MOST_PAGES)).map((one) => cache.delete(one)));
}

async function fromNetwork(event, name) {
  const { request } = event;
  try {
    const answer = await fetch(request);
    if (answer.ok && !answer.redirected) {
      const copy = answer.clone();
      event.waitUntil(name === LOOKS ? caches.open(LOOKS).then((cache) => cache.put(request, copy)) : keepPage(request, copy));
    }
    return answer;
  } catch (error) {
    const held = await caches.match(request, { ignoreVary: true });
    if (held) return held;
    if (request.mode === "navigate") return (await caches.match("/offline")) || Response.error();
    throw error;
  }
}

self.addEventListener("fetch", (event) => {
  const { request } = event;
  const url = new URL(request.url);
  if (request.method !== "GET" || url.origin !== self.location.origin) return;
  if (url.pathname.startsWith("/enter/") || url.pathname === "/find" || url.pathname.endsWith("/head")) return;
  event.respondWith(fromNetwork(event, FIXED.includes(url.pathname) ? LOOKS : PAGES));
});
