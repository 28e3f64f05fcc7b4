// Keeps the whole page on the phone, so that it opens where there is no signal.
//
// The build writes this file to the root of the served folder with the two values below filled
// in: a version, and what the page is made of. The version changes when any of the files does.
//
// Each version has a cache of its own, in which its front page is stored last: a cache with a front
// page is whole. The files of the version before stay, for tabs that run it, and for the day when
// the new one does not start.
"use strict";

const VERSION = "unsealed";
// Address relative to this file → SHA-256 in hexadecimal.
const FILES = {};

const PREFIX = "tarnlight-";
const CACHE = PREFIX + VERSION;
const FRONT = "index.html";
// What marks a version's cache when that version did not start.
const UNFIT = "unfit";
// A picture that another program hands over: where it is posted, and where the page fetches it.
const PICTURE = "shared-picture";
const PICTURES = "shared.tarnlight";
// A connection that brought nothing for so long is given up.
const STALL_MS = 30000;
// Given to stored files, since a server may call them anything.
const TYPES = {
  css: "text/css",
  html: "text/html",
  js: "text/javascript",
  png: "image/png",
  svg: "image/svg+xml",
  txt: "text/plain;charset=utf-8",
  wasm: "application/wasm",
  webmanifest: "application/manifest+json",
  woff2: "font/woff2",
};

const address = (name) => new URL(name, self.registration.scope).href;
const found = (name, cacheName) => caches.match(address(name), { cacheName });
const withCache = async (name, act) => (await caches.has(name)) && act(await caches.open(name));

async function tell(word) {
  const pages = await self.clients.matchAll({ includeUncontrolled: true, type: "window" });
  for (const page of pages) page.postMessage(word);
}

async function sha256(bytes) {
  const digest = new Uint8Array(await crypto.subtle.digest("SHA-256", bytes));
  return Array.from(digest, (byte) => byte.toString(16).padStart(2, "0")).join("");
}

// The bytes of a file as the server, or the browser's own cache, has it.
async function download(name, cache) {
  const stop = new AbortController();
  let stall;
  const goOn = () => {
    clearTimeout(stall);
    stall = setTimeout(() => stop.abort(), STALL_MS);
  };
  goOn();
  const answer = await fetch(address(name), { cache, credentials: "same-origin", signal: stop.signal });
  const reader = answer.body.getReader();
  const parts = [];
  for (let part = await reader.read(); !part.done; part = await reader.read()) {
    parts.push(part.value);
    goOn();
  }
  clearTimeout(stall);
  return new Blob(parts).arrayBuffer();
}

async function kept(name) {
  const answer = await caches.match(address(name));
  return answer && answer.arrayBuffer();
}

// A file of this version, from an older version's cache, the browser's or the server. Whatever does
// not have its hash is refused: while a server is half way through an upload, old and new files
// could otherwise be kept together for good, and a network that wants a sign-in answers anything.
async function fetchChecked(name, hash) {
  for (const source of [kept, () => download(name, "default"), () => download(name, "reload")]) {
    const bytes = await source(name);
    if (bytes && (await sha256(bytes)) === hash) {
      return new Response(bytes, { headers: { "content-type": TYPES[name.split(".").pop()] } });
    }
  }
  throw new Error("wrong " + name);
}

// Nothing is stored until everything is right.
async function copy() {
  const names = Object.keys(FILES).filter((name) => name !== FRONT).concat(FRONT);
  const files = await Promise.all(names.map((name) => fetchChecked(name, FILES[name])));
  const cache = await caches.open(CACHE);
  const front = files.pop();
  await Promise.all(files.map((file, place) => cache.put(address(names[place]), file)));
  await cache.put(address(FRONT), front);
}

// Why there is no copy, in a word or two for the page.
function reason(error) {
  if (error.name === "QuotaExceededError") return "copy full";
  return error.message.startsWith("wrong ") ? "copy " + error.message : "copy cut";
}

async function install() {
  try {
    await copy();
  } catch (error) {
    await caches.delete(CACHE);
    if (!self.registration.active) await tell(reason(error));
    throw error;
  }
  // Where no version starts, nobody's work is in the way of this one.
  const others = (await fitVersions()).filter((name) => name !== CACHE);
  if (others.length === 0) await self.skipWaiting();
}

