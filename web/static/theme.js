// The switch of colours: at once and where there is no signal, without leaving the
// page. The service is told as well, because some browsers forget within a week what
// a script wrote. Without this file the form is sent and the page comes again.

addEventListener("submit", (e) => {
  const form = e.target.closest?.("form.themes");
  if (!form || !e.submitter) return;
  e.preventDefault();
  e.stopPropagation(); // scripts of pages send the other forms
  const { value, dataset } = e.submitter;
  const age = value === "" ? 0 : 365 * 24 * 60 * 60;
  document.cookie = `theme=${value}; path=/; max-age=${age}; samesite=lax`;
  for (const b of form.querySelectorAll("button")) b.setAttribute("aria-pressed", String(b === e.submitter));
  document.getElementById("dark-sheet").media = dataset.dark;
  document.getElementById("sun-sheet").media = dataset.sun;
  document.querySelector('meta[name="color-scheme"]').content = dataset.schemes;
  for (const bar of document.querySelectorAll('meta[name="theme-color"]')) {
    bar.content = dataset.bars || bar.dataset.own;
  }
  fetch(form.action, { method: "POST", body: new URLSearchParams({ theme: value }), redirect: "manual", keepalive: true }).catch(() => {});
}, true);
