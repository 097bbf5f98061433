// Every page that the router knows, by its list: on a phone and on a desktop, light and dark. Arguments after the usual ones
// are the paths, with a walk's name in the place of `{walk}`.
import * as w from "./browser.mjs";
const { assert } = w;

const paths = process.argv.slice(5);
// All that is wrong is told at once.
const faults = [];
const look = (page, name, smallest) => w.look(page, name, smallest).catch((fault) => faults.push(fault.message));
assert.ok(paths.length > 10, `${paths}`);

for (const [screen, colours] of [[w.PHONE, "light"], [w.PHONE, "dark"], [w.DESKTOP, "light"], [w.DESKTOP, "dark"]]) {
  const page = await w.device(screen, colours);
  await page.goto(`${w.base}/sign-in`);
  await look(page, `all-sign-in-${screen.width}-${colours}`);
  await w.signIn(page);
  const walk = await w.begin(page, "strainer-clean");
  for (const path of paths.filter((path) => path !== "/sign-in" && path !== "/unlock")) {
    const reply = await page.goto(`${w.base}${path.replace("{walk}", walk)}`);
    assert.ok([200, 404, 422].includes(reply.status()), `${path}: ${reply.status()}`);
    assert.match(reply.headers()["content-type"], /^text\/html/, path);
    // A card is made for paper: the least target of WCAG 2.2 (2.5.8: memory) does there.
    const smallest = path.endsWith("/card") ? 24 : 44;
    await look(page, `all-${path.replaceAll(/\W+/g, "-")}-${screen.width}-${colours}`, smallest);
  }
  await page.goto(w.base);
  await page.getByRole("button", { name: /^Lock/ }).click();
  await page.getByRole("heading", { name: "Locked" }).waitFor();
  await look(page, `all-unlock-${screen.width}-${colours}`);
}
await w.browser.close();
assert.deepEqual(faults, []);
