// At a keyboard: Enter moves on from a row that was not touched; one that was is
// sent, and the page comes back with the next row ready. Works without this file.

const rows = document.getElementById("rows");
if (rows) {
  const inputs = [...rows.querySelectorAll(".row-list input:not([type=hidden])")];
  const was = (input) => rows.querySelector(`[name="was.${input.name}"]`).value;
  rows.addEventListener("keydown", (e) => {
    const at = inputs.indexOf(e.target);
    if (at < 0) return;
    const next = e.key === "Enter" && inputs.every((x) => x.value.trim() === was(x)) || e.key === "ArrowDown" ? at + 1 : e.key === "ArrowUp" ? at - 1 : -1;
    if (next < 0) return;
    e.preventDefault();
    inputs[Math.min(next, inputs.length - 1)].focus();
  });
}
