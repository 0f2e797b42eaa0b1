// A tap on the ring fills in bearing and angle; a file dropped on the page goes to the program.
const ring = document.getElementById("ring");
const svg = ring.querySelector("svg");
const form = document.getElementById("skyline");
const terrain = document.getElementById("terrain");
const said = document.getElementById("dropped");
const file = document.getElementById("file");
const EVERY_DEG = 5;

ring.addEventListener("click", (event) => {
  const side = Number(ring.dataset.side);
  const at = new DOMPoint(event.clientX, event.clientY).matrixTransform(svg.getScreenCTM().inverse());
  const [right, up] = [at.x - side / 2, side / 2 - at.y];
  const turned = (Math.atan2(right, up) * 180) / Math.PI + Number(ring.dataset.wind);
  const bearing = (Math.round(turned / EVERY_DEG) * EVERY_DEG + 360) % 360;
  const seen = (Math.hypot(right, up) - Number(ring.dataset.level)) / Number(ring.dataset.perDegree);
  form.elements.bearing.value = bearing;
  form.elements.seen.value = Math.max(0, Math.round(seen));
  form.querySelector('[value="angle"]').checked = true;
  form.elements.distance.focus();
});

async function take(files) {
  for (const one of files) {
    said.textContent = `Reading ${one.name}…`;
    said.classList.remove("wrong");
    let told;
    try {
      const answer = await fetch(`${terrain.dataset.address}?file=${encodeURIComponent(one.name)}`, { method: "POST", body: one });
      told = answer.headers.get("content-type")?.includes("json")
        ? await answer.json()
        : { ok: false, errors: [{ where: one.name, problem: await answer.text(), remedy: "" }] };
    } catch {
      told = { ok: false, errors: [{ where: one.name, problem: "did not arrive.", remedy: "Is Homeleg still running?" }] };
    }
    if (!told.ok) {
      said.textContent = told.errors.map((each) => `${each.where}: ${each.problem} ${each.remedy}`).join(" ");
      said.classList.add("wrong");
      return;
    }
  }
  location.reload();
}

file.addEventListener("change", () => take([...file.files]));
for (const kind of ["dragover", "dragleave", "drop"]) {
  document.addEventListener(kind, (event) => {
    if (!event.dataTransfer?.types.includes("Files")) return;
    event.preventDefault();
    terrain.querySelector(".drop").classList.toggle("over", kind === "dragover");
    if (kind === "drop") take([...event.dataTransfer.files]);
  });
}
