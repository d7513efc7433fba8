// The keyboard of the marking page, and the pick lists of the entry page. Everything works without it, too.
(() => {
  document.documentElement.classList.add("scripted");
  const changed = (element) => element.dispatchEvent(new Event("change", { bubbles: true }));
  const fields = () => [...document.querySelectorAll(".mark-field")];
  const row = (element) => element.closest("tr.part");
  const given = (field) => row(field).querySelector(".given") !== null;
  const go = (field) => { if (field) { field.focus(); field.select(); } };
  const beside = (field, by) => fields()[fields().indexOf(field) + by];
  const number = (text) => {
    const typed = text.trim().replace(",", ".");
    const half = typed.match(/^(\d*) ?½$/);
    return half ? Number(half[1] || 0) + 0.5 : typed === "" ? null : Number(typed);
  };
  const shown = (value) => String(Math.round(value * 1e6) / 1e6);

  const differs = (field) => number(field.value) !== Number(row(field).dataset.suggested);
  const reason = (field) => row(field).querySelector(".reason-field");

  // A mark like the suggested one goes in at once; another one asks for its reason first.
  const award = (field) => {
    if (field.value.trim() === "") {
      field.value = row(field).dataset.suggested;
      changed(field);
      go(beside(field, 1));
    } else if (differs(field) && !reason(field).value.trim()) {
      reason(field).focus();
    } else {
      if (!given(field) || field.value !== field.defaultValue) changed(field);
      go(beside(field, 1));
    }
  };
  const step = (field, sign) => {
    const by = Number(field.dataset.step) * sign, most = Number(field.dataset.most);
    const from = number(field.value) ?? Number(row(field).dataset.suggested);
    if (!Number.isNaN(from)) field.value = shown(Math.min(most, Math.max(0, from + by)));
  };
  const nextOpen = (field) => {
    const all = fields(), at = all.indexOf(field);
    return [...all.slice(at + 1), ...all.slice(0, at)].find((other) => !given(other));
  };
  // The other reading, with its reason where none was typed.
  const take = (button) => {
    const field = row(button).querySelector(".mark-field");
    field.value = button.dataset.marks;
    if (!reason(field).value.trim()) reason(field).value = button.dataset.reason.slice(0, reason(field).maxLength);
    changed(field);
  };
  const keys = {
    Enter: award,
    ArrowDown: (field) => go(beside(field, 1)),
    ArrowUp: (field) => go(beside(field, -1)),
    "+": (field) => step(field, 1),
    "-": (field) => step(field, -1),
    "−": (field) => step(field, -1),
    n: (field) => go(nextOpen(field)),
    r: (field) => reason(field).focus(),
    o: (field) => { const other = row(field).querySelector(".take"); if (other) { take(other); go(beside(field, 1)); } },
    Escape: (field) => { field.value = field.defaultValue; field.select(); },
  };
  document.addEventListener("keydown", (event) => {
    if (event.ctrlKey || event.metaKey || event.altKey || event.isComposing) return;
    if (event.target.matches(".mark-field") && keys[event.key]) {
      event.preventDefault();
      keys[event.key](event.target);
    } else if (event.target.matches(".reason-field") && event.key === "Enter") {
      event.preventDefault();
      const field = row(event.target).querySelector(".mark-field");
      changed(event.target);
      go(beside(field, 1));
    }
  });
  document.addEventListener("click", (event) => {
    const button = event.target.closest(".accept");
    if (!button) return;
    event.preventDefault();
    if (button.matches(".take")) return take(button);
    const field = row(button).querySelector(".mark-field");
    field.value = row(button).dataset.suggested;
    changed(field);
  });
  // An empty field says nothing, so nothing is sent.
  document.addEventListener("htmx:confirm", (event) => {
    const field = event.target.matches?.("tr.part") && event.target.querySelector(".mark-field");
    if (field && field.value.trim() === "") event.preventDefault();
  });
  // A row sends its own fields only: not the whole form, nor its token, which may be older than the sign-in.
  document.addEventListener("htmx:configRequest", (event) => {
    const line = event.target.closest?.("tr.entry, tr.part, .result-row");
    if (!line) return;
    for (const name of [...event.detail.formData.keys()]) {
      if (!line.querySelector(`[name="${CSS.escape(name)}"]`)) event.detail.formData.delete(name);
    }
  });
  document.addEventListener("htmx:afterSwap", (event) => {
    const part = event.target.closest?.("tr.part");
    const field = part?.querySelector(".mark-field");
    if (!field || !given(field)) return;
    field.defaultValue = field.value;
    if (document.activeElement !== reason(field)) reason(field).value = part.querySelector(".given").dataset.reason;
  });

  // An outcome from the list goes behind the words typed, before the line is sent.
  document.addEventListener("change", (event) => {
    if (!event.target.matches(".pick") || !event.target.value) return;
    const area = event.target.closest("tr").querySelector("textarea");
    const picked = event.target.value, said = area.value.trimEnd();
    if (!said.includes(picked)) area.value = said.trim() ? `${said}; ${picked}` : picked;
    event.target.value = "";
    area.focus();
  }, true);
  if (document.querySelector("#marks-form") && !location.hash) go(fields().find((field) => !given(field)));
})();
