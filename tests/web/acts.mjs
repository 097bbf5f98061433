// An act of the equipment with what is read before it, on a phone: at a gate that stays shut, on the page before a stop, and on the
// way to leave the machine; and the wait on that way, counted down.
import * as w from "./browser.mjs";
const { assert } = w;

const page = await w.device(w.PHONE);
await w.signIn(page);
const walk = await w.begin(page, "strainer-clean");
const said = (name) => w.after(page, () => w.now(page).getByRole("button", { name, exact: true }).click());
while ((await w.asked(page)) !== "look") await w.answer(page, await w.asked(page));
for (const name of ["Yes", "No", "Yes", "Yes", "Yes"]) await said(name);

/** Where the act stands, each with what is read before it above it. */
const acts = async (name) => {
  const act = page.getByText("Turn the charger plug out with at most 1 N·m.");
  const count = await act.count();
  for (let at = 0; at < count; at++) {
    const top = async (one) => (await one.boundingBox()).y;
    const warnings = page.getByText("Sparks from charged spray.");
    const above = await Promise.all((await warnings.all()).map(top));
    assert.ok(above.some((y) => y > 0), `no warning at ${name}`);
    assert.ok(Math.min(...above) < (await top(act.nth(at))), `the warning is not above the act at ${name}`);
  }
  await w.look(page, `acts-${name}`);
  return count;
};
assert.equal(await acts("gate"), 1);
assert.match(await page.locator(".now dl.facts").innerText(), /at least 2 people together/);

await page.goto(`${w.base}/walks/${walk}/stop`);
assert.ok((await acts("before-stop")) >= 1);
await page.getByLabel("Why").fill("Rain.");
await w.after(page, () => page.getByRole("button", { name: "Stop work now" }).click());

// A wait is counted down without a new page.
const left = async () => {
  const [minutes, seconds] = (await page.locator(".leave .timer .left").innerText()).split(":").map(Number);
  return minutes * 60 + seconds;
};
let [seen, waited] = [0, 0];
for (let moves = 0; moves < 40 && (seen === 0 || waited === 0); moves++) {
  seen += await acts(`leaving-${moves}`);
  const form = page.locator(".leave form").first();
  if ((await page.locator(".leave .timer").count()) === 0) {
    // Whoever stopped at the gate may have begun what it offers: that is looked at, and the plug is in still.
    const plug = form.locator("button[value=attached]");
    const due = (await plug.count()) > 0 ? plug : form.locator("button[type=submit]");
    await w.after(page, () => due.first().click());
    continue;
  }
  waited++;
  const first = await left();
  await new Promise((done) => setTimeout(done, 2_200));
  assert.ok((await left()) <= first - 2, "it is not counted down");
  await w.after(page, () => form.getByRole("button", { name: /jump/ }).click());
}
await w.browser.close();
