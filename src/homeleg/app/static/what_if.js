// Follows what is being flown; once both are there, the page is asked for again.
const byId = (id) => document.getElementById(id);
const source = new EventSource(`${location.pathname}/events`);

source.addEventListener("progress", (event) => {
  const [what, share] = event.data.split("|");
  byId("flown").value = Number(share);
  byId("flying-words").textContent = `${what}, ${Math.round(100 * share)} %`;
});
source.addEventListener("done", () => {
  source.close();
  location.reload();
});
