// Typing a paper card in by keyboard alone: digits move on by themselves, and the
// totals run along. The service checks everything again.

const form = document.querySelector("[data-paper]");
if (form) start(form);

function start(form) {
  const lines = [...form.querySelectorAll("tr[data-hole]")].map((row) => ({
    row,
    input: row.querySelector("input"),
    worth: row.querySelector("[data-worth]"),
    hole: row.dataset.hole,
    par: Number(row.dataset.par),
    received: Number(row.dataset.received),
  }));
  const stableford = form.dataset.stableford === "true";
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

  function tally() {
    const sum = { gross: 0, net: 0, points: 0, thru: 0, holed: 0 };
    let nine = { gross: 0, worth: 0, thru: 0 };
    const odd = [];
    for (const [i, line] of lines.entries()) {
      const v = read(line);
      if (v.wrong) line.input.setAttribute("aria-invalid", "true");
      else if (line.touched) line.input.removeAttribute("aria-invalid");
      let worth = "";
      if (v.strokes) {
        const net = v.strokes - line.received;
        const points = Math.max(0, 2 + line.par - net);
        worth = stableford ? points : net;
        sum.gross += v.strokes;
        sum.net += net;
        sum.points += points;
        sum.holed++;
        nine.gross += v.strokes;
        nine.worth += worth;
        if (unlikely(line, v.strokes)) odd.push(`${v.strokes} on hole ${line.hole}`);
      } else if (v.none) {
        worth = stableford ? 0 : "–";
      }
      if (!v.empty && !v.wrong) {
        sum.thru++;
        nine.thru++;
      }
      line.worth.textContent = worth;
      const total = line.row.closest("table").querySelector("tr[data-nine]");
      if (lines[i + 1]?.row.parentElement !== line.row.parentElement) {
        total.querySelector("[data-gross]").textContent = nine.thru ? nine.gross : "";
        total.querySelector("[data-worth]").textContent = nine.thru ? nine.worth : "";
        nine = { gross: 0, worth: 0, thru: 0 };
      }
    }
    for (const cell of form.querySelectorAll("[data-sum]")) {
      cell.textContent = sum.thru || cell.dataset.sum === "thru" ? sum[cell.dataset.sum] : "–";
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
