// Keeps the whole page on the phone, so that it opens where there is no signal.
//
// The build writes this file to the root of the served folder with the two values below filled
// in: a version, and what the page is made of. The version changes when any of the files does.
"use strict";

const VERSION = "unsealed";
// Address relative to this file → SHA-256 in hexadecimal.
const FILES = {};

const PREFIX = "tarnlight-";
const CACHE = PREFIX + VERSION;
const FRONT = "index.html";

const address = (name) => new URL(name, self.registration.scope).href;
const LISTED = new Set(Object.keys(FILES).map(address));

async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// Refuses a file that is not the one this version was built with: while a server is half way
// through an upload, old and new files could otherwise be kept together for good.
async function fetchChecked(name, hash) {
  const answer = await fetch(address(name), { cache: "reload", credentials: "same-origin" });
  if (!answer.ok) throw new Error(`${name}: the server answered ${answer.status}`);
  const bytes = await answer.arrayBuffer();
  if ((await sha256(bytes)) !== hash) throw new Error(`${name} is not the file of version ${VERSION}`);
  // A new response, because a browser refuses to open a page from one that was redirected, and
  // some servers redirect index.html to its folder.
  const type = answer.headers.get("content-type") || "application/octet-stream";
  return new Response(bytes, { headers: { "content-type": type } });
}

async function install() {
  const fetched = await Promise.all(
    Object.entries(FILES).map(async ([name, hash]) => [address(name), await fetchChecked(name, hash)]),
  );
  // Nothing is stored until everything is right.
  const cache = await caches.open(CACHE);
  await Promise.all(fetched.map(([url, answer]) => cache.put(url, answer)));
}

async function activate() {
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE);
  await Promise.all(old.map((name) => caches.delete(name)));
  // The first visit, too, should go on without a signal, not only the second.
  await self.clients.claim();
}

// Only from this version's own cache: files of two versions never meet in one page.
async function answer(request, url) {
  const cache = await caches.open(CACHE);
  return (await cache.match(url)) || fetch(request);
}

self.addEventListener("install", (event) => event.waitUntil(install()));

self.addEventListener("activate", (event) => event.waitUntil(activate()));

// A new version waits until the page asks for it: nothing changes under a photographer's hands.
self.addEventListener("message", (event) => {
  if (event.data === "take-over") event.waitUntil(self.skipWaiting());
});

self.addEventListener("fetch", (event) => {
  const request = event.request;
  if (request.method !== "GET" || !request.url.startsWith(self.registration.scope)) return;
  const url = new URL(request.url);
  // A shared outing may travel in the address; the page is the same.
  url.search = "";
  url.hash = "";
  const wanted = url.href === self.registration.scope ? address(FRONT) : url.href;
  if (LISTED.has(wanted)) event.respondWith(answer(request, wanted));
});
