// The officer's desk in a browser, on a phone and on a desktop, light and dark, without scripts: what is read, what is refused, what is decided.
import * as w from "./browser.mjs";
const { assert } = w;

const reads = async () => {
  const page = await w.device(w.PHONE, "dark");
  await w.signIn(page, "Tomas Reeve");
  await page.goto(`${w.base}/library`);
  await w.look(page, "library-phone-dark");
  await page.getByRole("link", { name: "Review this procedure" }).first().click();
  await page.getByRole("heading", { name: "At a glance" }).waitFor();
  await w.look(page, "review-phone-dark");
  assert.equal(await page.getByRole("button", { name: "Approve" }).count(), 0);
  assert.match(await page.locator("#decide").innerText(), /does not hold the role/);
};

const decides = async () => {
  const page = await w.device(w.DESKTOP);
  await w.signIn(page, "Gwen Adeyi");
  await page.goto(`${w.base}/review/strainer-clean`);
  await w.look(page, "review-desktop");
  const form = (say) => page.locator(`form:has(input[name=say][value=${say}])`);
  const send = async (say, button) => {
    await form(say).getByLabel("Your PIN again").fill(w.PINS["Gwen Adeyi"]);
    await w.after(page, () => form(say).getByRole("button", { name: button }).click());
  };
  await form("return").getByLabel("Why").fill("The lever is hard to see.");
  await form("return").getByText("Remarks on single steps").click();
  await form("return").getByLabel("drain", { exact: true }).fill("Say who holds the timer.");
  await send("return", "Return");
  assert.match(await page.getByRole("status").first().innerText(), /Returned to the author/);
  assert.match(await page.locator("#returned").innerText(), /drain\s+Say who holds the timer\./);
  await form("approve").getByLabel("The last day").fill("2000-01-01");
  await send("approve", "Approve");
  assert.match(await page.getByRole("alert").innerText(), /before it begins/);
  assert.equal(await form("approve").getByLabel("The last day").inputValue(), "2000-01-01");
  await w.look(page, "review-refused-desktop");
  await form("approve").getByLabel("The last day").fill("2099-12-31");
  await form("approve").getByLabel("Who", { exact: true }).selectOption("Tomas Reeve");
  await form("approve").getByLabel("When").fill("2026-11-05");
  await form("approve").getByLabel("Where").fill("Larkmoor depot, OSK-0117");
  await send("approve", "Approve");
  assert.match(await page.locator(".verdict").innerText(), /^Approved by Gwen Adeyi/);
  await page.setViewportSize(w.PHONE);
  await w.look(page, "review-approved-phone");
  await page.goto(`${w.base}/review/strainer-clean/card`);
  assert.match(await page.locator(".standing").innerText(), /Approved by Gwen Adeyi/);
  const colour = await page.evaluate(() => getComputedStyle(document.querySelector(".panel")).backgroundColor);
  assert.notEqual(colour, "rgba(0, 0, 0, 0)", "the card's own style is taken");
};

await reads();
await decides();
await w.browser.close();
