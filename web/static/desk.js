// Small helps on the console's pages. Every page works without them.

// The published allowance follows the format.
const terms = document.querySelector("form.terms");
if (terms) {
  const published = JSON.parse(terms.dataset.allowances);
  const format = terms.elements.namedItem("format");
  format.addEventListener("change", () => {
    const p = published[format.value];
    if (!p) return;
    terms.elements.namedItem("allowance_percent").value = p.percent;
    terms.elements.namedItem("par_difference").checked = p.par_difference;
    document.getElementById("published").textContent = p.says || "nothing";
  });
}

// A list gets shorter while a name is typed.
for (const field of document.querySelectorAll("[data-filter]")) {
  const lines = [...document.getElementById(field.dataset.filter).querySelectorAll("[data-name]")];
  const plain = (s) => s.normalize("NFD").replace(/\p{M}/gu, "").toLowerCase();
  field.addEventListener("input", () => {
    const words = plain(field.value).split(/\s+/);
    for (const line of lines) line.hidden = !words.every((w) => plain(line.dataset.name).includes(w));
  });
  // With one card left, Enter opens it.
  field.addEventListener("keydown", (e) => {
    const left = lines.filter((l) => !l.hidden);
    if (e.key === "Enter" && field.value && left.length === 1) {
      e.preventDefault();
      left[0].querySelector("a").click();
    }
  });
}

const print = document.querySelector("[data-print]");
if (print) {
  print.hidden = false;
  print.addEventListener("click", () => window.print());
}
