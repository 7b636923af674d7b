// Typing a paper card in by keyboard alone: digits move on by themselves, and the
// totals run along. The service checks everything again.

const form = document.querySelector("[data-paper]");
if (form) start(form);

function start(form) {
  const rows = [...form.querySelectorAll("tr[data-hole]")].map((row) => ({
    row,
    worth: row.querySelector("[data-worth]"),
    need: Number(row.dataset.need),
    cells: [...row.querySelectorAll("[data-ball]")].map((cell) => ({
      cell,
      input: cell.querySelector("input"),
      hole: row.dataset.hole,
      ball: Number(cell.dataset.ball),
      par: Number(cell.dataset.par),
      received: Number(cell.dataset.received),
      penalty: Number(cell.dataset.penalty ?? 0),
      maximum: Number(cell.dataset.maximum ?? 0),
    })),
  }));
  const balls = Math.max(1, ...rows.map((r) => r.cells.length));
  // One player's column after the other, as a card is read out.
  const lines = rows.flatMap((r) => r.cells).sort((a, b) => a.ball - b.ball);
  const { format, by } = form.dataset;
  const worthName = form.dataset.worthName;
  const strokesCount = worthName === "net";
  const roundPenalty = Number(form.dataset.roundPenalty);
  const confirm = form.querySelector("[data-confirm]");
  const box = confirm.querySelector("input");

  const read = (line) => {
    const v = line.input.value.trim().toUpperCase();
    if (v === "") return { empty: true };
    if (v === "P" || v === "-") return { none: true };
    const n = /^\d{1,2}$/.test(v) ? Number(v) : 0;
    return n > 0 ? { strokes: n } : { wrong: true };
  };
  const unlikely = (line, n) => n <= line.par - 3 || (n === 1 && line.par > 3) || n >= line.par + 6;
  const words = (n) => (n < 0 ? `\u2212${-n}` : String(n));

  // What a ball adds on a hole; null where it has no score that the format needs.
  function figure(line, v) {
    let gross = v.strokes ? v.strokes + line.penalty : 0;
    if (format === "maximum_score") gross = gross ? Math.min(gross, line.maximum) : line.maximum;
    const net = gross - line.received;
    if (format === "stableford") return gross ? Math.max(0, 2 + line.par - net) : 0;
    if (format === "par_bogey") return gross ? Math.sign(line.par - net) : -1;
    return gross ? net : null;
  }
  const best = (figures, need) => figures.sort((a, b) => (strokesCount ? a.f - b.f : b.f - a.f)).slice(0, need);

  function tally() {
    const sum = { gross: 0, worth: 0, thru: 0 };
    let nine = { gross: Array(balls).fill(0), worth: 0, thru: 0 };
    const totals = Array.from({ length: balls }, () => ({ f: 0, whole: true }));
    const odd = [];
    for (const [i, r] of rows.entries()) {
      const figures = [];
      let entered = 0;
      for (const line of r.cells) {
        const v = read(line);
        line.cell.classList.remove("counts");
        if (v.wrong) line.input.setAttribute("aria-invalid", "true");
        else if (line.touched) line.input.removeAttribute("aria-invalid");
        if (v.empty || v.wrong) {
          totals[line.ball].whole = false;
          continue;
        }
        entered++;
        const f = figure(line, v);
        if (f === null) totals[line.ball].whole = false;
        else {
          figures.push({ f, line, holed: Boolean(v.strokes) });
          totals[line.ball].f += f;
        }
        if (v.strokes) {
          let gross = v.strokes + line.penalty;
          if (line.maximum) gross = Math.min(gross, line.maximum);
          nine.gross[line.ball] += gross;
          sum.gross += gross;
          if (unlikely(line, v.strokes)) odd.push(`${v.strokes} on hole ${line.hole}`);
        }
      }
      let worth = "";
      if (entered > 0 && by === "hole") {
        const holed = figures.filter((x) => x.holed).length;
        const enough = figures.length >= r.need && (holed >= r.need || entered === r.cells.length);
        if (enough) {
          const counting = best(figures, r.need);
          if (balls > 1) for (const x of counting) x.line.cell.classList.add("counts");
          worth = counting.reduce((n, x) => n + x.f, 0);
          sum.worth += worth;
          nine.worth += worth;
          worth = words(worth);
        } else if (entered === r.cells.length) worth = "–";
      }
      if (entered > 0) {
        sum.thru++;
        nine.thru++;
      }
      r.worth.textContent = worth;
      if (rows[i + 1]?.row.parentElement !== r.row.parentElement) {
        const total = r.row.closest("table").querySelector("tr[data-nine]");
        for (const cell of total.querySelectorAll("[data-gross]")) {
          cell.textContent = nine.thru ? nine.gross[Number(cell.dataset.gross)] || "" : "";
        }
        total.querySelector("[data-worth]").textContent = nine.thru && by === "hole" ? words(nine.worth) : "";
        nine = { gross: Array(balls).fill(0), worth: 0, thru: 0 };
      }
    }
    if (by === "round") {
      const whole = totals.filter((t) => t.whole);
      const need = Number(form.dataset.count);
      sum.worth = whole.length >= need ? best(whole, need).reduce((n, t) => n + t.f, 0) : null;
    }
    if (sum.worth !== null) sum.worth += strokesCount ? roundPenalty : -roundPenalty;
    if (strokesCount) sum.gross += roundPenalty;
    const says = { gross: sum.gross, thru: sum.thru, [worthName]: sum.worth === null ? "–" : words(sum.worth) };
    for (const cell of form.querySelectorAll("[data-sum]")) {
      cell.textContent = sum.thru || cell.dataset.sum === "thru" ? says[cell.dataset.sum] : "–";
    }
    confirm.hidden = odd.length === 0;
    box.disabled = odd.length === 0;
    if (odd.length) confirm.querySelector("[data-unlikely]").textContent = odd.join(", ");
  }

  const go = (i) => {
    if (i < 0) return;
    if (i < lines.length) {
      lines[i].input.focus();
      lines[i].input.select();
      return;
    }
    if (!confirm.hidden && !box.checked) box.focus();
    else form.querySelector("[name=reason], .stick button").focus();
  };

  lines.forEach((line, i) => {
    const { input } = line;
    input.addEventListener("focus", () => input.select());
    // What no card can say does not get in, from whichever keyboard.
    input.addEventListener("beforeinput", (e) => {
      if (e.data && !/^[0-9pP-]+$/.test(e.data)) e.preventDefault();
    });
    input.addEventListener("input", () => {
      const v = input.value.toUpperCase();
      input.value = v;
      line.touched = true;
      // A one waits: it may become ten and more. Two digits or any other one move on.
      const whole = v === "P" || v === "-" || /^[2-9]$/.test(v) || /^\d\d$/.test(v);
      tally();
      if (whole && !read(line).wrong) go(i + 1);
    });
    input.addEventListener("keydown", (e) => {
      if (e.ctrlKey || e.metaKey || e.altKey) return;
      switch (e.key) {
        case "Enter": // moves on; the button alone sends the card
          e.preventDefault();
          go(i + 1);
          break;
        case "ArrowDown":
          e.preventDefault();
          go(Math.min(i + 1, lines.length - 1));
          break;
        case "ArrowUp":
          e.preventDefault();
          go(i - 1);
          break;
        case "Backspace":
          if (input.value === "") {
            e.preventDefault();
            go(i - 1);
          }
          break;
      }
    });
  });
  // Some keyboards press Enter without saying so first.
  form.addEventListener("keypress", (e) => {
    if (e.key === "Enter" && e.target.closest("tr[data-hole], .confirm")) e.preventDefault();
  });

  const signed = form.querySelector("[data-signed]");
  const send = form.querySelector("[data-send]");
  if (signed && send) {
    const name = () => (send.textContent = signed.checked ? "Certify and return the card" : "Store the scores only");
    signed.addEventListener("change", name);
    name();
  }
  box.addEventListener("keydown", (e) => {
    if (e.key === "Enter") {
      e.preventDefault();
      box.checked = true;
      form.querySelector(".stick button").focus();
    }
  });
  tally();
  // What was refused is put right at once.
  const wrong = lines.find((l) => l.input.getAttribute("aria-invalid") === "true");
  if (wrong) wrong.input.focus();
}
