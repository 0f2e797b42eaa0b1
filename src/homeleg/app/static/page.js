// Says when the program has stopped, and when it is back; what the page shows stays.
import "./keypad.js";

const ALIVE_EVERY_MS = 3000;
const lost = document.getElementById("lost");

async function look() {
  let here = false;
  try {
    const answer = await fetch("/alive", { cache: "no-store" });
    here = answer.ok && (await answer.text()) === "here";
  } catch {
    here = false;
  }
  if (!here && lost.hidden) {
    lost.textContent = "Homeleg has stopped. What you see is the last answer. Start it again: this page finds it.";
    lost.hidden = false;
  } else if (here && !lost.hidden) {
    lost.hidden = true;
    document.dispatchEvent(new Event("back"));
  }
}

setInterval(look, ALIVE_EVERY_MS);
