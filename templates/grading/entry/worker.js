{% load static %}// A page that was asked for without a network: calm words, and it is tried again. Nothing of a record is kept here.
const NAME = "examkit-bench", PAGE = "{% url 'bench:offline' %}";
const LOOKS = ["{% static 'examkit/screen.css' %}", "{% static 'examkit/fonts.css' %}", "{% static 'grading/offline.js' %}"];
self.addEventListener("install", (event) => {
  event.waitUntil(caches.open(NAME).then((cache) => cache.addAll([PAGE, ...LOOKS])).then(() => self.skipWaiting()));
});
self.addEventListener("activate", (event) => event.waitUntil(self.clients.claim()));
self.addEventListener("fetch", (event) => {
  const path = new URL(event.request.url).pathname;
  if (event.request.mode === "navigate" && event.request.method === "GET") {
    event.respondWith(fetch(event.request).catch(() => caches.match(PAGE)));
  } else if (LOOKS.includes(path)) {
    event.respondWith(fetch(event.request).catch(() => caches.match(event.request)));
  }
});
