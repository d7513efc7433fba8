// The pool page: shows only the salts that match what is typed, and counts those that are chosen.
(() => {
  const form = document.querySelector("form[data-pool]");
  if (!form) return;
  const filter = document.getElementById("filter");
  const count = document.getElementById("count");
  const rows = [...form.querySelectorAll("tbody tr")];
  const digits = "₀₁₂₃₄₅₆₇₈₉⁰¹²³⁴⁵⁶⁷⁸⁹⁺⁻";
  const plain = (text) => text.replace(/[₀-₉⁰¹²³⁴-⁹⁺⁻]/g, (c) => "01234567890123456789+-"[digits.indexOf(c)])
    .replace(/\s+/g, " ").toLowerCase();
  const words = new Map(rows.map((row) => [row, plain(row.textContent)]));
  const words_of = (text) => plain(text).split(" ").filter(Boolean);
  filter.hidden = false;
  filter.addEventListener("input", (event) => {
    event.stopPropagation(); // searching is no change
    const wanted = words_of(filter.value);
    for (const row of rows) row.hidden = !wanted.every((word) => words.get(row).includes(word));
  });
  filter.addEventListener("keydown", (event) => {
    if (event.key === "Enter") event.preventDefault();
  });
  form.addEventListener("change", () => {
    const chosen = form.querySelectorAll("input[name=salt]:checked").length;
    count.textContent = count.textContent.replace(/\d+/, chosen);
  });
})();
