// Small helps on the console's pages. Every page works without them.

// What does not apply to what is chosen is hidden, and what is published for it is
// filled in.
const terms = document.querySelector("form.terms");
if (terms) {
  const published = JSON.parse(terms.dataset.allowances);
  const field = (name) => terms.elements.namedItem(name);
  const value = (name) => {
    const f = field(name);
    return f?.type === "checkbox" ? (f.checked ? f.value : "") : (f?.value ?? "");
  };
  const holds = (condition) =>
    condition.split("|").some((every) =>
      every.split(";").every((clause) => {
        const at = clause.indexOf("=");
        const not = clause[at - 1] === "!";
        const name = clause.slice(0, not ? at - 1 : at);
        return clause.slice(at + 1).split(",").includes(value(name)) !== not;
      }),
    );
  const show = () => {
    for (const part of terms.querySelectorAll("[data-when]")) part.hidden = !holds(part.dataset.when);
  };
  const oneBall = ["foursomes", "greensomes", "chapman", "scramble"];
  const key = () => {
    const [format, side] = [value("format"), value("side")];
    const size = ["scramble", "best_of", "aggregate"].includes(side) ? value("side_size") : "2";
    if (oneBall.includes(side)) return `${side} ${size}`;
    if (side === "best_of") return `${format} ${side} ${value("count").trim()} of ${size}`;
    if (side === "aggregate") return `${format} ${side} ${size}`;
    return `${format} ${side}`.trim();
  };
  const fill = () => {
    const [format, side] = [value("format"), value("side")];
    const found = published[key()];
    if (found && oneBall.includes(side)) found.percents.forEach((n, i) => (field(`side_allowances[${i}]`).value = n));
    else if (found) field("allowance_percent").value = found.percents[0];
    field("par_difference").checked = format === "stroke_play" || format === "match";
    const percents = found?.percents.map((n) => `${n}%`).join(", ");
    const order = found?.percents.length > 1 ? ", the lowest handicap first" : "";
    document.getElementById("published").textContent = found ? `${percents}${order} (${found.source})` : "nothing";
  };
  const group = () => {
    const side = value("side");
    const size = side === "" ? 1 : ["scramble", "best_of", "aggregate"].includes(side) ? Number(value("side_size")) : 2;
    if (size > 1) field("start.group_size").value = size === 3 ? "3" : "4";
  };
  terms.addEventListener("change", (e) => {
    const name = e.target.name;
    if (name === "side" && value("side") === "best_of" && value("count") === "") {
      field("count").value = Math.max(1, Math.floor(Number(value("side_size")) / 2));
    }
    if (["format", "side", "side_size", "count"].includes(name)) fill();
    if (["side", "side_size"].includes(name)) group();
    show();
  });
  show(); // a browser that goes back keeps what was chosen
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