// Names of whole caches whose version has not failed to start, the newest first.
async function fitVersions() {
  const fit = [];
  for (const name of await caches.keys()) {
    const whole = name.startsWith(PREFIX) && (await found(FRONT, name));
    if (whole && !(await found(UNFIT, name))) fit.unshift(name);
  }
  return fit;
}

// Deletes what no tab can be running, but for this version and the one before.
async function prune() {
  const tabs = await self.clients.matchAll({ includeUncontrolled: true, type: "window" });
  if (tabs.length > 1 || self.registration.installing || self.registration.waiting) return;
  const others = (await fitVersions()).filter((name) => name !== CACHE);
  const names = await caches.keys();
  const old = names.filter((name) => name.startsWith(PREFIX) && name !== CACHE && name !== others[0]);
  await Promise.all(old.map((name) => caches.delete(name)));
}

async function activate() {
  await prune();
  // The first visit, too, should go on without a signal, not only the second.
  await self.clients.claim();
}

// The front page of this version, or of the one before if this one does not start.
async function front(request) {
  const fit = await fitVersions();
  const name = fit.includes(CACHE) ? CACHE : fit[0] || CACHE;
  return (await found(FRONT, name)) || fetch(request);
}

// Names have hashes in them, so that a file another version kept is the one a tab of it wants.
async function file(request, url) {
  return (await found(url, CACHE)) || (await caches.match(url)) || fetch(request);
}

// Keeps a picture for the page, which is opened to fetch it.
async function takeIn(request) {
  const picture = (await request.formData()).get("picture");
  if (picture instanceof File) {
    const headers = { "content-type": picture.type || "application/octet-stream" };
    const cache = await caches.open(PICTURES);
    await cache.put(address(PICTURE), new Response(picture, { headers }));
  }
  return Response.redirect(address("./?" + PICTURE), 303);
}

// Hands the picture out, once.
async function handOut() {
  const picture = await found(PICTURE, PICTURES);
  await caches.delete(PICTURES);
  return picture || new Response(null, { status: 404 });
}

// What pages say: a word, the version it is about, and who says it.
const TASKS = {
  // A new version waits until the page asks for it: nothing changes under a photographer's hands.
  "take-over": () => self.skipWaiting(),

  // Is the copy whole? What the browser has deleted is fetched again.
  async copy(_, page) {
    try {
      const cache = await caches.open(CACHE);
      const kept = new Set((await cache.keys()).map((request) => request.url));
      if (!Object.keys(FILES).every((name) => kept.has(address(name)))) await copy();
      page.postMessage("copy whole");
    } catch (error) {
      page.postMessage(reason(error));
    }
  },

  async started(version) {
    await withCache(PREFIX + version, (cache) => cache.delete(address(UNFIT)));
    await prune();
  },

  async "did-not-start"(version, page) {
    await withCache(PREFIX + version, (cache) => cache.put(address(UNFIT), new Response()));
    const other = (await fitVersions()).length > 0;
    page.postMessage(other ? "start another" : "start none");
    // It takes over by itself, see above.
    if (!other) await self.registration.update();
  },
};

self.addEventListener("install", (event) => event.waitUntil(install()));

self.addEventListener("activate", (event) => event.waitUntil(activate()));

self.addEventListener("message", (event) => {
  const [word, version] = String(event.data).split(" ");
  if (word in TASKS) event.waitUntil(TASKS[word](version, event.source));
});

self.addEventListener("fetch", (event) => {
  const request = event.request;
  if (request.url === address(PICTURE)) {
    return event.respondWith(request.method === "POST" ? takeIn(request) : handOut());
  }
  if (request.method !== "GET" || !request.url.startsWith(self.registration.scope)) return;
  const url = new URL(request.url);
  // A shared outing may travel in the address; the page is the same.
  url.search = "";
  url.hash = "";
  const opens = url.href === self.registration.scope || url.href === address(FRONT);
  const answer = opens ? front(request) : file(request, url.href);
  // Where the browser's storage fails, the server may still answer.
  event.respondWith(answer.catch(() => fetch(request)));
});
