// What every page needs: a failed save is said aloud, and an unsaved form is not left by accident.
(() => {
  const show = (id) => {
    for (const other of ["session-ended", "save-failed"]) document.getElementById(other).hidden = other !== id;
    document.getElementById(id).scrollIntoView({ block: "nearest" });
  };
  const hideAll = () => {
    for (const id of ["session-ended", "save-failed"]) document.getElementById(id).hidden = true;
  };
  const cookie = (name) => (document.cookie.match(`(?:^|; )${name}=([^;]*)`) || [])[1];

  // After signing in again in another tab the token is a new one; the cookie always has it. A token in a
  // form was there first and may be older, and the server reads it before the header. A newer token must not
  // save in the name of another person who signed in since: the server is told who opened the page.
  const TOKEN = "csrfmiddlewaretoken";
  document.addEventListener("htmx:configRequest", (event) => {
    const token = cookie("examkit_csrf");
    if (!token) return;
    event.detail.headers["X-CSRFToken"] = token;
    event.detail.headers["X-Opened-By"] = document.body.dataset.person;
    event.detail.formData.delete(TOKEN);
  });
  document.addEventListener("submit", (event) => {
    const field = event.target.querySelector?.(`input[name=${TOKEN}]`), token = cookie("examkit_csrf");
    if (!field || !token) return;
    field.value = token;
    const by = event.target.elements.namedItem("opened_by") || document.createElement("input");
    Object.assign(by, { type: "hidden", name: "opened_by", value: document.body.dataset.person });
    event.target.append(by);
  }, true);
  document.addEventListener("htmx:responseError", (event) => {
    show(event.detail.xhr.status === 401 ? "session-ended" : "save-failed");
  });
  document.addEventListener("htmx:sendError", () => show("save-failed"));
  document.addEventListener("htmx:timeout", () => show("save-failed"));
  document.addEventListener("htmx:afterRequest", (event) => {
    if (event.detail.successful) hideAll();
  });

  // Forms with data-guard: leaving with unsaved words asks first.
  let unsaved = false;
  document.addEventListener("input", (event) => {
    if (event.target.closest("form[data-guard]")) unsaved = true;
  });
  for (const saved of ["submit", "htmx:afterRequest"]) {
    document.addEventListener(saved, (event) => {
      if (saved === "submit" || event.detail.successful) unsaved = false;
    });
  }
  window.addEventListener("beforeunload", (event) => {
    if (unsaved) event.preventDefault();
  });
})();
