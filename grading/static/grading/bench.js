// The bench page: each line is kept in the browser as it is typed and forgotten there once the server has it.
// Nothing typed is lost by a reload, a dropped network or a login that ends. Works without it, too (the form).
(() => {
  document.documentElement.classList.add("scripted");
  const PAUSE = 1200, TIMEOUT = 15000, POLL = 30000, SOONEST = 2000, LATEST = 30000, REMEMBERED = 8;
  const name = (slot, test) => `examkit bench ${slot} ${test}`;

  // ---- what the browser keeps ----
  const kept = {
    works: (() => { try { localStorage.setItem("examkit bench", "1"); localStorage.removeItem("examkit bench"); return true; } catch { return false; } })(),
    get(slot, test) { try { return JSON.parse(localStorage.getItem(name(slot, test))); } catch { return null; } },
    put(slot, test, draft) { try { localStorage.setItem(name(slot, test), JSON.stringify(draft)); } catch { kept.works = false; } },
    drop(slot, test) { try { localStorage.removeItem(name(slot, test)); } catch { /* nothing was kept */ } },
    tests(slot) {
      try { return Object.keys(localStorage).filter((key) => key.startsWith(name(slot, ""))).map((key) => key.slice(name(slot, "").length)); }
      catch { return []; }
    },
  };

  const clear = document.querySelector("[data-clear]");
  if (clear) for (const test of kept.tests(clear.dataset.clear)) kept.drop(clear.dataset.clear, test);
  const left = document.querySelector("[data-left]");
  if (left?.dataset.left) {
    for (const test of kept.tests(left.dataset.left)) {
      const draft = kept.get(left.dataset.left, test), list = left.querySelector("dl");
      if (!draft) continue;
      list.append(Object.assign(document.createElement("dt"), { textContent: draft.title || test }));
      list.append(Object.assign(document.createElement("dd"), { textContent: [...(draft.told || []), draft.words, draft.inference].filter(Boolean).join(" · ") }));
      left.hidden = false;
    }
  }

  const form = document.getElementById("bench-form");
  if (!form) return;
  const slot = form.dataset.slot, stored = JSON.parse(document.getElementById("stored").textContent);
  const texts = document.getElementById("words").content;
  const say = (what) => texts.querySelector(`[data-say="${what}"]`).textContent;
  const cookie = (key) => (document.cookie.match(`(?:^|; )${key}=([^;]*)`) || [])[1];
  const state = document.getElementById("state");
  const lines = [];
  const page = { over: "", offline: false, wait: SOONEST, retry: null, note: "" };

  // ---- a line ----
  const same = (one, other) => snapshot(one) === snapshot(other);
  const snapshot = (said) => JSON.stringify([said.words.replaceAll("\r\n", "\n"), said.inference.replaceAll("\r\n", "\n"), said.chosen.filter((key) => key && key !== "words").sort()]);

  class Line {
    constructor(element) {
      this.element = element;
      this.test = element.dataset.line;
      this.stored = stored[this.test];
      this.status = element.querySelector(".status");
      this.sent = []; // what went out and was not answered: the server may have it
      this.busy = this.stopped = false;
      element.addEventListener("input", () => this.changed(PAUSE));
      element.addEventListener("change", () => this.changed(0));
      this.bringBack();
    }
    field(which) { return this.element.querySelector(`[name="${this.test}-${which}"]`); }
    selects() { return [...this.element.querySelectorAll(`select[name="${this.test}-choice"]`)]; }
    read() {
      return { words: this.field("observation").value, inference: this.field("inference").value, chosen: this.selects().map((list) => list.value) };
    }
    write(said) {
      this.field("observation").value = said.words;
      this.field("inference").value = said.inference;
      for (const list of this.selects()) {
        const values = [...list.options].map((option) => option.value);
        list.value = said.chosen.find((key) => key && key !== "words" && values.includes(key)) || "";
      }
    }
    get pending() { return !same(this.read(), this.stored); }

    // What was kept from before this page was loaded goes back into the fields, and out.
    bringBack() {
      const draft = kept.get(slot, this.test), shown = this.read();
      if (draft && !same(draft, this.stored)) {
        this.sent = draft.sent || [];
        const ours = draft.base === this.stored.version || this.sent.includes(snapshot(this.stored));
        this.write(draft);
        if (!ours) return this.clash(this.stored);
        return this.changed(0);
      }
      kept.drop(slot, this.test);
      if (same(shown, this.stored)) return;
      if (this.element.querySelector(`[name="${this.test}-replace"]`)) return this.clash(this.stored);
      this.changed(PAUSE); // typed before this script had come
    }
    keep() {
      const told = this.selects().filter((list) => list.value && list.value !== "words").map((list) => list.selectedOptions[0].textContent.replace(/^\d+ /, ""));
      const title = document.getElementById(`test-${this.test}`)?.textContent || "";
      kept.put(slot, this.test, { ...this.read(), base: this.stored.version, sent: this.sent, title, told });
    }
    changed(after) {
      if (page.over) return this.keep();
      clearTimeout(this.timer);
      if (!this.pending) {
        kept.drop(slot, this.test);
        if (!this.busy && !this.theirs) this.tell("line-saved", "saved");
        return tellAll();
      }
      this.keep();
      this.stopped = false;
      if (this.theirs) return tellAll();
      this.tell("line-kept", "kept");
      tellAll();
      this.timer = setTimeout(() => this.send(), after);
    }
    async send() {
      if (this.busy || page.over || this.theirs || this.stopped || !this.pending) return;
      const said = this.read(), body = new FormData();
      body.append(`${this.test}-observation`, said.words);
      body.append(`${this.test}-inference`, said.inference);
      for (const key of said.chosen) body.append(`${this.test}-choice`, key);
      body.append(`${this.test}-version`, this.stored.version);
      this.sent = [...this.sent, snapshot(said)].slice(-REMEMBERED);
      this.keep();
      this.busy = true;
      this.tell("line-saving", "kept");
      tellAll();
      const answer = await ask(form.dataset.lineUrl.replace("LINE", this.test), { method: "POST", body });
      this.busy = false;
      this.answered(answer, said);
    }
    answered(answer, said) {
      if (!answer || answer.status >= 500) { this.tell("line-kept", "kept"); return lost(); }
      back();
      if (answer.status === 200) {
        this.stored = { ...said, version: answer.json.version };
        this.field("version").value = answer.json.version;
        this.sent = [];
        this.changed(0);
      } else if (answer.status === 409) {
        this.met(answer.json.theirs);
      } else if (answer.status === 410) {
        over(answer.json.closed);
      } else if (answer.status === 401 || answer.status === 403) {
        over(say("ended"), true);
      } else {
        this.stopped = true; // until it is changed
        this.status.querySelectorAll("p, span").forEach((node) => node.remove());
        this.status.append(Object.assign(document.createElement("p"), { className: "problem", textContent: answer.json?.problem || "" }));
      }
      tellAll();
    }
    // Something else is stored. If it is what this window sent before, only the answer was lost.
    met(theirs) {
      const ours = this.sent.includes(snapshot(theirs));
      this.stored = theirs;
      this.field("version").value = theirs.version;
      if (ours) { this.sent = []; return this.changed(0); }
      this.clash(theirs);
    }
    clash(theirs) {
      this.theirs = theirs;
      this.keep();
      const box = Object.assign(document.createElement("div"), { className: "elsewhere" });
      const part = (tag, textContent) => box.appendChild(Object.assign(document.createElement(tag), { textContent }));
      part("p", say("elsewhere"));
      part("p", [theirs.words, theirs.inference].filter(Boolean).join(" · ") || "–").className = "written";
      const choice = (words, act) => Object.assign(part("button", say(words)), { type: "button", onclick: () => { this.theirs = null; act(); this.changed(0); } });
      choice("keep", () => {});
      choice("take", () => { this.write(theirs); });
      this.show(box);
      tellAll();
    }
    tell(words, kind) {
      if (this.test && this.status.querySelector(`.${kind}`)?.dataset.words === words) return;
      const span = Object.assign(document.createElement("span"), { className: kind, textContent: say(words) });
      span.dataset.words = words;
      this.show(span);
    }
    show(node) {
      this.status.querySelectorAll("p, span, dl, div").forEach((old) => old.remove());
      this.status.append(node);
    }
  }

  // ---- the server ----
  async function ask(url, options = {}) {
    const stop = new AbortController(), timer = setTimeout(() => stop.abort(), TIMEOUT);
    try {
      const answer = await fetch(url, { ...options, signal: stop.signal, credentials: "same-origin", redirect: "manual", headers: { "X-CSRFToken": cookie("examkit_csrf") || "", Accept: "application/json" } });
      if (answer.type === "opaqueredirect") return { status: 401, json: null };
      const json = await answer.json().catch(() => null);
      if (json?.until) document.getElementById("until").textContent = json.until;
      return { status: answer.status, json };
    } catch {
      return null;
    } finally {
      clearTimeout(timer);
    }
  }
  function lost() {
    page.offline = true;
    clearTimeout(page.retry);
    page.retry = setTimeout(flush, page.wait);
    page.wait = Math.min(LATEST, page.wait * 2);
    tellAll();
  }
  function back() {
    page.offline = false;
    page.wait = SOONEST;
  }
  function flush() {
    for (const line of lines) if (line.pending) line.send();
  }
  async function look() {
    if (page.over) return;
    const answer = await ask(form.dataset.stateUrl);
    if (!answer || answer.status >= 500) return lines.some((line) => line.pending) ? lost() : undefined;
    if (answer.status === 410) return over(answer.json.closed);
    if (answer.status === 401 || answer.status === 403) return over(say("ended"), true);
    if (page.offline) { back(); flush(); }
    tellAll();
  }
  // Closed, or the access has ended: nothing more is sent, and what was not sent stays in the browser.
  function over(words, door = false) {
    page.over = words;
    page.door = door;
    clearTimeout(page.retry);
    for (const line of lines) if (line.pending) { line.keep(); line.tell("line-kept", "kept"); }
    if (!door) for (const field of form.querySelectorAll("textarea, input, select")) field.tagName === "SELECT" ? field.disabled = true : field.readOnly = true;
    for (const button of form.querySelectorAll("button")) button.disabled = true;
    tellAll();
  }

  // ---- what the page says ----
  function tellAll() {
    const waiting = lines.filter((line) => line.pending).length;
    let words = say("saved");
    if (page.over) words = page.over + (waiting && !page.door ? ` ${say("unsent")}` : "");
    else if (page.note && waiting) words = page.note;
    else if (page.offline && waiting) words = waiting === 1 ? say("offline-1") : say("offline-n").replace("NUMBER", waiting);
    else if (waiting) words = say("saving");
    if (!waiting) page.note = "";
    if (!kept.works) words += ` ${say("no-store")}`;
    state.classList.toggle("trouble", Boolean(page.over || (page.offline && waiting) || !kept.works));
    if (state.dataset.said === words) return;
    state.dataset.said = state.textContent = words;
    if (page.over) state.append(" ", Object.assign(document.createElement("a"), { href: form.dataset.door, textContent: say("door") }));
  }

  for (const element of form.querySelectorAll("[data-line]")) lines.push(new Line(element));
  tellAll();
  setInterval(look, POLL);
  window.addEventListener("online", look);
  window.addEventListener("offline", () => { if (lines.some((line) => line.pending)) lost(); });
  document.addEventListener("visibilitychange", () => { if (!document.hidden) look(); });

  // A reload without a network shows a calm page; browsers allow this over HTTPS only.
  if (form.dataset.worker) navigator.serviceWorker?.register(form.dataset.worker).catch(() => {});

  // Handing in waits until everything is saved.
  form.addEventListener("submit", async (event) => {
    if (!lines.some((line) => line.pending)) return;
    event.preventDefault();
    event.stopPropagation();
    page.note = say("wait");
    for (const line of lines) { clearTimeout(line.timer); await line.send(); }
    for (let tries = 0; tries < 20 && lines.some((line) => line.busy); tries += 1) await new Promise((done) => setTimeout(done, 100));
    tellAll();
    if (!lines.some((line) => line.pending)) form.requestSubmit(event.submitter || undefined);
  }, true);
})();
