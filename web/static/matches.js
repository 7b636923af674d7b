// The matches of a board: who leads, the line of the lead, and the table of a
// round robin. board.js hands over what the stream brings.

const made = (n) => (n < 0 ? `\u2212${-n}` : n === 0 ? "0" : `+${n}`);

export function matches(root) {
  const names = (card) => [".match-side.a .match-name", ".match-side.b .match-name"].map((s) => card.querySelector(s).textContent);

  // whole puts a board; false where the page has to be fetched anew.
  function whole(board) {
    const all = board.matches ?? [];
    if (all.length !== root.querySelectorAll("[data-match]").length) return false;
    return part({ matches: all, table: board.table }, false);
  }

  // part puts what changed; false where there is a match that the page has not.
  function part(frame, mark = true) {
    for (const m of frame.matches ?? []) {
      const card = root.querySelector(`[data-match="${CSS.escape(m.match_id)}"]`);
      if (!card) return false;
      fill(card, m, mark);
    }
    return table(frame.table);
  }

  function text(at, said) {
    if (at.textContent !== said) at.textContent = said;
  }

  function fill(card, m, mark) {
    const before = card.textContent;
    const sides = { A: card.querySelector(".match-side.a"), B: card.querySelector(".match-side.b") };
    text(sides.A.querySelector(".match-name"), m.a.name || "Name not shown");
    text(sides.B.querySelector(".match-name"), m.b.name || "Name not shown");
    const lead = m.text === "dormie" && !m.over ? `${Math.abs(m.lead)} up, dormie` : m.text;
    for (const [side, p] of Object.entries(sides)) {
      p.classList.toggle("ahead", m.leader === side);
      text(p.querySelector(".lead"), m.leader === side ? lead : "");
    }
    text(card.querySelector(".match-state"), m.leader ? "" : lead);
    text(card.querySelector(".match-thru"), m.over ? "over" : m.thru > 0 ? `thru ${m.thru}` : m.time);
    card.classList.toggle("ended", m.over);
    const note = card.querySelector(".note");
    text(note, m.differences.length > 0 && !m.over ? `The sides differ on ${holeList(m.differences)}` : "");
    draw(card.querySelector(".strip"), m.progress, m.length, ...names(card));
    if (mark && before !== card.textContent) {
      card.classList.add("fresh-row");
      clearTimeout(card.markTimer);
      card.markTimer = setTimeout(() => card.classList.remove("fresh-row"), 20_000);
    }
  }

  function holeList(holes) {
    return holes.length === 1 ? `hole ${holes[0]}` : `holes ${holes.slice(0, -1).join(", ")} and ${holes.at(-1)}`;
  }

  // The drawing's measures are those of the page as it was made.
  const step = 10;
  const unit = 6;
  const most = 5;
  const level = unit * most + 2;

  function draw(svg, progress, length, a, b) {
    const paths = { a: "", b: "", even: "" };
    progress.forEach((lead, i) => {
      const x = i * step;
      const tall = unit * Math.min(most, Math.abs(lead));
      if (lead > 0) paths.a += `M${x + 1} ${level}v-${tall}h${step - 2}v${tall}z`;
      else if (lead < 0) paths.b += `M${x + 1} ${level}v${tall}h${step - 2}v-${tall}z`;
      else paths.even += `M${x + 3} ${level - 2}h4v4h-4z`;
    });
    const width = step * Math.max(length, progress.length);
    svg.setAttribute("viewBox", `0 0 ${width} ${2 * level}`);
    svg.querySelector(".line").setAttribute("d", `M0 ${level}h${width}`);
    for (const [k, d] of Object.entries(paths)) svg.querySelector(`.${k}`).setAttribute("d", d);
    svg.setAttribute("aria-label", words(progress, a, b));
  }

  function words(progress, a, b) {
    if (progress.length === 0) return "No hole is entered yet";
    const out = [];
    progress.forEach((lead, i) => {
      const inside = i > 0 && i < progress.length - 1;
      if (inside && lead === progress[i - 1] && lead === progress[i + 1]) return;
      out.push(`${i + 1} ${lead > 0 ? `${a} ${lead} up` : lead < 0 ? `${b} ${-lead} up` : "all square"}`);
    });
    return `After hole ${out.join(", ")}`;
  }

  // table fills the lines of a round robin and puts them in order.
  function table(lines) {
    if (!lines || lines.length === 0) return true;
    const body = document.querySelector("#group-table tbody");
    if (!body) return false;
    for (const l of lines) {
      const tr = body.querySelector(`[data-entry="${CSS.escape(l.entry_id)}"]`);
      if (!tr) return false;
      for (const k of ["played", "won", "tied", "lost"]) text(tr.querySelector(`.${k}`), String(l[k]));
      text(tr.querySelector(".diff"), made(l.holes));
      const whole = Math.floor(l.half_points / 2);
      text(tr.querySelector(".points b"), l.half_points % 2 === 0 ? String(whole) : `${whole > 0 ? whole : ""}½`);
      text(tr.querySelector(".note"), l.decided ? sentence(l.decided.replace(/(^|\s)-(\d)/g, "$1\u2212$2")) : "");
      body.append(tr);
    }
    return true;
  }

  function sentence(s) {
    const out = s[0].toUpperCase() + s.slice(1);
    return out.endsWith(".") ? out : `${out}.`;
  }

  // turn shows as many cards as fit a big screen, from a place on; it returns the
  // place of the first one shown and how many pages there are.
  function turn(first, next) {
    const cards = [...root.querySelectorAll(".match")];
    for (const c of cards) c.hidden = false;
    for (const s of root.querySelectorAll(".match-round")) s.hidden = false;
    const room = innerHeight - innerHeight * 0.03;
    const fits = (from) => {
      let size = 0;
      cards.forEach((c, i) => { c.hidden = i < from; });
      for (const s of root.querySelectorAll(".match-round")) s.hidden = [...s.querySelectorAll(".match")].every((c) => c.hidden);
      for (let i = from; i < cards.length; i++) {
        if (cards[i].getBoundingClientRect().bottom > room && size > 0) break;
        size++;
      }
      return size;
    };
    const starts = [0];
    while (starts.at(-1) < cards.length) {
      const size = fits(starts.at(-1));
      if (starts.at(-1) + size >= cards.length) break;
      starts.push(starts.at(-1) + size);
    }
    let page = Math.max(0, starts.findLastIndex((s) => s <= first));
    if (next) page = (page + 1) % starts.length;
    const from = starts[page];
    const size = fits(from);
    cards.forEach((c, i) => { c.hidden = i < from || i >= from + size; });
    for (const s of root.querySelectorAll(".match-round")) s.hidden = [...s.querySelectorAll(".match")].every((c) => c.hidden);
    return { first: from, page: page + 1, pages: starts.length };
  }

  return { whole, part, turn };
}
